"""Straight edges in a picture, coarsely: where the sides of a sheet may lie.

Each edge cell votes for the lines that may run through it, with the direction in which it grows lighter (a Hough vote
with oriented lines, common practice). The strongest line is taken, its cells leave, and so on.
"""

import math
from array import array
from collections import defaultdict
from heapq import heapify, heappop, heappush
from itertools import accumulate, compress, count
from operator import add, floordiv, mul, sub
from typing import NamedTuple

from calculators.footprint.picture import WHITE

TYPE_CHECKING = False
if TYPE_CHECKING:
    from calculators.footprint.picture import Grey
    from calculators.footprint.rectify import Point

# Own choices, by trial on drawn scenes. Cells: those of the coarse grid.
_DARK = 100  # part of white below which a colour says little
_EDGE_CELLS = 1500  # the strongest; the outline of a sheet that fills the picture has some 400
_SAMPLED = 7  # one cell of so many is asked how steep the picture is
_THICK = 3  # an edge is about three cells wide before it is thinned
_LEAST_CHANGE = 3 * 49  # three cells, each by 1.2 % of white; weaker edges are noise
_DIRECTIONS = 60  # steps of 6 degrees round the circle
_VOTES = 1  # steps to either side: a cell's own direction is good to about 8 degrees
_ASLANT = 4  # cells that a long line may lie off the direction nearest to it at its ends
_ALIGNED = math.cos(math.radians(20))
_NEAR_CELLS = (2.0, 1.2)  # a line's own cells: after the first fit, after the second


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
        """Count the steps between two places along the line, in either order, on which the edge was seen."""
        last = len(self.covered) - 1
        low, high = (min(max(round(place) - self.first, 0), last) for place in sorted((start, end)))
        return self.covered[high] - self.covered[low]


def share(colour: "Grey", bright: "Grey") -> "Grey":
    """Give a colour's share of the brightness, cell by cell: about half of white where they are equal.

    What is nearly black has no colour to speak of: its share is drawn towards nothing.
    """
    half, dark = WHITE // 2, WHITE // _DARK
    values = map(floordiv, map(half.__mul__, colour.values), map(dark.__add__, bright.values))
    return colour._replace(values=array("H", list(values)))


class _Edge(NamedTuple):
    """A cell on an edge, and the direction in which it grows lighter."""

    x: float
    y: float
    nx: float
    ny: float


class _Votes:
    """Who is for which line. A line's number: its direction times `across`, plus its distance from the corner."""

    def __init__(self, edges: list[_Edge], width: int, height: int) -> None:
        self.reach = math.ceil(math.hypot(width, height)) + 3
        self.across = 2 * self.reach + 3
        self.turns = [
            (math.cos(angle), math.sin(angle))
            for angle in (math.tau * step / _DIRECTIONS for step in range(_DIRECTIONS))
        ]
        self.voters: defaultdict[int, list[int]] = defaultdict(list)
        voters = self.voters
        # For every direction its neighbours: where their lines' numbers begin, and the direction, twice round.
        starts = [(step * self.across + self.reach, *turn) for step, turn in enumerate(self.turns)]
        near = [
            [starts[(step + aside) % _DIRECTIONS] for aside in range(-_VOTES, _VOTES + 1)]
            for step in range(2 * _DIRECTIONS)
        ]
        self.of_edge: list[list[int]] = []
        for number, (x, y, nx, ny) in enumerate(edges):
            step = round(math.atan2(ny, nx) * _DIRECTIONS / math.tau)
            votes: list[int] = []
            for start, cos, sin in near[step + _DIRECTIONS]:
                # A line between two steps of distance counts for both.
                vote = start + int(x * cos + y * sin)
                votes += (vote, vote + 1)
                voters[vote].append(number)
                voters[vote + 1].append(number)
            self.of_edge.append(votes)
        self.tally = {vote: len(voters) for vote, voters in self.voters.items()}

    def near(self, nx: float, ny: float, middle: "Point") -> set[int]:
        """Give all who may belong to a line through a point: it may lie aslant between the directions."""
        direction = round(math.atan2(ny, nx) * _DIRECTIONS / math.tau) % _DIRECTIONS
        cos, sin = self.turns[direction]
        number = direction * self.across + round(middle[0] * cos + middle[1] * sin) + self.reach
        return set().union(*(self.voters.get(vote, ()) for vote in range(number - _ASLANT, number + _ASLANT + 1)))

    def leave(self, gone: list[int]) -> None:
        for number in gone:
            for vote in self.of_edge[number]:
                self.tally[vote] -= 1


def straight_edges(grey: "Grey", most: int, shortest: int) -> list[Line]:
    """Find up to `most` straight edges on which at least `shortest` steps are seen, about the longest first.

    There are none in a picture less than three times as wide or high.
    """
    if min(grey.width, grey.height) < 3 * shortest:
        return []
    edges = _edge_cells(grey)
    votes = _Votes(edges, grey.width, grey.height)
    free = [True] * len(edges)
    lines: list[Line] = []
    # Counts only fall, so that the first in the queue whose count still holds is the highest of all.
    queue = [(-count, number) for number, count in votes.tally.items() if count >= shortest]
    heapify(queue)
    while queue and len(lines) < most:
        count, number = heappop(queue)
        if -count != votes.tally[number]:
            if votes.tally[number] >= shortest:
                heappush(queue, (-votes.tally[number], number))
            continue
        nx, ny = votes.turns[number // votes.across]
        own: list[int] = [edge for edge in votes.voters[number] if free[edge]]
        for within in _NEAR_CELLS:
            nx, ny, at, middle = _fit([edges[edge] for edge in own], nx, ny)
            own = [
                edge for edge in votes.near(nx, ny, middle) if free[edge] and _belongs(edges[edge], nx, ny, at, within)
            ]
            if len(own) < shortest:
                break
        else:
            for edge in own:
                free[edge] = False
            votes.leave(own)
            lines.append(_line([edges[edge] for edge in sorted(own)], nx, ny))
    return lines


def _belongs(edge: _Edge, nx: float, ny: float, at: float, within: float) -> bool:
    return abs(edge.x * nx + edge.y * ny - at) <= within and edge.nx * nx + edge.ny * ny >= _ALIGNED


def _fit(edges: list[_Edge], nx: float, ny: float) -> "tuple[float, float, float, Point]":
    """Fit a line by total least squares; (nx, ny) says which of its two normals is meant. Also gives its middle."""
    count = len(edges)
    mid_x, mid_y = math.fsum(edge.x for edge in edges) / count, math.fsum(edge.y for edge in edges) / count
    xx = math.fsum((edge.x - mid_x) ** 2 for edge in edges)
    yy = math.fsum((edge.y - mid_y) ** 2 for edge in edges)
    xy = math.fsum((edge.x - mid_x) * (edge.y - mid_y) for edge in edges)
    angle = 0.5 * math.atan2(2 * xy, xx - yy)
    fit_x, fit_y = -math.sin(angle), math.cos(angle)
    if fit_x * nx + fit_y * ny < 0:
        fit_x, fit_y = -fit_x, -fit_y
    return fit_x, fit_y, fit_x * mid_x + fit_y * mid_y, (mid_x, mid_y)


def _line(edges: list[_Edge], nx: float, ny: float) -> Line:
    nx, ny, at, _ = _fit(edges, nx, ny)
    places = [round(edge.y * nx - edge.x * ny) for edge in edges]
    # A cell of an edge stands for itself and for a step to either side: thinned edges leave one out here and there.
    first, last = min(places) - 2, max(places) + 2
    marked = [0] * (last - first + 1)
    for place in places:
        for step in (-1, 0, 1):
            marked[place - first + step] = 1
    return Line(nx, ny, at, first, list(accumulate(marked)))


def _edge_cells(grey: "Grey") -> list[_Edge]:
    """Find the cells where the picture changes most, thinned to the steepest across the edge.

    Change: three cells against the three two columns (rows) on.
    """
    width = grey.width - 2
    rows = [list(grey.values[start : start + grey.width]) for start in range(0, len(grey.values), grey.width)]
    right: list[int] = []
    down: list[int] = []
    for above, row, below in zip(rows, rows[1:], rows[2:], strict=False):
        three = list(map(add, map(add, above, row), below))
        right += map(sub, three[2:], three)
        change = list(map(sub, below, above))
        down += map(add, map(add, change, change[1:]), change[2:])
    steep = list(map(add, map(mul, right, right), map(mul, down, down)))
    # A part of them is enough to tell how steep the strongest are.
    ranked = sorted(steep[::_SAMPLED])
    limit = max(ranked[max(0, len(ranked) - _THICK * _EDGE_CELLS // _SAMPLED)], _LEAST_CHANGE * _LEAST_CHANGE)
    found = []
    for place in compress(count(), map(limit.__lt__, steep)):
        line, column = divmod(place, width)
        if 0 < column < width - 1 and width <= place < len(steep) - width:
            a, b = right[place], down[place]
            if abs(a) > 2 * abs(b):
                step = 1
            elif abs(b) > 2 * abs(a):
                step = width
            else:
                step = width + 1 if a * b > 0 else width - 1
            here = steep[place]
            if here >= steep[place - step] and here > steep[place + step]:
                found.append((here, column + 1.5, line + 1.5, a, b))
    found.sort(reverse=True)
    return [_Edge(x, y, a / math.sqrt(here), b / math.sqrt(here)) for here, x, y, a, b in found[:_EDGE_CELLS]]
