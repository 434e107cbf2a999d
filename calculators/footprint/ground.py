"""How bright the ground is at every place of a photograph, the print taken away.

The logarithm of the ground's brightness is taken as a surface of the second degree (light that falls off, a lamp at one
side, the lens's own fall-off) and straight steps with a soft edge (shadows). Cells of the print disturb neither: the
surface is fitted with weights that die out for what lies far from it, and a step counts only where nearly the whole
line across the picture has it, within the print and beside it alike.
"""

import math
from operator import add, mul
from typing import NamedTuple

TYPE_CHECKING = False
if TYPE_CHECKING:
    from typing import TypeVar

    from calculators.footprint.mask import Mask
    from calculators.footprint.picture import Grey

    T = TypeVar("T")

# A place has so many tiles along its shorter side, unless they would be smaller or larger than these sides in cells.
_TILES, _SMALLEST, _LARGEST = 30, 2, 8

# All own choices, found by trying on invented photographs.
_ROUNDS = 7
# Of one round: tiles, radians, powers of e. A step's softness, in tiles.
_MOST_CHANGE = (1.5, 0.12, 0.5)
_HARDEST, _SOFTEST = 0.25, 4.0
_WIDE, _NARROW = (0.25, 0.2, 0.15, 0.12, 0.09, 0.07), (0.07, 0.05, 0.04, 0.03, 0.03)
_STARTS, _ANOTHER_START = 4, (0.3, 3.0)
_WIDEST, _NARROWEST = 0.35, 0.03
_DIRECTIONS = 24
_STEPS_AT_MOST = 2
_LEAST_STEP = 0.07
_REACH = 2.5
_FEWEST = 36
_STRETCHES = 7


class Tiles(NamedTuple):
    """Values of square tiles of `side` cells, row by row; None where a tile is not wholly within the place."""

    side: int
    across: int
    down: int
    values: list[float | None]


def tiles(grey: "Grey", place: "Mask") -> Tiles:
    """Give the logarithm of the mean of each tile."""
    side = min(max(min(grey.width, grey.height) // _TILES, _SMALLEST), _LARGEST)
    across, down = grey.width // side, grey.height // side
    inside = place.narrower((side + 1) // 2).rows()
    made: list[float | None] = []
    width, area = grey.width, side * side
    for row in range(down):
        total = [0] * (across * side)
        top = row * side * width
        for start in range(top, top + side * width, width):
            total = list(map(add, total, grey.values[start : start + across * side]))
        middle = inside[row * side + side // 2]
        for column in range(across):
            at = column * side
            made.append(
                math.log((1 + math.fsum(total[at : at + side])) / area) if middle[at + side // 2] == "1" else None
            )
    return Tiles(side, across, down, made)


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


class _Surface:
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

    def fitted(self, terms: list[list[float]], rounds: int = _ROUNDS) -> list[float]:
        """Factors of some terms, after rounds of least squares with weights that count ever fewer tiles as ground."""
        factors = self.solved(terms, [1.0] * len(self.values))
        for turn in range(rounds - 1):
            by = 1 / max(_NARROWEST, _WIDEST * 0.5**turn)
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


def light(seen: Tiles, steps: list[Step]) -> Light | None:
    """Fit the ground's brightness with some steps in it; None where the place is too small for a surface."""
    surface = _Surface(seen)
    if len(surface.values) < _FEWEST:
        return None
    return surface.light(surface.fitted([*surface.terms, *[surface.step(step) for step in steps]]), steps)


def settled(seen: Tiles, steps: list[Step]) -> list[Step]:
    """Move each step to where it fits best, one after another."""
    surface = _Surface(seen)
    made = list(steps)
    for number, step in enumerate(steps):
        others = [surface.step(other) for other in made[:number] + made[number + 1 :]]
        made[number] = _sharpened(surface, step, others, _NARROW)[1]
    return made


def another_step(seen: Tiles, known: Light) -> Step | None:
    """Find a further step that an account of the light leaves unexplained; None where there is none to speak of."""
    if len(known.steps) == _STEPS_AT_MOST:
        return None
    surface = _Surface(seen)
    terms = [surface.step(step) for step in known.steps]
    likely = [
        _sharpened(surface, start, terms, _WIDE)
        for start in _likely_steps(surface.without(known.heights, known.steps))
    ]
    if not likely:
        return None
    best = min(likely, key=lambda one: one[0])[1]
    return _sharpened(surface, best, terms, _NARROW)[1]


def outside(seen: Tiles, covered: "Mask") -> Tiles:
    """The tiles whose middles are not covered."""
    marks = covered.rows()
    side, half = seen.side, seen.side // 2
    values = [
        None if marks[at // seen.across * side + half][at % seen.across * side + half] == "1" else value
        for at, value in enumerate(seen.values)
    ]
    return seen._replace(values=values)


def over(seen: Tiles, light: Light) -> list[list[float | None]]:
    """Each tile's brightness over that of its ground."""
    values = [
        None if value is None else math.exp(value - level)
        for value, level in zip(seen.values, light.surface, strict=True)
    ]
    return rows(values, seen.across)


def rows(values: "list[T]", across: int) -> "list[list[T]]":
    """Values of tiles as rows."""
    return [values[at : at + across] for at in range(0, len(values), across)]


def _likely_steps(seen: Tiles) -> list[Step]:
    """Find straight lines across which nearly every stretch of them gets darker, the strongest first.

    The edge of a print goes the same way along a part of a line at most; a shadow's does so all along.
    """
    found: list[tuple[float, Step]] = []
    least = max(_STRETCHES, 0.5 * math.sqrt(len([value for value in seen.values if value is not None])))
    for turn in range(_DIRECTIONS):
        angle = math.pi * turn / _DIRECTIONS
        nx, ny = math.cos(angle), math.sin(angle)
        for offset, drops in _drops(seen, nx, ny, round(_REACH * nx), round(_REACH * ny)).items():
            if len(drops) < least:
                continue
            drops.sort()
            size = len(drops) / _STRETCHES
            means = sorted(
                _mean([drop for _, drop in drops[round(at * size) : round((at + 1) * size)]])
                for at in range(_STRETCHES)
            )
            height = max(means[2], -means[-3])
            if height > _LEAST_STEP:
                sign = 1 if means[2] > 0 else -1
                found.append((height, Step(sign * nx, sign * ny, sign * float(offset), 1.0)))
    found.sort(key=lambda one: -one[0])
    kept: list[Step] = []
    middle = seen.across / 2, seen.down / 2
    for _, step in found:
        if len(kept) < _STARTS and all(_apart(step, other, middle) for other in kept):
            kept.append(step)
    return kept


def _apart(one: Step, other: Step, middle: tuple[float, float]) -> bool:
    """Whether two lines are so different that both are worth a start."""
    turned = abs(math.remainder(math.atan2(one.ny, one.nx) - math.atan2(other.ny, other.nx), 2 * math.pi))
    x, y = middle
    aside = (one.nx * x + one.ny * y - one.offset) - (other.nx * x + other.ny * y - other.offset)
    return turned > _ANOTHER_START[0] or abs(aside) > _ANOTHER_START[1]


def _drops(seen: Tiles, nx: float, ny: float, dx: int, dy: int) -> dict[int, list[tuple[float, float]]]:
    """The differences between the tiles ahead and behind, with where along the line they lie, by the line."""
    across = seen.across
    lines: dict[int, list[tuple[float, float]]] = {}
    for row in range(abs(dy), seen.down - abs(dy)):
        ahead = seen.values[(row + dy) * across : (row + dy + 1) * across]
        behind = seen.values[(row - dy) * across : (row - dy + 1) * across]
        for column in range(abs(dx), across - abs(dx)):
            one, other = ahead[column + dx], behind[column - dx]
            if one is not None and other is not None:
                drop = one - other
                lines.setdefault(round(column * nx + row * ny), []).append((row * nx - column * ny, drop))
    return lines


def _mean(values: list[float]) -> float:
    return math.fsum(values) / len(values)


def _sharpened(
    surface: _Surface, first: Step, known: list[list[float]], spreads: tuple[float, ...]
) -> tuple[float, Step]:
    """Move a step, turn it and make it softer or harder until the ground fits; by Gauss and Newton's rounds.

    Each round solves for the surface, the steps that are known, the height of this one and its three changes at once.
    A change is held to what the straight line of a derivative can speak for. Gives how badly the ground fits at last.
    """
    step, weights, height = first, [1.0] * len(surface.values), 0.0
    terms = [*surface.terms, *known]
    rest = surface.values
    for spread in spreads:
        term, moves = surface.moves(step)
        if not height:
            height = surface.solved([*terms, term], weights)[-1]
        tried = [*terms, term, *[[height * part for part in move] for move in moves]]
        factors = surface.solved(tried, weights)
        rest = surface.rest(tried, factors)
        weights = [1 / (1 + (left / spread) ** 2) ** 2 for left in rest]
        height = factors[-4]
        shift, angle, soft = (
            min(most, max(-most, change)) for most, change in zip(_MOST_CHANGE, factors[-3:], strict=True)
        )
        step = surface.moved(step, shift, angle, soft)
    squares = [(left / _NARROWEST) ** 2 for left in rest]
    return math.fsum([square / (1 + square) for square in squares]), step
