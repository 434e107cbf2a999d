"""Things that stand round a person: a chair, a wall, a shoe, a towel. The floor is y = 0, sizes in shares of stature.

A scene scales them by the height of its figure; a chair, say, is 0.27 of a stature high at its seat.
"""

from __future__ import annotations

import math
from collections.abc import Sequence

from treadleaf.drawings.geometry import Curve, Piece, Point, points, round_about, shift, smooth, straight
from treadleaf.drawings.strokes import Marks, mark

CHAIR_SEAT, CHAIR_BACK = 0.265, 0.53


def box(left: float, top: float, right: float, bottom: float) -> Curve:
    return straight(points(left, top, right, top, right, bottom, left, bottom), closed=True)


def chair(*, heavy: bool = False) -> Marks:
    """A chair from the side, its back at the left, x = 0; a heavy one has thicker posts and a thicker seat."""
    post, seat = (0.034, 0.055) if heavy else (0.022, 0.03)
    return [
        mark("thing", box(0.205, -CHAIR_SEAT, 0.205 + post, 0)),
        mark("thing", box(0, -CHAIR_BACK, post, 0)),
        mark("thing", box(post, -CHAIR_SEAT - seat / 2, 0.24, -CHAIR_SEAT + seat / 2)),
    ]


def table(wide: float, high: float) -> Marks:
    """A table from the side, its near end at x = 0; a second pair of legs is hidden behind the first."""
    thick, post = 0.026, 0.024
    return [
        mark("thing", *(box(x, -high, x + post, 0) for x in (0.03, wide - 0.03 - post))),
        mark("thing", box(0, -high, wide, -high + thick)),
    ]


def wall(height: float, *, thick: float = 0.03) -> Marks:
    """A wall from the side, its face at x = 0, with strokes behind it."""
    strokes = [straight(points(0, -at, thick, -at + thick * 1.2)) for at in _steps(thick * 1.3, height, 0.05)]
    return [mark("ground", straight(points(0, -height, 0, 0))), mark("detail", *strokes)]


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


def phone_flat(lens: Point, *, long: float, thick: float) -> Marks:
    """A phone from its edge, held level, its camera looking straight down near the end that points to the right."""
    x, y = lens
    return [
        mark("thing", box(x - long * 0.8, y - thick, x + long * 0.2, y)),
        mark("solid", box(x - 3.5, y, x + 3.5, y + 3)),
    ]


def phone_front(wide: float, high: float, screen: Point) -> Marks:
    """A phone from the front, upright, its middle at the origin; ``screen`` is the corner of its picture."""
    x, y = wide / 2, high / 2
    return [
        mark("thing", box(x, -y * 0.28, x + 3, -y * 0.08), _rounded(x, y, 22)),
        mark("thing", box(-screen.x, -screen.y, screen.x, screen.y)),
        mark("solid", _rounded(18, 2, 2).moved(shift(0, -(y + screen.y) / 2))),
    ]


def _rounded(x: float, y: float, corner: float) -> Curve:
    """A box about the origin with round corners."""
    bend = corner * 0.45
    pieces: list[Piece] = []
    for one, two in ((1, 1), (-1, 1), (-1, -1), (1, -1)):
        here = (Point(one * x, two * (y - corner)), Point(one * (x - corner), two * y))
        a, b = here if one == two else here[::-1]
        near, far = (Point(one * x, two * (y - bend)), Point(one * (x - bend), two * y))
        pieces += [(a,), (near, far, b) if one == two else (far, near, b)]
    return Curve(pieces[-1][-1], tuple(pieces), True)


def shoe() -> Marks:
    """A shoe cut open along its length, in the frame of ``foot_side``: its sole below y = 0, its heel at the left.

    The foot is drawn over it. The stiff piece round the heel is as light as the rest.
    """
    outer = (points(-1, -42, -4.4, -36, -5.4, -22, -6.4, -8, -5.4, 0), points(60, 0.2, 104, 0.2), _SHOE_TOP)
    inner = [at.plus(Point(-1.6, 2.4)) for at in _SHOE_TOP[1:]]
    laces = [straight(points(x, y, x - 4, y - 3)) for x, y in ((69, -25.4), (63.4, -29), (58, -32.8))]
    stiff = points(-2.2, -31, -3.6, -28, -4, -20, -4.8, -8, -3.8, -0.4, 6, -0.4, 0.8, -5, -1, -12, -1, -24)
    sole = points(-6, 0, 108, 0, 110, 4.5, 104, 8.6, 92, 12, 0, 12, -5.6, 10)
    return [
        mark("thing", smooth(*outer)),
        mark("detail", smooth(inner), *laces),
        mark("thing", smooth(stiff, closed=True)),
        mark("thing", straight(sole, closed=True)),
    ]


_SHOE_TOP = points(107.6, -5, 104, -12, 96, -15, 84, -17.4, 72, -23.4, 60, -31.4, 51, -39, 47, -47)
"""The upper of a shoe from its tip to its tongue."""


def hand_mirror(radius: float) -> Marks:
    """A round mirror with a handle below it, from the front; the middle of its glass is the origin."""
    rim, grip = radius * 0.1, radius * 0.11
    return [
        mark("thing", box(-grip, radius, grip, radius * 1.85)),
        mark("thing", round_about(Point(0, 0), radius + rim)),
        mark("thing", round_about(Point(0, 0), radius)),
    ]


def pencil(long: float) -> Marks:
    """A pencil along x, its point at the origin."""
    half = 5.5
    body = points(20, -half, long, -half, long, half, 20, half)
    return [
        mark("thing", straight(points(0, 0, 20, -half, 20, half), closed=True)),
        mark("thing", straight(body, closed=True)),
        mark("solid", straight(points(0, 0, 7, -half * 0.35, 7, half * 0.35), closed=True)),
        mark(
            "detail",
            straight(points(20, -half / 3, long, -half / 3)),
            straight(points(long - 12, -half, long - 12, half)),
        ),
    ]


def _steps(start: float, end: float, by: float) -> list[float]:
    return [start + by * index for index in range(int((end - start) / by) + 1)]
