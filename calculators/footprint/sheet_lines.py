"""Straight edges in a picture, coarsely: where the sides of a sheet may lie.

Each edge cell votes for the lines that may run through it, with the direction in which it grows lighter (a Hough vote
with oriented lines, common practice). The strongest line is taken, its cells leave, and so on.
"""

import math
from itertools import accumulate
from operator import add, sub
from typing import NamedTuple

TYPE_CHECKING = False
if TYPE_CHECKING:
    from calculators.footprint.picture import Grey

# Own choices, by trial on drawn scenes. Cells: those of the coarse grid.
_EDGE_CELLS = 1500  # the strongest ones; a sheet that fills the picture has some 400
_LEAST_STEP = 0.012  # of white; weaker edges are noise
_DIRECTIONS = 90  # steps of 4 degrees round the circle
_VOTES = (-2, -1, 0, 1, 2)  # an edge cell's own direction is good to about 8 degrees
_ALIGNED = math.cos(math.radians(20))
_NEAR_CELLS = (2.0, 1.2)  # a line's own cells: at the first look, after the first fit


class Line(NamedTuple):
    """A straight edge: points with x nx + y ny = at; (nx, ny) has length 1 and points to the lighter side.

    covered[i] counts the steps of one cell along (-ny, nx), from `first` to first + i, on which the edge was seen.
    """

    nx: float
    ny: float
    at: float
    first: int
    covered: list[int]

    def along(self, x: float, y: float) -> float:
        return y * self.nx - x * self.ny

    def seen(self, start: float, end: float) -> int:
        """Count the steps between two places along the line on which the edge was seen."""
        last = len(self.covered) - 1
        low, high = (min(max(round(place) - self.first, 0), last) for place in (start, end))
        return self.covered[high] - self.covered[low]


def shrunk(grey: "Grey", times: int) -> list[list[int]]:
    """Add up blocks of times x times cells (a power of two), row by row; an incomplete last block is left out."""
    width = grey.width // times * times
    rows = []
    for top in range(0, grey.height // times * times, times):
        starts = range(top * grey.width, (top + times) * grey.width, grey.width)
        parts: list[list[int]] = [list(grey.values[start : start + width]) for start in starts]
        while len(parts) > 1:
            parts = [list(map(add, a, b)) for a, b in zip(parts[::2], parts[1::2], strict=True)]
        row, = parts
        for _ in range(times.bit_length() - 1):
            row = list(map(add, row[::2], row[1::2]))
        rows.append(row)
    return rows


class _Edge(NamedTuple):
    x: float
    y: float
    nx: float
    ny: float
    votes: list[int]


def straight_edges(rows: list[list[int]], white: int, most: int, shortest: int) -> list[Line]:
    """Find up to `most` straight edges on which at least `shortest` steps are seen, the longest first."""
    width, height = len(rows[0]), len(rows)
    reach = math.ceil(math.hypot(width, height)) + 2
    across = 2 * reach + 2
    circle = [2 * math.pi * step / _DIRECTIONS for step in range(_DIRECTIONS)]
    turns = [(math.cos(angle), math.sin(angle)) for angle in circle]
    tally = [0] * (_DIRECTIONS * across)
    edges: list[_Edge] = []
    for x, y, right, down in _edge_cells(rows, white):
        step = round(math.atan2(down, right) * _DIRECTIONS / (2 * math.pi))
        votes = []
        for turn in _VOTES:
            direction = (step + turn) % _DIRECTIONS
            cos, sin = turns[direction]
            # A line between two steps of distance counts for both.
            vote = direction * across + int(x * cos + y * sin + reach)
            votes += (vote, vote + 1)
            tally[vote] += 1
            tally[vote + 1] += 1
        size = math.hypot(right, down)
        edges.append(_Edge(x, y, right / size, down / size, votes))
    lines: list[Line] = []
    for _ in range(2 * most):
        best = max(tally)
        if best < shortest or len(lines) == most:
            break
        direction, distance = divmod(tally.index(best), across)
        nx, ny = turns[direction]
        own = [edge for edge in edges if _belongs(edge, nx, ny, distance - reach, _NEAR_CELLS[0])]
        nx, ny, at = _fit(own, nx, ny)
        own = [edge for edge in edges if _belongs(edge, nx, ny, at, _NEAR_CELLS[1])]
        if len(own) < shortest:
            tally[direction * across + distance] = 0
            continue
        nx, ny, at = _fit(own, nx, ny)
        gone = {id(edge) for edge in own}
        edges = [edge for edge in edges if id(edge) not in gone]
        for edge in own:
            for vote in edge.votes:
                tally[vote] -= 1
        tally[direction * across + distance] = 0
        lines.append(_line(own, nx, ny, at))
    return lines


def _belongs(edge: _Edge, nx: float, ny: float, at: float, within: float) -> bool:
    return abs(edge.x * nx + edge.y * ny - at) <= within and edge.nx * nx + edge.ny * ny >= _ALIGNED


def _fit(edges: list[_Edge], nx: float, ny: float) -> tuple[float, float, float]:
    """Fit a line by total least squares; (nx, ny) says which of its two normals is meant."""
    if len(edges) < 2:
        return nx, ny, -math.inf
    count = len(edges)
    mid_x, mid_y = math.fsum(edge.x for edge in edges) / count, math.fsum(edge.y for edge in edges) / count
    xx = math.fsum((edge.x - mid_x) ** 2 for edge in edges)
    yy = math.fsum((edge.y - mid_y) ** 2 for edge in edges)
    xy = math.fsum((edge.x - mid_x) * (edge.y - mid_y) for edge in edges)
    angle = 0.5 * math.atan2(2 * xy, xx - yy)
    fit_x, fit_y = -math.sin(angle), math.cos(angle)
    if fit_x * nx + fit_y * ny < 0:
        fit_x, fit_y = -fit_x, -fit_y
    return fit_x, fit_y, fit_x * mid_x + fit_y * mid_y


def _line(edges: list[_Edge], nx: float, ny: float, at: float) -> Line:
    places = [round(edge.y * nx - edge.x * ny) for edge in edges]
    # A cell of an edge stands for itself and for a step to either side: thinned edges leave one out here and there.
    first, last = min(places) - 2, max(places) + 2
    marked = [0] * (last - first + 1)
    for place in places:
        for step in (-1, 0, 1):
            marked[place - first + step] = 1
    return Line(nx, ny, at, first, list(accumulate(marked)))


def _edge_cells(rows: list[list[int]], white: int) -> list[tuple[float, float, int, int]]:
    """Find the cells where the picture changes most: middle x and y, growth to the right and downwards.

    Growth: three cells against the three two columns (rows) on; thinned to the steepest across the edge.
    """
    width = len(rows[0]) - 2
    three_down = [list(map(add, map(add, a, b), c)) for a, b, c in zip(rows, rows[1:], rows[2:], strict=False)]
    three_across = [list(map(add, map(add, row, row[1:]), row[2:])) for row in rows]
    right: list[int] = []
    down: list[int] = []
    for row in three_down:
        right += map(sub, row[2:], row)
    for above, below in zip(three_across, three_across[2:], strict=False):
        down += map(sub, below, above)
    steep = [a * a + b * b for a, b in zip(right, down, strict=True)]
    ranked = sorted(steep)
    limit = max(ranked[max(0, len(ranked) - 3 * _EDGE_CELLS)], int((3 * _LEAST_STEP * white) ** 2))
    found = []
    for place, here in enumerate(steep):
        if here > limit:
            row, column = divmod(place, width)
            if 0 < column < width - 1 and width <= place < len(steep) - width:
                a, b = right[place], down[place]
                step = 1 if abs(a) > 2 * abs(b) else width if abs(b) > 2 * abs(a) else width + 1 if a * b > 0 else width - 1
                if here >= steep[place - step] and here > steep[place + step]:
                    found.append((here, column + 1.5, row + 1.5, a, b))
    found.sort(reverse=True)
    return [(x, y, a, b) for _, x, y, a, b in found[:_EDGE_CELLS]]
