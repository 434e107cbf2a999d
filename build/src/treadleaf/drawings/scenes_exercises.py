"""Pictures for the exercises: point and dome, towel curls, short foot, heel raise, standing on one leg."""

from __future__ import annotations

from dataclasses import replace

from treadleaf.drawings import figure_front, figure_side, foot_above, foot_side, phrases, things
from treadleaf.drawings.figure_front import FrontArm, FrontLeg, FrontPose
from treadleaf.drawings.figure_side import Arm, Leg, Pose
from treadleaf.drawings.foot_side import SidePose
from treadleaf.drawings.geometry import Move, Point, mirror, points, scale, shift, smooth, straight, turn
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
    marks += things.floor(8, 176, floor)
    marks += moved(figure_side.person(sits), scale(tall), shift(52, floor - 0.062 * tall))
    marks += moved(_feet_seen(foot.ankle, outward), shift(272, 0))
    marks += _outward_arrows(phase)
    size, ankle_at = 1.55, Point(140, 280)
    ground = ankle_at.y + 25 * size
    marks += things.floor(8, WIDTH - 8, ground)
    marks += _lying(foot, size, ankle_at, work=("arch",) if phase == "hold" else ())
    marks += _PHASES[phase](say, ankle_at)
    facts = {"foot": phrases.ankle(foot.ankle), "toes": phrases.toes(foot.big), "arch": phrases.arch(foot.arch)}
    return Scene(330, marks, facts)


def _lying(foot: SidePose, size: float, ankle_at: Point, work: tuple[str, ...]) -> Marks:
    """A foot whose shin lies along the floor, to the left of the ankle."""
    turned = replace(foot, lean=90 + foot.ankle)
    at = foot_side.joint(turned, foot_side.ANKLE)
    return moved(foot_side.foot(turned, work=work), shift(-at.x, -at.y), scale(size), shift(*ankle_at))


def _feet_seen(ankle: float, outward: float) -> Marks:
    """Both feet and shins as somebody sees them who sits behind them: the more they point away, the longer they look."""
    seen = 0.42 if ankle > 0 else 0.98
    size = 0.88
    foot = Move(a=size, d=size * seen)
    knee_at = 128.0
    made: Marks = []
    for flip in (Move(), mirror()):
        shin = smooth(points(-13, 0, -11.5, -22, -8.5, -42, 9.5, -42, 12.5, -22, 14, 0))
        marks: Marks = [joined(shin), *moved(foot_above.foot(), foot, turn(outward), shift(0, -34))]
        made += moved(marks, shift(-24, 0), flip, shift(0, knee_at))
    return made


def _outward_arrows(phase: str) -> Marks:
    """Beside the feet seen from behind: toes apart, or together."""
    if phase == "up":
        return [*arrow(Point(232, 34), Point(206, 44)), *arrow(Point(312, 34), Point(338, 44))]
    if phase == "down":
        return [*arrow(Point(214, 24), Point(240, 20)), *arrow(Point(330, 24), Point(304, 20))]
    return []


def _towards_shin(say: Say, ankle_at: Point) -> Marks:
    return [
        *arc_arrow(ankle_at, 118, 62, 112),
        Label(say["up_and_out"], Point(204, 176), anchor="start", strong=True),
    ]


def _away(say: Say, ankle_at: Point) -> Marks:
    return [
        *arc_arrow(ankle_at, 128, 66, 34),
        Label(say["point_down"], Point(160, 168), anchor="start", strong=True),
    ]


def _held(say: Say, ankle_at: Point) -> Marks:
    return [
        *arrow(Point(196, 318 - 8), Point(196, 318 - 34)),
        Label(say["hold"], Point(190, 200), anchor="start", strong=True),
    ]


_PHASES = {"up": _towards_shin, "down": _away, "hold": _held}


def towel_curl(say: Say, foot: SidePose, work: str) -> Scene:
    """Toes draw a towel towards the heel: the big toe alone, or the four lesser toes."""
    size, floor, left = 2.3, 250.0, 44.0
    place = (scale(size), shift(left, floor - 5))
    toes_at = left + 86 * size
    folds = [(toes_at - 42, 7), (toes_at - 26, 11), (toes_at + 26, 12), (toes_at + 44, 7)]
    marks: Marks = things.floor(8, WIDTH - 8, floor + 1)
    marks += moved(things.towel(left + 62 * size, WIDTH - 24, folds), shift(0, floor))
    marks += moved(foot_side.foot(foot, work=(work,)), *place)
    marks += arrow(Point(WIDTH - 22, floor + 22), Point(WIDTH - 96, floor + 22))
    marks.append(Label(say["towel"], Point(WIDTH - 106, floor + 28), anchor="end"))
    working = ("big",) if work == "big" else foot_above.TOES[1:]
    marks += moved(foot_above.foot(work=working), scale(1.2), shift(292, 146))
    return Scene(282, marks, {"big": phrases.toes(foot.big), "lesser": phrases.toes(foot.lesser)})


def short_foot(say: Say, arch: float, before: float | None) -> Scene:
    """A foot from its inner side; with ``before``, that arch dashed, and what changed."""
    size, floor, left = 2.7, 236.0, 46.0
    marks: Marks = things.floor(8, WIDTH - 8, floor)
    if before is None:
        marks += moved(foot_side.foot(SidePose(arch=arch)), scale(size), shift(left, floor))
        marks.append(Label(say["relaxed"], Point(226, 120), anchor="start", strong=True))
    else:
        shorter = Move(a=0.965)
        marks += moved(foot_side.foot(SidePose(arch=arch), work=("arch",)), shorter, scale(size), shift(left, floor))
        marks += moved([foot_side.before(SidePose(arch=before))], scale(size), shift(left, floor))
        marks += arrow(Point(left + 44 * size, floor + 34), Point(left + 44 * size, floor + 2))
        marks += arrow(Point(left + 86 * size, floor + 20), Point(left + 66 * size, floor + 20))
        marks.append(Label(say["arch_up"], Point(226, 120), anchor="start", strong=True))
        marks.append(Label(say["toes_long"], Point(226, 142), anchor="start"))
    return Scene(280, marks, {"arch": phrases.arch(arch)})


def heel_raise(say: Say, up: float) -> Scene:
    """A person on both feet, fingertips on a wall, the heels raised by ``up`` degrees."""
    tall, floor, wall_at = 262.0, 292.0, 268.0
    leg = Leg(ankle=-up, toes=up)
    pose = Pose(near_leg=leg, far_leg=leg)
    down = figure_side.lowest(pose, leg)
    at = wall_at - 0.36 * tall
    reach = Point(0.36 - 0.085, -0.26)
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


def single_leg_stance(say: Say, lifted: FrontLeg) -> Scene:
    """A person from the front on the left leg, a hand on the back of a chair, the right foot off the floor."""
    tall, floor, at = 262.0, 292.0, 150.0
    pose = FrontPose(
        left_leg=FrontLeg(out=-3), right_leg=lifted, left_arm=FrontArm(38, -40), right_arm=FrontArm(14, -6)
    )
    down = figure_front.ankle_height(pose.left_leg) + 0.0395
    marks: Marks = things.floor(8, WIDTH - 8, floor)
    marks += moved(things.chair_front(), scale(tall), shift(at + 0.165 * tall, floor))
    marks += moved(figure_front.person(pose), scale(tall), shift(at, floor - down * tall))
    gap = floor - (down - figure_front.ankle_height(lifted) - 0.045) * tall
    marks += arrow(Point(at - 46, floor - 6), Point(at - 46, gap - 12))
    marks.append(Label(say["foot_off"], Point(at - 56, floor - 22), anchor="end", strong=True))
    marks.append(Label(say["support"], Point(WIDTH - 12, 120), anchor="end"))
    return Scene(306, marks, {"foot": "foot_lifted"})


_ = straight
