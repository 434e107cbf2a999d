"""Pictures for the checks: wet prints, the reach under the arch, heels and the photo of them."""

from __future__ import annotations

from dataclasses import replace

from treadleaf.drawings import figure_side, foot_above, hand, heels, phrases, prints, things
from treadleaf.drawings.figure_side import Leg, Pose
from treadleaf.drawings.geometry import Point, mirror, points, round_about, scale, shift, straight, turn
from treadleaf.drawings.scene import WIDTH, Say, Scene
from treadleaf.drawings.strokes import Label, Marks, mark, moved


def wet_prints(say: Say, left: float, right: float) -> Scene:
    """Two prints side by side on paper, each with the share of its middle that touched, bracketed and named in it."""
    marks: Marks = things.paper(12, 10, WIDTH - 12, 318)
    size, foot_at, out = 2.55, 288.0, 86.0
    marks += moved(prints.wet_print(left), scale(size), shift(out, foot_at))
    marks += moved(prints.wet_print(right), mirror(), scale(size), shift(WIDTH - out, foot_at))
    for share, move in ((left, shift(out, foot_at)), (right, mirror().then(shift(WIDTH - out, foot_at)))):
        marks += moved(_middle_named(say, share, size, mirrored=move.a < 0), move)
    marks += [Label(say["left"], Point(out, 342)), Label(say["right"], Point(WIDTH - out, 342))]
    return Scene(352, marks, {"left": phrases.contact(left), "right": phrases.contact(right)})


def _middle_named(say: Say, share: float, size: float, *, mirrored: bool) -> Marks:
    """A bracket over the middle of a left print: along the gap, or across the strip; and its word."""
    word = say[phrases.contact(share)]
    if share <= 0:
        low, high = (size * at for at in prints.GAP)
        line = points(-29, high, -23, high, -23, low, -29, low)
        return [mark("line", straight(line)), Label(word, Point(4, (low + high) / 2 + 6), strong=True)]
    edges = [size * at for at in prints.strip(share)]
    middle = size * prints.MIDDLE_HEIGHT
    line = points(edges[0] + 2, middle - 5, edges[0] + 2, middle, edges[1] - 2, middle, edges[1] - 2, middle - 5)
    if share > _FITS:
        return [mark("line", straight(line)), Label(word, Point(sum(edges) / 2, middle + 19), strong=True)]
    beside = Label(word, Point(edges[1] + 7, middle + 4), anchor="end" if mirrored else "start", strong=True)
    return [mark("line", straight(line)), beside]


_FITS = 0.7
"""From this share on the strip is wide enough for its word."""


def arch_reach(say: Say) -> Scene:
    """Somebody stands holding a chair; a helper kneels behind; the foot and the finger under its arch in a circle."""
    tall, floor, at = 236.0, 254.0, 216.0
    client = figure_side.holding(Pose(), 0.25)
    down = figure_side.lowest(client, client.near_leg)
    leg = Leg(hip=117, knee=145, ankle=-58, toes=-4)
    kneels = Pose(lean=62, nod=-34, near_leg=leg, far_leg=leg)
    knee = figure_side.knee(kneels, leg)
    low = knee.y + 0.034
    helper_at = Point(at - 0.52 * tall, floor - low * tall)
    target = Point((at - 17 - helper_at.x) / tall, (floor - 9 - helper_at.y) / tall)
    reaches = figure_side.arm_to(kneels, target, wrist=36, grip=0)
    rests = figure_side.arm_to(kneels, knee.plus(Point(-0.03, -0.05)), wrist=30, grip=20)
    kneels = replace(kneels, far_arm=replace(reaches, thumb=20), near_arm=rests)
    marks: Marks = things.floor(8, WIDTH - 8, floor)
    marks += moved(things.chair(), scale(tall), shift(at + 0.25 * tall, floor))
    # The helper's hand goes behind the near foot, to its inner side: there it is dashed.
    marks += moved(figure_side.person(kneels, behind=False), scale(tall), shift(*helper_at))
    marks += moved(figure_side.person(client), scale(tall), shift(at, floor - down * tall))
    marks.append(figure_side.hidden_hand(kneels, kneels.far_arm).moved(scale(tall)).moved(shift(*helper_at)))
    arch, centre, radius = Point(at + 7, floor - 7), Point(118, 346), 72.0
    way = arch.minus(centre)
    line = straight([arch.plus(way, -17 / way.length()), centre.plus(way, radius / way.length())])
    marks.append(mark("detail", round_about(arch, 17), line))
    marks += [mark("thing", round_about(centre, radius)), *_reach_from_above(centre)]
    marks += [Label(say["helper"], Point(60, 130)), Label(say["client"], Point(at + 34, 50), anchor="start")]
    words = (("finger_under", 336, True), ("arch_of_foot", 356, True), ("from_above", 384, False))
    marks += [Label(say[key], Point(204, y), anchor="start", strong=strong, minor=strong) for key, y, strong in words]
    return Scene(422, marks)


def _reach_from_above(centre: Point) -> Marks:
    """The near foot of somebody who looks to the right, from above, and the finger at its inner side, away from us."""
    foot = mark("skin", foot_above.outline()).moved(mirror()).moved(turn(-90)).moved(scale(1.2))
    turned, size = turn(203), scale(0.74)
    tip = size(turned(hand.POINTING_JOINTS[0]))
    where = Point(centre.x - 4, centre.y + 30)
    place = (turned, size, shift(where.x - tip.x, where.y - tip.y))
    return [
        *moved(hand.pointing(arm=17), *place),
        foot.moved(shift(centre.x - 60, centre.y + 26)),
        *moved(hand.pointing_hidden(-62), *place),
    ]


def arch_reach_finger(say: Say) -> Scene:
    """Four times a foot from above, the finger further under its arch each time; what is hidden is dashed."""
    marks: Marks = []
    names = ("fingertip", "first_joint", "second_joint", "all_the_way")
    for number, name in enumerate(names):
        left, top = (number % 2) * 180.0, (number // 2) * 180.0
        marks += moved(_finger_in(_UNDER[number]), shift(left, top))
        marks.append(Label(f"{number + 1}", Point(left + 12, top + 26), strong=True))
        marks.append(Label(say[name], Point(left + 84, top + 168), strong=True, minor=True))
    return Scene(360, marks)


_UNDER = tuple(at.y + more for at, more in zip(hand.POINTING_JOINTS, (6, 0, 0, -1), strict=True))
"""The place on the finger that lies at the foot's inner edge: behind the tip, at each joint, just before the root."""


def _finger_in(edge: float) -> Marks:
    """A left foot from above, and a right hand whose index finger is under it as far as a place on the finger.

    The hand is drawn a little small, so that no finger comes near the outer edge: that edge is not a goal.
    """
    size = 0.82
    foot = mark("skin", foot_above.outline()).moved(scale(1.44)).moved(shift(46, 150))
    turned = (mirror(), turn(90), scale(size))
    here = turn(90)(Point(-14, edge))
    place = (*turned, shift(61 - here.x * size, 93 - here.y * size))
    return [*moved(hand.pointing(arm=20), *place), foot, *moved(hand.pointing_hidden(edge), *place)]


def heels_from_behind(say: Say, left: float, right: float) -> Scene:
    """Both legs from behind, each heel tilted below its ankle; positive moves its bottom outward."""
    floor = 228.0
    marks: Marks = things.floor(8, WIDTH - 8, floor)
    marks += moved(heels.heel(left), mirror(), shift(95, floor)) + moved(heels.heel(right), shift(WIDTH - 95, floor))
    marks += [Label(say["left"], Point(95, 252)), Label(say["right"], Point(WIDTH - 95, 252))]
    marks.append(Label(say["from_behind"], Point(WIDTH / 2, 278)))
    return Scene(288, marks, {"left": phrases.tilt(left), "right": phrases.tilt(right)})


def heel_photo(say: Say) -> Scene:
    """A phone on a support looks at the heels from behind, at their height; what it sees stands in a frame."""
    tall, floor = 232.0, 262.0
    pose = figure_side.holding(Pose(), 0.25)
    down = figure_side.lowest(pose, pose.near_leg)
    at = 238.0
    marks: Marks = things.floor(8, WIDTH - 8, floor)
    marks += moved(things.chair(), scale(tall), shift(at + 0.25 * tall, floor))
    marks += moved(figure_side.person(pose), scale(tall), shift(at, floor - down * tall))
    lens = floor - 17
    heel = at - 0.042 * tall
    marks += things.phone(Point(46, floor), wide=7, high=26)
    marks += moved([mark("thing", things.box(26, -16, 42, 0))], shift(0, floor))
    marks.append(mark("sight", straight(points(56, lens, heel - 4, lens))))
    seen = [
        *moved(heels.heel(0, lines=False), mirror(), scale(0.42), shift(50, 112)),
        *moved(heels.heel(0, lines=False), scale(0.42), shift(98, 112)),
    ]
    marks += [mark("thing", things.box(16, 14, 132, 120)), *seen]
    marks.append(mark("detail", straight(points(46, floor - 54, 46, 124)), straight(points(18, 112, 130, 112))))
    marks.append(Label(say["phone"], Point(10, floor - 36), anchor="start", minor=True))
    marks.append(Label(say["photo"], Point(56, 142), anchor="start", minor=True))
    marks.append(Label(say["heel_height"], Point(136, lens - 9), minor=True))
    return Scene(280, marks)
