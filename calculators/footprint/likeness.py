"""How much a shape is like the sole of a foot: each property says how well it fits, and all have to fit.

The limits are own choices: wider than any of the studies' and of the invented feet, so that they tell a sole from a
leaf, a stone or a shadow and never one foot from another.
"""

import math

from calculators.footprint.plane import area_of, areas_between, signed_area

TYPE_CHECKING = False
if TYPE_CHECKING:
    from calculators.footprint.landmarks import Placed
    from calculators.footprint.outline import Ring
    from calculators.footprint.shape import Shape

# Below the first and above the last a property does not fit at all; between the second and the third it fits well.
_LIMITS: dict[str, tuple[float, float, float, float]] = {
    "length_to_ball": (1.75, 2.05, 2.85, 3.2),
    "heel_to_ball": (0.42, 0.53, 0.84, 0.96),
    "middle_to_ball": (-1.0, -0.5, 0.92, 1.06),
    "filled": (0.30, 0.37, 0.76, 0.85),
    "roughness": (0.0, 0.5, 1.10, 1.25),
    "rear_filled": (0.50, 0.76, 0.94, 1.0),
    "toe_area": (-1.0, -0.5, 0.28, 0.40),
    "votes": (-1.5, -0.5, 9.0, 10.0),
}
# The edge: how much print and ground differ across it (the median along the outline), and on what share of the outline
# they differ by half as much at least.
_FALL, _SUPPORT = (0.015, 0.05, 2.0, 3.0), (0.4, 0.65, 2.0, 3.0)
# What else speaks against a sole, and by how much: a side that cannot be told, no toes (each of the first four makes up
# a quarter), two pieces without a toe. Then the least and the usual area of a toe, and the least of all toes, in
# squares on the ball's width.
_NO_SIDE, _NO_TOES, _TWO_BLOBS, _TOE, _USUAL_TOE, _ALL_TOES = 0.6, 0.8, 0.7, 0.01, 0.05, 0.03
_TOELESS_HEEL, _TOELESS_MIDDLE = (0.4, 0.5, 0.72, 0.86), (-1.0, -0.5, 0.55, 0.75)
_LENGTH_MM = (80.0, 105.0, 270.0, 310.0)


def properties(shape: "Shape", placed: "Placed") -> dict[str, float]:
    """Give the numbers that are looked at."""
    area = area_of(placed.rings)
    ball, heel = placed.ball.width, placed.heel.width
    middle = placed.middle.width if placed.middle else 0.0
    rear = areas_between(placed.rings, (0.0, heel))[0]
    toes = area_of(shape.toes)
    return {
        "length_to_ball": placed.length / ball,
        "heel_to_ball": heel / ball,
        "middle_to_ball": middle / ball,
        "filled": area / (placed.length * ball),
        "roughness": max(roughness(ring, 0.022 * placed.length) for ring in _large(placed.rings, area)),
        "rear_filled": rear / (heel * heel),
        "toe_area": toes / area,
        "votes": shape.sole.votes,
    }


def likeness(shape: "Shape", placed: "Placed", *, in_mm: bool, grained: bool = False) -> float:
    """From 0, no sole at all, to 1: the product of how well each property fits.

    `grained` is for an edge in fine cells, which the grain of the ground makes rough.
    """
    fit = 1.0
    for name, value in properties(shape, placed).items():
        if not (grained and name == "roughness"):
            fit *= fits(value, _LIMITS[name])
    if in_mm:
        fit *= fits(placed.length, _LENGTH_MM)
    if shape.medial is None:
        fit *= _NO_SIDE
    areas = [signed_area(ring) / placed.ball.width**2 for ring in shape.toes]
    # Toes that run into one another are as many as their area speaks for.
    toes = max(len([area for area in areas if area > _TOE]), math.fsum(areas) / _USUAL_TOE)
    if math.fsum(areas) < _ALL_TOES:
        # Without toes, only a heel that is narrower than the ball and an arch tell a foot from the sole of a shoe.
        toes = 0.0
        fit *= fits(placed.heel.width / placed.ball.width, _TOELESS_HEEL)
        fit *= fits(placed.middle.width / placed.ball.width if placed.middle else 0.0, _TOELESS_MIDDLE)
        if len(shape.sole.body) > 1:
            fit *= _TWO_BLOBS
    return fit * (_NO_TOES + (1 - _NO_TOES) * min(4, toes) / 4)


def edge_likeness(fall: float, support: float) -> float:
    """From 0, no edge at all, to 1."""
    return fits(fall, _FALL) * fits(support, _SUPPORT)


def fits(value: float, limits: tuple[float, float, float, float]) -> float:
    """1 between the inner limits, 0 beyond the outer ones, a straight line between."""
    low, well, still, high = limits
    if value <= low or value >= high:
        return 0.0
    if value < well:
        return (value - low) / (well - low)
    return 1.0 if value <= still else (high - value) / (high - still)


def _large(rings: "list[Ring]", area: float) -> "list[Ring]":
    return [ring for ring in rings if signed_area(ring) > 0.05 * area]


def roughness(ring: "Ring", stride: float) -> float:
    """How much longer the outline is than the one that takes a step of a stride at a time."""
    total = walked = 0.0
    start = last = ring[0]
    x0, y0 = ring[0]
    for x1, y1 in ring[1:]:
        total += math.hypot(x1 - x0, y1 - y0)
        if math.hypot(x1 - last[0], y1 - last[1]) >= stride:
            walked += math.hypot(x1 - last[0], y1 - last[1])
            last = (x1, y1)
        x0, y0 = x1, y1
    total += math.dist((x0, y0), start)
    walked += math.dist(last, start)
    return total / walked if walked else math.inf
