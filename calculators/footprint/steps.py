"""The edges of shadows across a ground: straight lines found by differences, then moved to where they fit best."""

import math

from calculators.footprint.surface import NARROWEST, Light, Step, Surface, Tiles

# All own choices, found by trying on invented photographs. Lines are looked for in so many directions, by the
# differences of tiles so far to either side; a step is a difference of so much at least (in logarithms) in nearly all
# stretches.
_DIRECTIONS, _REACH, _LEAST_STEP, _STRETCHES = 24, 2.5, 0.07, 7
_STEPS_AT_MOST = 2
# So many lines are tried, which differ by so many radians or tiles.
_STARTS, _ANOTHER_START = 4, (0.3, 3.0)
# Spreads of the rounds, first for every line, then for the best; most change of one round: tiles, radians, powers of e.
_WIDE, _NARROW = (0.25, 0.2, 0.15, 0.12, 0.09, 0.07), (0.07, 0.05, 0.04, 0.03, 0.03)
_MOST_CHANGE = (1.5, 0.12, 0.5)


def settled(seen: Tiles, steps: list[Step]) -> list[Step]:
    """Move each step to where it fits best, one after another."""
    surface = Surface(seen)
    made = list(steps)
    for number, step in enumerate(steps):
        others = [surface.step(other) for other in made[:number] + made[number + 1 :]]
        made[number] = _sharpened(surface, step, others, _NARROW)[1]
    return made


def another_step(seen: Tiles, known: Light) -> Step | None:
    """Find a further step that an account of the light leaves unexplained; None where there is none to speak of."""
    if len(known.steps) == _STEPS_AT_MOST:
        return None
    surface = Surface(seen)
    terms = [surface.step(step) for step in known.steps]
    likely = [
        _sharpened(surface, start, terms, _WIDE) for start in _likely_steps(surface.without(known.heights, known.steps))
    ]
    if not likely:
        return None
    best = min(likely, key=lambda one: one[0])[1]
    return _sharpened(surface, best, terms, _NARROW)[1]


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
    surface: Surface, first: Step, known: list[list[float]], spreads: tuple[float, ...]
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
    squares = [(left / NARROWEST) ** 2 for left in rest]
    return math.fsum([square / (1 + square) for square in squares]), step
