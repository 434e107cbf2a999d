"""Geometry of an outline in the plane: areas, extents, hull, and turning it into another frame.

A print is a list of rings. Outer rings run anticlockwise, so that their area is positive; the rings of holes run
clockwise and are negative. The plane is right-handed; its two coordinates are called u and v here. Everything is exact
for the polygon given, apart from the rounding of double precision.
"""

import math
from itertools import pairwise

Point = tuple[float, float]
Ring = list[Point]


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


def area_of(rings: list[Ring]) -> float:
    """Area within some rings, holes left out."""
    return math.fsum(signed_area(ring) for ring in rings)


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


def hull(points: list[Point]) -> Ring:
    """Find the convex hull, anticlockwise from its leftmost point, without points on its straight sides.

    Points are sorted once, then each side is run through by itself.
    """
    ordered = sorted(set(points))
    if len(ordered) < 3:
        return ordered
    # What lies above the line from the leftmost to the rightmost point has no part in the lower side. Both are in both.
    (u0, v0), (u1, v1) = ordered[0], ordered[-1]
    du, dv = u1 - u0, v1 - v0
    above = [du * (v - v0) - dv * (u - u0) for u, v in ordered]
    below = [point for point, side in zip(ordered, above, strict=True) if side <= 0]
    beyond = [point for point, side in zip(ordered, above, strict=True) if side >= 0]
    return lower_chain(below)[:-1] + upper_chain(beyond)[:0:-1]


def lower_chain(ordered: list[Point]) -> Ring:
    """Find the lower side of the convex hull of points in growing order of u, from the first to the last.

    Monotone chain: a point stays while the chain turns anticlockwise there.
    """
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


def upper_chain(ordered: list[Point]) -> Ring:
    """Find the upper side in the same way, from the first point to the last."""
    return lower_chain(ordered[::-1])[::-1]


def mean(points: list[Point]) -> Point:
    """Find the mean of some points."""
    return math.fsum(u for u, _ in points) / len(points), math.fsum(v for _, v in points) / len(points)


def turned(ring: Ring, origin: Point, along: Point) -> Ring:
    """Give the ring in the frame with its origin at `origin` and its first axis along the unit vector `along`."""
    dx, dy = along
    u0, v0 = origin[0] * dx + origin[1] * dy, origin[1] * dx - origin[0] * dy
    return [(x * dx + y * dy - u0, y * dx - x * dy - v0) for x, y in ring]


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
