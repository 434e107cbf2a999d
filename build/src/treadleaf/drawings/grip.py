"""A right hand that holds a pen between thumb and first finger. The pen's end is the origin, the pen lies along x."""

from __future__ import annotations

from treadleaf.drawings.geometry import Curve, points, smooth, straight
from treadleaf.drawings.limbs import finger
from treadleaf.drawings.strokes import Marks, joined, mark

_THICK = 4.6
"""Half the thickness of the pen; its cap's round end is half as thick."""

_BACK = points(232, 78, 186, 44, 148, 6, 124, -17, 106, -22)
_UNDER = points(92, 20, 90, 40, 97, 54, 106, 58, 112, 68, 124, 72, 134, 80, 150, 82, 172, 92, 204, 118)
_INDEX = points(113, -8, 88, -25, 69, -16, 56, -6)
_MIDDLE = points(106, 38, 80, 31, 64, 15)
_THUMB = points(148, 44, 104, 31, 66, 5)


def hand_with_pen() -> Marks:
    """The first finger lies on the pen, the middle finger under it, and the thumb closes over it from the near side."""
    body = smooth(_BACK, _UNDER)
    behind = finger(_MIDDLE, (11, 10, 7.5))
    folds = (smooth(points(97, 54, 106, 50, 114, 51)), smooth(points(112, 68, 121, 63, 130, 64)))
    nail = smooth(points(76, 4.5, 70, 1.5, 66, 1, 65, 4.5, 69, 9))
    return [
        mark("skin", behind),
        joined(finger(_INDEX, (12, 10.5, 9, 6.5)), body),
        mark("detail", *folds),
        *_pen(),
        mark("skin", finger(_THUMB, (15, 10.5, 8))),
        mark("detail", nail),
    ]


def _pen() -> Marks:
    barrel = straight(points(34, -_THICK, 196, -_THICK, 196, _THICK, 34, _THICK), closed=True)
    return [mark("thing", barrel), mark("solid", _cap())]


def _cap() -> Curve:
    end = points(7, -2.6, 1.6, -2.2, 0, 0, 1.6, 2.2, 7, 2.6)
    return smooth(points(36, -_THICK - 0.6, 18, -_THICK), end, points(18, _THICK, 36, _THICK + 0.6), closed=True)
