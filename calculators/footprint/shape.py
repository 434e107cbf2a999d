"""From traced rings to a toeless print: its pieces, its toes, the line between them, and which foot it is."""

import math
from itertools import pairwise
from typing import NamedTuple

from calculators.footprint import toes
from calculators.footprint.landmarks import LEFTWARD, RIGHTWARD
from calculators.footprint.plane import area_of, signed_area, turned
from calculators.footprint.sole import Piece, Sole, area_and_middle, assembled, pieces

TYPE_CHECKING = False
if TYPE_CHECKING:
    from calculators.footprint.outline import Point, Ring

# Parts of the largest piece: specks smaller than this are left out, holes smaller than this are filled. On a print of
# 10,000 mm2 that is 20 mm2 each (own choice).
_SPECK = _HOLE = 0.002
# How far apart the tips of the first and the second toe stand, as parts of the ball's width: own choice. Next to a gap
# stands the third.
_NEIGHBOURS = (0.16, 0.36)
# Toes that make up less than this part of the print in all tell the less of which foot it is (own choice).
_ALL_TOES = 0.07
# A piece smaller than this part of the largest toe is none (own choice).
_SPECK_OF_TOE = 0.08
# Less than this in all does not tell a left foot from a right one (own choice).
_LEAST_VOTES = 0.8


class Votes(NamedTuple):
    """What speaks for the left (1) or the right (-1) as the inner side: heavier toes, deeper notch, farther front."""

    toes: float
    notch: float
    front: float

    def total(self) -> float:
        """All three, each by how much it tells."""
        return 2.0 * self.toes + 1.5 * self.notch + 0.6 * self.front


class Shape(NamedTuple):
    """One print in the plane. `rings` has no toes; `whole` is what the toe line cuts, in the rough frame of `forward`.

    So is `line`.
    """

    sole: Sole
    forward: "Point"
    whole: "list[Ring]"
    line: "list[Point]"
    crossed: float
    rings: "list[Ring]"
    toes: "list[Ring]"
    votes: Votes
    medial: int | None
    second_toe: "Point | None"
    big_toe: "Ring | None"


def to_rough(ring: "Ring", forward: "Point") -> "Ring":
    """Turn a ring so that u runs along `forward` and v to the left of it."""
    return turned(ring, (0.0, 0.0), forward)


def from_rough(ring: "Ring", forward: "Point") -> "Ring":
    """Undo `to_rough`."""
    return turned(ring, (0.0, 0.0), (forward[0], -forward[1]))


def pieces_of(rings: "list[Ring]") -> list[Piece]:
    """Sort the rings of a plane into pieces, without specks and with small holes filled."""
    areas = [area_and_middle(ring)[0] for ring in rings]
    if not areas or max(areas) <= 0:
        return []
    return pieces(rings, _SPECK * max(areas), _HOLE * max(areas))


def soles(rings: "list[Ring]") -> list[Sole]:
    """Group the rings of a plane to soles."""
    found = pieces_of(rings)
    return assembled(found) if found else []


def rings_of(found: list[Piece]) -> "list[Ring]":
    """All rings of some pieces."""
    return [ring for piece in found for ring in (piece.ring, *piece.holes)]


def shaped(sole: Sole, given_line: "list[Point] | None", columns: int = toes.FINELY) -> Shape | None:
    """Take the toes off a sole and look at what is left.

    Args:
        sole: as grouped.
        given_line: the toe line in the plane, where a person drew it.
        columns: in how many the toe line is found.
    """
    forward = sole.forward
    apart = [[to_rough(ring, forward) for ring in rings_of([piece])] for piece in sole.body + sole.toes]
    crossed = 0.0
    if given_line:
        line = sorted(to_rough(given_line, forward), key=lambda point: point[1])
        reach = 10 * math.dist(line[0], line[-1])
        line = [(line[0][0], line[0][1] - reach), *line, (line[-1][0], line[-1][1] + reach)]
        body, pads = apart, []
    else:
        found = toes.toe_line([ring for rings in apart for ring in rings], columns)
        if found is None:
            return None
        line, crossed = found
        # A toe that stands apart is no part of the ball, even where the line runs in front of some of it; nor is a
        # second piece, taken for a ball by its size, if most of it lies ahead: it is several toes in one.
        toe = [at >= len(sole.body) or (at > 0 and _mostly_ahead(rings, line)) for at, rings in enumerate(apart)]
        body = [rings for rings, ahead in zip(apart, toe, strict=True) if not ahead]
        pads = [ring for rings, ahead in zip(apart, toe, strict=True) if ahead for ring in rings]
    whole = [ring for rings in body for ring in rings]
    behind = toes.cut(whole, line, ahead=False)
    ahead = _pads(toes.cut(whole, line, ahead=True) + pads, behind)
    if not behind:
        return None
    votes = Votes(_heavier_toes(ahead, behind), _deeper_side(behind), _farther_front(behind))
    medial = None if abs(votes.total()) < _LEAST_VOTES else LEFTWARD if votes.total() > 0 else RIGHTWARD
    big, tip = _tips(ahead, behind, medial)
    return Shape(
        sole,
        forward,
        whole,
        line,
        crossed,
        [from_rough(ring, forward) for ring in behind],
        [from_rough(ring, forward) for ring in ahead],
        votes,
        medial,
        None if tip is None else from_rough([tip], forward)[0],
        None if big is None else from_rough(big, forward),
    )


def _mostly_ahead(rings: "list[Ring]", line: "list[Point]") -> bool:
    ahead, behind = (area_of(toes.cut(rings, line, ahead=way)) for way in (True, False))
    return ahead > behind


def _pads(ahead: "list[Ring]", behind: "list[Ring]") -> "list[Ring]":
    least = 0.002 * area_of(behind)
    return [ring for ring in ahead if signed_area(ring) > least]


def _heavier_toes(ahead: "list[Ring]", behind: "list[Ring]") -> float:
    """From -1 (all weight to the right) to 1, weighed by how far aside of the middle each toe lies.

    0 where what lies ahead is not half as wide as the print: a single toe has no heavier side.
    """
    if not ahead:
        return 0.0
    parts = [area_and_middle(ring) for ring in ahead]
    # A speck beside the toes is no toe.
    least = _SPECK_OF_TOE * max(area for area, _ in parts)
    ahead = [ring for ring, (area, _) in zip(ahead, parts, strict=True) if area > least]
    parts = [part for part in parts if part[0] > least]
    low = min(v for ring in ahead for _, v in ring)
    high = max(v for ring in ahead for _, v in ring)
    width = max(v for ring in behind for _, v in ring) - min(v for ring in behind for _, v in ring)
    if high - low < 0.5 * width:
        return 0.0
    total = math.fsum(area for area, _ in parts)
    mean = math.fsum(area * middle[1] for area, middle in parts) / total
    # A sliver of the ball that was cut off with the toes tells little.
    told = min(1.0, total / (_ALL_TOES * area_of(behind)))
    return told * max(-1.0, min(1.0, 5 * ((mean - low) / max(high - low, 1e-9) - 0.5)))


def _deeper_side(behind: "list[Ring]") -> float:
    """From -1 to 1: how much more of the hull is missing on the left of the middle stretch than on the right."""
    low = min(u for ring in behind for u, _ in ring)
    high = max(u for ring in behind for u, _ in ring)
    places = [low + part / 100 * (high - low) for part in range(4, 97, 4)]
    edges = [(u, *edge) for u, edge in zip(places, toes.edges_at(behind, places), strict=True) if edge[0] <= edge[1]]
    if len(edges) < 5:
        return 0.0
    missing_left = _missing([(u, most) for u, _, most in edges])
    missing_right = _missing([(u, -least) for u, least, _ in edges])
    return (missing_left - missing_right) / (missing_left + missing_right + 0.004 * (high - low) ** 2)


def _missing(edge: "list[Point]") -> float:
    """Area between an edge (u, v) and its upper hull."""
    hull: list[Point] = []
    for u, v in edge:
        while len(hull) > 1 and (hull[-1][0] - hull[-2][0]) * (v - hull[-2][1]) >= (u - hull[-2][0]) * (
            hull[-1][1] - hull[-2][1]
        ):
            hull.pop()
        hull.append((u, v))
    return _under(hull) - _under(edge)


def _under(edge: "list[Point]") -> float:
    return math.fsum((u1 - u0) * (v0 + v1) / 2 for (u0, v0), (u1, v1) in pairwise(edge))


def _farther_front(behind: "list[Ring]") -> float:
    """From -1 to 1: towards which side the front of the ball leans forward."""
    high = max(u for ring in behind for u, _ in ring)
    low = min(u for ring in behind for u, _ in ring)
    near = [(u, v) for ring in behind for u, v in ring if u > high - 0.35 * (high - low)]
    left, right = max(v for _, v in near), min(v for _, v in near)
    width = left - right
    front = [
        max((u for u, v in near if abs(v - at) < 0.1 * width), default=high)
        for at in (left - 0.2 * width, right + 0.2 * width)
    ]
    return max(-1.0, min(1.0, 3 * (front[0] - front[1]) / max(width, 1e-9)))


def _tips(ahead: "list[Ring]", behind: "list[Ring]", medial: int | None) -> "tuple[Ring | None, Point | None]":
    """The big toe's ring, and the tip of the second toe, where they can be told."""
    if medial is None or not ahead:
        return None, None
    width = max(v for ring in behind for _, v in ring) - min(v for ring in behind for _, v in ring)
    peaks = _peaks(ahead, width)
    if medial == LEFTWARD:
        peaks = peaks[::-1]
    ordered = sorted(ahead, key=lambda ring: -medial * area_and_middle(ring)[1][1])
    areas = [area_and_middle(ring)[0] for ring in ordered]
    big = ordered[0] if len(ordered) == 1 or areas[0] >= 1.25 * areas[1] else None
    if len(peaks) < 3 or big is None:
        return big, None
    apart = abs(peaks[1][1] - peaks[0][1]) / width
    return big, peaks[1] if _NEIGHBOURS[0] < apart < _NEIGHBOURS[1] else None


def _peaks(ahead: "list[Ring]", width: float) -> "list[Point]":
    """Tips of the toes from right to left: highest places of the front that stand out from the valleys beside them."""
    step = 0.012 * width
    low = min(v for ring in ahead for _, v in ring)
    count = int((max(v for ring in ahead for _, v in ring) - low) / step) + 1
    floor = min(u for ring in ahead for u, _ in ring)
    columns = toes.spans(ahead, low, step, count)
    filled = [(column[-1][1] if column else floor, low + (at + 0.5) * step) for at, column in enumerate(columns)]
    least = 0.02 * width
    made: list[Point] = []
    best, valley = filled[0], filled[0][0]
    rising = True
    for point in filled:
        if rising:
            if point[0] > best[0]:
                best = point
            elif best[0] - point[0] > least:
                made.append(best)
                rising, valley = False, point[0]
        elif point[0] < valley:
            valley = point[0]
        elif point[0] - valley > least:
            rising, best = True, point
    if rising and best[0] - floor > least:
        made.append(best)
    return made
