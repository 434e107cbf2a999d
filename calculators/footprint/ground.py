"""How bright the ground is at every place of a photograph, the print taken away.

The logarithm of the ground's brightness is taken as a surface of the second degree (light that falls off, a lamp at one
side, the lens's own fall-off) and straight steps with a soft edge (shadows). Cells of the print disturb neither: the
surface is fitted with weights that die out for what lies far from it, and a step counts only where nearly the whole
line across the picture has it, within the print and beside it alike.
"""

import math
from operator import add

from calculators.footprint.surface import Light, Step, Surface, Tiles

TYPE_CHECKING = False
if TYPE_CHECKING:
    from typing import TypeVar

    from calculators.footprint.mask import Mask
    from calculators.footprint.picture import Grey

    T = TypeVar("T")

# A place has so many tiles along its shorter side, unless they would be smaller or larger than these sides in cells.
_TILES, _SMALLEST, _LARGEST = 30, 2, 8
# Fewer tiles than this tell too little of a surface.
_FEWEST = 36


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


def light(seen: Tiles, steps: list[Step]) -> Light | None:
    """Fit the ground's brightness with some steps in it; None where the place is too small for a surface."""
    surface = Surface(seen)
    if len(surface.values) < _FEWEST:
        return None
    return surface.light(surface.fitted([*surface.terms, *[surface.step(step) for step in steps]]), steps)


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
    return tile_rows(values, seen.across)


def tile_rows(values: "list[T]", across: int) -> "list[list[T]]":
    """Values of tiles as rows."""
    return [values[at : at + across] for at in range(0, len(values), across)]
