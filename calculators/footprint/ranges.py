"""How far each index moves when what was chosen for it is moved a little: the range beside the value.

Three things are moved, each to either side and one at a time, the others held: the part of the contrast at which the
edge is drawn, the toe line along the axis, and the axis about the heel. The amounts are own choices.

The edge is moved all around, and again one way in the middle and the other way at the heel and the ball (own choice).
Moved all around, a middle and a heel grow together and their ratio hardly stirs; but how wet the foot was, how the light
fell and how sharp the lens drew differ along a print, so that an edge may be drawn too wide here and too narrow there.
"""

import math
from typing import NamedTuple

from calculators.footprint.edge import REACH, evened
from calculators.footprint.photo_indices import measured, shape
from calculators.footprint.plane import outer
from calculators.footprint.search import placed_or_none
from calculators.footprint.shape import from_rough, pieces_of, rings_of, to_rough
from calculators.footprint.sole import area_and_middle, contains
from calculators.footprint.toes import cut

TYPE_CHECKING = False
if TYPE_CHECKING:
    from calculators.footprint.flat import Flat
    from calculators.footprint.outline import Point, Ring
    from calculators.footprint.photo_indices import Shape as Measured
    from calculators.footprint.plane import outer
from calculators.footprint.search import Found

CONTRAST, TOE_LINE_MM, TOE_LINE_PART, AXIS_DEG = 0.10, 5.0, 0.02, 5.0

Values = dict[str, float | None]


class Ranged(NamedTuple):
    """One index: its value, how low and how high it may be, and what moves it the most (None where nothing does)."""

    value: float
    low: float
    high: float
    largest_cause: str | None


class Ranges(NamedTuple):
    """All indices of a print, and the width in the plane's unit over which its edge rises by a fifth."""

    indices: dict[str, Ranged | None]
    edge: float


def ranges(found: "Found", flat: "Flat") -> Ranges:
    """Measure a print, and again with each thing moved."""
    own = shape(found.placed, found.shape.big_toe)
    moved: dict[str, list[Values]] = {"threshold": [], "toe_line": [], "axis": []}
    traced = [_traced(found, flat, part) for part in (0.5 - CONTRAST, 0.5 + CONTRAST)]
    fainter, clearer = (_again(found, whole, found.shape.line, 0.0) for whole in traced)
    moved["threshold"] += _measured(fainter) + _measured(clearer)
    if fainter is not None and clearer is not None:
        moved["threshold"] += _measured(_mixed(fainter, clearer)) + _measured(_mixed(clearer, fainter))
    by = TOE_LINE_MM if flat.sheet else TOE_LINE_PART * found.placed.length
    for shift in (-by, by):
        line = [(u + shift, v) for u, v in found.shape.line]
        moved["toe_line"] += _measured(_again(found, found.shape.whole, line, 0.0))
    for turn in (-AXIS_DEG, AXIS_DEG):
        moved["axis"] += _measured(_again(found, found.shape.whole, found.shape.line, turn))
    # Twice the narrower side: at a fainter level the edge may run out along a shadow, which is no blur.
    area, around = _area(found.shape.whole), math.fsum(_length(ring) for ring in found.shape.whole)
    return Ranges(
        {key: None if value is None else _range(key, value, moved) for key, value in measured(own).items()},
        2 * min(_area(traced[0]) - area, area - _area(traced[1])) / around,
    )


def _measured(again: "Measured | None") -> list[Values]:
    return [] if again is None else [measured(again)]


def _mixed(middle: "Measured", ends: "Measured") -> "Measured":
    """The middle as it is on one outline, heel and ball as they are on another."""
    rear, _, front = ends.areas
    return ends._replace(
        placed=ends.placed._replace(middle=middle.placed.middle), areas=(rear, middle.areas[1], front)
    )


def _range(key: str, value: float, moved: dict[str, list[Values]]) -> Ranged:
    low = high = value
    cause, largest = None, 0.0
    for name, runs in moved.items():
        for run in runs:
            other = run.get(key)
            if other is None:
                continue
            low, high = min(low, other), max(high, other)
            if abs(other - value) > largest:
                cause, largest = name, abs(other - value)
    return Ranged(value, low, high, cause)


def _traced(found: "Found", flat: "Flat", part: float) -> "list[Ring]":
    """The same print with its edge drawn at another part of the contrast, in the rough frame of the first."""
    rings = [flat.ring(ring) for ring in found.seen.traced(part, found.thin)]
    near = pieces_of([to_rough(ring, found.shape.forward) for ring in rings])
    own = outer(found.shape.whole)
    kept = rings_of([piece for piece in near if any(_touches(piece.ring, held) for held in own)])
    return [evened(ring, REACH * found.placed.length) for ring in kept]


def _touches(one: "Ring", other: "Ring") -> bool:
    """Whether a point of one ring lies in the other, one way round or the other."""
    return contains(other, one[0]) or contains(one, other[0])


def _again(found: "Found", whole: "list[Ring]", line: "list[Point]", turn_deg: float) -> "Measured | None":
    """Place the print once more with another outline, toe line or axis; None where no print is left."""
    old = found.shape
    axis = found.placed.axis
    turn = math.radians(turn_deg)
    (x, y), (dx, dy) = axis.heel, axis.along
    ahead = (x + dx * math.cos(turn) - dy * math.sin(turn), y + dy * math.cos(turn) + dx * math.sin(turn))
    behind = [from_rough(ring, old.forward) for ring in cut(whole, line, ahead=False)]
    moved = old._replace(rings=behind, medial=found.placed.frame.medial)
    placed = placed_or_none(moved, (axis.heel, ahead))
    return None if placed is None else shape(placed, old.big_toe)


def _area(rings: "list[Ring]") -> float:
    return math.fsum(area_and_middle(ring)[0] for ring in rings)


def _length(ring: "Ring") -> float:
    total = 0.0
    x0, y0 = ring[-1]
    for x1, y1 in ring:
        total += math.hypot(x1 - x0, y1 - y0)
        x0, y0 = x1, y1
    return total
