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
# So many lines are tried, which differ by so many radians or tiles; so many of them to the end. Where that shows no
# print, so many are tried in all, and so many of them make second-best accounts, which differ by so much.
_STARTS, _ANOTHER_START, _TRIED_ON = 3, (0.3, 3.0), 2
_MORE_STARTS, _SECOND, _ANOTHER = 8, 2, (0.05, 1.0)
# Spreads of the rounds: for every line, for those that are tried on, for the best.
_WIDE, _NARROWER, _NARROW = (0.35, 0.25, 0.2, 0.15), (0.12, 0.09), (0.07, 0.07, 0.05, 0.04)
# Where no more than this part of the tiles is neither ground nor print, there is hardly a step. One that leaves this
# part of the misfit at most is there.
_EVEN, _TELLS = 0.25, 0.9


class Accounts:
    """Accounts of the light on a place; none where it is too small for one."""

    def __init__(self, seen: Tiles) -> None:
        self._surface = Surface(seen)
        self._few = self._surface.every_fifth()
        self._middle = seen.across / 2, seen.down / 2
        self._others: list[tuple[Light, list[Line], list[Step]]] = []

    def likeliest(self) -> "Iterator[Light]":
        """Give the accounts with the best lines, the likeliest first."""
        surface, few = self._surface, self._few
        if len(few.values) < _FEWEST:
            return
        known = [_without_steps(surface, few)]
        given = known[0].misfit < _EVEN * len(surface.values)
        if given:
            yield known[0]
        while len(known) <= _STEPS_AT_MOST:
            before = known[-1]
            starts = _likely_steps(surface.without(before.heights, before.steps))
            lines = _lines(few, before, starts[:_STARTS])
            self._others.append((before, lines, starts[_STARTS:]))
            further = _with_line(surface, before, lines[0]) if lines else None
            if further is None:
                break
            known.append(further)
            if not given and further.misfit >= _TELLS * known[0].misfit:
                given = True
                yield known[0]
            yield further
        if not given:
            yield known[0]

    def second(self) -> "Iterator[Light]":
        """Give accounts with lines that were not the best, or not begun with, once the likeliest were given.

        They leave clearly less unexplained than no line at all does: where there is no shadow there are none.
        """
        most = _TELLS * self._others[0][0].misfit if self._others else 0.0
        for before, lines, starts in self._others:
            tried = [line.step for line in lines[:1]]
            others = sorted(lines[1:] + _lines(self._few, before, starts), key=Line.misfit)[:_SECOND]
            for line in others:
                light = _with_line(self._surface, before, line)
                if (
                    light
                    and light.misfit < most
                    and all(_apart(line.step, step, self._middle, _ANOTHER) for step in tried)
                ):
                    tried.append(line.step)
                    yield light._replace(second=True)


def _without_steps(surface: Surface, few: Samples) -> Light:
    """Fit the ground's brightness, and a print that is darker or lighter."""
    fits = [(few.fitted(few.terms, level), level) for level in (DARKER, LIGHTER)]
    fit, level = min(fits, key=lambda one: one[0].misfit())
    return surface.light(surface.settled(surface.terms, fit, level), [])


def _lines(few: Samples, known: Light, starts: list[Step]) -> list[Line]:
    """Move lines of a further step to where they leave the least unexplained, the best first."""
    lines = [Line(few, known.steps, start, level) for start in starts for level in (DARKER, LIGHTER)]
    for line in lines:
        line.sharpen(_WIDE)
    lines = sorted(lines, key=Line.misfit)[:_TRIED_ON]
    for line in lines:
        line.sharpen(_NARROWER)
    return sorted(lines, key=Line.misfit)


def _with_line(surface: Surface, known: Light, line: Line) -> Light | None:
    """Add a further step to an account of the light; None where it would take more of the light than a shadow does."""
    line.sharpen(_NARROW)
    terms = [*surface.terms, *[surface.step(step) for step in (*known.steps, line.step)]]
    light = surface.light(surface.settled(terms, line.fit(), line.level), [*known.steps, line.step])
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
        if len(kept) < _MORE_STARTS and all(_apart(step, other, middle, _ANOTHER_START) for other in kept):
            kept.append(step)
    return kept


def _apart(one: Step, other: Step, middle: tuple[float, float], least: tuple[float, float]) -> bool:
    """Whether two lines differ by so many radians, or by so many tiles in the middle of the place."""
    turned = abs(math.remainder(math.atan2(one.ny, one.nx) - math.atan2(other.ny, other.nx), 2 * math.pi))
    x, y = middle
    aside = (one.nx * x + one.ny * y - one.offset) - (other.nx * x + other.ny * y - other.offset)
    return turned > least[0] or abs(aside) > least[1]


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
