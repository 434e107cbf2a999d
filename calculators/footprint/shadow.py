"""The edge of a shadow, cell by cell: where it runs, and how the brightness falls across it."""

import math
from typing import NamedTuple

from calculators.footprint.line import HIGHEST, Line
from calculators.footprint.samples import DARKER, LIGHTER, Samples, Step

TYPE_CHECKING = False
if TYPE_CHECKING:
    from calculators.footprint.mask import Mask
    from calculators.footprint.picture import Grey
    from calculators.footprint.samples import Fit

# Own choices: how far to either side is looked, in tiles or in softnesses, whichever is farther; how many cells tell of
# it at most; spreads of the rounds in which the line is moved, first by every so-manieth of those cells, then by all;
# the fewest cells at a distance that tell how the brightness falls there, and how far from the fit they may lie.
_REACH_TILES, _REACH_SOFT, _CELLS = 2.0, 3.0, 2500
_WIDE, _FEWER = (0.5, 0.4, 0.3, 0.2, 0.12), 4
_SPREADS = (0.08, 0.05, 0.04)
_FEWEST, _FAR = 4, 0.12


class Shadow(NamedTuple):
    """A straight edge in cells. `fall` holds the factor of brightness at each whole distance from -reach to reach."""

    nx: float
    ny: float
    offset: float
    reach: int
    fall: list[float]

    def row(self, left: float, y: float, step: float, count: int) -> list[float]:
        """The factor in the middles of so many cells of a row: 1 on the bright side.

        Args:
            left: where the first cell begins, in the cells of this shadow.
            y: of the row's middle.
            step: the side of a cell.
            count: how many cells.
        """
        at = self.nx * (left + 0.5 * step) + self.ny * y - self.offset + self.reach
        last, fall, by = len(self.fall) - 1, self.fall, self.nx * step
        # Only some cells in the middle lie near the edge: those between the first and the after.
        ends = (1.0, fall[0]) if by < 0 else (fall[0], 1.0)
        if abs(by) < 1e-9:
            first, after = (0, count) if 0 < at < last else (count, count) if at <= 0 else (0, 0)
            ends = fall[0], 1.0
        else:
            first, after = (min(count, max(0, math.ceil(place))) for place in sorted(((0 - at) / by, (last - at) / by)))
        middle = []
        place = at + first * by
        for _ in range(after - first):
            whole = min(max(int(place), 0), last - 1)
            middle.append(fall[whole] + (place - whole) * (fall[whole + 1] - fall[whole]))
            place += by
        return [ends[0]] * first + middle + [ends[1]] * (count - after)


def shadow(
    grey: "Grey", under: list[list[float]], place: "Mask", step: Step, height: float, level: float, side: int
) -> Shadow:
    """Move a step found on tiles to where it is on cells.

    Args:
        grey: the picture.
        under: rows of the ground's brightness on the bright side of this step, a cell each.
        place: the cells looked at.
        step: in tiles.
        height: of the step, in logarithms of brightness.
        level: of a print over its ground, in logarithms of brightness.
        side: of a tile, in cells.
    """
    first = Step(step.nx, step.ny, (step.offset + 0.5 * (step.nx + step.ny)) * side, step.softness * side)
    reach = max(_REACH_TILES * side, _REACH_SOFT * first.softness)
    xs, ys, values = _near(grey, under, place, first, reach)
    if len(values) < _FEWEST * 2 * reach:
        return _modelled(first, height, math.ceil(reach))
    along = [(y * first.nx - x * first.ny) / reach for x, y in zip(xs, ys, strict=True)]
    # `under` is the bright ground; the step stands on the dark one.
    bright = [value + height for value in values]
    samples = Samples(xs, ys, bright, [[1.0] * len(xs), along])
    held = (DARKER if level < 0 else LIGHTER)._replace(begins=level)
    rough = Line(samples.every(_FEWER), [], first, held, side, height=height)
    rough.sharpen(_WIDE)
    known = rough.fit()
    line = Line(samples, [], rough.step, held._replace(begins=known.level), side, height=known.factors[-1])
    line.sharpen(_SPREADS)
    fit = line.fit()
    if abs(fit.factors[-1]) > HIGHEST:
        return _modelled(first, height, math.ceil(reach))
    made = _modelled(line.step, fit.factors[-1], math.ceil(reach))
    return made._replace(fall=_as_seen(made, samples, fit))


def _modelled(step: Step, height: float, reach: int) -> Shadow:
    """The shadow of a step as it is, in cells."""
    fall = [math.exp(height * (0.5 * math.tanh(at / step.softness) - 0.5)) for at in range(-reach, reach + 1)]
    return Shadow(step.nx, step.ny, step.offset, reach, fall)


def _as_seen(made: Shadow, samples: Samples, fit: "Fit") -> list[float]:
    """How the brightness falls across the edge: as modelled, moved to what the cells at each distance say.

    Beyond the farthest distances that cells tell of, it stays as it is there.
    """
    bins: list[list[float]] = [[] for _ in made.fall]
    for x, y, off in zip(samples.xs, samples.ys, fit.off(), strict=True):
        at = round(x * made.nx + y * made.ny - made.offset) + made.reach
        if abs(off) < _FAR and 0 <= at < len(bins):
            bins[at].append(off)
    told = [at for at, lefts in enumerate(bins) if len(lefts) >= _FEWEST]
    if not told:
        return made.fall
    seen = {at: made.fall[at] * math.exp(math.fsum(bins[at]) / len(bins[at])) for at in told}
    bright = seen[told[-1]]
    held = [min(max(at, told[0]), told[-1]) for at in range(len(bins))]
    return [seen.get(at, made.fall[at]) / bright for at in held]


def _near(
    grey: "Grey", under: list[list[float]], place: "Mask", step: Step, reach: float
) -> tuple[list[float], list[float], list[float]]:
    """Middles of cells near the line, every so-manieth where there are many, and their brightness over ground (log)."""
    text = place.rows()
    width = grey.width
    rows = []
    for y in range(grey.height):
        base = step.ny * (y + 0.5) - step.offset
        if abs(step.nx) > 1e-9:
            one, other = sorted(((-reach - base) / step.nx, (reach - base) / step.nx))
        elif abs(base) <= reach:
            one, other = 0.0, float(width)
        else:
            continue
        first, after = max(0, math.floor(one)), min(width, math.ceil(other))
        if first < after:
            rows.append((y, first, after))
    every = max(1, round(math.fsum(after - first for _, first, after in rows) / _CELLS))
    xs, ys, values = [], [], []
    for y, first, after in rows:
        row, below, start = text[y], under[y], y * width
        # Rows begin apart, so that no line of cells is missed.
        for x in range(first + (2 * y - first) % every, after, every):
            if row[x] == "1":
                xs.append(x + 0.5)
                ys.append(y + 0.5)
                values.append(math.log((grey.values[start + x] + 1) / below[x]))
    return xs, ys, values
