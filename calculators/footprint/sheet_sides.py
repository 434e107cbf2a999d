"""The four sides of a sheet, finely: each fitted to the steepest step along short cuts square to it."""

import math
from itertools import pairwise
from statistics import median
from typing import NamedTuple

TYPE_CHECKING = False
if TYPE_CHECKING:
    from collections.abc import Sequence
    from typing import Protocol

    from calculators.footprint.rectify import Point, Ring

    class Plane(Protocol):
        """A grey picture, or one colour of the pixels: `width` x `height` numbers, row by row."""

        @property
        def width(self) -> int: ...
        @property
        def height(self) -> int: ...
        @property
        def values(self) -> "Sequence[int] | memoryview": ...


# Own choices, by trial on drawn scenes. Cells are those of the grey picture.
_CUTS = (24, 36, 66)  # at a first look, at a second, and to be exact
_SHARP_REACH = 3
_PLACES = 22  # along a side, at which it is looked at
_ENDS = 0.06  # left out at either end of a side: a card's corners are round, and two edges meet there
_ROUNDS = 6
_TIGHT_CELLS = 0.6  # a residual beyond three times this, or three times the usual one, counts for nothing
_NEARLY_AS_STEEP = 0.5
_ON_LINE_CELLS = 1.5
_BEYOND = (0.03, 0.05, 0.07, 0.09, 0.11, 0.13)  # places past a corner, in parts of the side


Straight = tuple[float, float, float]  # a line's normal, and its distance from the corner of the picture along it


class Side(NamedTuple):
    """One side as fitted: from, to, and what the picture shows along it.

    held:     share of the cuts on which the step lies on the line and is not weak against the others.
    differs:  share of the places at which inside and outside differ in the sheet's own sense, some millimetres off.
    contrast: median of that difference, as a part of the lighter one; negative in the wrong sense.
    lasting:  median of that difference against the step at the edge itself: near 1 at a sheet, near 0 at a joint of
              tiles, behind which the same floor goes on.
    goes_on:  for each end, the share of places past it at which the step goes on; None out of the picture.
    """

    held: float
    differs: float
    contrast: float
    lasting: float
    goes_on: "tuple[float | None, float | None]"


def fitted(grey: "Plane", corners: "Ring", lighter: int, reach: int) -> "Ring | None":
    """Move a quadrilateral onto the edges near it.

    Args:
        grey: the picture.
        corners: in cells, anticlockwise before the eye.
        lighter: 1 for a sheet that is lighter than the floor, -1 for a darker one.
        reach: how many cells off an edge may lie.

    Returns:
        The corners in cells; None where two sides came to run parallel or a corner ran away.
    """
    looked = _moved(grey, corners, lighter, reach, _CUTS[0], False)
    return None if looked is None else _moved(grey, looked, lighter, _SHARP_REACH, _CUTS[1], True)


def exact(grey: "Plane", corners: "Ring", lighter: int, reach: int = _SHARP_REACH) -> "Ring | None":
    """Fit a quadrilateral once more with many cuts: to a few hundredths of a cell where the floor is plain."""
    return _moved(grey, corners, lighter, reach, _CUTS[2], True)


def _moved(grey: "Plane", corners: "Ring", lighter: int, reach: int, cuts: int, sharp: bool) -> "Ring | None":
    lines = [_fit(grey, corners[at - 1], corners[at], lighter, reach, cuts, sharp) for at in range(4)]
    moved = [crossing(lines[at], lines[(at + 1) % 4]) for at in range(4)]
    found = [point for point in moved if point is not None]
    if len(found) < 4 or any(math.dist(point, old) > 3 * reach for point, old in zip(found, corners, strict=True)):
        return None
    return found


def _frame(start: "Point", end: "Point") -> tuple[float, float, float]:
    """Unit vector along a side and its length. The inside lies on (along_y, -along_x)."""
    (ax, ay), (bx, by) = start, end
    length = math.hypot(bx - ax, by - ay)
    return (bx - ax) / length, (by - ay) / length, length


def _cut(grey: "Plane", x: float, y: float, across: "Point", offsets: "Sequence[int]") -> list[float] | None:
    """Read the picture along a cut, between its cells; None where the cut leaves it."""
    across_x, across_y = across
    width, values = grey.width, grey.values
    x, y = x - 0.5, y - 0.5
    for offset in (offsets[0], offsets[-1]):
        if not (0 <= x + offset * across_x < width - 1 and 0 <= y + offset * across_y < grey.height - 1):
            return None
    found = []
    for offset in offsets:
        cut_x, cut_y = x + offset * across_x, y + offset * across_y
        column, row = int(cut_x), int(cut_y)
        cut_x -= column
        cut_y -= row
        place = row * width + column
        upper = values[place] * (1 - cut_x) + values[place + 1] * cut_x
        place += width
        lower = values[place] * (1 - cut_x) + values[place + 1] * cut_x
        found.append(upper + (lower - upper) * cut_y)
    return found


def _fit(grey: "Plane", start: "Point", end: "Point", lighter: int, within: int, cuts: int, sharp: bool) -> Straight:
    """Fit one side."""
    along_x, along_y, length = _frame(start, end)
    across = (along_y, -along_x)
    offsets = range(-within - 1, within + 2)
    places, steps = [], []
    for cut in range(cuts):
        part = _ENDS + (1 - 2 * _ENDS) * cut / (cuts - 1)
        values = _cut(grey, start[0] + part * length * along_x, start[1] + part * length * along_y, across, offsets)
        if values is None:
            continue
        # What is darker than the floor has its shadow's step behind its own.
        step = steepest(values, lighter, lighter < 0) if sharp else _blunt(values, lighter)
        if step is not None:
            places.append((part - 0.5) * length)
            steps.append(step - within - 1)
    off, slope = robust(places, steps) if len(places) >= 3 else (0.0, 0.0)
    middle = ((start[0] + end[0]) / 2 + off * across[0], (start[1] + end[1]) / 2 + off * across[1])
    size = math.hypot(1.0, slope)
    normal = ((across[0] - slope * along_x) / size, (across[1] - slope * along_y) / size)
    return *normal, normal[0] * middle[0] + normal[1] * middle[1]


def _blunt(values: list[float], lighter: int) -> float | None:
    """As `steepest`, where the edge may be wider than a step: a coarse line's picture."""
    pairs = [lighter * (c - a) for a, c in zip(values, values[2:], strict=False)]
    best = max(pairs)
    return pairs.index(best) + 1.0 if best > 0 else None


def steepest(values: list[float], lighter: int, shadow_shows: bool) -> float | None:
    """Tell where along a cut it grows most in the sheet's sense, in steps from its start; None where nowhere.

    A sheet throws a thin shadow outward. Where it shows as a second step behind the sheet's own, the inner of two that
    are nearly as steep is meant.
    """
    steps = [lighter * (b - a) for a, b in pairwise(values)]
    best = max(steps)
    if best <= 0:
        return None
    first = last = _innermost(steps, _NEARLY_AS_STEEP * best) if shadow_shows else steps.index(best)
    # The middle of all that is more than half as steep, however wide the blur, and of a step to either side.
    half = steps[first] / 2
    while first > 0 and half < steps[first - 1] <= steps[first]:
        first -= 1
    while last < len(steps) - 1 and half < steps[last + 1] <= steps[last]:
        last += 1
    near = range(max(0, first - 1), min(len(steps), last + 2))
    weights = [max(0.0, steps[place]) for place in near]
    return math.fsum((place + 0.5) * weight for place, weight in zip(near, weights, strict=True)) / math.fsum(weights)


def _innermost(steps: list[float], least: float) -> int:
    """Tell the last place at which the steps are highest for their neighbourhood and at least so high."""
    framed = [-math.inf, *steps, -math.inf]
    return max(
        place for place, step in enumerate(steps) if step >= least and framed[place] <= step >= framed[place + 2]
    )


def robust(places: list[float], steps: list[float]) -> tuple[float, float]:
    """Fit steps = off + slope x place; what lies far from the line loses its weight (Tukey's biweight)."""
    off, slope = median(steps), 0.0
    for _ in range(_ROUNDS):
        residuals = [step - off - slope * place for place, step in zip(places, steps, strict=True)]
        limit = 3 * max(_TIGHT_CELLS, 1.5 * median([abs(residual) for residual in residuals]))
        weights = [max(0.0, 1 - (residual / limit) ** 2) ** 2 for residual in residuals]
        whole = math.fsum(weights)
        mid_p = math.fsum(w * p for w, p in zip(weights, places, strict=True)) / whole
        mid_s = math.fsum(w * s for w, s in zip(weights, steps, strict=True)) / whole
        spread = math.fsum(w * (p - mid_p) ** 2 for w, p in zip(weights, places, strict=True))
        if spread <= 0:
            break
        joint = math.fsum(w * (p - mid_p) * (s - mid_s) for w, p, s in zip(weights, places, steps, strict=True))
        slope = joint / spread
        off = mid_s - slope * mid_p
    return off, slope


def crossing(one: Straight, two: Straight) -> "Point | None":
    """Where two lines meet; None where they run nearly parallel."""
    (a, b, c), (d, e, f) = one, two
    span = a * e - b * d
    if abs(span) < 0.2:
        return None
    return (c * e - b * f) / span, (a * f - c * d) / span


def looked_at(grey: "Plane", start: "Point", end: "Point", lighter: int, aside: "tuple[float, float]") -> Side:
    """Say what the picture shows along one side of a fitted quadrilateral.

    Args:
        grey: the picture.
        start: one corner, in cells.
        end: the next one, anticlockwise before the eye.
        lighter: 1 for a sheet that is lighter than the floor, -1 for a darker one.
        aside: how far off the edge, in cells, inside and outside are compared: from, to.
    """
    along_x, along_y, length = _frame(start, end)
    across = (along_y, -along_x)

    def cut(part: float, offsets: "Sequence[int]") -> list[float] | None:
        return _cut(grey, start[0] + part * length * along_x, start[1] + part * length * along_y, across, offsets)

    parts = [_ENDS + (1 - 2 * _ENDS) * (at + 0.5) / _PLACES for at in range(_PLACES)]
    near, far = (max(3, round(cells)) for cells in aside)
    steps: list[float] = []
    on_line: list[bool] = []
    differences: list[float] = []
    parted: list[float] = []
    for part in parts:
        values = cut(part, range(-4, 5))
        if values is not None:
            place = steepest(values, lighter, lighter < 0)
            on_line.append(place is not None and abs(place - 4) <= _ON_LINE_CELLS)
            steps.append(lighter * (values[6] + values[7] - values[1] - values[2]) / 2)
        inner, outer = cut(part, (near, (near + far) // 2, far)), cut(part, (-far, -(near + far) // 2, -near))
        if outer is None:
            outer = cut(part, (-3, -2))
        if inner is not None and outer is not None:
            inside, outside = math.fsum(inner) / len(inner), math.fsum(outer) / len(outer)
            differences.append(lighter * (inside - outside))
            parted.append(differences[-1] / max(inside, outside, 1.0))
    if not steps or not differences:
        return Side(0.0, 0.0, 0.0, 0.0, (None, None))
    usual = median(steps)
    held = [ok and step > 0.3 * usual for ok, step in zip(on_line, steps, strict=True)]

    def goes_on(past: list[float]) -> float | None:
        seen = [values for values in (cut(part, (-3, -2, 2, 3)) for part in past) if values is not None]
        if len(seen) < len(past) / 2:
            return None
        more = [lighter * (values[2] + values[3] - values[0] - values[1]) / 2 > 0.5 * usual for values in seen]
        return more.count(True) / len(more)

    return Side(
        held.count(True) / len(parts),
        [difference > 0 for difference in differences].count(True) / len(differences),
        median(parted),
        median(differences) / usual if usual > 0 else 0.0,
        (goes_on([-part for part in _BEYOND]), goes_on([1 + part for part in _BEYOND])),
    )
