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


def outlines(tilt: float = 0.0) -> tuple[Curve, Curve, Curve]:
    """Leg, heel and the toes that show beside it, without the turn of the heel. The result's drawing has them too."""
    out = tilt * 0.7  # the more the heel tilts outward, the more toes show beside it
    toes = points(
        10, 0, 12, -14, 22, -22, 32 + out, -22.5, 40 + out, -18.5, 45.5 + out, -11, 46.5 + out, -4, 43 + out, 0
    )
    return smooth(_LEG), _closed(_HEEL), _closed(toes)


def heel(tilt: float, *, lines: bool = True) -> Marks:
    """Leg, heel and toes; with the line of the leg and that of the heel."""
    place = turn(tilt, PIVOT)
    out = tilt * 0.7
    leg, bulb, toes = outlines(tilt)
    bulb = _tilted(bulb, place)
    marks: Marks = [
        mark("skin", toes),
        mark(
            "detail",
            smooth(points(36 + out, -18, 36.6 + out, -10, 35.6 + out, -3)),
            smooth(points(29 + out / 2, -20, 29 + out / 2, -12, 28 + out / 2, -3)),
        ),
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
