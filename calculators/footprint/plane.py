"""Geometry of an outline in the plane: areas, extents, hull, and turning it into another frame.

A print is a list of rings. Outer rings run anticlockwise, so that their area is positive; the rings of holes run
clockwise and are negative. The plane is right-handed; its two coordinates are called u and v here. Everything is exact
for the polygon given, apart from the rounding of double precision.
"""

import math
from bisect import bisect_left, bisect_right
from itertools import pairwise
from typing import NamedTuple

Point = tuple[float, float]
Ring = list[Point]

# Two vertices whose u differ by less than this part of the stretch looked at lie on one line across it. A step square
# to the axis has length zero, and turning the outline must not make it a place of its own.
_SAME_U = 1e-9
# Two widths that differ by less than this part are equally wide.
_SAME_V = 1e-9


def signed_area(ring: Ring) -> float:
    """Area inside a ring, in the square of its unit; negative where the ring runs clockwise."""
    if not ring:
        return 0.0
    # Measured from the ring's first point, so that a small ring far from the origin keeps its digits.
    (u0, v0), doubled = ring[0], 0.0
    before_u = before_v = 0.0
    for u, v in ring:
        here_u, here_v = u - u0, v - v0
        doubled += before_u * here_v - here_u * before_v
        before_u, before_v = here_u, here_v
    return doubled / 2


def outer(rings: list[Ring]) -> list[Ring]:
    """Give back the rings that bound the print from outside, without those of holes."""
    return [ring for ring in rings if signed_area(ring) > 0]


def areas_between(rings: list[Ring], cuts: tuple[float, ...]) -> list[float]:
    """Area of the print between each two neighbouring lines u = cut; n cuts, in growing order, give n - 1 areas.

    By Green's theorem the area behind a line is the integral of -v du over the parts of the outline behind it, whether
    the ring is convex or not; the rings of holes subtract themselves.
    """
    behind = [0.0] * len(cuts)
    numbered = tuple(enumerate(cuts))
    for ring in rings:
        if not ring:
            continue
        u0, v0 = ring[-1]
        for u1, v1 in ring:
            if u0 != u1:
                low, high = (u0, u1) if u0 < u1 else (u1, u0)
                for number, cut in numbered:
                    if high <= cut:
                        behind[number] += (u0 - u1) * (v0 + v1)
                    elif low < cut:
                        v = v0 + (v1 - v0) * (cut - u0) / (u1 - u0)
                        behind[number] += (u0 - cut) * (v0 + v) if u0 < cut else (cut - u1) * (v + v1)
            u0, v0 = u1, v1
    return [(far - near) / 2 for near, far in pairwise(behind)]


def contact_length(rings: list[Ring], u: float) -> float:
    """Give back how much of the line at `u` lies on the print: holes and notches left out. At a vertex: just after."""
    length = 0.0
    for ring in rings:
        if not ring:
            continue
        u0, v0 = ring[-1]
        for u1, v1 in ring:
            if (u0 <= u) is not (u1 <= u):
                v = v0 + (v1 - v0) * (u - u0) / (u1 - u0)
                length += v if u1 < u0 else -v
            u0, v0 = u1, v1
    return length


class Chord(NamedTuple):
    """The piece of the line at `u` between the print's outer edges, from `low` to `high`."""

    u: float
    low: float
    high: float

    @property
    def width(self) -> float:
        """Distance between the two edges."""
        return self.high - self.low

    @property
    def middle(self) -> Point:
        """The point midway between the two edges."""
        return self.u, (self.low + self.high) / 2


class Profile(NamedTuple):
    """The print's outer edges along u, as they are from vertex to vertex, where both are straight.

    Three lists of the same length, two places for each stretch between neighbouring vertices: its start and its end,
    seen from inside the stretch. `low` and `high` are the smallest and the largest v of the print there, inf and -inf
    where a line across meets no print. The end of one stretch and the start of the next stand at the same u and differ
    where the outline has a step: both are given, and what lies only on the line of the step counts for neither.
    """

    at: list[float]
    low: list[float]
    high: list[float]

    def part(self, start: float, end: float) -> "Profile":
        """Give back the piece between two of the cuts that the profile was made with."""
        near = 2 * _SAME_U * (self.at[-1] - self.at[0])
        # Whole stretches: from an even place up to an odd one.
        first, until = bisect_left(self.at, start - near), bisect_right(self.at, end + near)
        first, until = first + first % 2, until - until % 2
        return Profile(self.at[first:until], self.low[first:until], self.high[first:until])

    def widest(self) -> Chord | None:
        """Find the widest chord: the middle of the rearmost stretch where it is widest. None where there is no print.

        The width is straight between vertices, so that one of the places in the lists is the widest.
        """
        widths = self.widths()
        return None if not widths or max(widths) == -math.inf else self._top(widths)

    def narrowest(self) -> Chord | None:
        """Find the narrowest chord, by the same rule; None where a line across meets no print."""
        widths = [-width for width in self.widths()]
        return None if not widths or max(widths) == math.inf else self._top(widths)

    def widths(self) -> list[float]:
        """Give back the width at each place, -inf where there is no print."""
        return [high - low for low, high in zip(self.low, self.high, strict=True)]

    def farthest(self, values: list[float]) -> Chord:
        """Find the chord at which `values`, one a place and straight in between, are largest."""
        return self._top(values)

    def chord(self, u: float) -> Chord | None:
        """Give back the chord at `u`; where the outline has a step there, from edge to edge of both sides of it."""
        found = [
            self._between(start, start + 1, u)
            for start in range(0, len(self.at), 2)
            if self.at[start] <= u <= self.at[start + 1] and self.low[start] != math.inf
        ]
        return Chord(u, min(chord.low for chord in found), max(chord.high for chord in found)) if found else None

    def _top(self, values: list[float]) -> Chord:
        best = max(values)
        equal = best - _SAME_V * abs(best)
        first = last = next(place for place, value in enumerate(values) if value >= equal)
        while last + 1 < len(values) and values[last + 1] >= equal:
            last += 1
        # The place midway lies in one of the stretches that are all equal; where two of them meet, in the nearer.
        u = (self.at[first] + self.at[last]) / 2
        end = next(place for place in range(first, last + 1) if self.at[place] >= u)
        return self._between(max(end - 1, first), end, u)

    def _between(self, start: int, end: int, u: float) -> Chord:
        stretch = self.at[end] - self.at[start]
        part = (u - self.at[start]) / stretch if stretch else 0.0
        return Chord(
            u,
            self.low[start] + part * (self.low[end] - self.low[start]),
            self.high[start] + part * (self.high[end] - self.high[start]),
        )


def profile(outlines: list[Ring], *cuts: float) -> Profile:
    """Find the outer edges of the print from the first line u = cut to the last.

    Args:
        outlines: the outer rings (see `outer`); rings of holes would change nothing and cost time.
        cuts: at least two, in growing order; a stretch ends at each of them, so that `part` can take the piece between
            any two.
    """
    start, end = cuts[0], cuts[-1]
    places, place_of = _places(outlines, cuts)
    last = len(places) - 1
    low, high = [math.inf] * (2 * last), [-math.inf] * (2 * last)
    for ring in outlines:
        u1, v1 = ring[-1]
        for u2, v2 in ring:
            # From the smaller u to the larger one.
            ua, va, ub, vb = (u1, v1, u2, v2) if u1 < u2 else (u2, v2, u1, v1)
            u1, v1 = u2, v2
            if ub <= start or ua >= end:
                continue
            first = place_of[ua] if ua > start else 0
            until = place_of[ub] if ub < end else last
            if first == until:
                continue
            slope = (vb - va) / (ub - ua)
            v = va if ua >= start else va + slope * (start - ua)
            at = 2 * first
            for u in places[first + 1 : until + 1]:
                # No call of min and max: this is where the time of a measurement goes.
                low[at] = v if v < low[at] else low[at]
                high[at] = v if v > high[at] else high[at]
                at, v = at + 1, va + slope * (u - ua)
                low[at] = v if v < low[at] else low[at]
                high[at] = v if v > high[at] else high[at]
                at += 1
    return Profile([u for pair in pairwise(places) for u in pair], low, high)


def _places(outlines: list[Ring], cuts: tuple[float, ...]) -> tuple[list[float], dict[float, int]]:
    """Find the u at which stretches begin and end, and which of them each vertex belongs to."""
    start, end = cuts[0], cuts[-1]
    near = _SAME_U * (end - start)
    places, place_of = [start], {start: 0}
    for u in sorted({u for ring in outlines for u, _ in ring if start < u < end}.union(cuts)):
        if u - places[-1] > near:
            places.append(u)
        place_of[u] = len(places) - 1
    return places, place_of


def extent(outlines: list[Ring], u: float) -> Chord | None:
    """Find the smallest and the largest v of the print on the line at `u`, by itself; None where it meets no print.

    A vertex on the line counts.
    """
    low, high = math.inf, -math.inf
    for ring in outlines:
        u0, v0 = ring[-1]
        for u1, v1 in ring:
            if u1 == u:
                low, high = min(low, v1), max(high, v1)
            elif (u0 < u < u1) or (u1 < u < u0):
                v = v0 + (v1 - v0) * (u - u0) / (u1 - u0)
                low, high = min(low, v), max(high, v)
            u0, v0 = u1, v1
    return Chord(u, low, high) if low <= high else None


def hull(points: list[Point]) -> Ring:
    """Find the convex hull, anticlockwise from its leftmost point, without points on its straight sides.

    Monotone chain: points sorted once, then one pass for each side.
    """
    ordered = sorted(set(points))
    if len(ordered) < 3:
        return ordered
    return _chain(ordered)[:-1] + _chain(ordered[::-1])[:-1]


def _chain(ordered: list[Point]) -> Ring:
    chain: Ring = []
    for point in ordered:
        u, v = point
        while len(chain) > 1:
            (u0, v0), (u1, v1) = chain[-2], chain[-1]
            if (u1 - u0) * (v - v0) > (v1 - v0) * (u - u0):
                break
            chain.pop()
        chain.append(point)
    return chain


def turned(ring: Ring, origin: Point, along: Point) -> Ring:
    """Give the ring in the frame with its origin at `origin` and its first axis along the unit vector `along`."""
    x0, y0 = origin
    dx, dy = along
    return [((x - x0) * dx + (y - y0) * dy, (y - y0) * dx - (x - x0) * dy) for x, y in ring]


def mirrored(ring: Ring) -> Ring:
    """Turn v round, and the order of the points with it, so that an outer ring stays anticlockwise."""
    return [(u, -v) for u, v in reversed(ring)]


def unit(start: Point, end: Point) -> Point:
    """Direction from one point to another, of length 1.

    Raises:
        ValueError: the two points are in one place.
    """
    length = math.dist(start, end)
    if length == 0:
        raise ValueError("two points in one place have no direction")
    return (end[0] - start[0]) / length, (end[1] - start[1]) / length
