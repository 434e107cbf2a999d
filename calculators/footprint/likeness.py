"""How much a shape is like the sole of a foot: each property says how well it fits, and all have to fit.

The limits are own choices: wider than any of the studies' and of the invented feet, so that they tell a sole from a
leaf, a stone or a shadow and never one foot from another.
"""

import math

from calculators.footprint.plane import area_of, areas_between, signed_area
from calculators.footprint.shape import to_rough
from calculators.footprint.toes import widths_at

TYPE_CHECKING = False
if TYPE_CHECKING:
    from calculators.footprint.landmarks import Placed
    from calculators.footprint.outline import Point, Ring
    from calculators.footprint.shape import Shape

# Below the first and above the last a property does not fit at all; between the second and the third it fits well.
_LIMITS: dict[str, tuple[float, float, float, float]] = {
    "length_to_ball": (1.8, 2.15, 2.75, 3.05),
    "heel_to_ball": (0.45, 0.56, 0.80, 0.92),
    "middle_to_ball": (-1.0, -0.5, 0.85, 1.02),
    "filled": (0.30, 0.36, 0.76, 0.85),
    "roughness": (0.0, 0.5, 1.12, 1.25),
    "rear_filled": (0.66, 0.80, 0.94, 1.0),
    "toe_area": (-1.0, -0.5, 0.24, 0.34),
}
# Those that are known before the landmarks are.
_SIDES: dict[str, tuple[float, float, float, float]] = {
    "votes": (-1.5, -0.15, 9.0, 10.0),
    # A foot has its notch, its heavier toes and its farther front on the same side; what is no foot has each anywhere.
    "notch_inside": (0.1, 0.44, 9.0, 10.0),
    "toes_inside": (-0.8, -0.1, 9.0, 10.0),
    "front_inside": (-0.6, 0.05, 0.85, 1.1),
}
# The edge: how much print and ground differ across it (the median along the outline), and on what share of the outline
# they differ by half as much at least.
_FALL, _SUPPORT = (0.015, 0.05, 2.0, 3.0), (0.4, 0.65, 2.0, 3.0)
# What speaks against a sole, and by how much: no toes (each of the first four makes up a quarter). Then the least and
# the usual area of a toe, and the least of all toes, in squares on the ball's width.
_NO_TOES, _TOE, _USUAL_TOE, _ALL_TOES = 0.85, 0.01, 0.05, 0.03
# Without toes the rest has to fit the better.
_TOELESS: dict[str, tuple[float, float, float, float]] = {
    "heel_to_ball": (0.4, 0.5, 0.74, 0.86),
    "middle_to_ball": (-1.0, -0.5, 0.66, 0.82),
    "front_inside": (0.0, 0.2, 0.85, 1.1),
    "support": (0.65, 0.8, 2.0, 3.0),
}
_LENGTH_MM = (80.0, 105.0, 270.0, 310.0)


# Where a print is looked at from its rear to its front, in parts of its length, before its axis is known.
_REAR, _FRONT = (0.06, 0.14, 0.22, 0.3), (0.5, 0.58, 0.66, 0.74, 0.82, 0.9)
# What its length and its widest rear may then be in parts of its widest front: with its toes, and without them. Wider
# than the limits above by what toes and a turned axis may change.
WITH_TOES, WITHOUT = ((1.5, 4.2), (0.35, 1.1)), ((1.6, 3.5), (0.4, 1.0))


def may_be(rings: "list[Ring]", forward: "Point", limits: tuple[tuple[float, float], tuple[float, float]]) -> bool:
    """Whether outer rings are about as long and as wide as a sole that points forward; soon told of what is none."""
    rings = [to_rough(ring, forward) for ring in rings]
    low, high = min(u for ring in rings for u, _ in ring), max(u for ring in rings for u, _ in ring)
    widths = widths_at(rings, [low + part * (high - low) for part in _REAR + _FRONT])
    rear, front = max(widths[: len(_REAR)]), max(widths[len(_REAR) :])
    (shortest, longest), (narrowest, widest) = limits
    return shortest * front < high - low < longest * front and narrowest * front < rear < widest * front


def properties(shape: "Shape", placed: "Placed") -> dict[str, float]:
    """Give the numbers that are looked at."""
    area = area_of(placed.rings)
    ball, heel = placed.ball.width, placed.heel.width
    middle = placed.middle.width if placed.middle else 0.0
    rear = areas_between(placed.rings, (0.0, heel))[0]
    return {
        "length_to_ball": placed.length / ball,
        "heel_to_ball": heel / ball,
        "middle_to_ball": middle / ball,
        "filled": area / (placed.length * ball),
        "roughness": max(roughness(ring, 0.022 * placed.length) for ring in _large(placed.rings, area)),
        "rear_filled": rear / (heel * heel),
        "toe_area": area_of(shape.toes) / area,
    }


def sides(shape: "Shape") -> dict[str, float]:
    """Give those of the numbers that need no landmarks."""
    inside = 1 if shape.votes.total() > 0 else -1
    return {
        "votes": shape.sole.votes,
        "notch_inside": inside * shape.votes.notch,
        "toes_inside": inside * shape.votes.toes,
        "front_inside": inside * shape.votes.front,
    }


def sides_likeness(shape: "Shape") -> float:
    """From 0 to 1: what `likeness` is at most, told before the landmarks are looked for."""
    return math.prod(fits(value, _SIDES[name]) for name, value in sides(shape).items())


def likeness(shape: "Shape", placed: "Placed", support: float, *, in_mm: bool, grained: bool = False) -> float:
    """From 0, no sole at all, to 1: the product of how well each property fits.

    `support` is the share of the outline on which an edge is seen; `grained` is for an edge in fine cells, which the
    grain of the ground makes rough.
    """
    fit = sides_likeness(shape)
    found = {**properties(shape, placed), **sides(shape), "support": support}
    for name, limits in _LIMITS.items():
        if not (grained and name == "roughness"):
            fit *= fits(found[name], limits)
    if in_mm:
        fit *= fits(placed.length, _LENGTH_MM)
    areas = [signed_area(ring) / placed.ball.width**2 for ring in shape.toes]
    # Toes that run into one another are as many as their area speaks for.
    toes = max(len([area for area in areas if area > _TOE]), math.fsum(areas) / _USUAL_TOE)
    if math.fsum(areas) < _ALL_TOES:
        toes = 0.0
        for name, limits in _TOELESS.items():
            fit *= fits(found[name], limits)
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
