"""What a wet sole leaves on paper, seen from above: a left foot, in the frame of ``foot_above``."""

from __future__ import annotations

from treadleaf.drawings import foot_above
from treadleaf.drawings.geometry import Curve, Point, points, round_about, smooth
from treadleaf.drawings.strokes import Marks, mark

_PADS = (
    (11, -91.5, 5.6, 6.6),
    (0, -93, 2.9, 3.6),
    (-6.5, -88.6, 2.7, 3.3),
    (-12.7, -82.8, 2.6, 3),
    (-18.2, -76.4, 2.4, 2.8),
)
_BALL = points(-18, -62, -14, -68, -6, -73.4, 3, -75, 11, -73.6, 15.6, -67)
_OUTER_MIDDLE = -16.0
MIDDLE_HEIGHT = -39.0
"""Where the middle of a print is told narrow or wide."""

GAP = (-30.5, -51.5)
"""The empty middle of a print with a gap, a little less than from heel to ball."""

_WHOLE_WIDTH = 24.5
"""Width of the foot at the middle of the arch: what a print that touches everywhere would measure there."""


def areas(middle: float) -> tuple[Curve, ...]:
    """The areas that touched. ``middle`` is how much of the foot's width touched at its middle: 0 leaves a gap."""
    pads = tuple(round_about(Point(x, y), across, down) for x, y, across, down in _PADS)
    if middle <= 0:
        ball = [*_BALL, *points(12.5, -59, 4, -55.5, -6, -54, -14, -53.5)]
        heel = points(
            -11, -22, -11.4, -13, -8, -5, -0.6, -2.2, 6.6, -5, 10, -12.5, 9.6, -21, 5, -27, -1, -28.6, -7, -27
        )
        return (*pads, smooth(ball, closed=True), smooth(heel, closed=True))
    inner = strip(middle)[1]
    waist = points(inner, MIDDLE_HEIGHT)
    around = [
        *_BALL,
        *points(12.6 + middle * 1.6, -58),
        Point(inner + (1 - middle) * 6, -51),
        *waist,
        Point(inner + (1 - middle) * 7 + middle * 0.8, -29),
        *points(10 + middle * 0.6, -20, 10, -12.5, 6.6, -5, -0.6, -2.2, -8, -5, -11.4, -13, -13, -24),
        *points(_OUTER_MIDDLE, MIDDLE_HEIGHT, -17.4, -50),
    ]
    return (*pads, smooth(around, closed=True))


def strip(middle: float) -> tuple[float, float]:
    """Outer and inner edge of the strip that touched at the middle."""
    return _OUTER_MIDDLE, _OUTER_MIDDLE + middle * _WHOLE_WIDTH


def wet_print(middle: float) -> Marks:
    """A print, with the outline of the foot that made it dashed round it."""
    return [mark("wet", *areas(middle)), mark("unseen", foot_above.outline(webs=0.72))]
