"""The outer edges of a print along one direction: its widest and its narrowest chord, and the chord at a place.

The frame is that of `calculators.footprint.plane`. Everything is exact for the polygon given, apart from the rounding
of double precision.
"""

import math
from bisect import bisect_left, bisect_right
from itertools import pairwise
from operator import sub
from typing import NamedTuple

TYPE_CHECKING = False
if TYPE_CHECKING:
    from calculators.footprint.plane import Point, Ring

# Two vertices whose u differ by less than this part of the stretch looked at lie on one line across it. A step square
# to the axis has length zero, and turning the outline must not make it a place of its own.
_SAME_U = 1e-9
# Two widths that differ by less than this part are equally wide.
_SAME_V = 1e-9
# Pieces that a stretch is cut into to see roughly where it is wide; any number gives the same answer.
_PIECES = 24


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
    def middle(self) -> "Point":
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


def profile(outlines: "list[Ring]", *cuts: float) -> Profile:
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
            if (u1 <= start and u2 <= start) or (u1 >= end and u2 >= end):
                u1, v1 = u2, v2
                continue
            # From the smaller u to the larger one.
            ua, va, ub, vb = (u1, v1, u2, v2) if u1 < u2 else (u2, v2, u1, v1)
            u1, v1 = u2, v2
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


def widest(outlines: "list[Ring]", start: float, end: float) -> Chord | None:
    """Find the widest chord between two lines, as `profile` and then `Profile.widest` do, in a part of the time.

    The widest chord lies where a box round a short piece of the print is at least as wide, and most pieces fall out.
    """
    wide = _boxes(outlines, start, end)
    best = max(wide)
    if best == -math.inf:
        return None
    cuts = [start + number * (end - start) / _PIECES for number in range(_PIECES)] + [end]
    first = wide.index(best)
    found = profile(outlines, cuts[first], cuts[first + 1]).widest()
    least = -math.inf if found is None else (1 - 2 * _SAME_V) * found.width
    kept = [number for number, width in enumerate(wide) if width >= least]
    return profile(outlines, cuts[kept[0]], cuts[kept[-1] + 1]).widest()


def _boxes(outlines: "list[Ring]", start: float, end: float) -> list[float]:
    """How wide the print may be at the most in each of so many pieces of a stretch; -inf where there is none."""
    points = sorted([point for ring in outlines for point in ring])
    us, vs = [u for u, _ in points], [v for _, v in points]
    # A line across a piece cuts edges whose ends lie no further from the piece than the longest edge reaches.
    reach = _SAME_U * (end - start) + max((_longest(ring) for ring in outlines), default=0.0)
    made = []
    for number in range(_PIECES):
        low, high = start + number * (end - start) / _PIECES, start + (number + 1) * (end - start) / _PIECES
        within = vs[bisect_left(us, low - reach) : bisect_right(us, high + reach)]
        made.append(max(within) - min(within) if within else -math.inf)
    return made


def _longest(ring: "Ring") -> float:
    us = [u for u, _ in ring]
    steps: list[float] = list(map(sub, us, us[-1:] + us))
    return max(map(abs, steps))


def _places(outlines: "list[Ring]", cuts: tuple[float, ...]) -> tuple[list[float], dict[float, int]]:
    """Find the u at which stretches begin and end, and which of them each vertex belongs to."""
    start, end = cuts[0], cuts[-1]
    near = _SAME_U * (end - start)
    places, place_of = [start], {start: 0}
    for u in sorted({u for ring in outlines for u, _ in ring if start < u < end}.union(cuts)):
        if u - places[-1] > near:
            places.append(u)
        place_of[u] = len(places) - 1
    return places, place_of
