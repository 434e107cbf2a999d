"""Photographs of a print on the clinic's scale sheet: a drawn print on A4 paper, with the discs printed on it."""

from __future__ import annotations

import math
from dataclasses import dataclass, field

import cv2
import numpy as np
from shapely.geometry import Point

from calculators.footprint import sheet_marks
from prints import feet as feet_of
from prints.camera import Camera, project
from prints.photographs import known
from prints.raster import coverage
from prints.scene import SHEETS_MM, Laid, Scene
from prints.scene import render as render_scene

INK = 0.12
"""What ink leaves of the paper's light."""


@dataclass(frozen=True)
class Taken:
    """How one photograph is taken; lengths in mm, angles in degrees. The sheet lies in the middle, upright."""

    seed: int = 1
    ground: str = "concrete"
    paper: str = "a4"
    look: str = "white sheet"
    tilt: float = 8.0
    toward: float = 40.0
    roll: float = 10.0
    height: float = 700.0
    pixels: tuple[int, int] = (1500, 2000)
    focal: float = 0.95
    length: float = 245.0
    light: dict = field(default_factory=dict)
    missing: tuple[int, ...] = ()
    """Discs that are covered, by their number: four, then the fifth."""


def discs() -> list[tuple[tuple[float, float], float]]:
    """Middle and radius of each disc on the floor: lower left, lower right, upper right, upper left, the fifth."""
    x, y = sheet_marks.ACROSS_MM / 2, sheet_marks.ALONG_MM / 2
    four = [(-x, -y), (x, -y), (x, y), (-x, y)]
    fifth = (sheet_marks.FIFTH_MM[0] - x, sheet_marks.FIFTH_MM[1] - y)
    return [*((middle, sheet_marks.RADIUS_MM) for middle in four), (fifth, sheet_marks.FIFTH_RADIUS_MM)]


@dataclass(frozen=True)
class Leaf:
    """A leaf from a printer: how light it is (height x width, 0 to 255), and the size in mm of what was printed."""

    light: np.ndarray
    size_mm: tuple[float, float]


def photograph(taken: Taken, printed: Leaf | None = None) -> tuple[np.ndarray, dict]:
    """The picture (height x width x 3 bytes, RGB), and what is true of it, with the middles of the four discs.

    Without a printed leaf the discs alone are drawn on the paper.
    """
    wide, high = taken.pixels
    long = max(wide, high)
    camera = Camera(wide, high, taken.focal * long, taken.height, taken.tilt, taken.toward, taken.roll, (0.0, 0.0))
    foot = feet_of.make(seed=taken.seed, side="left" if taken.seed % 2 else "right", length=taken.length, arch=0.5)
    middle = foot.printed.envelope.centroid
    laid = Laid(taken.paper, 0.0, 0.0, 0.0, taken.look)
    scene = Scene(
        taken.seed, (foot.placed(0.0, -middle.x, -middle.y),), taken.ground, laid, camera, noise=2.0, **taken.light
    )
    ink = (
        _discs_in_picture(camera, taken.missing) if printed is None else _leaf_in_picture(camera, taken.paper, printed)
    )
    rgb = np.clip(render_scene(scene) * (1 - (1 - INK) * ink[..., None]) + 0.5, 0, 255).astype(np.uint8)
    truth = known(scene)
    truth["marks"] = [tuple(project(camera.homography(), np.array([at]))[0]) for at, _ in discs()[:4]]
    return rgb, truth


def _leaf_in_picture(camera: Camera, paper: str, printed: Leaf) -> np.ndarray:
    """How black each pixel of the picture is by what is printed on a leaf, from 0 to 1."""
    (wide, high), (rows, columns) = SHEETS_MM[paper], printed.light.shape
    across, down = printed.size_mm[0] / columns, printed.size_mm[1] / rows
    to_floor = np.array([[across, 0, -wide / 2], [0, -down, high / 2], [0, 0, 1]])
    black = cv2.GaussianBlur(1 - printed.light.astype(np.float32) / 255, (0, 0), 1.2)
    # Both count from a corner of their first pixel, OpenCV from its middle.
    half = np.array([[1, 0, 0.5], [0, 1, 0.5], [0, 0, 1.0]])
    matrix = np.linalg.inv(half) @ camera.homography() @ to_floor @ half
    return cv2.warpPerspective(black, matrix, (camera.width, camera.height), flags=cv2.INTER_LINEAR)


def _discs_in_picture(camera: Camera, missing: tuple[int, ...]) -> np.ndarray:
    matrix = camera.homography()
    rings = [
        project(matrix, np.asarray(Point(at).buffer(radius, quad_segs=32).exterior.coords))
        for number, (at, radius) in enumerate(discs())
        if number not in missing
    ]
    return cv2.GaussianBlur(coverage(rings, camera.width, camera.height), (0, 0), 0.8)


def off_px(found: list, true: list) -> float:
    """The largest distance of a found middle to the nearest true one."""
    return max(min(math.dist(one, other) for other in true) for one in found)
