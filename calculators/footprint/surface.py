"""The surface of a ground's brightness, and straight soft steps in it, fitted to the tiles of a place."""

import math
from operator import mul
from typing import NamedTuple

# All own choices, found by trying on invented photographs: rounds of the fit, and from which to which spread (in
# logarithms of brightness) a tile counts as ground in them.
_ROUNDS = 7
_WIDEST, NARROWEST = 0.35, 0.03
# A step's softness, in tiles.
_HARDEST, _SOFTEST = 0.25, 4.0


class Tiles(NamedTuple):
    """Values of square tiles of `side` cells, row by row; None where a tile is not wholly within the place."""

    side: int
    across: int
    down: int
    values: list[float | None]


class Step(NamedTuple):
    """A straight soft step, in tiles: from dark to bright where x * nx + y * ny passes the offset."""

    nx: float
    ny: float
    offset: float
    softness: float

    def at(self, x: float, y: float) -> float:
        """From 0 on the dark side to 1 on the bright one."""
        return 0.5 + 0.5 * math.tanh((x * self.nx + y * self.ny - self.offset) / self.softness)


class Light(NamedTuple):
    """One account of the light on a place, a tile each.

    `smooth` is the ground's brightness on the bright side of all steps, `surface` the logarithm of it with the steps,
    `heights` those of the steps, in logarithms.
    """

    smooth: list[float]
    surface: list[float]
    steps: list[Step]
    heights: list[float]


class Surface:
    """The tiles that have a value, with the terms of the surface in each."""

    def __init__(self, seen: Tiles) -> None:
        self._seen = seen
        self._centre = (seen.across - 1) / 2, (seen.down - 1) / 2
        self._kept = [at for at, value in enumerate(seen.values) if value is not None]
        self.values = [value for value in seen.values if value is not None]
        self._places = [
            (2 * (column + 0.5) / seen.across - 1, 2 * (row + 0.5) / seen.down - 1)
            for row in range(seen.down)
            for column in range(seen.across)
        ]
        self._whole = [list(column) for column in zip(*[_powers(x, y) for x, y in self._places], strict=True)]
        self.terms = [[column[at] for at in self._kept] for column in self._whole]

    def step(self, step: Step) -> list[float]:
        """The term of a step in the tiles that have a value."""
        across = self._seen.across
        return [step.at(at % across, at // across) for at in self._kept]

    def fitted(self, terms: list[list[float]]) -> list[float]:
        """Factors of some terms, after rounds of least squares with weights that count ever fewer tiles as ground."""
        factors = self.solved(terms, [1.0] * len(self.values))
        for turn in range(_ROUNDS - 1):
            by = 1 / max(NARROWEST, _WIDEST * 0.5**turn)
            weights = [1 / (1 + (rest * by) ** 2) ** 2 for rest in self.rest(terms, factors)]
            factors = self.solved(terms, weights)
        return factors

    def moves(self, step: Step) -> tuple[list[float], list[list[float]]]:
        """The term of a step, and how it changes with a shift, a turn about the middle and a factor of softness (e)."""
        across = self._seen.across
        centre_x, centre_y = self._centre
        term: list[float] = []
        shift: list[float] = []
        angle: list[float] = []
        soft: list[float] = []
        for at in self._kept:
            x, y = at % across, at // across
            past = x * step.nx + y * step.ny - step.offset
            bent = math.tanh(past / step.softness)
            slope = 0.5 * (1 - bent * bent) / step.softness
            term.append(0.5 + 0.5 * bent)
            shift.append(-slope)
            angle.append(slope * ((y - centre_y) * step.nx - (x - centre_x) * step.ny))
            soft.append(-slope * past)
        return term, [shift, angle, soft]

    def moved(self, step: Step, shift: float, angle: float, soft: float) -> Step:
        """A step after such changes."""
        centre_x, centre_y = self._centre
        turned = math.atan2(step.ny, step.nx) + angle
        nx, ny = math.cos(turned), math.sin(turned)
        middle = step.offset - centre_x * step.nx - centre_y * step.ny + shift
        softness = min(_SOFTEST, max(_HARDEST, step.softness * math.exp(soft)))
        return Step(nx, ny, middle + centre_x * nx + centre_y * ny, softness)

    def solved(self, terms: list[list[float]], weights: list[float]) -> list[float]:
        """Factors of some terms by weighted least squares."""
        weighed = [list(map(mul, weights, term)) for term in terms]
        table = [[0.0] * len(terms) for _ in terms]
        for at, one in enumerate(weighed):
            for other in range(at + 1):
                table[at][other] = table[other][at] = math.fsum(map(mul, one, terms[other]))
        return _solved(table, [math.fsum(map(mul, one, self.values)) for one in weighed])

    def rest(self, terms: list[list[float]], factors: list[float]) -> list[float]:
        """What the terms leave unexplained."""
        left = self.values
        for factor, term in zip(factors, terms, strict=True):
            left = [value - factor * part for value, part in zip(left, term, strict=True)]
        return left

    def light(self, factors: list[float], steps: list[Step]) -> Light:
        """The account that some factors give, in every tile."""
        smooth = [0.0] * len(self._places)
        for factor, term in zip(factors, self._whole, strict=False):
            smooth = [value + factor * part for value, part in zip(smooth, term, strict=True)]
        heights = factors[len(self._whole) :]
        across, surface = self._seen.across, smooth
        for height, step in zip(heights, steps, strict=True):
            surface = [value + height * step.at(at % across, at // across) for at, value in enumerate(surface)]
        # What a step adds on its bright side belongs to the bright ground.
        whole = math.fsum(heights)
        return Light([math.exp(value + whole) for value in smooth], surface, steps, heights)

    def without(self, heights: list[float], steps: list[Step]) -> Tiles:
        """The tiles with some steps taken away."""
        values = list(self._seen.values)
        for height, step in zip(heights, steps, strict=True):
            for at, part in zip(self._kept, self.step(step), strict=True):
                values[at] -= height * part  # type: ignore[operator]  # the kept ones have a value
        return self._seen._replace(values=values)


def _powers(x: float, y: float) -> tuple[float, ...]:
    return 1.0, x, y, x * x, x * y, y * y


def _solved(table: list[list[float]], right: list[float]) -> list[float]:
    """Solve equations by elimination with pivots; a term that nothing tells apart becomes 0."""
    rows = [[*row, value] for row, value in zip(table, right, strict=True)]
    count = len(rows)
    for at in range(count):
        rows[at][at] += 1e-9
    for at in range(count):
        best = max(range(at, count), key=lambda row: abs(rows[row][at]))
        rows[at], rows[best] = rows[best], rows[at]
        for row in range(count):
            if row != at and rows[row][at]:
                factor = rows[row][at] / rows[at][at]
                rows[row] = [a - factor * b for a, b in zip(rows[row], rows[at], strict=True)]
    return [rows[at][count] / rows[at][at] for at in range(count)]
