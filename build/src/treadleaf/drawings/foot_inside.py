"""What holds the arch, inside a foot from its inner side, in the frame of ``foot_side``; drawn simply, not measured."""

from __future__ import annotations

from collections.abc import Sequence

from treadleaf.drawings.geometry import Curve, Point, points, smooth
from treadleaf.drawings.strokes import Marks, mark

BAND_AT = Point(59, -6)
TENDON_AT = Point(20.4, -42)
"""A place on each, for a leader: the band under the sole, the tendon behind the inner ankle."""


def band(arch: float) -> Marks:
    """The strong band from the heel bone along the sole into the toes, under an arch of a height."""
    under = [Point(x, -1.6 - arch * share) for x, share in zip(_ALONG, _RISE, strict=True)]
    over = [Point(at.x, at.y - thick) for at, thick in zip(under, _THICK, strict=True)]
    return [mark("work", _around(under, over))]


_ALONG = (13, 22, 29, 37, 45, 54, 62, 71, 77, 84, 92)
_RISE = (0.12, 0.2, 0.42, 0.86, 1.02, 0.84, 0.38, 0.1, 0.2, 0.1, 0.04)
_THICK = (1.6, 3.6, 3.4, 3, 2.8, 2.8, 2.8, 2.2, 2, 1.8, 0.8)
"""How far the band lies over the sole, in parts of the arch's height, along the foot; and how thick it is there."""


def tendon() -> Marks:
    """The long tendon: down behind the inner ankle bone, round below it and forward under the arch; and that bone."""
    run = points(23.6, -82, 22, -60, 20.2, -42, 20.2, -31, 24.6, -23, 33, -19, 41, -16.6, 47, -14)
    wide = (2.2, 1.9, 1.6, 1.6, 1.6, 1.6, 1.8, 0.6)
    sides: tuple[list[Point], list[Point]] = ([], [])
    for at, before, after, half in zip(run, [run[0], *run], [*run[1:], run[-1]], wide, strict=False):
        aside = after.minus(before).aside()
        for side, out in zip(sides, (half, -half), strict=True):
            side.append(at.plus(aside, out))
    return [mark("work", _around(*sides))]


def _around(one: Sequence[Point], other: Sequence[Point]) -> Curve:
    """One side and back along the other."""
    back = list(reversed(other))
    return smooth(one, [back[0]], back[1:], [one[0]], closed=True)
