"""Pictures for the exercises: point and dome, towel curls, short foot, heel raise, standing on one leg."""

from __future__ import annotations

from dataclasses import replace

from treadleaf.drawings import figure_side, foot_above, foot_side, phrases, things
from treadleaf.drawings.figure_side import Arm, Leg, Pose
from treadleaf.drawings.foot_side import SidePose
from treadleaf.drawings.geometry import Curve, Move, Point, mirror, points, scale, shift, smooth, straight, turn
from treadleaf.drawings.scene import WIDTH, Say, Scene
from treadleaf.drawings.strokes import Label, Marks, arc_arrow, arrow, joined, mark, moved


def dome(say: Say, foot: SidePose, outward: float, phase: str) -> Scene:
    """Sitting with straight legs: the person, both feet as the sitter sees them, and one foot from its inner side.

    ``outward`` turns the feet, toes away from each other; ``phase`` is ``up``, ``down`` or ``hold``.
    """
    marks: Marks = []
    tall, floor = 195.0, 118.0
    leg = Leg(hip=86, ankle=foot.ankle, toes=foot.big[0])
    sits = Pose(lean=-6, near_leg=leg, far_leg=leg)
    back = Arm(-42, 14, 78, 0, thumb=-18)
    sits = figure_side.with_arms(sits, back)
    marks += things.floor(8, 182, floor + 4) + things.mat(12, 178, floor, thick=4)
    marks += moved(figure_side.person(sits, behind=False), scale(tall), shift(57, floor - 0.062 * tall))
    size, ground = _DOME_SIZE, 318.0
    held = replace(foot, lean=90 + foot.ankle, shin=0.82)
    at = foot_side.joint(held, foot_side.ANKLE)
    drawn = moved(foot_side.foot(held, work=("arch",) if phase == "hold" else ()), shift(-at.x, -at.y), scale(size))
    low = max(point.y for one in drawn for point in one.every_point())
    ankle_at = Point(140, ground - low)
    marks += things.floor(8, WIDTH - 8, ground) + moved(drawn, shift(*ankle_at))
    if phase == "hold":
        marks += _held(say, held, shift(-at.x, -at.y).then(scale(size)).then(shift(*ankle_at)))
    else:
        marks += _FEET_SEEN[phase](say, outward) + _WAYS[phase](say, ankle_at)
    facts = {"foot": phrases.ankle(foot.ankle), "toes": phrases.toes(foot.big), "arch": phrases.arch(foot.arch)}
    return Scene(332, marks, facts)


_DOME_SIZE = 1.85
"""Of the one foot, and so of the way its toes go."""


def _soles(say: Say, outward: float) -> Marks:
    """Both soles, from the front: heels on the floor, toes apart."""
    made: Marks = things.floor(196, WIDTH - 8, 124)
    for flip in (Move(), mirror()):
        made += moved(foot_above.sole(), scale(0.82), turn(-outward), shift(18, -3), flip, shift(276, 124))
        made += moved(arrow(Point(51, 28), Point(75, 45)), flip, shift(276, 0))
    return [
        *made,
        Label(say["out"], Point(276, 26), strong=True),
        Label(say["from_front"], Point(276, 146), minor=True),
    ]


def _backs(say: Say, outward: float) -> Marks:
    """Both feet and shins from above, as the sitter sees them when they point away; the forefeet turn in."""
    made: Marks = []
    for flip in (Move(), mirror()):
        shin = smooth(points(-13.5, 0, -11.4, -22, -9, -46, 8.8, -46, 11, -22, 13, 0))
        place = scale(0.84).then(turn(outward * 0.5)).then(shift(0, -34))
        body = joined(shin, _turned_in(foot_above.outline(), outward).moved(place))
        nails = foot_above.nails()
        seen = [body, mark(nails.kind, *(_turned_in(nail, outward) for nail in nails.curves)).moved(place)]
        made += moved(seen, shift(-47, 0), flip, shift(276, 138))
        made += moved(arrow(Point(-66, 35), Point(-41, 42)), flip, shift(276, 0))
        made.append(Label(say["in"], flip(Point(-65, 22)).plus(Point(276, 0)), strong=True))
    return [*made, Label(say["from_above"], Point(276, 154), minor=True)]


def _turned_in(curve: Curve, outward: float) -> Curve:
    """A part of a foot from above, its forefoot bent: nothing at the heel, more and more towards the toes."""

    def bent(at: Point) -> Point:
        share = min(1.0, max(0.0, (-at.y - 30) / 45))
        return turn(outward * share, Point(0, -30))(at)

    return Curve(bent(curve.start), tuple(tuple(bent(at) for at in piece) for piece in curve.pieces), curve.closed)


_FEET_SEEN = {"up": _soles, "down": _backs}


def _towards_shin(say: Say, ankle_at: Point) -> Marks:
    marks = arc_arrow(ankle_at, 76 * _DOME_SIZE, 92, 122)
    return [*marks, Label(say["up"], Point(ankle_at.x + 38, 178), anchor="start", strong=True)]


def _away(say: Say, ankle_at: Point) -> Marks:
    marks = arc_arrow(ankle_at, 86 * _DOME_SIZE, 34, 10)
    return [*marks, Label(say["down"], Point(ankle_at.x + 130, ankle_at.y + 8), anchor="start", strong=True)]


_WAYS = {"up": _towards_shin, "down": _away}


def _held(say: Say, foot: SidePose, place: Move) -> Marks:
    """No second view, for the feet stay as they were: what is new is the arch, with the sole before it dashed."""
    sole = place(foot_side.joint(foot, Point(46, -3)))
    return [
        foot_side.sole_before(replace(foot, arch=4)).moved(place),
        mark("detail", straight([sole.plus(Point(70, 20)), sole]), minor=True),
        Label(say["before"], sole.plus(Point(74, 26)), anchor="start", minor=True),
        Label(say["make_arch"], Point(246, 40), strong=True),
        Label(say["and_hold"], Point(246, 68), strong=True),
    ]


def towel_curl(say: Say, foot: SidePose, work: str, *, start: bool = False) -> Scene:
    """Toes of a left foot draw a towel towards the heel: the big toe alone, or the four lesser toes.

    ``start``: before that, on the flat towel, nothing filled.
    """
    size, floor, left = 2.2, 250.0, 30.0
    big = work == "big"
    view = foot_side.foot if big else foot_side.outer_side
    # From the inner side a left foot points to the right, from the outer side to the left.
    seen_from = Move() if big else mirror(WIDTH / 2)
    folds = () if start else _FOLDS[work]
    seen = moved(view(foot, work=() if start else (work,)), scale(size), shift(left, floor))
    waves = [(left + at * size, high, half) for at, high, half in folds]
    seen += moved(things.towel(left + 40 * size, WIDTH - 16, waves), shift(0, floor))
    marks: Marks = things.floor(8, WIDTH - 8, floor + 1)
    if start:
        marks += moved(seen, seen_from)
        marks.append(Label(say["start"], seen_from(Point(WIDTH - 60, 64)), strong=True))
    else:
        seen += arrow(Point(WIDTH - 22, floor + 22), Point(WIDTH - 96, floor + 22))
        marks += moved(seen, seen_from)
        toes = ("big",) if big else foot_above.TOES[1:]
        marks += moved(foot_above.foot(work=toes), scale(1.2), shift(318 if big else 36, 146))
        anchor, word = ("end", "this_toe") if big else ("start", "these_toes")
        marks.append(Label(say[word], seen_from(Point(286, 44)), anchor, strong=True))
        marks.append(Label(say["towel"], seen_from(Point(WIDTH - 106, floor + 30)), anchor))
    return Scene(288, marks, {"big": phrases.toes(foot.big), "lesser": phrases.toes(foot.lesser)})


_FOLDS = {
    "big": ((84, 9, 8), (112, 5, 8), (122, 4, 7), (50, 6, 10)),
    "lesser": ((54, 8, 9), (84, 4, 34), (112, 6, 8), (124, 4, 7)),
}
"""Folds of the towel: how far along the foot, how high, and half how wide."""


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
        ball = left + foot_side.BALL.x * size * shorter.a
        marks += arrow(Point(left + 43 * size, floor - 3), Point(left + 43 * size, floor - 24))
        # The ball comes nearer to the heel, both on the floor: a bracket below, its end drawn along.
        ends = points(left + 24, floor + 8, left + 24, floor + 14, ball, floor + 14, ball, floor + 8)
        marks.append(mark("line", straight(ends), minor=True))
        marks.append(Label(say["shorter"], Point((left + ball) / 2, floor + 34), minor=True))
        marks.append(Label(say["arch_up"], Point(350, 108), anchor="end", strong=True))
        marks.append(Label(say["toes_long"], Point(350, 130), anchor="end", minor=True))
        marks.append(mark("detail", straight(points(326, floor - 38, 322, floor - 16)), minor=True))
        marks.append(Label(say["before"], Point(352, floor - 44), anchor="end", minor=True))
    return Scene(284, marks, {"arch": phrases.arch(arch)})


def heel_raise(say: Say, up: float) -> Scene:
    """A person on both feet, fingertips on a wall, the heels raised by ``up`` degrees."""
    tall, floor, wall_at = 262.0, 292.0, 284.0
    leg = Leg(ankle=-up, toes=up)
    pose = Pose(near_leg=leg, far_leg=leg)
    down = figure_side.lowest(pose, leg)
    at = wall_at - 0.36 * tall
    reach = Point(0.36 - 0.067, -0.26)
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


def single_leg_stance(say: Say, lifted: Leg | None) -> Scene:
    """A person from the side, hands on a chair against a wall: on the far leg, or with ``None`` on both."""
    tall, floor, at, ahead = 262.0, 292.0, 130.0, 0.335
    stands = Leg(hip=8)
    pose = figure_side.holding(Pose(lean=8, near_leg=lifted or stands, far_leg=stands), ahead)
    down = figure_side.lowest(pose, pose.far_leg)
    marks: Marks = things.floor(8, WIDTH - 8, floor)
    marks += moved(things.chair(heavy=True), scale(tall), shift(at + ahead * tall, floor))
    marks += moved(things.wall(0.92), scale(tall), shift(at + (ahead + 0.25) * tall, floor))
    marks += moved(figure_side.person(pose), scale(tall), shift(at, floor - down * tall))
    if lifted:
        marks += arrow(Point(at + 70, floor - 4), Point(at + 70, floor - 38))
        marks.append(Label(say["foot_off"], Point(at + 60, floor + 26), strong=True))
    else:
        marks.append(Label(say["start"], Point(at - 36, floor - 20), anchor="end", strong=True))
    return Scene(326, marks, {"foot": "foot_lifted" if lifted else "heel_down"})
