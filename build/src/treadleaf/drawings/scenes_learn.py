"""Pictures for reading: what holds an arch, arches that differ, a child on tiptoe, a support in a shoe, ticked days."""

from __future__ import annotations

from treadleaf.drawings import figure_side, foot_inside, foot_side, phrases, things
from treadleaf.drawings.figure_side import Arm, Leg, Pose
from treadleaf.drawings.foot_side import SidePose
from treadleaf.drawings.geometry import Point, points, scale, shift, smooth, straight, turn
from treadleaf.drawings.scene import WIDTH, Say, Scene
from treadleaf.drawings.strokes import Label, Marks, arrow, mark, moved


def arch_parts(say: Say) -> Scene:
    """A standing foot from its inner side, with what holds its arch: a band and a tendon, filled and named."""
    size, floor, left, arch = 2.4, 214.0, 44.0, 7.0
    place = scale(size).then(shift(left, floor))
    parts = [*foot_inside.tendon(), *foot_inside.band(arch)]
    marks: Marks = [
        *things.floor(8, WIDTH - 8, floor),
        *moved([*foot_side.foot(SidePose(arch=arch, shin=0.72)), *parts], place),
    ]
    band, tendon = place(foot_inside.BAND_AT), place(foot_inside.TENDON_AT)
    leaders = (Point(172, 66), tendon), (Point(band.x, floor + 34), band)
    marks.append(mark("detail", *(straight(ends) for ends in leaders)))
    named = (
        ("tendon", Point(176, 60), "start", True),
        ("behind_ankle", Point(176, 82), "start", True),
        ("band", Point(band.x, floor + 50), "middle", True),
        ("heel", place(Point(13, 0)).plus(Point(0, 22)), "middle", False),
        ("ball", place(foot_side.BALL)._replace(y=floor + 22), "middle", False),
        ("arch", place(Point(45, 0)).plus(Point(0, 22)), "middle", False),
    )
    marks += [Label(say[key], at, anchor, strong) for key, at, anchor, strong in named]
    return Scene(floor + 60, marks)


def arch_three(say: Say, heights: tuple[tuple[str, float], ...]) -> Scene:
    """Feet one below the other, each with an arch of its own height, drawn alike."""
    size, left, each = 2.0, 28.0, 128.0
    marks: Marks = []
    for number, (word, arch) in enumerate(heights):
        floor = 112.0 + number * each
        marks += things.floor(8, WIDTH - 8, floor)
        marks += moved(foot_side.foot(SidePose(arch=arch, shin=0.3)), scale(size), shift(left, floor))
        marks.append(Label(say[word], Point(350, floor - 22), anchor="end", strong=True))
    return Scene(112 + each * (len(heights) - 1) + 12, marks)


def child_tiptoe(say: Say, standing: float, on_tiptoe: float) -> Scene:
    """A child's foot twice: flat while it stands, with an arch on tiptoe; above each the child that reaches up."""
    floor, size, up = 306.0, 1.4, 40.0
    marks: Marks = things.floor(8, WIDTH - 8, floor)
    flat = SidePose(arch=standing, shin=0.42)
    raised = SidePose(arch=on_tiptoe, heel_up=up, ankle=-up, shin=0.42)
    plump = scale(size, size * 1.14)
    marks += moved(foot_side.foot(flat, behind=1), plump, shift(20, floor))
    marks += moved(foot_side.foot(raised, work=("arch",), behind=1), plump, shift(208, floor))
    marks += arrow(Point(158, floor - 64), Point(206, floor - 64))
    marks += [Label(say["standing"], Point(84, floor + 24), strong=True)]
    marks += [Label(say["on_tiptoe"], Point(274, floor + 24), strong=True)]
    marks += _child(Pose(head=1.55), Point(84, 148))
    leg, reach = Leg(ankle=-up, toes=up), Arm(128, 8, 0, 10)
    tiptoe = figure_side.with_arms(Pose(head=1.55, nod=-10, near_leg=leg, far_leg=leg), reach)
    marks += _child(tiptoe, Point(270, 148))
    facts = {"standing": phrases.arch(standing), "tiptoe": phrases.arch(on_tiptoe)}
    return Scene(floor + 36, marks, facts)


def _child(pose: Pose, at: Point) -> Marks:
    """A small child from the side, at a place on the floor."""
    tall = 112.0
    place = scale(tall * 1.15, tall).then(shift(at.x, at.y - figure_side.lowest(pose, pose.near_leg) * tall))
    return [*things.floor(at.x - 44, at.x + 48, at.y), *moved(figure_side.person(pose, behind=False), place)]


def insole_shoe(say: Say) -> Scene:
    """A shoe cut open along its length, and the foot in it, standing on a support under its arch."""
    size, floor, left, arch = 2.6, 232.0, 52.0, 7.0
    place = scale(size).then(shift(left, floor - 12 * size))
    marks: Marks = things.floor(8, WIDTH - 8, floor)
    marks += moved(things.shoe(), place)
    marks += moved(foot_side.foot(SidePose(arch=arch, shin=0.6)), place)
    sole = points(20, 0.6, 28, -arch * 0.3, 36, -arch * 0.8, 45, -arch, 54, -arch * 0.78, 61, -arch * 0.3, 67, 0.6)
    support = smooth(sole, [sole[0]], closed=True)
    marks += moved([mark("work", support)], place)
    under = place(Point(45, -2.4))
    marks.append(mark("detail", straight([under, Point(under.x + 40, floor + 14)])))
    marks.append(Label(say["shoe_support"], Point(under.x + 44, floor + 26), strong=True))
    return Scene(floor + 36, marks)


def tick_diary(say: Say, done: tuple[int, int]) -> Scene:
    """A sheet with two rows of seven boxes, the first of each row ticked, and a pencil that has made the last tick."""
    marks: Marks = things.paper(14, 14, WIDTH - 14, 230, fold=22)
    side, left, week = 34.0, 38.0, say["week"]
    tick = points(7, 17, 14, 25, 27, 7)
    for row, ticked in enumerate(done):
        top = 62.0 + row * 84
        boxes = [things.box(left + day * 42, top, left + day * 42 + side, top + side) for day in range(7)]
        marks.append(mark("line", *boxes))
        ticks = [straight(tick).moved(shift(left + day * 42, top)) for day in range(ticked)]
        marks.append(mark("measured", *ticks))
        marks.append(Label(f"{week} {row + 1}", Point(left, top - 10), anchor="start"))
    last = Point(left + (done[1] - 1) * 42 + 27, 62 + 84 + 7)
    marks += moved(things.pencil(128), turn(-52), shift(*last))
    return Scene(262, marks, {f"week{row + 1}": phrases.ticks(ticked / 7) for row, ticked in enumerate(done)})
