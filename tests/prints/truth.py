"""What is true of an invented footprint, in millimetres: worked out by shapely on the outline itself, never on pixels.

Constructions (those of the task; their sources stay with the calculators): the axis runs from the middle of the
widest heel chord square to it, found by iteration, to the tip of the second toe; where that toe is not printed the
truth still uses the place of its tip. Thirds run from the rearmost point of the print to the front of the ball
without toes, square to the axis. Widths are outer extents on a line square to the axis: ball the widest of the front
40 %, heel the widest of the rear third, middle the narrowest between 25 and 75 % of the toeless length, 0 where a
line meets nothing. Outlines are polygons of about 500 corners; widths are looked for at the corners, where alone they
can be extreme, and in a fine grid against slips.
"""

from __future__ import annotations

import math
from dataclasses import asdict, dataclass, field

import numpy as np
import shapely
from shapely import affinity
from shapely.geometry import LineString, MultiPolygon, Polygon, box

from prints.feet import Foot

FAR = 1000.0  # mm, longer than any foot
Pair = tuple[float, float]


@dataclass(frozen=True)
class Truth:
    """The quantities of one print: mm, mm2, degrees; None where there is no such thing."""

    side: str
    second_printed: bool
    heel: Pair  # the axis, on the floor
    second_toe: Pair
    axis_deg: float  # from +x, anticlockwise
    areas: tuple[float, float, float]  # forefoot, midfoot, heel
    arch_index: float
    chippaux_smirak_index: float
    staheli_index: float
    staheli_tangent_index: float
    clarke_angle_deg: float | None  # to the deepest point of the notch
    clarke_tangent_angle_deg: float | None
    ky_index: float
    gamma_deg: float | None  # None where no straight line lies along the lateral edge for a quarter of the length
    toeless_mm: float
    ball_mm: float
    middle_mm: float
    heel_mm: float
    lines: dict[str, tuple[Pair, Pair] | None] = field(default_factory=dict)  # on the floor

    def plain(self) -> dict[str, object]:
        return asdict(self)


def _angle(start: Pair, end: Pair) -> float:
    return math.atan2(end[1] - start[1], end[0] - start[0])


def _laid(shape, heel: Pair, turn: float):
    """The shape with the heel at the origin and the axis along +x."""
    return affinity.rotate(affinity.translate(shape, -heel[0], -heel[1]), -turn, origin=(0, 0), use_radians=True)


def _corners(shape) -> np.ndarray:
    return shapely.get_coordinates(shape)


def extents(shape, low: float, high: float) -> tuple[np.ndarray, np.ndarray, np.ndarray]:
    """Places along x from low to high, and the lowest and highest y of the shape there; nan where there is none."""
    x = _corners(shape)[:, 0]
    # Just beside a corner too, where a part of the print begins or ends.
    inside = np.concatenate([x - 1e-7, x + 1e-7, np.linspace(low, high, 241)])
    places = np.unique(inside[(inside >= low) & (inside <= high)])
    lines = shapely.linestrings([[(at, -FAR), (at, FAR)] for at in places])
    bounds = shapely.bounds(shapely.intersection(shape, lines))
    return places, bounds[:, 1], bounds[:, 3]


def _widest(shape, low: float, high: float) -> tuple[float, Pair, Pair]:
    places, bottom, top = extents(shape, low, high)
    at = int(np.nanargmax(top - bottom))
    return float(top[at] - bottom[at]), (float(places[at]), float(bottom[at])), (float(places[at]), float(top[at]))


def _narrowest(shape, low: float, high: float) -> tuple[float, tuple[Pair, Pair] | None]:
    places, bottom, top = extents(shape, low, high)
    if np.isnan(top).any():
        return 0.0, None
    at = int(np.argmin(top - bottom))
    x = float(places[at])
    return float(top[at] - bottom[at]), ((x, float(bottom[at])), (x, float(top[at])))


def axis(body: MultiPolygon, tip: Pair) -> tuple[Pair, float]:
    """The heel's centre and the direction of the axis, by iteration until the centre stands still."""
    heel = (body.centroid.x, body.centroid.y)
    turn = _angle(heel, tip)
    for _ in range(100):
        laid = _laid(body, heel, turn)
        rear, _, front, _ = laid.bounds
        _, low, high = _widest(laid, rear, rear + (front - rear) / 3)
        u, v = low[0], (low[1] + high[1]) / 2
        cos, sin = math.cos(turn), math.sin(turn)
        found = (heel[0] + u * cos - v * sin, heel[1] + u * sin + v * cos)
        moved = math.dist(found, heel)
        heel, turn = found, _angle(found, tip)
        if moved < 1e-7:
            break
    return heel, turn


def _tangent(body, medial: int) -> tuple[Pair, Pair]:
    """The longest edge of the hull that looks to that side (+1 or -1 in y), its end towards the toes first."""
    ring = _corners(shapely.convex_hull(body))
    edges = [(tuple(ring[i]), tuple(ring[i + 1])) for i in range(len(ring) - 1)]
    ways = shapely.convex_hull(body).centroid.y
    sides = [
        (math.dist(a, b), a, b)
        for a, b in edges
        if medial * ((a[1] + b[1]) / 2 - ways) > 0 and abs(b[0] - a[0]) > abs(b[1] - a[1])
    ]
    _, a, b = max(sides)
    return (a, b) if a[0] > b[0] else (b, a)


def _across(body, at: Pair, along: float) -> float:
    """The outer extent of the print on the line through a point square to a direction."""
    turned = affinity.rotate(body, -along, origin=at, use_radians=True)
    bounds = turned.intersection(LineString([(at[0], at[1] - FAR), (at[0], at[1] + FAR)])).bounds
    return 0.0 if math.isnan(bounds[1]) else bounds[3] - bounds[1]


def _notch(body, toward: Pair, back: Pair) -> Polygon | None:
    """What the medial tangent cuts off between ball and heel; None where the print is broken there."""
    hull = shapely.convex_hull(body)
    middle = LineString([toward, back]).interpolate(0.5, normalized=True)
    for part in shapely.get_parts(hull.difference(body)):
        if part.distance(middle) < 1e-6:
            return part
    return None


def measure(foot: Foot, given: tuple[Pair, Pair] | None = None) -> Truth:
    """All quantities of a print; `given` is an axis, from heel to toes, to be used as it is."""
    heel, turn = (given[0], _angle(*given)) if given else axis(foot.body, foot.second_tip)
    body = _laid(foot.body, heel, turn)
    # Medial up in y, so that both feet are one case from here on: toes towards +x, a right foot's big toe is at +y.
    flip = 1 if foot.side == "right" else -1
    body = affinity.scale(body, 1, flip, origin=(0, 0))

    def back_on_floor(points):
        if points is None:
            return None
        cos, sin = math.cos(turn), math.sin(turn)
        return tuple((heel[0] + u * cos - flip * v * sin, heel[1] + u * sin + flip * v * cos) for u, v in points)

    rear, _, front, _ = body.bounds
    length = front - rear
    cuts = [rear + length * part / 3 for part in range(4)]
    hind, mid, fore = (body.intersection(box(cuts[i], -FAR, cuts[i + 1], FAR)).area for i in range(3))
    ball, *ball_line = _widest(body, front - 0.4 * length, front)
    back, *heel_line = _widest(body, rear, rear + length / 3)
    middle, middle_line = _narrowest(body, rear + 0.25 * length, rear + 0.75 * length)

    toward, behind = _tangent(body, 1)
    along = _angle(behind, toward)
    half = ((toward[0] + behind[0]) / 2, (toward[1] + behind[1]) / 2)
    staheli_tangent = _across(body, half, along) / _across(body, behind, along)

    clarke = tangent_angle = None
    broken = len(shapely.get_parts(body)) > 1
    ky = 0.0
    notch = None if broken else _notch(body, toward, behind)
    if notch is not None:
        border = _corners(notch)
        seen = border - np.array(toward)
        way = np.array([math.cos(along), math.sin(along)])
        depth = -(seen @ np.array([-way[1], way[0]]))
        deepest = int(np.argmax(depth))
        angles = np.degrees(np.arctan2(depth, -(seen @ way)))
        clarke = float(angles[deepest])
        tangent_angle = float(angles[(depth > 1e-6)].max())
        square = affinity.rotate(body, -along, origin=tuple(border[deepest]), use_radians=True)
        x, y = border[deepest]
        inside = square.intersection(LineString([(x, y - FAR), (x, y + FAR)]))
        # The line touches the notch's bottom, so it may leave a point there; the length counts what is wet.
        ky = float(inside.length) / (float(y) + float(depth[deepest]) - inside.bounds[1])
    elif not broken:
        ky = 1.0
    outer = _tangent(body, -1)
    gamma = None
    if math.dist(*outer) >= 0.25 * length:
        gamma = math.degrees(along - _angle(outer[1], outer[0]))

    thirds = [((cut, -60.0), (cut, 60.0)) for cut in cuts[1:3]]
    return Truth(
        side=foot.side,
        second_printed=foot.second_printed,
        heel=heel,
        second_toe=given[1] if given else foot.second_tip,
        axis_deg=math.degrees(turn),
        areas=(fore, mid, hind),
        arch_index=mid / (fore + mid + hind),
        chippaux_smirak_index=100 * middle / ball,
        staheli_index=middle / back,
        staheli_tangent_index=staheli_tangent,
        clarke_angle_deg=clarke,
        clarke_tangent_angle_deg=tangent_angle,
        ky_index=ky,
        gamma_deg=gamma,
        toeless_mm=length,
        ball_mm=ball,
        middle_mm=middle,
        heel_mm=back,
        lines={
            "third_1": back_on_floor(thirds[0]),
            "third_2": back_on_floor(thirds[1]),
            "ball": back_on_floor(ball_line),
            "heel": back_on_floor(heel_line),
            "middle": back_on_floor(middle_line),
            "medial_tangent": back_on_floor((toward, behind)),
        },
    )
