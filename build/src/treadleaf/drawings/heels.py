"""A right lower leg and heel from behind, the floor at y = 0, the middle of the leg at x = 0; a left one is its mirror.

``tilt`` turns the heel below the ankle, in degrees: positive moves its bottom outward, to the right of a right foot.
"""

from __future__ import annotations

from treadleaf.drawings.geometry import Curve, Move, Point, moved, points, smooth, straight, turn
from treadleaf.drawings.strokes import Marks, joined, mark

PIVOT = Point(0, -62)
"""Where the heel turns: at the ankle, whose inner bone stands higher than the outer one."""

TOP = -206.0

_LEG = points(
    *(-31, TOP, -36, -178, -34.5, -150, -27, -122, -19, -98, -16.6, -84, -19.4, -76, -19.6, -69, -15.5, -58),
    *(14, -52, 17.6, -60, 19.2, -67, 16.6, -78, 16, -90, 19.5, -104, 27, -126, 34, -150, 36.5, -176, 33, TOP),
)
_HEEL = points(
    *(-14.5, -64, -15.6, -50, -20.6, -36, -24.4, -22, -23, -8, -14, -1.2, 0, 0),
    *(14, -1.2, 23, -8, 24.4, -22, 20.6, -36, 15.6, -50, 14.5, -64),
)


_TOES = ((36.0, 7.0, 13.5), (27.0, 6.6, 16.0), (18.5, 6.2, 17.5))
"""The toes beside a straight heel, from the little one: middle, half width and height. The third is behind the heel."""


def outlines(tilt: float = 0.0) -> tuple[Curve, Curve, Curve]:
    """Leg, heel and the toes that show beside it, without the turn of the heel. The result's drawing has them too."""
    runs: list[list[Point]] = []
    start = Point(_TOES[0][0] + _further(tilt) + _TOES[0][1] - 2, 0)
    inner = Point(-10 + _further(tilt), 0)
    for (x, wide, high), web in zip(_TOES, _webs(tilt), strict=True):
        at = x + _further(tilt)
        outer = points(at + wide, -4.5, at + wide * 0.88, -high * 0.68) if not runs else []
        tip = points(at + wide * 0.5, -high * 0.94, at - wide * 0.05, -high, at - wide * 0.55, -high * 0.95)
        runs.append([*([] if runs else [start]), *outer, *tip, web])
    return smooth(_LEG), _closed(_HEEL), smooth(*runs, [inner.plus(Point(0, -6)), inner], [start], closed=True)


def _further(tilt: float) -> float:
    """How far the toes lie outward: two show by a straight heel, three by one tilted outward, fewer by one inward."""
    held = max(-_MOST, min(_MOST, tilt))
    return held * (TOES_OUT if held > 0 else TOES_IN)


TOES_OUT, TOES_IN, _MOST = 1.95, 1.2, 13.0
"""How far the toes move outward for a degree of outward tilt, and inward for one of inward tilt; up to which tilt."""


def _webs(tilt: float) -> list[Point]:
    """Where a toe meets the next one inward."""
    return [Point(x - wide * 0.86 + _further(tilt), -high * 0.74) for x, wide, high in _TOES]


def heel(tilt: float, *, lines: bool = True) -> Marks:
    """Leg, heel and toes; with the line of the leg and that of the heel."""
    place = turn(tilt, PIVOT)
    leg, bulb, toes = outlines(tilt)
    bulb = _tilted(bulb, place)
    between = [
        smooth([web, web.plus(Point(-0.9, -web.y * 0.45)), web.plus(Point(0.4, -web.y * 0.86))])
        for web in _webs(tilt)[: 2 if tilt > 0 else 1]
    ]
    marks: Marks = [
        mark("skin", toes),
        mark("detail", *between),
        joined(leg, bulb),
        mark("detail", _tendon(-1, tilt), _tendon(1, tilt)),
    ]
    if lines:
        marks.append(mark("sight", straight([Point(0, TOP + 10), Point(0, -3)])))
        marks.append(mark("measured", straight(moved([PIVOT, Point(0, -3)], place))))
    return marks


def _tilted(bulb: Curve, place: Move) -> Curve:
    """The heel turned below its ankle. Its soft underside moves along with it, but keeps flat on the floor."""

    def held(at: Point) -> Point:
        there = place(at)
        return Point(there.x, at.y + (there.y - at.y) * min(1.0, max(0.0, (-8 - at.y) / 30)))

    pieces = tuple(tuple(held(at) for at in piece) for piece in bulb.pieces)
    return Curve(held(bulb.start), pieces, bulb.closed)


def _closed(run: list[Point]) -> Curve:
    return smooth(run)._replace(closed=True)


def _tendon(side: int, tilt: float) -> Curve:
    place = turn(tilt, PIVOT)
    upper = points(side * 10, -118, side * 6.5, -96, side * 6, -74)
    return smooth([*upper, *moved(points(side * 8, -50), place)])
