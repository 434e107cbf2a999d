"""Pictures for the exercises: point and dome, towel curls, short foot, heel raise, standing on one leg."""

from __future__ import annotations

from dataclasses import replace

from treadleaf.drawings import figure_side, foot_above, foot_side, phrases, things
from treadleaf.drawings.figure_side import Arm, Leg, Pose
from treadleaf.drawings.foot_side import SidePose
from treadleaf.drawings.geometry import Move, Point, mirror, points, scale, shift, smooth, turn
from treadleaf.drawings.scene import WIDTH, Say, Scene
from treadleaf.drawings.strokes import Label, Marks, arc_arrow, arrow, joined, mark, moved


def dome(say: Say, foot: SidePose, outward: float, phase: str) -> Scene:
    """Sitting with straight legs: the person, both feet as the sitter sees them, and one foot from its inner side.

    ``outward`` turns the feet, toes away from each other; ``phase`` is ``up``, ``down`` or ``hold``.
    """
    marks: Marks = []
    tall, floor = 150.0, 118.0
    leg = Leg(hip=86, ankle=foot.ankle, toes=foot.big[0])
    sits = Pose(lean=-6, near_leg=leg, far_leg=leg)
    back = Arm(-38, 8, 55, 0)
    sits = figure_side.with_arms(sits, back)
    marks += things.floor(8, 180, floor + 4) + things.mat(12, 176, floor, thick=4)
    marks += moved(figure_side.person(sits), scale(tall), shift(52, floor - 0.062 * tall))
    marks += _FEET_SEEN[phase](say, outward)
    size, ground = 1.55, 318.0
    held = replace(foot, lean=90 + foot.ankle)
    at = foot_side.joint(held, foot_side.ANKLE)
    drawn = moved(foot_side.foot(held, work=("arch",) if phase == "hold" else ()), shift(-at.x, -at.y), scale(size))
    low = max(point.y for one in drawn for point in one.every_point())
    ankle_at = Point(140, ground - low)
    marks += things.floor(8, WIDTH - 8, ground) + moved(drawn, shift(*ankle_at))
    marks += _PHASES[phase](say, ankle_at)
    facts = {"foot": phrases.ankle(foot.ankle), "toes": phrases.toes(foot.big), "arch": phrases.arch(foot.arch)}
    return Scene(332, marks, facts)


def _soles(say: Say, outward: float) -> Marks:
    """Both soles, from the front: heels on the floor, toes apart."""
    made: Marks = things.floor(196, WIDTH - 8, 124)
    for flip in (Move(), mirror()):
        made += moved(foot_above.sole(), scale(0.95), turn(-outward), shift(25, -3), flip, shift(276, 124))
    made += arrow(Point(228, 14), Point(200, 30)) + arrow(Point(324, 14), Point(352, 30))
    return [*made, Label(say["from_front"], Point(276, 146))]


def _backs(say: Say, outward: float) -> Marks:
    """Both feet and shins from above, as the sitter sees them when they point away; the toes together."""
    made: Marks = []
    for flip in (Move(), mirror()):
        shin = smooth(points(-13, 0, -11.5, -22, -8.5, -42, 9.5, -42, 12.5, -22, 14, 0))
        place = scale(0.88).then(turn(outward)).then(shift(0, -34))
        body = joined(shin, foot_above.outline().moved(place))
        made += moved([body, foot_above.nails().moved(place)], shift(-28, 0), flip, shift(276, 130))
    return [*made, Label(say["from_above"], Point(276, 148))]


def _backs_and_arrows(say: Say, outward: float) -> Marks:
    return [*_backs(say, outward), *arrow(Point(204, 30), Point(232, 26)), *arrow(Point(348, 30), Point(320, 26))]


_FEET_SEEN = {"up": _soles, "down": _backs_and_arrows, "hold": _backs}


def _towards_shin(say: Say, ankle_at: Point) -> Marks:
    marks = arc_arrow(ankle_at, 118, 62, 112)
    return [*marks, Label(say["up_and_out"], Point(204, 178), anchor="start", strong=True)]


def _away(say: Say, ankle_at: Point) -> Marks:
    marks = arc_arrow(ankle_at, 132, 78, 48)
    return [*marks, Label(say["point_down"], Point(352, 190), anchor="end", strong=True)]


def _held(say: Say, ankle_at: Point) -> Marks:
    marks = arrow(Point(ankle_at.x + 72, 304), Point(ankle_at.x + 37, 277))
    return [*marks, Label(say["hold"], Point(206, 186), anchor="start", strong=True)]


_PHASES = {"up": _towards_shin, "down": _away, "hold": _held}


def towel_curl(say: Say, foot: SidePose, work: str) -> Scene:
    """Toes draw a towel towards the heel: the big toe alone, or the four lesser toes."""
    size, floor, left = 2.2, 250.0, 30.0
    marks: Marks = things.floor(8, WIDTH - 8, floor + 1)
    folds = [
        (left + 103 * size, 22, 9),
        (left + 113 * size, 15, 8),
        (left + 123 * size, 9, 8),
        (left + 50 * size, 7, 10),
    ]
    marks += moved(foot_side.foot(foot, work=(work,)), scale(size), shift(left, floor))
    marks += moved(things.towel(left + 40 * size, WIDTH - 16, folds), shift(0, floor))
    marks += arrow(Point(WIDTH - 22, floor + 22), Point(WIDTH - 96, floor + 22))
    marks.append(Label(say["towel"], Point(WIDTH - 106, floor + 28), anchor="end"))
    working = ("big",) if work == "big" else foot_above.TOES[1:]
    marks += moved(foot_above.foot(work=working), scale(1.2), shift(292, 146))
    return Scene(288, marks, {"big": phrases.toes(foot.big), "lesser": phrases.toes(foot.lesser)})


def short_foot(say: Say, arch: float, before: float | None) -> Scene:
    """A foot from its inner side; with ``before``, that arch dashed, and what changed."""
    size, floor, left = 2.7, 240.0, 46.0
    marks: Marks = things.floor(8, WIDTH - 8, floor)
    if before is None:
        marks += moved(foot_side.foot(SidePose(arch=arch, shin=0.74)), scale(size), shift(left, floor))
        marks.append(Label(say["relaxed"], Point(350, 120), anchor="end", strong=True))
    else:
        shorter = Move(a=0.965)
        marks += moved(
            foot_side.foot(SidePose(arch=arch, shin=0.74), work=("arch",)), shorter, scale(size), shift(left, floor)
        )
        marks += moved([foot_side.before(SidePose(arch=before, shin=0.74))], scale(size), shift(left, floor))
        marks += arrow(Point(left + 44 * size, floor + 34), Point(left + 44 * size, floor + 2))
        marks += arrow(Point(left + 86 * size, floor + 20), Point(left + 66 * size, floor + 20))
        marks.append(Label(say["arch_up"], Point(350, 120), anchor="end", strong=True))
        marks.append(Label(say["toes_long"], Point(350, 142), anchor="end"))
    return Scene(284, marks, {"arch": phrases.arch(arch)})


def heel_raise(say: Say, up: float) -> Scene:
    """A person on both feet, fingertips on a wall, the heels raised by ``up`` degrees."""
    tall, floor, wall_at = 262.0, 292.0, 268.0
    leg = Leg(ankle=-up, toes=up)
    pose = Pose(near_leg=leg, far_leg=leg)
    down = figure_side.lowest(pose, leg)
    at = wall_at - 0.36 * tall
    reach = Point(0.36 - 0.058, -0.26)
    pose = figure_side.with_arms(pose, figure_side.arm_to(pose, reach, wrist=30, grip=0))
    marks: Marks = things.floor(8, WIDTH - 8, floor)
    marks += moved(things.wall(1.08), scale(tall), shift(wall_at, floor))
    hips = shift(at, floor - down * tall)
    marks += moved(figure_side.person(pose), scale(tall), hips)
    if up:
        marks += moved([mark("work", figure_side.calf(pose, leg))], scale(tall), hips)
        marks += arrow(Point(at - 40, floor - 4), Point(at - 40, floor - 44))
        marks.append(Label(say["heels_up"], Point(at - 52, floor - 20), anchor="end", strong=True))
    else:
        marks.append(Label(say["start"], Point(at - 36, floor - 20), anchor="end", strong=True))
    return Scene(306, marks, {"heel": phrases.heel(up)})


def single_leg_stance(say: Say, lifted: Leg) -> Scene:
    """A person from the side on the far leg, a hand on the back of a chair, the near foot off the floor."""
    tall, floor, at, ahead = 262.0, 292.0, 130.0, 0.315
    pose = figure_side.holding(Pose(lean=8, near_leg=lifted, far_leg=Leg(hip=8)), ahead)
    down = figure_side.lowest(pose, pose.far_leg)
    marks: Marks = things.floor(8, WIDTH - 8, floor)
    marks += moved(things.chair(), scale(tall), shift(at + ahead * tall, floor))
    marks += moved(figure_side.person(pose), scale(tall), shift(at, floor - down * tall))
    gap = floor - (down - figure_side.lowest(pose, lifted)) * tall
    marks += arrow(Point(at + 44, floor - 3), Point(at + 44, gap + 6))
    marks.append(Label(say["foot_off"], Point(at - 16, floor - 14), anchor="end", strong=True))
    marks.append(Label(say["support"], Point(at + (ahead + 0.06) * tall, floor - 0.48 * tall), anchor="start"))
    return Scene(306, marks, {"foot": "foot_lifted"})
