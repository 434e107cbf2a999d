"""A photograph of prints on a ground, made from shapes in millimetres; see `Scene` for what can be asked for.

Values are those of the finished picture (no linear light): a print multiplies the ground by `factor`, so the level
half-way between the two stands on the outline. Each layer is antialiased: sheets by exact area in the picture, prints
by exact area at 8 pixels a mm on the floor, taken into the picture with nine samples a pixel.
"""

from __future__ import annotations

import math
from dataclasses import dataclass

import cv2
import numpy as np
import shapely
from shapely import affinity
from shapely.geometry import Point, Polygon, box

from prints.camera import Camera, project
from prints.feet import Foot
from prints.grounds import GROUNDS, clouds
from prints.raster import coverage, rings

FINE = 8.0  # pixels a mm of the prints' layer
COARSE = 1.25  # of the floor's
CARD_MM = (85.60, 53.98)  # ISO/IEC 7810 ID-1
CARD_CORNER_MM = 3.18
SHEETS_MM = {"a4": (210.0, 297.0), "letter": (215.9, 279.4), "a3": (297.0, 420.0), "card": CARD_MM}


@dataclass(frozen=True)
class Laid:
    """A sheet or card on the floor: its kind, middle, and turn (0: the long side along y)."""

    kind: str
    x: float
    y: float
    turn_deg: float
    look: str = "white sheet"  # a ground, or a card's colour

    @property
    def corners(self) -> np.ndarray:
        wide, long = SHEETS_MM[self.kind]
        quad = box(-wide / 2, -long / 2, wide / 2, long / 2)
        moved = affinity.translate(affinity.rotate(quad, self.turn_deg, origin=(0, 0)), self.x, self.y)
        return np.asarray(moved.exterior.coords)[:4]


@dataclass(frozen=True)
class Scene:
    """What is photographed, and how."""

    seed: int
    feet: tuple[Foot, ...]
    ground: str
    laid: Laid | None
    camera: Camera
    factor: float = 0.7  # print over ground; above 1 the print is the lighter
    soft_mm: float = 0.3  # deviation of the edge's blur on the floor
    halo_mm: float = 0.0
    halo: float = 0.0  # its strength as a part of the print's
    uneven: float = 0.0  # deviation of the print's strength inside
    specks: int = 0
    drips: int = 0
    holes: int = 0
    gradient: float = 0.0  # light over half the picture's diagonal
    gradient_deg: float = 0.0
    vignette: float = 0.0  # what the corners lose
    shadow: float = 1.0  # light in the shadow
    shadow_deg: float = 0.0
    shadow_at: float = 0.0  # mm from the print's middle
    penumbra_mm: float = 20.0
    tint: tuple[float, float, float] = (1.0, 1.0, 1.0)
    blur_px: float = 0.0
    smear_px: float = 0.0  # motion
    noise: float = 0.0  # levels of 255
    jpeg: int | None = None


def render(scene: Scene) -> np.ndarray:
    """The photograph as RGB bytes (height x width x 3)."""
    rng = np.random.default_rng([scene.seed, 1])
    matrix = scene.camera.homography()
    picture = _floor(scene, matrix, rng)
    if scene.laid is not None:
        picture = _with_laid(scene, matrix, picture, rng)
    if scene.feet:
        wet = _wet_in_picture(scene, matrix, rng)
        picture *= (1 - wet * (1 - scene.factor))[..., None]
    picture *= _light(scene, matrix)[..., None]
    picture *= np.asarray(scene.tint, np.float32)
    return _through_lens(scene, picture, rng)


def _texture(look: str, matrix: np.ndarray, size: tuple[int, int], rng: np.random.Generator) -> np.ndarray:
    """A ground as it is seen by the camera, filling the whole picture."""
    width, height = size
    inverse = np.linalg.inv(matrix)
    seen = project(inverse, np.array([(0, 0), (width, 0), (width, height), (0, height)]))
    (x0, y0), (x1, y1) = seen.min(axis=0) - 4, seen.max(axis=0) + 4
    x, y = np.meshgrid(np.arange(x0, x1, 1 / COARSE, dtype=np.float32), np.arange(y0, y1, 1 / COARSE, dtype=np.float32))
    layer = GROUNDS[look](rng, x, y).astype(np.float32)
    # Pixel (0, 0) of the layer is the place (x0, y0) itself; OpenCV counts pixel middles as whole numbers.
    to_floor = np.array([[1 / COARSE, 0, x0], [0, 1 / COARSE, y0], [0, 0, 1]])
    return cv2.warpPerspective(
        layer, _by_middles(matrix @ to_floor), (width, height), flags=cv2.INTER_LINEAR, borderMode=cv2.BORDER_REPLICATE
    )


def _by_middles(matrix: np.ndarray) -> np.ndarray:
    """From our picture coordinates (first middle at 0.5) to OpenCV's (at 0)."""
    return np.array([[1, 0, -0.5], [0, 1, -0.5], [0, 0, 1.0]]) @ matrix


def _floor(scene: Scene, matrix: np.ndarray, rng: np.random.Generator) -> np.ndarray:
    return _texture(scene.ground, matrix, (scene.camera.width, scene.camera.height), rng)


def _seen(scene: Scene, matrix: np.ndarray, shape) -> np.ndarray:
    loops = [project(matrix, ring) for ring in rings(shape)]
    return coverage(loops, scene.camera.width, scene.camera.height)


def _with_laid(scene: Scene, matrix: np.ndarray, picture: np.ndarray, rng: np.random.Generator) -> np.ndarray:
    laid = scene.laid
    shape = Polygon(laid.corners)
    if laid.kind == "card":
        shape = shape.buffer(-CARD_CORNER_MM).buffer(CARD_CORNER_MM, quad_segs=16)
    # A thin shadow on one side, as of a sheet that does not lie quite flat.
    way = rng.uniform(0, 2 * math.pi)
    under = affinity.translate(shape, 0.9 * math.cos(way), 0.9 * math.sin(way))
    dark = cv2.GaussianBlur(_seen(scene, matrix, under), (0, 0), 1.2)
    picture = picture * (1 - 0.22 * dark)[..., None]
    over = _seen(scene, matrix, shape)[..., None]
    top = _texture(laid.look, matrix, (scene.camera.width, scene.camera.height), rng)
    if laid.kind == "card":
        top = _card_face(scene, matrix, top, rng)
    return picture * (1 - over) + top * over


def _card_face(scene: Scene, matrix: np.ndarray, top: np.ndarray, rng: np.random.Generator) -> np.ndarray:
    """A chip, a line of figures and a stripe, so that a card is no plain rectangle."""
    laid = scene.laid
    for low, high, level in (
        ((-12.0, -30.0), (0.0, -18.0), 1.35),
        ((-2.0, -36.0), (3.0, 30.0), 1.18),
        ((12.0, -36.0), (15.0, 4.0), 1.15),
        ((-23.0, 12.0), (-12.0, 34.0), 0.8),
    ):
        part = affinity.translate(affinity.rotate(box(*low, *high), laid.turn_deg, origin=(0, 0)), laid.x, laid.y)
        top = top * (1 - _seen(scene, matrix, part) * (1 - level))[..., None]
    return np.clip(top, 0, 0.97)


def _blots(scene: Scene, rng: np.random.Generator):
    """Specks and drips outside the print, holes inside it, as shapes on the floor."""
    printed = shapely.union_all([foot.printed for foot in scene.feet])
    x0, y0, x1, y1 = printed.bounds

    def anywhere(reach: float) -> Point:
        return Point(rng.uniform(x0 - reach, x1 + reach), rng.uniform(y0 - reach, y1 + reach))

    def blot(at: Point, radius: float) -> Polygon:
        angle = np.linspace(0, 2 * np.pi, 48, endpoint=False)
        a, b, p, q = rng.uniform(0, 0.16, 2).tolist() + rng.uniform(0, 2 * np.pi, 2).tolist()
        r = radius * (1 + a * np.cos(2 * angle + p) + b * np.cos(3 * angle + q))
        return Polygon(np.c_[at.x + r * np.cos(angle), at.y + r * np.sin(angle)])

    outside, inside = [], []
    for number, reach, clear, low, high in ((scene.specks, 30, 2.5, 0.4, 1.9), (scene.drips, 30, 11.0, 2.6, 6.0)):
        placed = 0
        while placed < number:
            at, radius = anywhere(reach), rng.uniform(low, high)
            if printed.distance(at) > clear + radius:
                outside.append(blot(at, radius))
                placed += 1
    body = shapely.union_all([foot.body for foot in scene.feet])
    while len(inside) < scene.holes:
        at, radius = anywhere(0), rng.uniform(0.6, 2.0)
        if body.contains(at) and body.boundary.distance(at) > 4 + radius:
            inside.append(blot(at, radius))
    return (
        printed,
        shapely.union_all(outside) if outside else Polygon(),
        shapely.union_all(inside) if inside else Polygon(),
    )


def _wet(scene: Scene, rng: np.random.Generator) -> tuple[np.ndarray, np.ndarray]:
    """How strongly the floor is printed, at FINE pixels a mm, and the matrix from that layer to the floor."""
    printed, outside, inside = _blots(scene, rng)
    x0, y0, x1, y1 = printed.buffer(36 if scene.specks or scene.drips else 14).bounds
    shape = math.ceil((y1 - y0) * FINE), math.ceil((x1 - x0) * FINE)
    to_floor = np.array([[1 / FINE, 0, x0], [0, 1 / FINE, y0], [0, 0, 1]])

    def layer(what) -> np.ndarray:
        return coverage([(ring - [x0, y0]) * FINE for ring in rings(what)], shape[1], shape[0], rows=2)

    area = layer(printed)
    wet = area
    if not inside.is_empty:
        wet = wet * (1 - layer(inside))
    if not outside.is_empty:
        wet = np.maximum(wet, layer(outside) * 0.85)
    wet = cv2.GaussianBlur(wet, (0, 0), scene.soft_mm * FINE)
    if scene.halo > 0:
        away = cv2.distanceTransform((area < 0.5).astype(np.uint8), cv2.DIST_L2, 5) / FINE
        reach = scene.halo_mm * (1 + 0.2 * clouds(rng, shape, 12 * FINE))
        rim = scene.halo * np.clip((reach - away) / 0.6 + 0.5, 0, 1)
        wet = np.maximum(wet, rim * np.clip(1 + 0.2 * clouds(rng, shape, 6 * FINE), 0.3, 1.5))
    if scene.uneven > 0:
        strength = 1 + scene.uneven * (0.8 * clouds(rng, shape, 30 * FINE) + 0.45 * clouds(rng, shape, 5 * FINE))
        wet = wet * np.clip(strength, 0.5, 1.35)
    return wet.astype(np.float32), to_floor


def _wet_in_picture(scene: Scene, matrix: np.ndarray, rng: np.random.Generator, samples: int = 3) -> np.ndarray:
    wet, to_floor = _wet(scene, rng)
    width, height = scene.camera.width, scene.camera.height
    to_picture = matrix @ to_floor @ np.array([[1, 0, 0.5], [0, 1, 0.5], [0, 0, 1.0]])
    rows, columns = wet.shape
    seen = project(matrix @ to_floor, np.array([(0, 0), (columns, 0), (columns, rows), (0, rows)]))
    left, top = np.clip(np.floor(seen.min(axis=0)).astype(int) - 1, 0, [width - 1, height - 1])
    right, bottom = np.clip(np.ceil(seen.max(axis=0)).astype(int) + 1, 1, [width, height])
    finer = np.array([[samples, 0, -samples * left], [0, samples, -samples * top], [0, 0, 1.0]])
    size = (int(right - left), int(bottom - top))
    large = cv2.warpPerspective(
        wet, _by_middles(finer @ to_picture), (size[0] * samples, size[1] * samples), flags=cv2.INTER_LINEAR
    )
    out = np.zeros((height, width), np.float32)
    out[top:bottom, left:right] = cv2.resize(large, size, interpolation=cv2.INTER_AREA)
    return out


def _light(scene: Scene, matrix: np.ndarray) -> np.ndarray:
    width, height = scene.camera.width, scene.camera.height
    x, y = np.meshgrid(np.arange(width, dtype=np.float32) + 0.5, np.arange(height, dtype=np.float32) + 0.5)
    half = math.hypot(width, height) / 2
    right, down = (x - width / 2) / half, (y - height / 2) / half
    way = math.radians(scene.gradient_deg)
    light = 1 + scene.gradient * (right * math.cos(way) + down * math.sin(way))
    light *= 1 - scene.vignette * (right**2 + down**2)
    if scene.shadow < 1 and scene.feet:
        inverse = np.linalg.inv(matrix).astype(np.float32)
        depth = inverse[2, 0] * x + inverse[2, 1] * y + inverse[2, 2]
        across = math.radians(scene.shadow_deg)
        middle = shapely.union_all([foot.printed for foot in scene.feet]).centroid
        floor_x = (inverse[0, 0] * x + inverse[0, 1] * y + inverse[0, 2]) / depth - middle.x
        floor_y = (inverse[1, 0] * x + inverse[1, 1] * y + inverse[1, 2]) / depth - middle.y
        from_edge = floor_x * math.cos(across) + floor_y * math.sin(across) - scene.shadow_at
        part = np.clip(from_edge / scene.penumbra_mm + 0.5, 0, 1)
        light *= 1 - (1 - scene.shadow) * part * part * (3 - 2 * part)
    return light.astype(np.float32)


def _through_lens(scene: Scene, picture: np.ndarray, rng: np.random.Generator) -> np.ndarray:
    if scene.blur_px > 0:
        picture = cv2.GaussianBlur(picture, (0, 0), scene.blur_px)
    if scene.smear_px > 1:
        size = int(scene.smear_px) | 1
        kernel = np.diag(np.full(size, 1 / size, np.float32))
        picture = cv2.filter2D(picture, -1, kernel)
    if scene.noise > 0:
        grain = rng.standard_normal(picture.shape[:2], dtype=np.float32)[..., None]
        colour = rng.standard_normal(picture.shape, dtype=np.float32)
        picture = picture + (0.8 * grain + 0.6 * colour) * (scene.noise / 255)
    shown = np.clip(np.rint(picture * 255), 0, 255).astype(np.uint8)
    if scene.jpeg is not None:
        _, packed = cv2.imencode(".jpg", shown[..., ::-1], [cv2.IMWRITE_JPEG_QUALITY, scene.jpeg])
        shown = cv2.imdecode(packed, cv2.IMREAD_COLOR)[..., ::-1]
    return np.ascontiguousarray(shown)
