"""Outlines for the tests of geometry: smooth blobs, invented soles, blocks, and rings round cells."""

from __future__ import annotations

import cmath
import math
import random
from itertools import pairwise

import shapely

Ring = list[tuple[float, float]]


def blob(seed: int, corners: int = 90) -> Ring:
    """A smooth closed outline, anticlockwise, concave in places."""
    chance = random.Random(seed)
    waves = [(k, chance.uniform(0, 0.35 / k), chance.uniform(0, math.tau)) for k in range(2, 7)]
    ring = []
    for number in range(corners):
        turn = math.tau * number / corners
        radius = 40 * (1 + math.fsum(size * math.cos(k * turn + start) for k, size, start in waves))
        ring.append((radius * math.cos(turn) + 200, 1.6 * radius * math.sin(turn) - 30))
    return ring


def with_hole(seed: int) -> list[Ring]:
    """A blob with a round hole, which runs clockwise."""
    return [blob(seed), [(200 + 6 * math.cos(t / 5), -30 - 9 * math.sin(t / 5)) for t in range(31)]]


def sole(waist: float = 34.0, corners: int = 400) -> Ring:
    """A right sole without toes, heel down, medial at the left; about 200 long, its arch `waist` deep."""
    ring = []
    for number in range(corners):
        turn = math.tau * number / corners
        y = 100 + 100 * math.sin(turn - math.pi / 2)
        h = y / 200
        lateral = 28 + 14 * h - 3 * math.sin(math.pi * h)
        medial = 28 + 16 * h - waist * math.exp(-(((h - 0.45) / 0.16) ** 2))
        round_off = math.sqrt(max(0.0, 1 - (2 * h - 1) ** 6))
        ring.append((lateral * round_off if turn < math.pi else -medial * round_off, y))
    return ring


def blocks(ball: float, middle: float, heel: float, long: float = 70.0) -> list[Ring]:
    """Three stacked blocks of equal length with a common straight edge at x = 0; none in the middle for 0."""
    if middle == 0:
        return [_block(heel, 0, long), _block(ball, 2 * long, 3 * long)]
    right = [(heel, 0), (heel, long), (middle, long), (middle, 2 * long), (ball, 2 * long), (ball, 3 * long)]
    return [[(0.0, 0.0), *((float(x), float(y)) for x, y in right), (0.0, 3 * long)]]


def _block(wide: float, low: float, high: float) -> Ring:
    return [(0.0, low), (wide, low), (wide, high), (0.0, high)]


def rough(ring: Ring, deviation: float, seed: int, step: float = 0.8) -> Ring:
    """The outline with its points moved to and fro by chance, in and out."""
    chance = random.Random(seed)
    made = []
    for (x0, y0), (x1, y1) in pairwise([*ring, ring[0]]):
        long = math.dist((x0, y0), (x1, y1))
        for number in range(max(1, round(long / step))):
            part, out = number / max(1, round(long / step)), chance.gauss(0, deviation)
            made.append(
                (x0 + part * (x1 - x0) + out * (y1 - y0) / long, y0 + part * (y1 - y0) - out * (x1 - x0) / long)
            )
    return made


def moved(rings: list[Ring], turn_deg: float = 0.0, scale: float = 1.0, by: complex = 0j) -> list[Ring]:
    """The rings turned about the origin, scaled and shifted."""
    factor = scale * cmath.exp(1j * math.radians(turn_deg))
    return [[(z.real, z.imag) for z in (complex(*point) * factor + by for point in ring)] for ring in rings]


def mirrored(rings: list[Ring]) -> list[Ring]:
    """The rings as in a mirror, still anticlockwise outside."""
    return [[(-x, y) for x, y in reversed(ring)] for ring in rings]


def polygon(rings: list[Ring]) -> shapely.Geometry:
    """The same print for shapely: outer rings less holes."""
    solid = [shapely.Polygon(ring) for ring in rings if shapely.LinearRing(ring).is_ccw]
    holes = [shapely.Polygon(ring) for ring in rings if not shapely.LinearRing(ring).is_ccw]
    return shapely.union_all(solid).difference(shapely.union_all(holes))


def round_cells(cells: set[tuple[int, int]]) -> list[Ring]:
    """The rings round a set of unit cells (column, row), anticlockwise outside; a shared corner joins none."""
    steps: dict[tuple[int, int], list[tuple[int, int]]] = {}
    for x, y in cells:
        for start, end, beyond in (
            ((x, y), (x + 1, y), (x, y - 1)),
            ((x + 1, y), (x + 1, y + 1), (x + 1, y)),
            ((x + 1, y + 1), (x, y + 1), (x, y + 1)),
            ((x, y + 1), (x, y), (x - 1, y)),
        ):
            if beyond not in cells:
                steps.setdefault(start, []).append(end)
    rings = []
    while steps:
        here = start = next(iter(steps))
        ring: Ring = []
        before = here
        while True:
            ways = steps[here]
            # Where two cells touch at a corner: turn left, round the same cell.
            way = max(ways, key=lambda to: _cross(before, here, to))
            ways.remove(way)
            if not ways:
                del steps[here]
            ring.append((float(here[0]), float(here[1])))
            before, here = here, way
            if here == start:
                break
        rings.append(ring)
    return rings


def _cross(before: tuple[int, int], here: tuple[int, int], to: tuple[int, int]) -> int:
    return (here[0] - before[0]) * (to[1] - here[1]) - (here[1] - before[1]) * (to[0] - here[0])
