"""Pictures for the photograph of a wet print: how it is made, how it is taken, what it shows and what spoils it."""

from __future__ import annotations

from dataclasses import replace

from treadleaf.drawings import figure_side, foot_above, prints, things
from treadleaf.drawings.figure_side import Arm, Pose
from treadleaf.drawings.geometry import Point, mirror, points, round_about, scale, shift, smooth, straight, turn
from treadleaf.drawings.scene import WIDTH, Say, Scene
from treadleaf.drawings.strokes import Label, Marks, arrow, mark, moved

_MIDDLE = 0.45
"""How much of the middle of the prints here touched; nothing is said of it."""

_SHEET = 297 / 210
"""Height of a sheet of office paper by its width (ISO 216)."""


def print_step(say: Say) -> Scene:
    """Somebody has stood up from a chair, a hand on a table, one foot on the paper; below, both feet from above."""
    tall, floor, at = 208.0, 222.0, 166.0
    table, sheet = 0.48, 3.2
    pose = Pose(nod=4)
    down = figure_side.lowest(pose, pose.near_leg)
    holds = figure_side.arm_to(pose, Point(0.12, down - table - 0.022), wrist=14, grip=-22)
    pose = replace(pose, near_arm=replace(holds, thumb=14), far_arm=Arm(shoulder=-3, elbow=8))
    marks: Marks = things.floor(8, WIDTH - 8, floor)
    marks += moved(things.chair(heavy=True), scale(tall), shift(at - 0.38 * tall, floor))
    marks += moved(things.table(0.42, table), scale(tall), shift(at + 0.16 * tall, floor))
    marks.append(mark("thing", things.box(at - 0.085 * tall, floor - sheet, at + 0.165 * tall, floor)))
    marks += moved(figure_side.person(pose), scale(tall), shift(at, floor - sheet - down * tall))
    foot, frame = Point(at + 9, floor - 9), Point(10, 258)
    ring, corner = 26.0, Point(frame.x + 105, frame.y)
    way = corner.minus(foot).unit()
    marks.append(mark("detail", round_about(foot, ring), straight([foot.plus(way, ring), corner])))
    marks.append(mark("thing", things.box(frame.x, frame.y, frame.x + 210, frame.y + 164)))
    marks += moved(_feet_from_above(), shift(frame.x + 105, frame.y))
    marks.append(Label(say["hold_on"], Point(at + 0.36 * tall, floor - table * tall - 12), anchor="start", strong=True))
    words = (("paper_taped", 324), ("to_the_floor", 344), ("weight_on", 386), ("both_feet", 406))
    marks += [Label(say[key], Point(230, y), anchor="start", strong=True) for key, y in words]
    marks.append(Label(say["from_above"], Point(230, 276), anchor="start"))
    return Scene(430, marks)


def _feet_from_above() -> Marks:
    """The feet of somebody who looks to the right: the far one on the floor, the near one on a taped sheet."""
    size, half, top, high = 1.2, 88.0, 66.0, 84.0
    marks: Marks = _taped_sheet(-half, top, half, top + high)
    left, right = (turn(-90), scale(size)), (mirror(), turn(-90), scale(size))
    marks += moved(foot_above.foot(), *left, shift(-60, 32))
    marks += moved(foot_above.foot(), *right, shift(-60, top + high / 2))
    return marks


def _taped_sheet(left: float, top: float, right: float, bottom: float, *, tape: float = 8.0) -> Marks:
    """A sheet from above, a strip of tape over the middle of each edge, so that its corners stay in sight."""
    across, down = (left + right) / 2, (top + bottom) / 2
    long, half = tape, tape * 0.6
    strips = [things.box(x - long, y - half, x + long, y + half) for x, y in ((left, down), (right, down))]
    strips += [things.box(x - half, y - long, x + half, y + long) for x, y in ((across, top), (across, bottom))]
    return [mark("thing", things.box(left, top, right, bottom)), mark("thing", *strips)]


def print_photo(say: Say) -> Scene:
    """Somebody stands and holds a phone flat above a print on the floor; a frame shows the photo."""
    tall, floor, at = 244.0, 264.0, 50.0
    pose = Pose(nod=24)
    down = figure_side.lowest(pose, pose.near_leg)
    lens = Point(at + 0.33 * tall, floor - 0.66 * tall)
    hand = Point((lens.x - 45 - at) / tall, down - 0.652)
    pose = figure_side.with_arms(pose, replace(figure_side.arm_to(pose, hand, wrist=-4, grip=-4), thumb=26))
    sheet, half, seen = 3.2, 25.0, 31.0
    marks: Marks = things.floor(8, WIDTH - 8, floor)
    marks.append(mark("thing", things.box(lens.x - half, floor - sheet, lens.x + half, floor)))
    marks.append(mark("wet", things.box(lens.x - 17, floor - sheet - 2, lens.x + 17, floor - sheet)))
    marks += things.phone_flat(lens, long=40, thick=6)
    marks += moved(figure_side.person(pose), scale(tall), shift(at, floor - down * tall))
    start = lens.y + 7
    edges = [straight(points(lens.x + way, start, lens.x + way * seen, floor - 1)) for way in (-1, 1)]
    marks.append(mark("detail", *edges))
    marks.append(mark("sight", straight(points(lens.x, start, lens.x, floor - 8))))
    square = straight(points(lens.x, floor - 16, lens.x + 9, floor - 16, lens.x + 9, floor - 7))
    marks.append(mark("detail", square))
    frame = Point(236, 14)
    wide, high = 110.0, 144.0
    marks.append(mark("detail", straight(points(lens.x + 8, lens.y - 3, frame.x, lens.y - 3))))
    marks.append(mark("thing", things.box(frame.x, frame.y, frame.x + wide, frame.y + high)))
    marks += moved(_sheet_with_print(78), shift(frame.x + wide / 2, frame.y + high / 2))
    marks.append(Label(say["photo"], Point(frame.x + wide / 2, frame.y + high + 20)))
    beside = (("phone", 18, lens.y - 32), ("level", 18, lens.y - 12))
    below = (("straight_down", 34, floor - 54), ("dry_floor", 50, floor - 12))
    words = [Label(say[key], Point(lens.x + x, y), anchor="start", strong=True) for key, x, y in (*beside, *below)]
    marks += words
    return Scene(floor + 12, marks)


def _sheet_with_print(wide: float) -> Marks:
    """A taped sheet, its middle at the origin, with one clear print of a left foot in it."""
    high = wide * _SHEET
    size = high * 0.0076
    marks = _taped_sheet(-wide / 2, -high / 2, wide / 2, high / 2, tape=wide * 0.055)
    return [*marks, *moved([mark("wet", *prints.areas(_MIDDLE))], scale(size), shift(wide * 0.01, size * 50))]


def print_framed(say: Say) -> Scene:
    """A phone from the front; its picture holds a whole sheet with one whole print in its middle."""
    centre, wide, high, sheet = Point(112, 178), 200.0, 336.0, 132.0
    marks: Marks = moved(things.phone_front(wide, high, Point(88, 138)), shift(*centre))
    marks += moved(_sheet_with_print(sheet), shift(*centre))
    across, down = sheet / 2, sheet / 2 * _SHEET
    ring = 10.0
    corners = [centre.plus(Point(x * across, y * down)) for x in (-1, 1) for y in (-1, 1)]
    marks.append(mark("measured", *(round_about(at, ring) for at in corners)))
    over = [centre.plus(Point(x, y)) for x, y in _OVER_TOES]
    marks.append(mark("detail", smooth(over)))
    words_at = 232.0
    named = (
        (corners[2].plus(Point(ring + 3, 0)), -15, ("all_four", "corners")),
        (over[-1], 5, ("five_toes",)),
        (centre.plus(Point(20, 50)), 5, ("whole_heel",)),
        (centre.plus(Point(44, 117)), -5, ("floor_all", "around")),
    )
    for at, below, keys in named:
        marks.append(mark("detail", straight([at, Point(words_at - 6, at.y)])))
        for line, key in enumerate(keys):
            place = Point(words_at, at.y + below + line * 20)
            marks.append(Label(say[key], place, anchor="start", strong=True))
    return Scene(356, marks)


_OVER_TOES = points(-33, -41, -27, -53, -16, -66, 0, -76, 17, -78, 29, -72, 33, -66)
"""A line over the toes of that print, from the little toe to where the words of the toes begin."""


def print_spoilt(say: Say) -> Scene:
    """Four sheets, each with a print that is spoilt in another way, a cross before its word."""
    marks: Marks = []
    kinds = (("dragged", _dragged()), ("too_wet", _too_wet()), ("too_dry", _too_dry()), ("cut_off", _cut_off()))
    for number, (key, drawn) in enumerate(kinds):
        place = shift((number % 2) * 176.0 + 92, (number // 2) * 204.0 + 162)
        word = Label(say[key], Point(-40, 26), anchor="start", strong=True)
        x, y, arm = -54, 20.5, 5
        cross = [straight(points(x - arm, y - way, x + arm, y + way)) for way in (-arm, arm)]
        sheet = mark("thing", things.box(-60, -152, 60, 0))
        marks += moved([sheet, *drawn, mark("line", *cross), word], place)
    return Scene(402, marks)


_SIZE = 1.2
"""Of the foot in a spoilt print."""


def _dragged() -> Marks:
    """A foot that slid outward while it was wet: its print shows several times, an arrow the way it slid."""
    marks: Marks = []
    for step in range(3):
        marks += moved([mark("wet", *prints.areas(_MIDDLE))], scale(_SIZE), shift(13 - step * 10.5, -21 - step * 2.5))
    return [*marks, *arrow(Point(32, -10), Point(-34, -10))]


def _too_wet() -> Marks:
    """A pool without toes, drops round it; where the foot stood in it is dashed."""
    edge = points(
        *(-24, -40, -27, -52, -28, -66, -32, -78, -27, -88, -19, -91, -14, -99, -4, -104, 4, -109, 16, -108, 25, -100),
        *(25, -88, 28, -76, 25, -62, 20, -50, 19, -40, 24, -28, 21, -14, 17, 0, 6, 6, -4, 8, -15, 5, -20, -6, -22, -23),
    )
    drops = [round_about(Point(x, y), radius) for x, y, radius in _DROPS]
    marks = [mark("wet", smooth(edge, closed=True), *drops), mark("unseen", foot_above.outline(webs=0.72))]
    return moved(marks, scale(_SIZE), shift(0, -14))


_DROPS = ((33, -54, 3.4), (30, -40, 2), (-36, -58, 2.6), (-33, -18, 3.4), (30, -8, 2.6), (-27, -4, 1.8))
"""Place and radius of each drop beside the pool."""


def _too_dry() -> Marks:
    """Only patches of a print; where the foot touched is dashed."""
    patches = [smooth(points(*run), closed=True) for run in _PATCHES]
    marks = [mark("wet", *patches), mark("unseen", *prints.areas(_MIDDLE))]
    return moved(marks, scale(_SIZE), shift(1, -16))


_PATCHES = (
    (6.4, -91, 8, -96, 13, -97, 16, -92, 13.4, -91.5, 9, -87),
    (-17.6, -62, -13, -68, -5, -72, -2, -67, -7, -64, -10, -59, -14, -55),
    (2, -73, 11, -73, 15, -67, 12, -61, 7, -66.5, 3, -68),
    (-4, -60, 2, -62.5, 5, -57.5, -1, -53.5),
    (-17, -48, -12, -49, -9.6, -42, -11.5, -34, -14.6, -36),
    (-8, -31, -4, -33, -1.4, -28, -4, -25),
    (-11.6, -18, -6, -22, -2, -19, -4, -15, -5, -8, -9, -8),
    (0, -8, 4, -18, 9, -16, 7.6, -8, 3, -3),
)


def _cut_off() -> Marks:
    """A print that runs over the side of the sheet: what is beyond it, on the floor, is dashed."""
    edge = 4.0
    big, *lesser, _ = prints.areas(_MIDDLE)
    inside = smooth(
        points(edge, -56, -1, -52, -5, -39, -1, -30, edge, -25),
        points(edge, -3.6),
        points(-0.6, -2.2, -8, -5, -11.4, -13, -13, -24, -16, -39)
        + points(-17.4, -50, -18, -62, -14, -68, -6, -73.4, edge, -75),
        closed=True,
    )
    beyond = [
        big,
        smooth(points(edge, -75, 11, -73.6, 15.6, -67, 13.4, -60, edge, -56)),
        smooth(points(edge, -25, 9, -20.5, 10, -12.5, 7, -5.6, edge, -3.6)),
    ]
    marks = [mark("wet", *lesser, inside), mark("unseen", *beyond)]
    return moved(marks, scale(_SIZE), shift(60 - edge * _SIZE, -16))
