"""What a picture itself says of its tilt, where no sheet of known size tells it. For a warning only.

A sheet of unknown size shows a tilt by its corners. Edges that run parallel on the floor (joints of tiles, boards) run
together in a tilted picture, towards a point of the horizon; the horizon is no further off than that point, so that one
such family says how much the tilt is at least, and two across one another what it is.
"""

import math
from typing import NamedTuple

from calculators.footprint.rectify import USUAL_FOCAL
from calculators.footprint.sheet import COARSE_LONG_SIDE, LINES, coarsened, sheet_of_edges
from calculators.footprint.sheet_guesses import SHORTEST
from calculators.footprint.sheet_lines import straight_edges

TYPE_CHECKING = False
if TYPE_CHECKING:
    from calculators.footprint.picture import Grey
    from calculators.footprint.sheet_lines import Line

    Vector = tuple[float, float, float]

# Own choices, by trial on drawn photographs. Lengths are parts of the picture's long side.
_LEAST_SEEN = 0.25  # of an edge
_PAIRED = 16  # of the longest edges are crossed with one another
_PARALLEL, _ACROSS = math.sin(math.radians(37)), math.sin(math.radians(45))
_AIMED = math.sin(math.radians(1.2))  # by how much an edge may miss its family's point
_LEAST_EDGES, _LEAST_SPREAD = 4, 0.3
_SURE = 4.0  # deviations by which a family's point is drawn away
_ROUNDS = 3


class _Long(NamedTuple):
    """An edge: x nx + y ny = at, its middle, and how much of it is seen; lengths from the picture's middle."""

    nx: float
    ny: float
    at: float
    x: float
    y: float
    seen: float


class _Family(NamedTuple):
    """Edges that aim at one point (x / w, y / w), in the directions of `point`: (x, y, w), of length 1."""

    edges: list[_Long]
    point: "Vector"


def tilt_reason(grey: "Grey") -> float | None:
    """Tell the tilt in degrees that a picture gives reason for; None where it gives none.

    The lens is taken for the usual one, so that it may be a third off; it is more often too low than too high.
    """
    coarse = coarsened(grey, COARSE_LONG_SIDE)
    lines = straight_edges(coarse, LINES, SHORTEST)
    sheet = sheet_of_edges(grey, coarse, lines, None)
    tilts = [] if sheet is None else [sheet.tilt_deg]
    edges = [edge for edge in (_long(line, coarse) for line in lines) if edge.seen >= _LEAST_SEEN]
    edges.sort(key=lambda edge: -edge.seen)
    one = _family(edges)
    if one is not None:
        x, y, w = one.point
        lead = one.edges[0]
        other = _family([edge for edge in edges if abs(edge.nx * lead.ny - edge.ny * lead.nx) > _ACROSS])
        # The horizon: p x + q y + r = 0.
        p, q, r = (x * w, y * w, -(x * x + y * y)) if other is None else _cross(one.point, other.point)
        tilts.append(math.degrees(math.atan2(USUAL_FOCAL * math.hypot(p, q), abs(r))))
    return max(tilts, default=None)


def _long(line: "Line", coarse: "Grey") -> _Long:
    long = max(coarse.width, coarse.height)
    seen = line.covered[-1]
    halfway = line.first + next(at for at, count in enumerate(line.covered) if 2 * count >= seen)
    off_x, off_y = coarse.width / 2, coarse.height / 2
    x, y = line.nx * line.at - line.ny * halfway - off_x, line.ny * line.at + line.nx * halfway - off_y
    at = line.at - line.nx * off_x - line.ny * off_y
    return _Long(line.nx, line.ny, at / long, x / long, y / long, seen / long)


def _family(edges: list[_Long]) -> _Family | None:
    """The family of nearly parallel edges of which most is seen; None where they are few or lie close together."""
    best: list[_Long] = []
    most = 0.0
    for number, one in enumerate(edges[:_PAIRED]):
        for two in edges[:number]:
            if abs(one.nx * two.ny - one.ny * two.nx) > _PARALLEL:
                continue
            point = _cross((one.nx, one.ny, -one.at), (two.nx, two.ny, -two.at))
            own = [edge for edge in edges if _miss(edge, point) <= _AIMED]
            seen = math.fsum(edge.seen for edge in own)
            if seen > most:
                best, most = own, seen
    if len(best) < _LEAST_EDGES or _spread(best) < _LEAST_SPREAD:
        return None
    return _Family(best, _drawn_away(best, _meeting(best)))


def _drawn_away(edges: list[_Long], point: "Vector") -> "Vector":
    """Move a family's point so far away as the scatter of its edges allows: a tilt is told that is there at least."""
    x, y, w = point
    size = math.hypot(x, y)
    if size == 0.0:
        return point
    whole = math.fsum(edge.seen for edge in edges)
    across = [(edge.x * y - edge.y * x) / size for edge in edges]
    middle = math.fsum(edge.seen * place for edge, place in zip(edges, across, strict=True)) / whole
    spread = math.fsum(edge.seen * (place - middle) ** 2 for edge, place in zip(edges, across, strict=True)) / whole
    missed = math.fsum(edge.seen * _miss(edge, point) ** 2 for edge in edges) / whole
    # Directions of the edges turn by w / size over the unit of length across them; two degrees of freedom are used.
    error = math.sqrt(missed / spread / (len(edges) - 2))
    return (x, y, w * max(0.0, 1 - _SURE * error * size / abs(w))) if w else point


def _miss(edge: _Long, point: "Vector") -> float:
    """The sine of the angle by which an edge misses a point."""
    x, y, w = point
    return abs(edge.nx * x + edge.ny * y - edge.at * w) / (math.hypot(x - edge.x * w, y - edge.y * w) or 1.0)


def _spread(edges: list[_Long]) -> float:
    """How far apart edges lie, across the first of them."""
    lead = edges[0]
    across = [edge.x * lead.nx + edge.y * lead.ny for edge in edges]
    return max(across) - min(across)


def _meeting(edges: list[_Long]) -> "Vector":
    """The point that edges aim at, by least squares: the smallest direction of the sum of their squares.

    Found by inverse iteration; the inverse of a symmetric matrix is made of the cross products of its rows.
    """
    rows = [(edge.nx * edge.seen, edge.ny * edge.seen, -edge.at * edge.seen) for edge in edges]

    def summed(i: int) -> "Vector":
        return (
            math.fsum(row[i] * row[0] for row in rows),
            math.fsum(row[i] * row[1] for row in rows),
            math.fsum(row[i] * row[2] for row in rows),
        )

    a, b, c = summed(0), summed(1), summed(2)
    first, second, third = _cross(b, c), _cross(c, a), _cross(a, b)
    lead = edges[0]
    found = (-lead.ny, lead.nx, 0.0)
    for _ in range(_ROUNDS):
        x, y, w = (math.fsum(u * v for u, v in zip(row, found, strict=True)) for row in (first, second, third))
        size = math.hypot(x, y, w)
        if size == 0.0:
            break
        found = (x / size, y / size, w / size)
    return found


def _cross(one: "Vector", other: "Vector") -> "Vector":
    (a, b, c), (d, e, f) = one, other
    return b * f - c * e, c * d - a * f, a * e - b * d
