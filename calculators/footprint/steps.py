"""The edges of shadows across a ground: straight lines found by differences, then moved to where they fit best."""

import math

from calculators.footprint.line import HIGHEST, Line
from calculators.footprint.samples import DARKER, LIGHTER, Samples, Step
from calculators.footprint.surface import Light, Surface, Tiles

TYPE_CHECKING = False
if TYPE_CHECKING:
    from collections.abc import Iterator

# All own choices, found by trying on invented photographs. Lines are looked for in so many directions, by the
# differences of tiles so far to either side; a step is a difference of so much at least (in logarithms) in nearly all
# stretches.
_DIRECTIONS, _REACH, _LEAST_STEP, _STRETCHES = 24, 2.5, 0.07, 7
_STEPS_AT_MOST = 2
# Fewer than this of every fifth tile tell too little of a surface.
_FEWEST = 12
# So many lines are tried, which differ by so many radians or tiles; so many of them to the end.
_STARTS, _ANOTHER_START, _TRIED_ON = 3, (0.3, 3.0), 2
# Spreads of the rounds: for every line, for those that are tried on, for the best.
_WIDE, _NARROWER, _NARROW = (0.25, 0.25, 0.2, 0.15), (0.12, 0.09), (0.07, 0.07, 0.05, 0.04)
# Where no more than this part of the tiles is neither ground nor print, there is hardly a step. One that leaves this
# part of the misfit at most is there.
_EVEN, _TELLS = 0.25, 0.9


def accounts(seen: Tiles) -> "Iterator[Light]":
    """Give accounts of the light, the likeliest first; none where the place is too small for one."""
    surface = Surface(seen)
    few = surface.every_fifth()
    if len(few.values) < _FEWEST:
        return
    known = [_without_steps(surface, few)]
    given = known[0].misfit < _EVEN * len(surface.values)
    if given:
        yield known[0]
    while len(known) <= _STEPS_AT_MOST:
        further = _another(surface, few, known[-1])
        if further is None:
            break
        known.append(further)
        if not given and further.misfit >= _TELLS * known[0].misfit:
            given = True
            yield known[0]
        yield further
    if not given:
        yield known[0]


def _without_steps(surface: Surface, few: Samples) -> Light:
    """Fit the ground's brightness, and a print that is darker or lighter."""
    fits = [(few.fitted(few.terms, level), level) for level in (DARKER, LIGHTER)]
    fit, level = min(fits, key=lambda one: one[0].misfit())
    return surface.light(surface.settled(surface.terms, fit, level), [])


def _another(surface: Surface, few: Samples, known: Light) -> Light | None:
    """Add a further step that an account of the light leaves unexplained; None where there is none to speak of."""
    starts = _likely_steps(surface.without(known.heights, known.steps))
    if not starts:
        return None
    lines = [Line(few, known.steps, start, level) for start in starts for level in (DARKER, LIGHTER)]
    for line in lines:
        line.sharpen(_WIDE)
    lines = sorted(lines, key=Line.misfit)[:_TRIED_ON]
    for line in lines:
        line.sharpen(_NARROWER)
    best = min(lines, key=Line.misfit)
    best.sharpen(_NARROW)
    terms = [*surface.terms, *[surface.step(step) for step in (*known.steps, best.step)]]
    light = surface.light(surface.settled(terms, best.fit(), best.level), [*known.steps, best.step])
    return light if max(map(abs, light.heights)) < HIGHEST else None


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
