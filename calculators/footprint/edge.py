"""The edge of a print as it is measured: evened out, because a rough edge widens what is widest.

The widest chord of a rough edge runs from bump to bump and the narrowest from dent to dent, so that a ball or a heel
comes out too wide and a middle too narrow. The mean of a short piece of edge leans neither way.
"""

import math
from typing import NamedTuple

from calculators.footprint.plane import area_of, outer
from calculators.footprint.search import placed_or_none
from calculators.footprint.shape import from_rough, pieces_of, rings_of, to_rough
from calculators.footprint.sole import contains
from calculators.footprint.toes import cut

TYPE_CHECKING = False
if TYPE_CHECKING:
    from collections.abc import Iterator

    from calculators.footprint.flat import Flat
    from calculators.footprint.plane import Ring
    from calculators.footprint.search import Found

# How far the mean reaches to either side, as a part of the toeless length, and the most as a part of a ring's own way
# round: own choices. On a print of 200 mm it is 3 mm; no width of a smooth sole then changes by more than 0.05 mm.
_REACH, _OF_RING = 0.015, 1 / 12
# A strip of print between heel and ball may be as thin as it likes where all that is thin makes the print grow by no
# more than this part (own choice). Grain and joints that touch a print make it grow more.
_GROWS = 0.02


def as_measured(found: "Found", flat: "Flat") -> "Found | None":
    """Take a print as it is measured: its edge evened out, and a thin strip in its middle put back.

    The search leaves out what is thin, because grain and joints are; so is what a high arch leaves of the middle. The
    print is cut at its toe line and its landmarks are found anew; None where there are none.
    """
    placed = _placed(found, _evened(found, found.shape.whole))
    if placed is None or placed.placed.middle is not None or found.thin == 0:
        return placed
    thinner = found._replace(thin=0)
    whole = traced(thinner, flat, found.level).rings
    joined = _placed(thinner, whole)
    own = area_of(found.shape.whole)
    alike = abs(area_of(whole) - own) <= _GROWS * own
    return joined if joined is not None and joined.placed.middle is not None and alike else placed


def _placed(found: "Found", whole: "list[Ring]") -> "Found | None":
    old = found.shape
    behind = [from_rough(ring, old.forward) for ring in cut(whole, old.line, ahead=False)]
    shape = old._replace(whole=whole, rings=behind)
    placed = placed_or_none(shape)
    return None if placed is None else found._replace(shape=shape, placed=placed)


class Edge(NamedTuple):
    """The outlines of a print in the rough frame of its shape, evened out, and how far they ran from there before.

    `rough` is the root of the mean square of that distance, in the unit of the plane.
    """

    rings: "list[Ring]"
    rough: float


def traced(found: "Found", flat: "Flat", part: float) -> Edge:
    """Draw the edge of the same print at some part of the contrast."""
    rings = [to_rough(flat.ring(ring), found.shape.forward) for ring in found.seen.traced(part, found.thin).rings]
    own = outer(found.shape.whole)
    near = rings_of([piece for piece in pieces_of(rings) if any(_touches(piece.ring, held) for held in own)])
    even = _evened(found, near)
    return Edge(even, _roughness(near, even))


def _touches(one: "Ring", other: "Ring") -> bool:
    """Whether some point of one ring lies in the other, one way round or the other."""
    return any(
        contains(around, point)
        for ring, around in ((one, other), (other, one))
        for point in ring[:: 1 + len(ring) // 12]
    )


def _evened(found: "Found", rings: "list[Ring]") -> "list[Ring]":
    """Even out outlines as the size of a print allows."""
    return [evened(ring, _REACH * found.placed.length) for ring in rings]


def evened(ring: "Ring", reach: float) -> "Ring":
    """Even out a closed outline, and give it points half a reach apart.

    Args:
        ring: in any unit.
        reach: how far along the outline the mean reaches to either side.

    Each point goes to the mean M of the outline about it. That alone draws every curve inwards, so what a second mean
    would take is given back: 2 M - M M. A circle of ten times the reach keeps its radius to four millionths.
    """
    long = [math.dist(start, end) for start, end in zip([ring[-1], *ring[:-1]], ring, strict=True)]
    around = math.fsum(long)
    if around == 0 or reach <= 0:
        return ring
    count = math.ceil(2 * around / min(reach, _OF_RING * around))
    us, vs = _means(ring, long, around / count, count)
    return list(zip(_given_back(us), _given_back(vs), strict=True))


def _means(ring: "Ring", long: list[float], step: float, count: int) -> tuple[list[float], list[float]]:
    """Mean u and mean v of the outline over two steps to either side, at so many places a step apart."""
    us: list[float] = []
    vs: list[float] = []
    at = u_passed = v_passed = 0.0
    u0, v0 = ring[-1]
    for (u1, v1), edge in zip(ring, long, strict=True):
        while len(us) < count and len(us) * step < at + edge:
            part = len(us) * step - at
            share = part / edge / 2
            us.append(u_passed + part * (u0 + share * (u1 - u0)))
            vs.append(v_passed + part * (v0 + share * (v1 - v0)))
        at += edge
        u_passed += edge * (u0 + u1) / 2
        v_passed += edge * (v0 + v1) / 2
        u0, v0 = u1, v1
    return _differences(us, u_passed, step), _differences(vs, v_passed, step)


def _differences(passed: list[float], total: float, step: float) -> list[float]:
    wide = [*(value - total for value in passed[-2:]), *passed, *(value + total for value in passed[:2])]
    return [(after - before) / (4 * step) for before, after in zip(wide, wide[4:], strict=False)]


def _given_back(values: list[float]) -> list[float]:
    # Simpson's weights, which spread a mean as far as the first mean was spread.
    wide = values[-2:] + values + values[:2]
    return [
        2 * c - (a + 4 * b + 2 * c + 4 * d + e) / 12
        for a, b, c, d, e in zip(wide, wide[1:], wide[2:], wide[3:], wide[4:], strict=False)
    ]


def _roughness(rings: "list[Ring]", even: "list[Ring]") -> float:
    """How far the points of outlines lie from the evened ones, square to these."""
    squares = [off * off for ring, other in zip(rings, even, strict=True) for off in _away(ring, other)]
    return math.sqrt(math.fsum(squares) / len(squares)) if squares else 0.0


def _away(ring: "Ring", even: "Ring") -> "Iterator[float]":
    long = [math.dist(start, end) for start, end in zip([ring[-1], *ring[:-1]], ring, strict=True)]
    # The evened points stand at even steps along the outline, the first at its last point.
    step = math.fsum(long) / len(even)
    if step == 0:
        return
    at = 0.0
    for (u, v), edge in zip(ring, long, strict=True):
        at += edge
        number = int(at / step) % len(even)
        (u0, v0), (u1, v1) = even[number], even[(number + 1) % len(even)]
        yield ((u1 - u0) * (v - v0) - (v1 - v0) * (u - u0)) / (math.hypot(u1 - u0, v1 - v0) or 1.0)


def moved_out(ring: "Ring", by: float) -> "Ring":
    """Move an evened outline away from the print, square to itself; towards it for less than 0."""
    made = []
    for (u0, v0), (u, v), (u1, v1) in zip([ring[-1], *ring], ring, [*ring[1:], ring[0]], strict=False):
        long = math.hypot(u1 - u0, v1 - v0) or 1.0
        made.append((u + by * (v1 - v0) / long, v - by * (u1 - u0) / long))
    return made
