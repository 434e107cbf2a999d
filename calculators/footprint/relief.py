"""A picture over its ground: 1 where nothing lies on the ground, less or more where something does."""

from operator import add, itemgetter, mul, sub, truediv
from typing import NamedTuple

from calculators.footprint.ground import tile_rows
from calculators.footprint.shadow import shadow

TYPE_CHECKING = False
if TYPE_CHECKING:
    from calculators.footprint.mask import Mask
    from calculators.footprint.picture import Grey
    from calculators.footprint.shadow import Shadow
    from calculators.footprint.surface import Light, Tiles

# Median differences between cells two apart from which the picture is smoothed once, and twice (own choice).
_ROUGH, _ROUGHER = 0.022, 0.045


class Grid(NamedTuple):
    """Where the cells of a picture lie on those cells that the tiles were made of.

    `step` is the side of a cell, `left` and `top` where the first one begins, all in those cells.
    """

    width: int
    height: int
    step: float = 1.0
    left: float = 0.0
    top: float = 0.0


class Spread:
    """Numbers of tiles spread over cells, straight between the middles of tiles."""

    def __init__(self, grid: Grid, seen: "Tiles") -> None:
        self.grid = grid
        columns = [_between(grid.left + (x + 0.5) * grid.step, seen.across, seen.side) for x in range(grid.width)]
        # One more than there are, so that even a single column is picked as a tuple.
        self._pick = itemgetter(*[at for at, _ in columns], 0)
        self._rests = [rest for _, rest in columns]
        self._rows = [_between(grid.top + (y + 0.5) * grid.step, seen.down, seen.side) for y in range(grid.height)]

    def rows(self, tiles: list[list[float]]) -> list[list[float]]:
        """One number a cell."""
        made = []
        for first, part in self._rows:
            upper, lower = tiles[first], tiles[min(first + 1, len(tiles) - 1)]
            line = [a + part * (b - a) for a, b in zip(upper, lower, strict=True)]
            slopes = [*map(sub, line[1:], line), 0.0]
            made.append(list(map(add, self._pick(line), map(mul, self._pick(slopes), self._rests))))
        return made


def _between(place: float, tiles: int, side: int) -> tuple[int, float]:
    at = min(max(place / side - 0.5, 0.0), tiles - 1.0)
    first = int(at)
    return first, at - first


class Lit(NamedTuple):
    """How brightly the ground is lit: a number for each tile, and the edges of shadows."""

    smooth: list[list[float]]
    edges: "list[Shadow]"

    def rows(self, spread: Spread) -> list[list[float]]:
        """The ground's brightness, cell by cell."""
        made = spread.rows(self.smooth)
        for edge in self.edges:
            made = _shaded(made, edge, spread.grid)
        return made


def lit(grey: "Grey", place: "Mask", seen: "Tiles", light: "Light", spread: Spread) -> tuple[Lit, list[list[float]]]:
    """Take an account of the light from tiles to cells, and each shadow's edge to where it is.

    Returns:
        That account, and the ground's brightness by it, cell by cell.
    """
    found = Lit(tile_rows(light.smooth, seen.across), [])
    rows = spread.rows(found.smooth)
    for step, height in zip(light.steps, light.heights, strict=True):
        found.edges.append(shadow(grey, rows, place, step, height, light.level, seen.side))
        rows = _shaded(rows, found.edges[-1], spread.grid)
    return found, rows


def _shaded(rows: list[list[float]], edge: "Shadow", grid: Grid) -> list[list[float]]:
    """The ground's brightness with one more shadow on it."""
    falls = (edge.row(grid.left, grid.top + (y + 0.5) * grid.step, grid.step, grid.width) for y in range(len(rows)))
    return [list(map(mul, line, fall)) for line, fall in zip(rows, falls, strict=True)]


class Relief(NamedTuple):
    """Brightness over ground, cell by cell."""

    spread: Spread
    rows: list[list[float]]


def relief(grey: "Grey", under: list[list[float]], spread: Spread) -> Relief:
    """Divide the picture by its ground, and smooth what is rough with grain."""
    values, width = grey.values, grey.width
    rows = [list(map(truediv, values[y * width : (y + 1) * width], line)) for y, line in enumerate(under)]
    for _ in range(_smoothings(rows)):
        rows = _smoothed_once(rows)
    return Relief(spread, rows)


def _smoothings(rows: list[list[float]]) -> int:
    """How often to smooth: by the median difference between cells two apart, on a sample."""
    sample = sorted(abs(row[at + 2] - row[at]) for row in rows[5::11] for at in range(0, len(row) - 2, 7))
    rough = sample[len(sample) // 2] if sample else 0.0
    return next((times for times, limit in ((0, _ROUGH), (1, _ROUGHER)) if rough < limit), 2)


def _smoothed_once(rows: list[list[float]]) -> list[list[float]]:
    """Mean of 3 x 3 cells; the rim repeats itself."""
    across = []
    for row in rows:
        wide = [row[0], *row, row[-1]]
        across.append([a + b + c for a, b, c in zip(wide[:-2], row, wide[2:], strict=True)])
    tall = [across[0], *across, across[-1]]
    return [
        [(a + b + c) / 9 for a, b, c in zip(*lines, strict=True)]
        for lines in zip(tall[:-2], across, tall[2:], strict=True)
    ]


def field(seen: Relief, grounds: list[list[float]], prints: list[list[float]], part: float) -> list[list[float]]:
    """Give numbers above zero on the print and below on the ground; `part` of the contrast lies at zero.

    Args:
        seen: the picture over its ground.
        grounds: level of the ground near each tile.
        prints: level of the print near each tile.
        part: 0 at the ground's level, 1 at the print's.
    """
    limits = seen.spread.rows(
        [
            [a + part * (b - a) for a, b in zip(line, other, strict=True)]
            for line, other in zip(grounds, prints, strict=True)
        ]
    )
    if prints[0][0] < grounds[0][0]:
        return [list(map(sub, limit, ratio)) for limit, ratio in zip(limits, seen.rows, strict=True)]
    return [list(map(sub, ratio, limit)) for limit, ratio in zip(limits, seen.rows, strict=True)]
