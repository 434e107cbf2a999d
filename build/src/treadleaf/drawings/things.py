"""Things that stand round a person: a chair, a wall, a step, a towel. The floor is y = 0, sizes in shares of stature.

A scene scales them by the height of its figure; a chair, say, is 0.27 of a stature high at its seat.
"""

from __future__ import annotations

import math
from collections.abc import Sequence

from treadleaf.drawings.geometry import Curve, Point, points, round_about, smooth, straight
from treadleaf.drawings.strokes import Marks, mark

CHAIR_SEAT, CHAIR_BACK = 0.265, 0.53


def box(left: float, top: float, right: float, bottom: float) -> Curve:
    return straight(points(left, top, right, top, right, bottom, left, bottom), closed=True)


def chair() -> Marks:
    """A chair from the side, its back at the left, x = 0."""
    post, seat = 0.022, 0.03
    return [
        mark("thing", box(0.205, -CHAIR_SEAT, 0.205 + post, 0)),
        mark("thing", box(0, -CHAIR_BACK, post, 0)),
        mark("thing", box(post, -CHAIR_SEAT - seat / 2, 0.24, -CHAIR_SEAT + seat / 2)),
    ]


def chair_front() -> Marks:
    """A chair from behind: two posts with two rails, the seat's edge behind them."""
    wide, post = 0.23, 0.022
    rails = [box(post, -CHAIR_BACK + at, wide - post, -CHAIR_BACK + at + 0.05) for at in (0.0, 0.12)]
    return [
        mark("thing", box(post, -CHAIR_SEAT - 0.012, wide - post, -CHAIR_SEAT + 0.016)),
        mark("thing", *rails),
        mark("thing", box(0, -CHAIR_BACK - 0.01, post, 0), box(wide - post, -CHAIR_BACK - 0.01, wide, 0)),
    ]


def wall(height: float, *, thick: float = 0.03) -> Marks:
    """A wall from the side, its face at x = 0, with strokes behind it."""
    strokes = [straight(points(0, -at, thick, -at + thick * 1.2)) for at in _steps(thick * 1.3, height, 0.05)]
    return [mark("ground", straight(points(0, -height, 0, 0))), mark("detail", *strokes)]


def step(wide: float, high: float) -> Marks:
    """A step from the side, its front at x = 0."""
    return [mark("thing", box(0, -high, wide, 0))]


def floor(left: float, right: float, at: float = 0.0) -> Marks:
    return [mark("ground", straight(points(left, at, right, at)))]


def mat(left: float, right: float, at: float = 0.0, *, thick: float = 5.0) -> Marks:
    """A mat from the side."""
    return [mark("thing", box(left, at, right, at + thick))]


def ball(centre: Point, radius: float) -> Marks:
    shine = points(*(number for at in ((-0.55, -0.1), (-0.42, -0.45), (-0.1, -0.6)) for number in at))
    return [
        mark("thing", round_about(centre, radius)),
        mark("detail", smooth([centre.plus(at, radius) for at in shine])),
    ]


def paper(left: float, top: float, right: float, bottom: float, *, fold: float = 16) -> Marks:
    """A sheet of paper from above, one corner folded."""
    sheet = points(left, top, right - fold, top, right, top + fold, right, bottom, left, bottom)
    ear = points(right - fold, top, right - fold, top + fold, right, top + fold)
    return [mark("thing", straight(sheet, closed=True)), mark("detail", straight(ear))]


def towel(left: float, right: float, waves: Sequence[tuple[float, float, float]]) -> Marks:
    """A towel on the floor from the side: ``waves`` are place, height and half width of its folds."""
    thick, every = 5.0, 5.0
    count = round((right - left) / every)
    spots = [left + (right - left) * index / count for index in range(count + 1)]
    top = [
        Point(x, -thick - math.fsum(high * math.exp(-(((x - at) / half) ** 2)) for at, high, half in waves))
        for x in spots
    ]
    fringes = [straight(points(right, -at, right + 7, -at + 0.8)) for at in (0.4, 2.4, 4.4)]
    hem = straight(points(right - 6, -thick, right - 6, 0))
    return [
        mark("towel", smooth(top, points(right, 0), points(left, 0), [top[0]], closed=True)),
        mark("detail", hem, *fringes),
    ]


def phone(at: Point, *, wide: float, high: float) -> Marks:
    """A phone from its edge, on end, its camera looking to the right. ``at`` is the middle of its foot."""
    x, y = at
    return [
        mark("thing", box(x - wide / 2, y - high, x + wide / 2, y)),
        mark("solid", box(x + wide / 2, y - high * 0.8, x + wide / 2 + 3, y - high * 0.5)),
    ]


def _steps(start: float, end: float, by: float) -> list[float]:
    return [start + by * index for index in range(int((end - start) / by) + 1)]
