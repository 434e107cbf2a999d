"""Outlines of limbs: bones as a chain of points, and how far the skin lies from them on either side."""

from __future__ import annotations

import math
from collections.abc import Sequence
from itertools import pairwise
from typing import NamedTuple

from treadleaf.drawings.geometry import Curve, Point, smooth


class Girth(NamedTuple):
    """Where the skin is, at a share of one bone's length: to the left and right of somebody walking along the chain."""

    share: float
    left: float
    right: float


def chain(start: Point, *steps: tuple[float, float]) -> list[Point]:
    """The points of a chain of bones: each step is a direction in degrees (0 right, 90 up) and a length."""
    run = [start]
    for degrees, length in steps:
        angle = math.radians(degrees)
        run.append(run[-1].plus(Point(math.cos(angle), -math.sin(angle)), length))
    return run


def limb(bones: Sequence[Point], girths: Sequence[Sequence[Girth]], *, cap: float = 0.0) -> Curve:
    """The outline of a limb, open at its start. ``girths`` has one list a bone; ``cap`` is how far the end bulges.

    On the inner side of a bend, skin that would lie inside the next bone is left out: it folds.
    """
    left: list[Point] = []
    right: list[Point] = []
    for index, (here, there, rows) in enumerate(zip(bones, bones[1:], girths, strict=False)):
        way = there.minus(here)
        length, side = way.length(), way.aside()
        bends = (
            _bend(bones[index - 1], here, there) if index else 0.0,
            _bend(here, there, bones[index + 2]) if index + 2 < len(bones) else 0.0,
        )
        for row in rows:
            at = here.plus(way, row.share)
            room = (row.share * length, (1 - row.share) * length)
            for points, out, sign in ((left, row.left, 1), (right, row.right, -1)):
                if not any(_folds(bend * sign, out, space) for bend, space in zip(bends, room, strict=True)):
                    points.append(at.plus(side, out * sign))
    end = bones[-1].plus(bones[-1].minus(bones[-2]).unit(), cap)
    return smooth([*left, end, *reversed(right)] if cap else [*left, *reversed(right)])


def _bend(before: Point, here: Point, after: Point) -> float:
    """How far the chain turns at ``here``, in radians; positive to the left."""
    one, two = here.minus(before), after.minus(here)
    return math.atan2(one.y * two.x - one.x * two.y, one.x * two.x + one.y * two.y)


def _folds(bend: float, out: float, space: float) -> bool:
    """Whether skin on the inner side of a bend would lie beyond the line that halves it."""
    return bend > 0.15 and space < abs(out) * math.tan(min(bend, 2.8) / 2) * 0.9


def finger(bones: Sequence[Point], widths: Sequence[float], *, fine: bool = True) -> Curve:
    """A finger or a toe: half its width at each point of the chain, with a round end; with fewer points if not fine."""
    girths = [
        [
            Girth(0.0 if index == 0 else 0.12, one, one),
            *([Girth(0.5, (one + two) / 2, (one + two) / 2), Girth(0.9, two, two)] if fine else []),
        ]
        for index, (one, two) in enumerate(pairwise(widths))
    ]
    return limb(bones, girths, cap=widths[-1] * 0.75)
