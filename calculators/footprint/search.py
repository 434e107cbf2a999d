"""The search for prints: what stands out is traced, shaped and judged, and the likeliest soles are kept."""

import math
from bisect import bisect_left
from typing import NamedTuple

from calculators.footprint.landmarks import Placed, place
from calculators.footprint.likeness import WITH_TOES, WITHOUT, edge_likeness, fits, likeness, may_be, sides_likeness
from calculators.footprint.look import THIN, Ground, Seen, Traced, Under
from calculators.footprint.plane import area_of, signed_area
from calculators.footprint.shape import Shape, rings_of, shaped, soles
from calculators.footprint.toes import FINELY, ROUGHLY

TYPE_CHECKING = False
if TYPE_CHECKING:
    from collections.abc import Iterable, Iterator

    from calculators.footprint.flat import Flat
    from calculators.footprint.mask import Mask
    from calculators.footprint.outline import Point, Ring
    from calculators.footprint.photo import Candidate
    from calculators.footprint.sole import Sole
    from calculators.footprint.surface import Light

# An edge is drawn half-way between ground and print, unless a person wants it elsewhere.
HALF = 0.5
# A sole that is as like as this ends the search under one account of the light; if besides its edge is seen on so much
# of its outline, it is plain, and no other account is asked (own choices).
_SURE, ALL_ROUND = 0.88, 0.9
# What is less like a sole than this in fine cells is no sole, whatever the coarse ones show.
_STILL_LIKE = 0.45
# Of the soles in fine cells the one that ranks highest is taken, with so much off for another size (own choice).
_SAME_SIZE = 5.0
# What by its edge and its sides is no more like a sole than this in coarse cells is left (own choice). What is rough in
# them may still be one: fine cells have shown a print in what was like one to 0.19.
_HOPELESS = 0.15
# What is as like a sole as this is asked whether it is cut off; what is counts for this part (own choices).
_LIKELY, _CUT = 0.5, 0.6
# Something on the other side of the ground is looked at where it is so many times a sure print in size (own choice).
_OPPOSITE = 0.4
# A print is this part of all that stands out as it does: one of many blots is none, one of two feet is (own choice).
_ALONE = (0.3, 0.45, 2.0, 3.0)
# A ball and a heel that stand apart, with one toe or none, may be any two stones: there are hardly others (own choice).
_ALONE_APART, _FEW_TOES = (0.5, 0.8, 2.0, 3.0), 1
# The pieces of a print differ from the ground by as much as one another: the least over the most (own choice).
_ALIKE = (0.45, 0.7, 2.0, 3.0)
# A piece smaller than this part of a print does not ask to be explained; nor does one whose edge is this part as plain
# at most, such as a blotch of the ground.
_LARGE, _BLOTCH = 0.06, 0.5
# Contrasts (difference of levels over the spread of both) count for less the smaller they are.
_CONTRAST = 0.5


class Found(NamedTuple):
    """One print: where it was seen, how thin its parts may be, its shape, its landmarks, and how like a sole it is.

    cells:    those of what was seen, with the print among them.
    share:    its part of all that stands out as it does, over the whole place; it tells in `likeness`.
    contrast: the median of what print and ground differ by across the edge, where the ground is 1.
    support:  the share of the outline on which they differ by half as much at least.
    rim:      where it goes on beyond what was looked at: frame, sheet or nowhere; told of what is likely only.
    level:    the part of the contrast at which its edge is drawn.
    """

    seen: Seen
    thin: int
    cells: "Mask"
    shape: Shape
    placed: Placed
    likeness: float
    share: float
    rank: float
    contrast: float
    support: float
    rim: str | None
    level: float = HALF


class Cut(NamedTuple):
    """Something that goes on beyond the rim of the place: its area in pixels, how clear it is, and which rim."""

    area: float
    contrast: float
    rim: str


def search(ground: Ground, flat: "Flat", lights: "Iterable[Light]") -> tuple[list[Found], list[Cut]]:
    """Find all that may be prints in a place, the likeliest first, and what is cut off by its rim.

    Args:
        ground: the place.
        flat: how the picture becomes a plane.
        lights: accounts of the light, asked until there is a print that is plain.
    """
    found: list[Found] = []
    cuts: list[Cut] = []
    for light in lights:
        under = ground.under(light)
        waiting = iter(under.candidates)
        for seen, thin, traced in _openings(map(under.seen, waiting)):
            rim = seen.rim_of_part() if thin == THIN[0] else None
            if rim:
                cuts.append(Cut(seen.candidate.found.cells * seen.grey.scale**2, seen.candidate.contrast, rim))
            judged = _judged(seen, thin, traced, flat)
            found += judged
            if any(one.likeness > _SURE and not one.rim for one in judged):
                found += _opposite(under, waiting, seen.candidate, flat)
                break
        best = max(found, key=lambda one: one.rank, default=None)
        if best and best.likeness > _SURE and best.support > ALL_ROUND and not best.rim:
            break
    return sorted(found, key=lambda one: -one.rank), cuts


def _openings(things: "Iterable[Seen]") -> "Iterator[tuple[Seen, int, Traced]]":
    """Each thing as it is traced at each thinness that changes it."""
    for seen in things:
        standing, before = seen.standing(HALF), None
        for thin in THIN:
            inside = seen.inside(standing, thin)
            if inside != before:
                yield seen, thin, seen.outlined(standing, inside)
            before = inside


def _opposite(under: "Under", others: "Iterable[Candidate]", sure: "Candidate", flat: "Flat") -> list[Found]:
    """What is lighter than the ground where a sure print is darker, or the reverse, and about as large.

    All that is on the print's own side of the ground has been seen with it.
    """
    found: list[Found] = []
    for other in others:
        if other.darker != sure.darker and _OPPOSITE < other.found.cells / sure.found.cells < 1 / _OPPOSITE:
            seen = under.seen(other)
            found += _judged(seen, THIN[0], seen.traced(HALF), flat)
    return found


def finely(found: Found, flat: "Flat") -> Found | None:
    """Trace a print again in fine cells; None where no sole is seen there any more."""
    own = found.shape.rings + found.shape.toes
    seen = found.seen.finely([flat.back(ring) for ring in own], found.cells)
    best = _traced_again(found, seen, HALF, flat)
    if best is None or best.likeness < _STILL_LIKE:
        return best
    # Small toes are seen only in fine cells.
    return best._replace(likeness=max(best.likeness, found.likeness), rank=found.rank)


def drawn_at(found: Found, level: float, flat: "Flat") -> Found | None:
    """Draw the edge of a print at another part of the contrast; None where no sole is seen there."""
    drawn = _traced_again(found, found.seen, level, flat)
    return None if drawn is None else drawn._replace(level=level)


def _traced_again(found: Found, seen: Seen, level: float, flat: "Flat") -> Found | None:
    made = _judged(seen, found.thin, seen.traced(level, found.thin), flat, found)
    return max(made, key=lambda one: one.rank * math.exp(-_SAME_SIZE * _unlike(one, found)), default=None)


def _unlike(one: Found, other: Found) -> float:
    """How far two prints differ in area and length."""
    area, length = area_with_toes(one.shape) / area_with_toes(other.shape), one.placed.length / other.placed.length
    return abs(math.log(area)) + abs(math.log(length))


def _judged(seen: Seen, thin: int, drawn: Traced, flat: "Flat", known: Found | None = None) -> list[Found]:
    """All soles in what was seen, and how like a sole each is.

    Of a print that is known already, only those that point forward as it does. What else stands out is known of it too:
    it is seen only where all of the place is looked over.
    """
    traced, cells = drawn
    rings = [flat.ring(ring) for ring in traced]
    at = {id(ring): number for number, ring in enumerate(rings)}
    areas = [signed_area(ring) for ring in rings]
    falls = {number: seen.falls(traced[number]) for number in _sizeable(areas)}
    edges = {number: _edge(fallen)[0] for number, fallen in falls.items()}
    made = []
    for sole in _soles(rings, areas, edges):
        if known and not _same_way(sole.forward, known.shape.forward):
            continue
        numbers = [at[id(ring)] for ring in rings_of(sole.body + sole.toes)]
        for number in numbers:
            if number not in falls:
                falls[number] = seen.falls(traced[number])
        edge, support = _edge([fall for number in numbers for fall in falls[number]])
        share = known.share if known else _share([areas[number] for number in numbers], edge, areas, edges)
        alone = fits(share, _ALONE)
        if not alone:
            continue
        depths = [_edge(falls[at[id(piece.ring)]])[0] for piece in sole.body]
        plain = edge_likeness(edge, support) * fits(min(depths) / max(*depths, 1e-9), _ALIKE) * alone
        least = _HOPELESS if seen.fine == 1 else 0.0
        if plain <= least or not may_be([piece.ring for piece in sole.body], sole.forward, WITH_TOES):
            continue
        shape = shaped(sole, None, FINELY if seen.fine > 1 else ROUGHLY)
        if shape is None or plain * sides_likeness(shape) <= least:
            continue
        if not may_be(shape.rings, sole.forward, WITHOUT):
            continue
        placed = placed_or_none(shape)
        if placed is None:
            continue
        like = likeness(shape, placed, support, in_mm=flat.sheet is not None, grained=seen.fine > 1) * plain
        if len(sole.body) > 1 and len(shape.toes) <= _FEW_TOES:
            like *= fits(share, _ALONE_APART)
        contrast = seen.candidate.contrast
        rank = like * support * (0.2 + 0.8 * share) * contrast / (contrast + _CONTRAST)
        if rank > 0:
            rim = seen.rim([traced[number] for number in numbers]) if like > _LIKELY else None
            rank *= _CUT if rim else 1
            made.append(Found(seen, thin, cells, shape, placed, like, share, rank, edge, support, rim))
    return made


def _same_way(one: "Point", other: "Point") -> bool:
    return one[0] * other[0] + one[1] * other[1] > 0


def _share(own: list[float], edge: float, areas: list[float], edges: dict[int, float]) -> float:
    """The part that a sole of some areas makes up of all that is large and has an edge about as plain."""
    total = math.fsum(own)
    others = (areas[number] for number, its in edges.items() if its > _BLOTCH * edge)
    return total / max(total, math.fsum(area for area in others if area > _LARGE * total))


def _sizeable(areas: list[float]) -> list[int]:
    """The outer rings that are not small beside the largest."""
    largest = max(areas, default=0.0)
    return [number for number, area in enumerate(areas) if area > _LARGE * _LARGE * largest]


def _soles(rings: "list[Ring]", areas: list[float], edges: dict[int, float]) -> "list[Sole]":
    """All soles among some rings, and those that are there once what has no edge to speak of is taken away."""
    large = _LARGE * max(areas, default=0.0)
    plainest = max((edge for number, edge in edges.items() if areas[number] > large), default=0.0)
    blotches = {number for number, edge in edges.items() if edge < _BLOTCH * plainest}
    found = soles(rings)
    if not blotches:
        return found
    without = soles([ring for number, ring in enumerate(rings) if number not in blotches])
    return found + [sole for sole in without if sole not in found]


def _edge(falls: list[float]) -> tuple[float, float]:
    """The median of what print and ground differ by across the edge, and the share of places with half of it."""
    if not falls:
        return 0.0, 0.0
    falls.sort()
    middle = falls[len(falls) // 2]
    return middle, 1 - bisect_left(falls, 0.5 * middle) / len(falls)


def placed_or_none(shape: Shape, axis: "tuple[Point, Point] | None" = None) -> Placed | None:
    """Find the landmarks of a shape, or nothing where it has no width or length to speak of."""
    try:
        return place(shape.rings, shape.forward, second_toe=shape.second_toe, given_axis=axis, medial=shape.medial)
    except ValueError:
        return None


def area_with_toes(shape: Shape) -> float:
    """Area of a print with its toes."""
    return area_of(shape.rings + shape.toes)
