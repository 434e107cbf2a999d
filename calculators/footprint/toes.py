"""The line between the toes and the ball of a print.

The line is the path across the foot that crosses the least print: through the gaps between toe pads and ball, and
through necks where a toe touches. The ball is what a circle wider than any toe fits into; crossing it costs the most,
and ground away from it costs a little, so that the path keeps to the front of the ball. Ground just behind the front of
the whole print costs more, so that the path takes the gap behind the toes and not the way in front of them; where there
are no toes, it lies along the front and cuts nothing off.
"""

import math
from bisect import bisect_left
from typing import NamedTuple

from calculators.footprint.mask import Mask, from_rows

TYPE_CHECKING = False
if TYPE_CHECKING:
    from calculators.footprint.outline import Point, Ring

# In so many columns the line is found, roughly and finely.
ROUGHLY, FINELY = 40, 72
_STEEPEST = 5
# Costs of a unit of length, and how soon the cost of the front dies out, in parts of the print's length: own choices.
_BALL, _PRINT, _GROUND, _FRONT, _FRONT_REACH = 4.0, 1.0, 0.06, 0.5, 0.02
# The cost of leaving the ball behind: it keeps the line near it where a gap is wide.
_AWAY, _AWAY_REACH = 0.5, 0.06
# The radius of the circle, in parts of the print's length: of a big toe it is 0.06 at most, of a ball 0.15 at least.
_CIRCLE = 0.07
# What stands out forward and is narrower than about twice this part of the foot's width is no front of a ball: what a
# joint, a drip or a halo adds there (own choice).
_BUMP = 0.045
# The little toe may lie beside the ball: so far behind the ball's widest place the line may pass.
_BEHIND = 0.08


class ToeLine(NamedTuple):
    """The line as points (u, v) with v growing, and the length of print that it crosses."""

    points: "list[Point]"
    crossed: float


def toe_line(rings: "list[Ring]", across_count: int) -> ToeLine | None:
    """Find the toe line of a print.

    Args:
        rings: of the whole print in (u, v), u from heel to toes; holes among them.
        across_count: columns in which the line is found.

    Returns:
        The line, or None where the print has no front to look at.
    """
    points = [point for ring in rings for point in ring]
    low, high = min(u for u, _ in points), max(u for u, _ in points)
    length = high - low
    start = _ball(rings, low, length) - _BEHIND * length
    front = [point for point in points if point[0] >= start]
    if len(front) < 8:
        return None
    left, right = min(v for _, v in front), max(v for _, v in front)
    step = (right - left) / across_count
    columns = [left + (at + 0.5) * step for at in range(across_count)]
    circle = max(1, round(_CIRCLE * length / step))
    rear = start - (2 * circle + 1) * step  # far enough back for the circle not to feel the end of the grid
    count = int((high - rear) / step) + 2
    print_ = _cells(spans(rings, left, step, across_count), rear, step, count)
    ball = print_.opened(circle).rows()
    first = 2 * circle + 1
    ends = [int((top - rear) / step) + 2 for top in _front(front, columns)]
    costs = [
        _costs(row, core, first, end, step / length) for row, core, end in zip(print_.rows(), ball, ends, strict=True)
    ]
    levels = _without_bumps(_cheapest(costs), max(1, round(_BUMP * across_count)))
    line = [(start + rung * step, v) for rung, v in zip(levels, columns, strict=True)]
    crossed = step * len([0 for row, rung in zip(costs, levels, strict=True) if row[rung] >= _PRINT])
    return ToeLine([(line[0][0], left - length), *line, (line[-1][0], right + length)], crossed)


def _without_bumps(levels: list[int], columns: int) -> list[int]:
    """Take away what stands out in fewer than about twice so many columns: the least around each, then the most."""
    least = [min(levels[max(0, at - columns) : at + columns + 1]) for at in range(len(levels))]
    return [max(least[max(0, at - columns) : at + columns + 1]) for at in range(len(levels))]


def _cells(columns: list[list[tuple[float, float]]], rear: float, step: float, count: int) -> Mask:
    """Square cells, a row of the mask a column of the foot: those whose middles lie in print."""
    rows = []
    for stretches in columns:
        row, at = "", 0
        for lower, upper in stretches:
            begin = min(max(math.ceil((lower - rear) / step), at), count)
            end = min(max(math.ceil((upper - rear) / step), begin), count)
            row += "0" * (begin - at) + "1" * (end - begin)
            at = end
        rows.append(row + "0" * (count - at))
    return from_rows(count, rows)


def _costs(print_: str, ball: str, first: int, end: int, step: float) -> list[float]:
    """What each cell of a column costs, from `first` on; beyond `end`, the front of the print, there is no way."""
    made = []
    ball_top = ball.rfind("1")
    top = ball_top if ball_top >= 0 else None
    behind = print_.rfind("1", 0, first)
    for at in range(first, len(print_)):
        if at > end:
            made.append(math.inf)
            continue
        if print_[at] == "1":
            behind = at
        if top is not None and at <= top:
            made.append(_BALL)  # nothing behind the ball's front is a way
            continue
        if print_[at] == "1":
            made.append(_PRINT)
            continue
        away = step * (at - (behind if top is None else top))
        ahead = step * (end - at)
        made.append(_GROUND + _FRONT * math.exp(-ahead / _FRONT_REACH) + _AWAY * min(1.0, max(0.0, away) / _AWAY_REACH))
    return made


def _ball(rings: "list[Ring]", low: float, length: float) -> float:
    """Where the print is the widest between half and three quarters of its length."""
    best, best_width = low + 0.62 * length, 0.0
    places = [low + part / 100 * length for part in range(50, 78)]
    for u, width in zip(places, widths_at(rings, places), strict=True):
        if width > best_width:
            best, best_width = u, width
    return best


def edges_at(rings: "list[Ring]", places: list[float]) -> list[tuple[float, float]]:
    """The outermost crossings of rings with lines square to the axis, (inf, -inf) where there are none.

    Args:
        rings: in (u, v).
        places: u of the lines, growing.
    """
    least, most = [math.inf] * len(places), [-math.inf] * len(places)
    for ring in rings:
        behind = [bisect_left(places, u) for u, _ in ring]
        u0, v0 = ring[-1]
        first = behind[-1]
        for (u1, v1), last in zip(ring, behind, strict=True):
            if first != last:
                for at in range(min(first, last), max(first, last)):
                    v = v0 + (places[at] - u0) * (v1 - v0) / (u1 - u0)
                    least[at], most[at] = min(least[at], v), max(most[at], v)
            u0, v0, first = u1, v1, last
    return list(zip(least, most, strict=True))


def widths_at(rings: "list[Ring]", places: list[float]) -> list[float]:
    """How wide rings are at lines square to the axis, as `edges_at`; 0 where there is nothing."""
    return [max(0.0, high - low) for low, high in edges_at(rings, places)]


def _front(points: "list[Point]", columns: list[float]) -> list[float]:
    """The front of the convex hull of some points, at each column."""
    hull: list[Point] = []
    for u, v in sorted(points, key=lambda point: (point[1], point[0])):
        while len(hull) > 1 and _left_of(hull[-2], hull[-1], (u, v)):
            hull.pop()
        hull.append((u, v))
    made, at = [], 0
    for v in columns:
        while at < len(hull) - 2 and hull[at + 1][1] < v:
            at += 1
        (u0, v0), (u1, v1) = hull[at], hull[at + 1]
        made.append(u0 + (u1 - u0) * (v - v0) / (v1 - v0) if v1 > v0 else max(u0, u1))
    return made


def _left_of(start: "Point", end: "Point", point: "Point") -> bool:
    """Whether `end` lies behind the straight line from `start` to `point`."""
    return (end[0] - start[0]) * (point[1] - start[1]) <= (point[0] - start[0]) * (end[1] - start[1])


def spans(rings: "list[Ring]", left: float, step: float, count: int) -> list[list[tuple[float, float]]]:
    """The stretches of print along so many columns, as (from, to); the first column is half a step from `left`."""
    found: list[list[float]] = [[] for _ in range(count)]
    for ring in rings:
        u0, v0 = ring[-1]
        for u1, v1 in ring:
            if v0 != v1:
                first, last = (v0, v1) if v0 < v1 else (v1, v0)
                at = max(0, math.ceil((first - left) / step - 0.5))
                while at < count and left + (at + 0.5) * step < last:
                    v = left + (at + 0.5) * step
                    if v >= first:
                        found[at].append(u0 + (v - v0) * (u1 - u0) / (v1 - v0))
                    at += 1
            u0, v0 = u1, v1
    made = []
    for values in found:
        values.sort()
        made.append(list(zip(values[::2], values[1::2], strict=False)))
    return made


def _cheapest(costs: list[list[float]]) -> list[int]:
    """The path from the first column to the last that costs the least, one level a column."""
    lengths = [math.hypot(1, move) for move in range(_STEEPEST + 1)]
    totals = [costs[0]]
    for row in costs[1:]:
        last = totals[-1]
        best = [math.inf] * len(row)
        for move in range(-_STEEPEST, _STEEPEST + 1):
            shifted = last[move:] + [math.inf] * move if move >= 0 else [math.inf] * -move + last[:move]
            long = lengths[abs(move)]
            best = list(map(min, best, [total + long * cost for total, cost in zip(shifted, row, strict=True)]))
        totals.append(best)
    level = min(range(len(costs[0])), key=lambda at: totals[-1][at])
    path = [level]
    for number in range(len(costs) - 1, 0, -1):
        here, last = costs[number][level], totals[number - 1]
        near = range(max(0, level - _STEEPEST), min(len(last), level + _STEEPEST + 1))
        level = min(near, key=lambda other: last[other] + lengths[abs(other - path[-1])] * here)
        path.append(level)
    return path[::-1]


def cut(rings: "list[Ring]", line: "list[Point]", *, ahead: bool) -> "list[Ring]":
    """Keep what lies behind a toe line, or what lies ahead of it.

    The plane is sheared so that the line becomes straight; each ring is clipped there, and the corners of the line are
    put back where the cut follows it.
    """
    made = []
    sign = -1.0 if ahead else 1.0
    for ring in rings:
        heights = [sign * (level(line, v) - u) for u, v in ring]
        if min(heights) >= 0:
            made.append(ring)
            continue
        if max(heights) <= 0:
            continue
        kept = _clipped(ring, heights, line)
        if len(kept) > 2:
            made.append(kept)
    return made


def _clipped(ring: "Ring", heights: list[float], line: "list[Point]") -> "Ring":
    kept: Ring = []
    left_at: float | None = None  # where the ring last crossed to the side that is dropped
    first_entry: float | None = None
    v0, h0 = ring[-1][1], heights[-1]
    for (u1, v1), h1 in zip(ring, heights, strict=True):
        if (h0 >= 0) != (h1 >= 0):
            part = h0 / (h0 - h1)
            v = v0 + part * (v1 - v0)
            if h1 >= 0:
                if left_at is None:
                    first_entry = v
                else:
                    kept.extend(_between(line, left_at, v))
                kept.append((level(line, v), v))
            else:
                left_at = v
                kept.append((level(line, v), v))
        if h1 >= 0:
            kept.append((u1, v1))
        v0, h0 = v1, h1
    if first_entry is not None and left_at is not None:
        kept.extend(_between(line, left_at, first_entry))
    return kept


def _between(line: "list[Point]", start: float, end: float) -> "list[Point]":
    inner = [point for point in line if min(start, end) < point[1] < max(start, end)]
    return inner if start < end else inner[::-1]


def level(line: "list[Point]", v: float) -> float:
    """The line's u at some v; beyond its ends as at its ends."""
    low, high = 0, len(line) - 1
    if v <= line[0][1]:
        return line[0][0]
    if v >= line[-1][1]:
        return line[-1][0]
    while high - low > 1:
        middle = (low + high) // 2
        if line[middle][1] <= v:
            low = middle
        else:
            high = middle
    (u0, v0), (u1, v1) = line[low], line[high]
    return u0 + (u1 - u0) * (v - v0) / (v1 - v0) if v1 > v0 else u0
