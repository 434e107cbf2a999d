"""How bright the ground is at every place of a photograph, the print taken away.

The logarithm of the ground's brightness is taken as a surface of the second degree (light that falls off, a lamp at one
side, the lens's own fall-off) and straight steps with a soft edge (shadows). Cells of the print disturb neither: the
surface is fitted with weights that die out for what lies far from it, and a step counts only where nearly the whole
line across the picture has it, within the print and beside it alike.
"""

import math
from operator import add
from typing import NamedTuple

TYPE_CHECKING = False
if TYPE_CHECKING:
    from collections.abc import Iterator
    from typing import TypeVar

    from calculators.footprint.mask import Mask
    from calculators.footprint.picture import Grey

    T = TypeVar("T")

# A place has so many tiles along its shorter side, unless they would be smaller or larger than these sides in cells.
_TILES, _SMALLEST, _LARGEST = 34, 3, 12

# All own choices, found by trying on invented photographs.
_ROUNDS = 7
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
    inside = place.narrower((side + 1) // 2).rows() if place.size() < grey.width * grey.height else None
    made: list[float | None] = []
    width = grey.width
    for row in range(down):
        total = [0] * (across * side)
        top = row * side * width
        for start in range(top, top + side * width, width):
            total = list(map(add, total, grey.values[start : start + across * side]))
        middle = row * side + side // 2
        for column in range(across):
            if inside and inside[middle][column * side + side // 2] == "0":
                made.append(None)
            else:
                at = column * side
                made.append(math.log(1 + math.fsum(total[at : at + side])))
    return Tiles(side, across, down, made)


class Step(NamedTuple):
    """A straight soft step: the side where x * nx + y * ny > offset is brighter by `height` (of logarithms)."""

    nx: float
    ny: float
    offset: float
    softness: float

    def at(self, x: float, y: float) -> float:
        """From 0 on the dark side to 1 on the bright one."""
        return 0.5 + 0.5 * math.tanh((x * self.nx + y * self.ny - self.offset) / self.softness)


class Light(NamedTuple):
    """One account of the light on a place.

    `surface` is the logarithm of the ground's brightness, a tile each, `smooth` the same without the steps in it.
    """

    surface: list[float]
    smooth: list[float]
    steps: list[Step]
    heights: list[float]


def _light(steps: list[Step], found: list[float], terms: list[tuple[float, ...]]) -> Light:
    surface = [_dot(found, term) for term in terms]
    smooth = [_dot(found[:6], term[:6]) for term in terms]
    return Light(surface, smooth, steps, found[6:])


def accounts(seen: Tiles) -> "Iterator[Light]":
    """Give one account after another of the light: without a step, then with one more step each time.

    None at all where the place is too small for a surface.
    """
    if len([value for value in seen.values if value is not None]) < _FEWEST:
        return
    steps: list[Step] = []
    found, terms = _surface(seen, steps, _ROUNDS)
    yield _light(steps, found, terms)
    rest = seen
    for _ in range(_STEPS_AT_MOST):
        step = _step(rest)
        if step is None:
            return
        steps = _sharpened(seen, [*steps, step])
        found, terms = _surface(seen, steps, _ROUNDS)
        yield _light(steps, found, terms)
        rest = seen._replace(
            values=[
                None if value is None else value - _dot(found[6:], term[6:])
                for value, term in zip(seen.values, terms, strict=True)
            ]
        )


def levels(seen: Tiles, light: Light) -> tuple[list[list[float]], list[list[float | None]]]:
    """Give the ground's brightness without steps in the middle of every tile, and each tile's own over its ground."""
    area = seen.side * seen.side
    # What a step adds on its bright side belongs to the bright ground.
    whole = math.fsum(height for height in light.heights)
    under = [math.exp(value + whole) / area for value in light.smooth]
    over = [
        None if value is None else math.exp(value - level)
        for value, level in zip(seen.values, light.surface, strict=True)
    ]
    return _rows(under, seen.across), _rows(over, seen.across)


def _rows(values: "list[T]", across: int) -> "list[list[T]]":
    return [values[at : at + across] for at in range(0, len(values), across)]


def _terms(seen: Tiles, steps: list[Step]) -> list[tuple[float, ...]]:
    made = []
    for row in range(seen.down):
        y = 2 * (row + 0.5) / seen.down - 1
        for column in range(seen.across):
            x = 2 * (column + 0.5) / seen.across - 1
            made.append((1.0, x, y, x * x, x * y, y * y, *(step.at(column, row) for step in steps)))
    return made


def _surface(seen: Tiles, steps: list[Step], rounds: int) -> tuple[list[float], list[tuple[float, ...]]]:
    """Fit the surface and the steps' heights; gives the factors and the terms of every tile."""
    terms = _terms(seen, steps)
    rows = [(term, value) for term, value in zip(terms, seen.values, strict=True) if value is not None]
    weights = [1.0] * len(rows)
    found: list[float] = []
    for turn in range(rounds):
        found = _least_squares(rows, weights)
        spread = max(_NARROWEST, _WIDEST * 0.5**turn)
        weights = [1 / (1 + ((value - _dot(found, term)) / spread) ** 2) ** 2 for term, value in rows]
    return found, terms


def _dot(left: "tuple[float, ...] | list[float]", right: "tuple[float, ...] | list[float]") -> float:
    total = 0.0
    for one, other in zip(left, right, strict=True):
        total += one * other
    return total


def _least_squares(rows: list[tuple[tuple[float, ...], float]], weights: list[float]) -> list[float]:
    """Solve the weighted normal equations by elimination with pivots; a term that nothing tells apart becomes 0."""
    count = len(rows[0][0])
    table = [[0.0] * (count + 1) for _ in range(count)]
    for (term, value), weight in zip(rows, weights, strict=True):
        if weight < 1e-4:
            continue
        for at in range(count):
            scaled = weight * term[at]
            line = table[at]
            for other in range(at, count):
                line[other] += scaled * term[other]
            line[count] += scaled * value
    for at in range(count):
        for other in range(at):
            table[at][other] = table[other][at]
        table[at][at] += 1e-9
    for at in range(count):
        best = max(range(at, count), key=lambda row: abs(table[row][at]))
        table[at], table[best] = table[best], table[at]
        lead = table[at][at]
        for row in range(count):
            if row != at and table[row][at]:
                factor = table[row][at] / lead
                table[row] = [a - factor * b for a, b in zip(table[row], table[at], strict=True)]
    return [table[at][count] / table[at][at] for at in range(count)]


def _step(seen: Tiles) -> Step | None:
    """Find the straight line across which nearly every stretch of it gets darker by the most.

    The edge of a print goes the same way along a part of a line at most; a shadow's does so all along.
    """
    best, best_height = None, _LEAST_STEP
    least = 0.5 * math.sqrt(len([value for value in seen.values if value is not None]))
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
            if height > best_height:
                sign = 1 if means[2] > 0 else -1
                best, best_height = Step(sign * nx, sign * ny, sign * float(offset), 1.0), height
    return best


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


def _sharpened(seen: Tiles, steps: list[Step]) -> list[Step]:
    """Move the last step a little, turn it and make it softer or harder, as long as the ground fits better."""
    best, cost = steps, _cost(seen, steps)
    centre = (seen.across - 1) / 2, (seen.down - 1) / 2
    for size in (1.0, 0.5, 0.25):
        for turn, shift, soft in (
            (0, 1, 1), (0, -1, 1), (0, 0, 2), (0, 0, 0.5), (0.08, 0, 1), (-0.08, 0, 1),
        ):  # fmt: skip
            step = best[-1]
            angle = math.atan2(step.ny, step.nx) + turn * size
            nx, ny = math.cos(angle), math.sin(angle)
            middle = step.offset - centre[0] * step.nx - centre[1] * step.ny
            moved = Step(nx, ny, middle + centre[0] * nx + centre[1] * ny + shift * size, step.softness * (soft**size))
            tried = [*best[:-1], moved]
            reached = _cost(seen, tried)
            if reached < cost:
                best, cost = tried, reached
    return best


def _cost(seen: Tiles, steps: list[Step]) -> float:
    found, terms = _surface(seen, steps, 4)
    total = 0.0
    for term, value in zip(terms, seen.values, strict=True):
        if value is not None:
            off = (value - _dot(found, term)) / _NARROWEST
            total += off * off / (1 + off * off)
    return total
