"""A place of a photograph in tiles, and each tile over the ground that an account of the light says.

The logarithm of the ground's brightness is taken as a surface of the second degree (light that falls off, a lamp at one
side, the lens's own fall-off) and straight steps with a soft edge (shadows): see `surface`, `line` and `steps`.
"""

import math
from operator import add

from calculators.footprint.surface import Light, Tiles

TYPE_CHECKING = False
if TYPE_CHECKING:
    from typing import TypeVar

    from calculators.footprint.mask import Mask
    from calculators.footprint.picture import Grey

    T = TypeVar("T")

# A place has so many tiles along its shorter side, unless they would be smaller or larger than these sides in cells.
_TILES, _SMALLEST, _LARGEST = 30, 2, 8


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
