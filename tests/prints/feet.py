"""Invented footprints with smooth outlines, in millimetres: a body (the print without toes) and five toe pads.

No outline was traced or measured from a person. Proportions are chosen by eye so that the indices spread from a print
without a midfoot to one without an arch; nothing may be learnt from them about feet.

Foot frame of construction: u from heel to toes, v towards the medial side, both in mm; `Foot` holds the shapes as they
lie on the floor seen from above (x right, y away from the viewer, toes towards +y): the big toe of a right foot is at
smaller x, that of a left foot at larger x.
"""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
from shapely import affinity
from shapely.geometry import LineString, MultiPolygon, Point, Polygon
from shapely.ops import unary_union

ARC = 24  # segments of a quarter turn wherever shapely rounds; 6 mm radius then errs by 0.003 mm
TOES = ("hallux", "second", "third", "fourth", "fifth")


@dataclass(frozen=True)
class Foot:
    """One print on the floor, in mm. `second_tip` is where the tip of the second toe is, printed or not."""

    side: str
    body: MultiPolygon
    toes: tuple[Polygon | MultiPolygon, ...]
    second_tip: tuple[float, float]
    second_printed: bool
    printed: Polygon | MultiPolygon  # body and toes in one, joined where they were made: turned borders meet no more

    def placed(self, turn_deg: float, x: float, y: float) -> Foot:
        """The same print turned about the origin (anticlockwise), then moved."""

        def move(shape):
            return affinity.translate(affinity.rotate(shape, turn_deg, origin=(0, 0)), x, y)

        tip = move(Point(self.second_tip))
        body, toes = move(self.body), tuple(move(toe) for toe in self.toes)
        return Foot(self.side, body, toes, (tip.x, tip.y), self.second_printed, move(self.printed))


def spline(points: list[tuple[float, float]], pieces: int = 16) -> Polygon:
    """The closed uniform cubic B-spline of a control polygon: curvature without a jump, never outside the hull."""
    control = np.asarray(points, float)
    t = np.linspace(0, 1, pieces, endpoint=False)[:, None]
    before, here, after, beyond = (np.roll(control, -shift, axis=0)[:, None, :] for shift in range(4))
    curve = (
        (1 - t) ** 3 * before
        + (3 * t**3 - 6 * t**2 + 4) * here
        + (-3 * t**3 + 3 * t**2 + 3 * t + 1) * after
        + t**3 * beyond
    ) / 6
    return Polygon(curve.reshape(-1, 2))


def _pad(u: float, v: float, long: float, wide: float, turn_deg: float, egg: float) -> Polygon:
    """A toe pad: an ellipse that is fuller towards its tip."""
    angle = np.linspace(0, 2 * np.pi, 96, endpoint=False)
    along, across = np.cos(angle) * long / 2, np.sin(angle) * wide / 2 * (1 + egg * np.cos(angle))
    return affinity.translate(affinity.rotate(Polygon(np.c_[along, across]), turn_deg, origin=(0, 0)), u, v)


def _body(length: float, arch: float, rng: np.random.Generator) -> MultiPolygon:
    """The print without toes. `arch` is the narrowest midfoot as a part of the heel's width; below 0 a gap is left."""

    def vary(value: float, part: float) -> float:
        return value * (1 + rng.uniform(-part, part))

    heel = vary(0.120, 0.06) * length  # half a width, as control points; the spline stays inside them
    medial, lateral = vary(0.196, 0.06) * length, vary(0.198, 0.06) * length
    front = vary(0.815, 0.02) * length
    drop = vary(0.105, 0.25) * length  # how far the ball's front falls back to the lateral side
    convex = rng.uniform(0.0, 0.02) * length
    slim = rng.uniform(0.0, 0.022) * length  # an edge that is a little hollow behind the fifth head
    heel_skew = rng.uniform(-0.012, 0.012) * length

    def lateral_edge(u: float) -> float:
        share = np.clip((u / length - 0.15) / 0.47, 0, 1)
        return -(heel * 0.97 + (lateral - heel * 0.97) * share + (convex - slim) * np.sin(np.pi * share))

    def at(part: float) -> float:
        return part * length

    rear = [
        (at(0.105), heel),
        (at(0.03), heel * 0.93),
        (-at(0.012), heel * 0.42 + heel_skew),
        (-at(0.012), -heel * 0.42 + heel_skew),
        (at(0.03), -heel * 0.93),
        (at(0.105), -heel * 0.98),
    ]
    side = [(at(part), lateral_edge(at(part))) for part in (0.2, 0.3, 0.4, 0.5, 0.58)]
    ball = [
        (at(0.635), -lateral),
        (front - drop - at(0.022), -lateral * 0.93),
        (front - drop * 0.52, -lateral * 0.55),
        (front - drop * 0.15, -lateral * 0.12),
        (front + at(0.008), medial * 0.3),
        (front - at(0.006), medial * 0.68),
        (front - at(0.05), medial * 0.97),
        (front - at(0.115), medial * 1.0),
    ]
    middle = rng.uniform(0.40, 0.46)
    if arch < 0:
        reach = -arch * 0.10  # how much more is missing than the very middle
        heel_front = at(0.32 - reach * 0.8 + rng.uniform(-0.02, 0.02))
        ball_rear = at(0.53 + reach * 0.6 + rng.uniform(-0.02, 0.01))
        back = spline(
            [
                *rear,
                (heel_front * 0.8, -heel * 0.95),
                (heel_front, -heel * 0.5),
                (heel_front * 0.98, heel * 0.1),
                (heel_front * 0.86, heel * 0.8),
            ]
        )
        fore = spline(
            [
                (ball_rear, -lateral * 0.75),
                (ball_rear + at(0.03), -lateral * 0.98),
                (at(0.64), -lateral),
                *ball[1:],
                (at(0.625), medial * 0.72),
                (at(0.60), medial * 0.2),
                (ball_rear + at(0.025), -lateral * 0.35),
            ]
        )
        return MultiPolygon([back, fore])
    narrow = arch * heel * 1.9
    notch = lateral_edge(at(middle)) + narrow
    to_ball, to_heel = medial * 0.88 - notch, heel * 0.97 - notch
    inner = [
        (at(0.61), notch + 0.72 * to_ball),
        (at(0.555), notch + 0.30 * to_ball),
        (at(middle + 0.06), notch + 0.02 * to_ball),
        (at(middle), notch),
        (at(middle - 0.06), notch + 0.04 * to_heel),
        (at(0.29), notch + 0.36 * to_heel),
        (at(0.215), notch + 0.80 * to_heel),
    ]
    return MultiPolygon([spline([*rear, *side, *ball, *inner])])


def _front_of(body: MultiPolygon, v: float) -> float:
    cut = body.intersection(LineString([(-50, v), (400, v)]))
    return cut.bounds[2] if not cut.is_empty else body.bounds[2] - 25


def _pads(body: MultiPolygon, length: float, second: float, gap_mm: float, rng: np.random.Generator) -> list[Polygon]:
    """Five pads in an arc before the ball; `second` moves the tip of the second toe, in mm."""
    low, high = body.intersection(
        Polygon([(0.55 * length, -200), (length, -200), (length, 200), (0.55 * length, 200)])
    ).bounds[1::2]
    width = high - low
    places = (0.845, 0.605, 0.435, 0.275, 0.125)  # from the lateral edge of the ball
    widths = np.array((0.290, 0.160, 0.150, 0.140, 0.130)) * width * rng.uniform(0.92, 1.05)
    longs = widths * np.array((1.22, 1.32, 1.22, 1.12, 1.02)) * rng.uniform(0.93, 1.08, 5)
    reach = np.array((0.0, 4.5, 1.5, -0.5, -1.0)) * length / 250  # further from the ball than the gap alone
    turns = (4.0, 1.0, -3.0, -7.0, -14.0)
    pads = []
    for i in range(5):
        v = low + places[i] * width + rng.uniform(-0.008, 0.008) * width
        behind = max(_front_of(body, v + side * widths[i] * 0.42) for side in (-1, 0, 1))
        away = gap_mm * rng.uniform(0.85, 1.25) + reach[i] + (second if i == 1 else 0.0)
        turn = turns[i] + rng.uniform(-3, 3)
        pads.append(_pad(behind + away + longs[i] / 2, v, longs[i], widths[i], turn, 0.10))
    return pads


def _necked(pad: Polygon, body: MultiPolygon, width: float) -> Polygon | MultiPolygon:
    """The pad with a neck of that width down to the ball and a little into it."""
    u, v = pad.centroid.x, pad.centroid.y
    neck = LineString([(u, v), (_front_of(body, v * 0.985) - 3.0, v * 0.985)]).buffer(width / 2, quad_segs=ARC)
    rounded = unary_union([pad, neck, body]).buffer(2.0, quad_segs=ARC).buffer(-2.0, quad_segs=ARC)
    near = unary_union([pad, neck]).buffer(4.0, quad_segs=ARC)
    return rounded.intersection(near)


def make(
    seed: int,
    side: str,
    *,
    length: float,
    arch: float,
    toes: str = "separate",
    missing: tuple[int, ...] = (),
    second_mm: float = 0.0,
) -> Foot:
    """A foot from its seed. `toes`: separate, close, merged, touching (narrow necks), broad (wide necks), none.

    `arch` runs from -1 (nothing between ball and heel) over 0.1 (high) and 0.5 to 1 (flat); `missing` counts from the
    big toe = 0; `second_mm` lengthens or shortens the second toe.
    """
    rng = np.random.default_rng(seed)
    body = _body(length, arch, rng)
    gap = {"close": 2.6, "merged": 6.5, "touching": 5.0, "broad": 3.0}.get(toes, rng.uniform(5.0, 9.0))
    pads = _pads(body, length, second_mm, gap, rng)
    whole = pads[1]
    if toes == "merged":
        # Three or four neighbours run into one another, the big toe sometimes with them.
        first = int(rng.integers(0, 2))
        group = range(first, first + 4)
        joined = unary_union([pads[i].buffer(0.5) for i in group if i not in missing])
        joined = joined.buffer(3.2, quad_segs=ARC).buffer(-3.6, quad_segs=ARC)
        kept = [pads[i] for i in range(5) if i not in group and i not in missing]
        shapes = [joined, *kept]
    elif toes in {"touching", "broad"}:
        number = 1 + int(rng.integers(0, 2)) if toes == "touching" else 2 + int(rng.integers(0, 2))
        chosen = set(rng.choice(5, size=number, replace=False).tolist())
        wide = {"touching": (0.25, 0.45), "broad": (0.6, 0.85)}[toes]
        shapes = []
        for i in range(5):
            if i in missing:
                continue
            across = pads[i].bounds[3] - pads[i].bounds[1]
            shapes.append(_necked(pads[i], body, across * rng.uniform(*wide)) if i in chosen else pads[i])
    else:
        shapes = [] if toes == "none" else [pads[i] for i in range(5) if i not in missing]
    parts = []
    for shape in shapes:
        parts += list(getattr(shape, "geoms", [shape]))
    toe_parts = [part.difference(body) for part in parts if part.area > 1.0]

    heel = Point(0.11 * length, 0.0)
    ring = np.asarray(whole.exterior.coords)
    tip = ring[np.argmax((ring - [heel.x, heel.y]) @ _unit(whole.centroid.x - heel.x, whole.centroid.y - heel.y))]
    flip = -1 if side == "right" else 1

    def lay(shape):
        """From the foot frame to the floor: x = v (left) or -v (right), y = u."""
        return affinity.affine_transform(shape, [0, flip, 1, 0, 0, 0])

    floor_body = lay(body)
    return Foot(
        side,
        floor_body if isinstance(floor_body, MultiPolygon) else MultiPolygon([floor_body]),
        tuple(lay(part) for part in toe_parts),
        (float(flip * tip[1]), float(tip[0])),
        toes != "none" and 1 not in missing,
        lay(unary_union([body, *parts])),
    )


def _unit(x: float, y: float) -> np.ndarray:
    return np.array([x, y]) / np.hypot(x, y)
