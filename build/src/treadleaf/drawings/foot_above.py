"""A left foot from above, toes up the page: heel at y = 0, longest toe at y = -100, the big toe at the right.

A right foot is its mirror image; so is a left foot seen from below.
"""

from __future__ import annotations

from collections.abc import Collection, Mapping, Sequence
from dataclasses import dataclass

from treadleaf.drawings.geometry import Curve, Point, mirror, moved, points, smooth, turn
from treadleaf.drawings.strokes import Mark, Marks, mark

TOES = ("big", "second", "third", "fourth", "little")

# The web before each toe from the inner side, and the last behind the little toe.
_WEBS = points(18.2, -75.5, 3.7, -80.5, -3.6, -78.8, -9.9, -75, -15.2, -69.6, -19.6, -62.5)
_TIPS: dict[str, tuple[tuple[float, float], ...]] = {
    "big": ((18.6, -84), (18.3, -92), (14.5, -98.4), (9.8, -99.8), (5.6, -96), (4.6, -88)),
    "second": ((3.4, -88), (3.6, -95), (0.6, -99), (-2.8, -96.5), (-3.6, -88)),
    "third": ((-3.7, -86), (-3.6, -91), (-6.4, -94.4), (-9.4, -91.6), (-9.8, -84)),
    "fourth": ((-9.9, -81), (-10, -85), (-12.6, -88.3), (-15.4, -85.6), (-15.4, -78)),
    "little": ((-15.4, -75), (-15.9, -79), (-18.4, -81.6), (-20.9, -79), (-20.8, -71)),
}
_NAILS: dict[str, tuple[Point, float]] = {
    "big": (Point(11.4, -95), 4.0),
    "second": (Point(0.1, -95.6), 2.1),
    "third": (Point(-6.5, -91.2), 1.9),
    "fourth": (Point(-12.7, -85.3), 1.8),
    "little": (Point(-18.4, -78.9), 1.6),
}
# From the little toe round the heel to the big toe.
_ROUND = points(
    *(-19.9, -56, -18.8, -44, -16.4, -32, -14.2, -20, -12.6, -10, -8.6, -2.8, -1, 0),
    *(7, -2.4, 11.4, -9, 12.3, -19, 11.2, -31, 10.6, -43, 12.4, -55, 16, -65),
)


@dataclass(frozen=True)
class AbovePose:
    """How the toes are held: each toe turned outward (towards the little toe), in degrees; none named is straight."""

    toes: Mapping[str, float] | None = None

    def of(self, toe: str) -> float:
        return (self.toes or {}).get(toe, 0.0)


REST = AbovePose()


def outline(pose: AbovePose = REST, *, webs: float = 0.0) -> Curve:
    """The whole foot as one outline, with a corner between two toes; ``webs`` lifts the corners towards the tips."""
    runs: list[Sequence[Point]] = []
    for index, toe in enumerate(TOES):
        web, following = _WEBS[index], _WEBS[index + 1]
        if 0 <= index < len(TOES) - 1:
            following = following.plus(Point(0, -webs * 14))
        spread = turn(pose.of(toe), _root(index))
        tip = moved([Point(*at) for at in _TIPS[toe]], spread)
        runs.append([*([web] if index == 0 else []), *tip, following])
    return smooth(*runs, [*_ROUND, _WEBS[0]], closed=True)


def foot(pose: AbovePose = REST, *, work: Collection[str] = ()) -> Marks:
    """Outline, nails, and the toes that are named in ``work`` filled."""
    marks: Marks = [mark("skin", outline(pose))]
    marks += [mark("work", toe_area(toe, pose)) for toe in TOES if toe in work]
    return [*marks, nails(pose)]


def nails(pose: AbovePose = REST) -> Mark:
    drawn = []
    for index, toe in enumerate(TOES):
        at, wide = _NAILS[toe]
        nail = points(-wide, -2.2, -wide, 0.6, -wide * 0.5, 2.2, wide * 0.5, 2.2, wide, 0.6, wide, -2.2)
        spread = turn(pose.of(toe), _root(index))
        drawn.append(smooth(moved([at.plus(point) for point in nail], spread)))
    return mark("detail", *drawn)


def toe_area(toe: str, pose: AbovePose = REST) -> Curve:
    index = TOES.index(toe)
    spread = turn(pose.of(toe), _root(index))
    run = [_WEBS[index], *moved([Point(*at) for at in _TIPS[toe]], spread), _WEBS[index + 1]]
    return smooth(run, closed=False)._replace(closed=True)


def sole(work: Collection[str] = ()) -> Marks:
    """A left foot from below, toes up the page, the big toe at the left; toes named in ``work`` are filled."""
    flip = mirror()
    ball = points(-11, -57, -4, -53.8, 5, -54.2, 14, -58)
    heel = points(-10.6, -21, -5, -24.4, 1, -24.6, 8, -22)
    return [
        mark("skin", outline()).moved(flip),
        *(mark("work", toe_area(toe)).moved(flip) for toe in TOES if toe in work),
        mark("detail", smooth(ball), smooth(heel)),
    ]


def _root(index: int) -> Point:
    one, two = _WEBS[index], _WEBS[index + 1]
    return Point((one.x + two.x) / 2, (one.y + two.y) / 2 + 6)
