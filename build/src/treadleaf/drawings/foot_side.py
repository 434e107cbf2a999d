"""A foot from its inner side, toes to the right: heel at x = 0, longest toe at x = 100, floor at y = 0.

The picture of a left foot; a right foot is its mirror image. The outlines are drawn after living feet, not measured.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

from treadleaf.drawings.geometry import Curve, Point, moved, points, smooth, straight, turn
from treadleaf.drawings.limbs import chain, finger
from treadleaf.drawings.strokes import Mark, Marks, joined, mark

ANKLE = Point(27, -25.5)
"""About 0.26 of a foot's length above the floor: ankle height by foot length of ``proportions``."""

BALL = Point(74, -7)
"""The joint at the root of the big toe, some 0.73 of the way from the heel (from memory)."""

_BIG_JOINT = Point(87.5, -5.2)
_SHIN_LENGTH = 84.0


@dataclass(frozen=True)
class SidePose:
    """How a foot is held, in degrees; 0 is flat on the floor with the shin upright.

    ``arch``: its height, in hundredths of the foot's length. ``ankle``: positive draws the toes towards the shin.
    ``big`` and ``lesser``: the toes at their root and further on; positive is up. ``heel_up``: the heel off the floor,
    toes staying. ``lean``: the whole foot turned, toes up. ``shin`` is the share of the shin that is drawn.
    """

    arch: float = 6.0
    ankle: float = 0.0
    big: tuple[float, float] = (0.0, 0.0)
    lesser: tuple[float, float] = (0.0, 0.0)
    heel_up: float = 0.0
    lean: float = 0.0
    shin: float = 1.0


def foot(pose: SidePose, *, work: Sequence[str] = (), behind: int = 3) -> Marks:
    """The foot's marks. ``work`` names the parts to fill: ``arch``, ``big``, ``lesser``.

    ``behind``: how many toes are drawn behind the big toe; in a small foot that keeps them still, one shows.
    """
    place = turn(pose.lean).then(turn(-pose.heel_up, BALL))
    lesser = [_lesser(pose, step) for step in reversed(range(behind))]
    body = _body(pose)
    marks: Marks = []
    for toe in lesser:
        marks += [mark("skin", toe), *([mark("work", toe)] if "lesser" in work else [])]
    marks.append(joined(*body))
    marks += [mark("work", area) for name, area in _areas(pose).items() if name in work]
    marks += _details(pose)
    return [one.moved(place) for one in marks]


def joint(pose: SidePose, at: Point) -> Point:
    """Where a point of the resting foot is when it is held so; not for the toes."""
    return turn(-pose.heel_up, BALL)(turn(pose.lean)(at))


def sole_before(pose: SidePose) -> Mark:
    """The dashed line of the sole as it was before."""
    place = turn(pose.lean).then(turn(-pose.heel_up, BALL))
    return mark("unseen", smooth([at for at in _sole(pose) if 20 < at.x < 70])).moved(place)


def before(pose: SidePose) -> Mark:
    """The same foot as a dashed outline: how it was before."""
    return mark("unseen", *_body(pose))


def _big_toe(pose: SidePose, run: list[Point]) -> list[Point]:
    """Points of the big toe, bent at its two joints."""
    root = turn(pose.big[0] + pose.heel_up, BALL)
    end = turn(pose.big[1], _BIG_JOINT)
    return [root(end(point) if point.x > _BIG_JOINT.x + 0.5 else point) for point in run]


def _sole(pose: SidePose) -> list[Point]:
    """From the back of the heel to the ball."""
    high = pose.arch
    heel = points(0.3, -13, 1.4, -6, 6, -1, 13, 0, 21, -0.2)
    rise = [Point(x, -0.2 - high * share) for x, share in ((28, 0.32), (36, 0.82), (45, 1), (54, 0.78), (61, 0.3))]
    return [*heel, *rise, *points(67, -0.1, 73, 0.2)]


def _top(pose: SidePose) -> list[Point]:
    """From the root of the big toe up to the front of the ankle."""
    lift = max(0.0, pose.arch - 6) * 0.35
    return points(73, -15.8, 64, -21.5 - lift, 55, -27.2 - lift, 47.5, -33 - lift / 2)


_TOE_UNDER = points(79, -1.6, 84, -0.5, 90, 0, 95.5, -0.4)
_TOE_END = points(99, -2.8, 99.7, -5.8, 98, -8.6)
_TOE_OVER = points(94, -10, 87, -10.2, 81, -11.4)


def _body(pose: SidePose, *, each: int = 1) -> tuple[Curve, ...]:
    """Heel, sole, big toe, instep and shin; open at the top of the shin. ``each``: 2 takes every other point."""
    back, front = _leg_back(pose), _leg_front(pose)
    if _curls(pose):
        round_end = points(78.5, -1.6, 80.5, -6, 79, -11)
        return (smooth([*back, *_sole(pose), *round_end, *_top(pose), *front]), _curled(pose))
    toe = _big_toe(pose, [*_TOE_UNDER, *_TOE_END, *_TOE_OVER])
    return (smooth([*back, *_sole(pose)[::each], *toe[::each], *_top(pose)[::each], *front]),)


def _leg_back(pose: SidePose) -> list[Point]:
    """From the top of the shin down the back of the leg to the heel."""
    calf = reversed(_edge(_CALF, _SHIN_LENGTH * pose.shin))
    return [*moved(calf, turn(-pose.ankle, ANKLE)), Point(2.6, -24)]


def _leg_front(pose: SidePose) -> list[Point]:
    """From the front of the ankle up."""
    return moved(_edge(_SHIN, _SHIN_LENGTH * pose.shin), turn(-pose.ankle, ANKLE))


_CALF = ((24, -16), (40, -17.8), (62, -21.5), (84, -25.5))
_SHIN = ((20, 13.5), (34, 13.4), (56, 14.6), (84, 16.6))
"""Edges of the leg: how far above the ankle, and how far before or behind it."""


def _edge(rows: Sequence[tuple[float, float]], top: float) -> list[Point]:
    """An edge of the leg from below, up to where the picture ends it."""
    run = [(up, out) for up, out in rows if up < top]
    (low, inner), (high, outer) = run[-1], next((row for row in rows if row[0] >= top), run[-1])
    share = (top - low) / (high - low) if high > low else 0.0
    run.append((top, inner + (outer - inner) * share))
    return [Point(ANKLE.x + out, ANKLE.y - up) for up, out in run]


def _curls(pose: SidePose) -> bool:
    """Whether the big toe is bent so far that its outline would fold: then it is drawn as a limb of its own."""
    return abs(pose.big[1]) > 20


def _big_bones(pose: SidePose) -> list[Point]:
    root = pose.big[0] + pose.heel_up
    return chain(Point(BALL.x, BALL.y - 0.6), (root + 3, 15), (root + pose.big[1] * 0.75, 6), (root + pose.big[1], 6))


_BIG_HALF = (6.6, 5.2, 4.6, 4.3)


def _from_the_web(bones: Sequence[Point], widths: Sequence[float]) -> Curve:
    """A toe from where it leaves the foot, to be filled."""
    first, second, *others = bones
    return finger([first.plus(second.minus(first), 0.36), second, *others], [(widths[0] + widths[1]) / 2, *widths[1:]])


def _curled(pose: SidePose) -> Curve:
    return finger(_big_bones(pose), _BIG_HALF)


def _lesser(pose: SidePose, step: int) -> Curve:
    """One of the three toes that can be seen behind the big toe; the further ones are shorter and lie further back."""
    first, then = pose.lesser
    start = Point(72 - step * 2.5, -8.5 + step * 0.6)
    angle = 2 + first + pose.heel_up - step * 1.5
    lengths = (12 - step, 7.5 - step * 0.7, 6.5 - step * 0.6)
    way = [(angle, lengths[0]), (angle - 8 + then * 0.55, lengths[1]), (angle - 8 + then, lengths[2])]
    run = [start]
    for degrees, length in way:
        run.append(turn(degrees, run[-1])(run[-1].plus(Point(length, 0))))
    return finger(run, (5.6, 4.8, 4.3, 3.9))


def _areas(pose: SidePose) -> dict[str, Curve]:
    sole = [at for at in _sole(pose) if 20 < at.x < 70]
    above = [Point(at.x, at.y - 4.6 - 4 * (1 - abs(at.x - 45) / 25)) for at in reversed(sole[1:-1])]
    toe = _big_toe(pose, [*_TOE_UNDER, *_TOE_END, *_TOE_OVER])
    big = _from_the_web(_big_bones(pose), _BIG_HALF) if _curls(pose) else smooth([*toe, toe[0]], closed=True)
    return {"arch": smooth(sole, [*above, sole[0]], closed=True), "big": big}


def _details(pose: SidePose) -> Marks:
    shin = turn(-pose.ankle, ANKLE)
    bone = moved(points(23.2, -29, 26.6, -31.6, 30.4, -30.2, 32, -26.4), shin)
    if _curls(pose):
        end = _big_bones(pose)[3]
        along = turn(pose.big[0] + pose.heel_up + pose.big[1])
        nail = moved(points(-5, -4.9, -4.4, -2.9, 0.6, -2.2, 2.6, -3.4), along)
        return [mark("detail", smooth(bone), smooth([end.plus(at) for at in nail]))]
    nail = _big_toe(pose, points(92.5, -10.2, 93.2, -7.9, 97.2, -6.7, 99.3, -7))
    fold = _big_toe(pose, points(80.5, -9.6, 81.6, -7.8))
    return [mark("detail", smooth(bone), smooth(nail), straight(fold))]


# Of the lesser toes as the outer side shows them, from the second to the little one: root, lengths, half widths.
_OUTER = (
    (Point(79.5, -9.8), (6.6, 6.4, 5.2), (4.6, 4.5, 4.1, 3.7)),
    (Point(73.5, -8.8), (6.2, 6.0, 5.0), (4.5, 4.4, 4.0, 3.6)),
    (Point(67.2, -7.8), (5.8, 5.6, 4.8), (4.4, 4.2, 3.9, 3.4)),
    (Point(59.5, -6.6), (6.4, 5.2, 4.4), (2.9, 4.0, 3.7, 3.2)),
)


def outer_side(pose: SidePose, *, work: Sequence[str] = ()) -> Marks:
    """A right foot from its outer side, toes to the right: the lesser toes before the big toe. ``work``: ``lesser``."""
    big = finger(chain(BALL, (pose.big[0] + 3, 15), (pose.big[0] + pose.big[1], 13)), (7, 5.8, 4.8))
    bone = moved(points(21.6, -23, 25, -26.6, 29.4, -25, 31, -21), turn(-pose.ankle, ANKLE))
    edge = points(58, -0.6, 66, -1.6, 74, -4, 80, -7.5, 80.5, -11.8)
    body = smooth([*_leg_back(pose), *_sole(pose)[:-4], *edge, *_top(pose), *_leg_front(pose)])
    marks: Marks = [mark("skin", big), joined(body), mark("detail", smooth(bone))]
    for root, lengths, half in _OUTER:
        first, then = pose.lesser
        bends = (first, first + then * 0.5, first + then)
        run = chain(root, *zip(bends, lengths, strict=True))
        toe = _round_rooted(run, half)
        nail = moved(points(-2.6, -3.6, -2.2, -1.3, 1.2, -1.1, 2.8, -2.2), turn(bends[-1]))
        marks.append(mark("skin", toe))
        if "lesser" in work:
            marks.append(mark("work", toe))
        marks.append(mark("detail", smooth([run[-1].plus(at) for at in nail])))
    return [one.moved(turn(pose.lean)) for one in marks]


def _round_rooted(bones: Sequence[Point], widths: Sequence[float]) -> Curve:
    """A toe that lies before the foot: its root is round, too."""
    toe = finger(bones, widths)
    back = bones[0].minus(bones[1])
    far = widths[0] * 1.1 / back.length()
    end = toe.pieces[-1][-1]
    return Curve(toe.start, (*toe.pieces, (end.plus(back, far), toe.start.plus(back, far), toe.start)), True)


def outline(pose: SidePose) -> Mark:
    """The foot as a part of a body: big toe and shin joined, without details, for small figures."""
    place = turn(pose.lean).then(turn(-pose.heel_up, BALL))
    return joined(*_body(pose, each=2)).moved(place)
