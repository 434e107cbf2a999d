"""The surface of a ground's brightness, fitted to the tiles of a place."""

import math
from typing import NamedTuple

from calculators.footprint.samples import Fit, Samples, Step

# A ground is never darker or brighter than this (logarithms of a cell's value), even where its surface is bent beyond.
_DARKEST, _BRIGHTEST = -4.0, 10.0


class Tiles(NamedTuple):
    """Values of square tiles of `side` cells, row by row; None where a tile is not wholly within the place."""

    side: int
    across: int
    down: int
    values: list[float | None]


class Light(NamedTuple):
    """One account of the light on a place, a tile each.

    `smooth` is the ground's brightness on the bright side of all steps, `surface` the logarithm of it with the steps,
    `heights` those of the steps, `level` that of a print over its ground, in logarithms. `misfit` counts the tiles that
    are neither ground nor print. `second` marks one beside which another leaves fewer unexplained.
    """

    smooth: list[float]
    surface: list[float]
    steps: list[Step]
    heights: list[float]
    level: float
    misfit: float
    second: bool = False


class Surface(Samples):
    """The tiles that have a value, with the terms of the surface in each."""

    def __init__(self, seen: Tiles) -> None:
        self._seen = seen
        across = seen.across
        self._kept = [at for at, value in enumerate(seen.values) if value is not None]
        powers = [
            _powers(2 * (column + 0.5) / across - 1, 2 * (row + 0.5) / seen.down - 1)
            for row in range(seen.down)
            for column in range(across)
        ]
        self._whole = [list(column) for column in zip(*powers, strict=True)]
        super().__init__(
            [float(at % across) for at in self._kept],
            [float(at // across) for at in self._kept],
            [seen.values[at] for at in self._kept],  # type: ignore[misc]  # those that have one
            [[column[at] for at in self._kept] for column in self._whole],
        )

    def light(self, fit: Fit, steps: list[Step]) -> Light:
        """The account that a fit gives, in every tile."""
        smooth = [0.0] * (self._seen.across * self._seen.down)
        for factor, term in zip(fit.factors, self._whole, strict=False):
            smooth = [value + factor * part for value, part in zip(smooth, term, strict=True)]
        heights = fit.factors[len(self._whole) :]
        across, surface = self._seen.across, smooth
        for height, step in zip(heights, steps, strict=True):
            surface = [value + height * step.at(at % across, at // across) for at, value in enumerate(surface)]
        # What a step adds on its bright side belongs to the bright ground.
        whole = math.fsum(heights)
        bright = [math.exp(min(_BRIGHTEST, max(_DARKEST, value + whole))) for value in smooth]
        return Light(bright, surface, steps, heights, fit.level, fit.misfit())

    def without(self, heights: list[float], steps: list[Step]) -> Tiles:
        """The tiles with some steps taken away."""
        values = list(self._seen.values)
        for height, step in zip(heights, steps, strict=True):
            for at, part in zip(self._kept, self.step(step), strict=True):
                values[at] -= height * part  # type: ignore[operator]  # the kept ones have a value
        return self._seen._replace(values=values)


def _powers(x: float, y: float) -> tuple[float, ...]:
    return 1.0, x, y, x * x, x * y, y * y
