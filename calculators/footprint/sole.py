"""Which pieces of print belong together, which way the toes point, and which side is the inner one."""

import math
from itertools import islice
from typing import NamedTuple

TYPE_CHECKING = False
if TYPE_CHECKING:
    from calculators.footprint.outline import Point, Ring

# All own choices, tried on invented feet.
_LONG = 1.2  # a sole is at least so many times longer than wide
_LEAST_PARTNER, _LEAST_TOE = 0.12, 0.005
# In parts of the body. A ball and a heel that stand apart have no middle that makes the body larger.
_LARGEST_TOE, _LARGEST_APART = 0.14, 0.17
_ANOTHER_PRINT = 0.45


class Piece(NamedTuple):
    """One outer ring with its holes, its area and its middle."""

    ring: "Ring"
    holes: "list[Ring]"
    area: float
    middle: "Point"


class Sole(NamedTuple):
    """The pieces of one print, and the unit vector from heel to toes.

    `votes` says by how much its ends speak for this way round: a wide end with small pieces before it has the toes.
    """

    body: list[Piece]
    toes: list[Piece]
    forward: "Point"
    votes: float


def area_and_middle(ring: "Ring") -> tuple[float, "Point"]:
    """Signed area and centroid of a ring."""
    doubled = x_moment = y_moment = 0.0
    x0, y0 = ring[-1]
    for x1, y1 in ring:
        cross = x0 * y1 - x1 * y0
        doubled += cross
        x_moment += (x0 + x1) * cross
        y_moment += (y0 + y1) * cross
        x0, y0 = x1, y1
    if doubled == 0:
        return 0.0, ring[0]
    return doubled / 2, (x_moment / (3 * doubled), y_moment / (3 * doubled))


def pieces(rings: "list[Ring]", least: float, least_hole: float) -> list[Piece]:
    """Sort rings into pieces, the largest first, without specks and with small holes filled."""
    outer, holes = [], []
    for ring in rings:
        area, middle = area_and_middle(ring)
        if area >= least:
            outer.append(Piece(ring, [], area, middle))
        elif -area >= least_hole:
            holes.append(ring)
    outer.sort(key=lambda piece: (-piece.area, piece.middle))
    for hole in holes:
        around = [piece for piece in outer if contains(piece.ring, hole[0])]
        if around:
            around[-1].holes.append(hole)  # the smallest that is around it
    return outer


def contains(ring: "Ring", point: "Point") -> bool:
    """Whether a point lies inside a ring: how often a ray to the right crosses it."""
    x, y = point
    inside = False
    x0, y0 = ring[-1]
    for x1, y1 in ring:
        if (y0 > y) != (y1 > y) and x < x0 + (y - y0) * (x1 - x0) / (y1 - y0):
            inside = not inside
        x0, y0 = x1, y1
    return inside


def long_axis(rings: "list[Ring]") -> "Point":
    """The unit vector along which the area of some outer rings is spread the most."""
    total = mx = my = xx = xy = yy = 0.0
    for ring in rings:
        x0, y0 = ring[-1]
        for x1, y1 in ring:
            cross = x0 * y1 - x1 * y0
            total += cross / 2
            mx += (x0 + x1) * cross / 6
            my += (y0 + y1) * cross / 6
            xx += (x0 * x0 + x0 * x1 + x1 * x1) * cross / 12
            yy += (y0 * y0 + y0 * y1 + y1 * y1) * cross / 12
            xy += (x0 * y1 + 2 * x0 * y0 + 2 * x1 * y1 + x1 * y0) * cross / 24
            x0, y0 = x1, y1
    xx, yy, xy = xx / total - (mx / total) ** 2, yy / total - (my / total) ** 2, xy / total - mx * my / total**2
    angle = 0.5 * math.atan2(2 * xy, xx - yy)
    return math.cos(angle), math.sin(angle)


def extent(ring: "Ring", direction: "Point") -> tuple[float, float]:
    """Smallest and largest component of a ring along a direction."""
    dx, dy = direction
    along = [x * dx + y * dy for x, y in ring]
    return min(along), max(along)


def _aspect(ring: "Ring") -> float:
    along = long_axis([ring])
    low, high = extent(ring, along)
    left, right = extent(ring, (-along[1], along[0]))
    return (high - low) / max(right - left, 1e-9)


def assembled(found: list[Piece]) -> list[Sole]:
    """Group pieces to all soles that they may be; whoever asks chooses by their shapes.

    A large piece may be a sole by itself, or a ball with its heel apart, as a high arch leaves them. Small pieces at an
    end of a sole are its toes.
    """
    made: list[Sole] = []
    large = [piece for piece in found[:4] if piece.area > _ANOTHER_PRINT * found[0].area]
    for first in large:
        if _aspect(first.ring) > _LONG:
            made += _with_toes([first], [piece for piece in found if piece is not first])
        for partner in _partners(first, found):
            rest = [piece for piece in found if piece is not first and piece is not partner]
            made += _with_toes([first, partner], rest)
    return made


def _partners(first: Piece, others: list[Piece]) -> list[Piece]:
    size = math.sqrt(first.area)
    near = (
        other
        for other in others
        if _LEAST_PARTNER * first.area <= other.area < first.area
        and 0.8 * size < math.dist(first.middle, other.middle) < 3.2 * size
        and _lined_up(first, other)
    )
    return list(islice(near, 3))


def _lined_up(first: Piece, other: Piece) -> bool:
    dx, dy = other.middle[0] - first.middle[0], other.middle[1] - first.middle[1]
    long = math.hypot(dx, dy)
    along = dx / long, dy / long
    across = -along[1], along[0]
    low, high = extent(first.ring, across)
    near, far = extent(other.ring, across)
    whole = max(extent(first.ring, along)[1], extent(other.ring, along)[1]) - min(
        extent(first.ring, along)[0], extent(other.ring, along)[0]
    )
    width = max(high, far) - min(low, near)
    return far > low and high > near and 1.5 < whole / width < 3.6


def _with_toes(body: list[Piece], others: list[Piece]) -> list[Sole]:
    if len(body) == 1:
        along = long_axis([body[0].ring])
    else:
        one, two = body[0].middle, body[1].middle
        long = math.dist(one, two)
        along = (two[0] - one[0]) / long, (two[1] - one[1]) / long
    across = -along[1], along[0]
    low = min(extent(piece.ring, along)[0] for piece in body)
    high = max(extent(piece.ring, along)[1] for piece in body)
    near = min(extent(piece.ring, across)[0] for piece in body)
    far = max(extent(piece.ring, across)[1] for piece in body)
    length, width, area = high - low, far - near, math.fsum(piece.area for piece in body)
    largest = _LARGEST_TOE if len(body) == 1 else _LARGEST_APART
    ends: dict[int, list[Piece]] = {1: [], -1: []}
    for piece in others:
        u = piece.middle[0] * along[0] + piece.middle[1] * along[1]
        v = piece.middle[0] * across[0] + piece.middle[1] * across[1]
        if not _LEAST_TOE * area < piece.area < largest * area or not near - 0.2 * width < v < far + 0.2 * width:
            continue
        if high - 0.25 * length < u < high + 0.35 * length:
            ends[1].append(piece)
        elif low - 0.35 * length < u < low + 0.25 * length:
            ends[-1].append(piece)
    wide = {end: _widest(body, along, across, (high if end == 1 else low), 0.4 * length * end) for end in (1, -1)}
    toes = {end: math.fsum(math.sqrt(piece.area) for piece in ends[end]) for end in (1, -1)}
    votes = {end: wide[end] / width + min(2.0, 4 * toes[end] / width) for end in (1, -1)}
    sure = abs(votes[1] - votes[-1]) > 1.0 and len(ends[1]) + len(ends[-1]) > 2
    first = 1 if votes[1] >= votes[-1] else -1
    return [
        Sole(body, ends[way], (way * along[0], way * along[1]), votes[way] - votes[-way])
        for way in ((first,) if sure else (first, -first))
    ]


def _widest(body: list[Piece], along: "Point", across: "Point", start: float, reach: float) -> float:
    """Extent across of what lies between an end and so far in."""
    low, high = min(start, start - reach), max(start, start - reach)
    values = [
        x * across[0] + y * across[1]
        for piece in body
        for x, y in piece.ring
        if low <= x * along[0] + y * along[1] <= high
    ]
    return max(values) - min(values) if values else 0.0
