"""How far each index moves when what was chosen for it is moved a little: the range beside the value.

Three things are moved, each to either side and one at a time, the others held: the part of the contrast at which the
edge is drawn, the toe line along the axis, and the axis about the heel. The amounts are own choices.

The edge is moved all around; then one way in the middle third and the other way in both others; then one way in the
rear half and the other way in the front half, both times by twice its own roughness more (own choices). Moved all
around, a middle and a heel grow together and their ratio hardly stirs, and no straight line along a side turns; but how
wet the foot was, how the light fell and how sharp the lens drew differ along a print, so that its edge may be drawn too
wide here and too narrow there.
"""

import math
from itertools import pairwise
from typing import NamedTuple

from calculators.footprint.edge import moved_out, traced
from calculators.footprint.photo_indices import measured, shape
from calculators.footprint.plane import area_of
from calculators.footprint.search import placed_or_none
from calculators.footprint.shape import from_rough, to_rough
from calculators.footprint.toes import cut

TYPE_CHECKING = False
if TYPE_CHECKING:
    from collections.abc import Iterator

    from calculators.footprint.edge import Edge
    from calculators.footprint.flat import Flat
    from calculators.footprint.outline import Point, Ring
    from calculators.footprint.photo_indices import Shape as Measured
    from calculators.footprint.search import Found

CONTRAST, TOE_LINE_MM, TOE_LINE_PART, AXIS_DEG = 0.10, 5.0, 0.02, 5.0
# Where the edge changes from one level to the other, in parts of the toeless length.
_CHANGES = ((1 / 3, 2 / 3), (1 / 2,))
# An edge that is moved in part moves by so many times its roughness more.
_ROUGH = 2
_FAR = 1e6

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
    whole, line = found.shape.whole, found.shape.line
    fainter, clearer = (traced(found, flat, found.level + by) for by in (-CONTRAST, CONTRAST))
    by = TOE_LINE_MM if flat.sheet else TOE_LINE_PART * found.placed.length
    again = {
        "threshold": [_again(found, edge, line) for edge in _edges(found, fainter, clearer)],
        "toe_line": [_again(found, whole, [(u + shift, v) for u, v in line]) for shift in (-by, by)],
        "axis": [_again(found, whole, line, turn) for turn in (-AXIS_DEG, AXIS_DEG)],
    }
    moved = {cause: [measured(run) for run in runs if run is not None] for cause, runs in again.items()}
    own = measured(shape(found.placed, found.shape.big_toe))
    # Twice the narrower side: at a fainter level the edge may run out along a shadow, which is no blur.
    area, around = area_of(whole), math.fsum(_length(ring) for ring in whole)
    return Ranges(
        {key: None if value is None else _range(key, value, moved) for key, value in own.items()},
        2 * min(area_of(fainter.rings) - area, area - area_of(clearer.rings)) / around,
    )


def _edges(found: "Found", fainter: "Edge", clearer: "Edge") -> "Iterator[list[Ring]]":
    """The edge drawn at one level and at the other, then in part at one and in part at the other."""
    yield fainter.rings
    yield clearer.rings
    wide = [moved_out(ring, _ROUGH * fainter.rough) for ring in fainter.rings]
    narrow = [moved_out(ring, -_ROUGH * clearer.rough) for ring in clearer.rings]
    for parts in _CHANGES:
        places = [found.placed.frame.to_plane((part * found.placed.length, 0.0)) for part in parts]
        cuts = [u for u, _ in to_rough(places, found.shape.forward)]
        yield _spliced(wide, narrow, cuts)
        yield _spliced(narrow, wide, cuts)


def _spliced(one: "list[Ring]", other: "list[Ring]", cuts: list[float]) -> "list[Ring]":
    """Some rings up to the first line across the foot, other rings up to the second, and so on."""
    made = []
    places = [-math.inf, *cuts, math.inf]
    for number, (start, end) in enumerate(pairwise(places)):
        piece = other if number % 2 else one
        if start > -math.inf:
            piece = cut(piece, _across(start), ahead=True)
        made += piece if end == math.inf else cut(piece, _across(end), ahead=False)
    return made


def _across(u: float) -> "list[Point]":
    return [(u, -_FAR), (u, _FAR)]


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


def _again(found: "Found", whole: "list[Ring]", line: "list[Point]", turn_deg: float = 0.0) -> "Measured | None":
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


def _length(ring: "Ring") -> float:
    total = 0.0
    x0, y0 = ring[-1]
    for x1, y1 in ring:
        total += math.hypot(x1 - x0, y1 - y0)
        x0, y0 = x1, y1
    return total
