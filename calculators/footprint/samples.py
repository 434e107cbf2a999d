"""Places of a ground with their brightness, and the fit of some terms to them with a print that lies on the ground.

Each place is either ground or print, whichever it lies nearer to, and counts the less the farther it lies from both. A
print therefore disturbs the fit of the ground as little as it can, however much of the ground it covers.
"""

import math
from operator import mul
from typing import NamedTuple

TYPE_CHECKING = False
if TYPE_CHECKING:
    from collections.abc import Sequence

# All own choices, found by trying on invented photographs. Spreads of the rounds of a fit, in logarithms of brightness.
_ROUNDS, _LAST_ROUNDS, _NARROWEST = (0.35, 0.175, 0.0875, 0.06, 0.045), (0.03, 0.03), 0.03
# Fewer places than this are no print. What a place of print costs beyond its distance from the print's level.
_FEWEST_PRINTED, _COST_OF_PRINT = 3, 0.1


class Step(NamedTuple):
    """A straight soft step: from dark to bright where x * nx + y * ny passes the offset."""

    nx: float
    ny: float
    offset: float
    softness: float

    def at(self, x: float, y: float) -> float:
        """From 0 on the dark side to 1 on the bright one."""
        return 0.5 + 0.5 * math.tanh((x * self.nx + y * self.ny - self.offset) / self.softness)


class Held(NamedTuple):
    """Where a print's level over its ground begins in a fit, and what it is held between; logarithms of brightness."""

    begins: float
    low: float
    high: float


DARKER, LIGHTER = Held(-0.3, -0.7, -0.08), Held(0.3, 0.08, 0.5)


class Fit(NamedTuple):
    """Factors of some terms, what they leave of each place, and how far a print stands above its ground."""

    factors: list[float]
    rest: list[float]
    level: float

    def off(self) -> list[float]:
        """How far each place lies from the ground or from the print, whichever it lies nearer to."""
        level = self.level
        return [left - level if abs(left - level) < abs(left) else left for left in self.rest]

    def misfit(self) -> float:
        """How many places are neither ground nor print; from 0 to 1 each, as they lie farther from both."""
        made = []
        for left in self.rest:
            ground, printed = (left / _NARROWEST) ** 2, ((left - self.level) / _NARROWEST) ** 2
            made.append(min(ground / (1 + ground), _COST_OF_PRINT + printed / (1 + printed)))
        return math.fsum(made)


class Samples:
    """Places, the logarithm of the brightness of each, and the terms of a smooth ground in each."""

    def __init__(
        self, xs: "Sequence[float]", ys: "Sequence[float]", values: list[float], terms: list[list[float]]
    ) -> None:
        self.xs, self.ys, self.values, self.terms = xs, ys, values, terms

    def every_fifth(self) -> "Samples":
        """Every fifth of places that lie in rows: a knight's move apart, so that no line of them is missed."""
        return self._picked(
            [at for at, (x, y) in enumerate(zip(self.xs, self.ys, strict=True)) if (x + 2 * y) % 5 == 0]
        )

    def every(self, number: int) -> "Samples":
        """Every so-manieth place, in their order."""
        return self._picked(range(0, len(self.values), number))

    def _picked(self, picked: "Sequence[int]") -> "Samples":
        xs, ys, values, *terms = ([one[at] for at in picked] for one in (self.xs, self.ys, self.values, *self.terms))
        return Samples(xs, ys, values, terms)

    def step(self, step: Step) -> list[float]:
        """The term of a step."""
        return [step.at(x, y) for x, y in zip(self.xs, self.ys, strict=True)]

    def fitted(self, terms: list[list[float]], level: Held) -> Fit:
        """Fit some terms, with a print that begins at a level, in rounds that take ever fewer places for either."""
        fit = self.first(terms, level.begins)
        for spread in _ROUNDS:
            fit = self.again(terms, fit, spread, level)
        return fit

    def settled(self, terms: list[list[float]], known: Fit, level: Held) -> Fit:
        """Fit some terms anew where they nearly fit already: those of another fit, or of fewer places."""
        factors = known.factors[: len(terms)]
        fit = Fit(factors, self.left(terms, factors), known.level)
        for spread in _LAST_ROUNDS:
            fit = self.again(terms, fit, spread, level)
        return fit

    def first(self, terms: list[list[float]], level: float) -> Fit:
        """Fit some terms as if all were ground."""
        factors = self._solved(terms, [1.0] * len(self.values))
        return Fit(factors, self.left(terms, factors), level)

    def again(self, terms: list[list[float]], last: Fit, spread: float, held: Held) -> Fit:
        """Sort each place to ground or print by the last fit, and fit both anew.

        What lies farther from both than the spread counts for little.
        """
        off = last.off()
        counts = [1 / (1 + part * part) for part in [one / spread for one in off]]
        printed = [1.0 if part != left else 0.0 for part, left in zip(off, last.rest, strict=True)]
        level = last.level
        if math.fsum(printed) > _FEWEST_PRINTED:
            *factors, level = self._solved([*terms, printed], counts)
            level = min(held.high, max(held.low, level))
        else:
            factors = self._solved(terms, counts)
        return Fit(factors, self.left(terms, factors), level)

    def _solved(self, terms: list[list[float]], counts: list[float]) -> list[float]:
        """Factors of some terms by least squares; what is left at a place counts for so much before it is squared.

        The product of two columns is told by how far they lie apart, 2 a b = a a + b b - (a - b) (a - b): of all that
        adds up many numbers the standard library's distance takes the least time.
        """
        columns = [tuple(map(mul, counts, column)) for column in (*terms, self.values)]
        nothing = (0.0,) * len(counts)
        squares = [math.dist(column, nothing) ** 2 for column in columns]
        # The equations, one a term: its product with each term, and with the values.
        rows: list[list[float]] = []
        for at, column in enumerate(columns[:-1]):
            apart = (math.dist(column, other) for other in columns[at:])
            products = [(squares[at] + square - off * off) / 2 for square, off in zip(squares[at:], apart, strict=True)]
            rows.append([row[at] for row in rows] + products)
        return _eliminated(rows)

    def left(self, terms: list[list[float]], factors: list[float]) -> list[float]:
        """What the terms leave unexplained."""
        left = self.values
        for factor, term in zip(factors, terms, strict=True):
            left = [value - factor * part for value, part in zip(left, term, strict=True)]
        return left


def _eliminated(rows: list[list[float]]) -> list[float]:
    """Solve equations, each with its right side last, by elimination with pivots; a term not told apart becomes 0."""
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
