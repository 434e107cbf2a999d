"""Pictures of two real prints, the mean walking prints of 104 adults (pataky_2011, MIT licence), as blots on a sheet.

The files are looked for in the folder named by TREADLEAF_PRINTS, else in ../shared/data/mun104 beside the repository.
Cells above a threshold are taken, made ten times finer (bilinear) and cut at half, which leaves outlines through the
cells' edges; then scene.py draws the blot on a white A4 sheet. The size of a cell is taken, not known: ratios do not
depend on it. The toe cut was chosen by hand; it defines the check, not the anatomy.
"""

from __future__ import annotations

import csv
import os
from dataclasses import dataclass
from pathlib import Path

import cv2
import numpy as np
import shapely
from shapely import affinity
from shapely.geometry import MultiPolygon, Polygon
from skimage.measure import find_contours

from prints.camera import Camera, project
from prints.feet import Foot
from prints.scene import Laid, Scene, render

FOLDER = Path(os.environ.get("TREADLEAF_PRINTS") or Path(__file__).parents[2] / ".." / "shared" / "data" / "mun104")
CELL_MM = 4.5
FINER = 10
THRESHOLDS = (0, 10, 20, 30)

# The first row of each column that belongs to a toe.
TOES_FROM = [48] * 9 + [49] + [50] * 6 + [48, 47, 46, 45] + [44] * 7
COLUMNS = len(TOES_FROM)

# Side and threshold: arch index, Chippaux-Smirak index, Staheli index, counted on the cells with the toes cut.
COUNTED = {
    ("right", 0): (0.2409, 36.84, 0.5385),
    ("right", 10): (0.2136, 26.32, 0.4545),
    ("right", 20): (0.1872, 22.22, 0.3636),
    ("right", 30): (0.1569, 11.76, 0.1818),
    ("left", 0): (0.2396, 35.00, 0.5385),
    ("left", 10): (0.2125, 27.78, 0.4545),
}

# Side and threshold: what leaving the toes in adds to the arch index.
TOES_ADD = {
    ("right", 0): 0.036, ("right", 10): 0.042, ("right", 20): 0.065, ("right", 30): 0.058,
    ("left", 0): 0.032, ("left", 10): 0.039, ("left", 20): 0.055, ("left", 30): 0.085,
}  # fmt: skip


def missing() -> str | None:
    """Why there is nothing to test on, or None."""
    absent = [name for name in ("MUN104R.csv", "MUN104L.csv") if not (FOLDER / name).is_file()]
    return f"{' and '.join(absent)} not in {FOLDER}; set TREADLEAF_PRINTS to their folder" if absent else None


def _cells(side: str) -> np.ndarray:
    """The matrix, heel row first, with the big toe at column 0 for both feet."""
    with (FOLDER / f"MUN104{side[0].upper()}.csv").open(encoding="utf-8", newline="") as file:
        cells = np.array([[float(cell) for cell in row] for row in csv.reader(file)])
    return cells if side == "right" else cells[:, ::-1]


def _toe_line() -> list[tuple[float, float]]:
    """The toe cut as a stepped line along the cells' edges, with no point inside a straight piece."""
    points = [(0.0, float(TOES_FROM[0]))]
    for column in range(1, COLUMNS):
        before, here = TOES_FROM[column - 1], TOES_FROM[column]
        if here != before:
            points += [(float(column), float(before)), (float(column), float(here))]
    return [*points, (float(COLUMNS), float(TOES_FROM[-1]))]


TOE_LINE = _toe_line()
BEYOND = [(0.0, 62.5), (float(COLUMNS), 62.5)]  # before everything: the toes stay in


def outline(side: str, above: int, *, toes: bool) -> MultiPolygon:
    """The print as a shape in cells (column, row), with its toes or without."""
    cells = _cells(side)
    kept = cells > above
    if not toes:
        kept &= np.arange(len(cells))[:, None] < np.array(TOES_FROM)
    fine = cv2.resize(np.pad(kept, 1).astype(np.float32), None, fx=FINER, fy=FINER, interpolation=cv2.INTER_LINEAR)
    shape = Polygon()
    for line in find_contours(fine, 0.5):
        # Middles of fine pixels to cells: the first stands half a fine pixel inside the padding's edge.
        shape = shape.symmetric_difference(Polygon((line[:, ::-1] + 0.5) / FINER - 1))
    return MultiPolygon([part for part in shapely.get_parts(shape) if part.area > 0])


def foot(side: str, above: int, *, toes: bool) -> Foot:
    """The print on the floor in mm; toes that are kept are a part of its body."""
    body = affinity.affine_transform(outline(side, above, toes=toes), _to_floor(side))
    return Foot(side, body, (), axis(side)[1], second_printed=toes, printed=body)


def cut_by_line(side: str, above: int) -> Foot:
    """The print drawn with its toes, then cut along the toe line.

    Where the outline runs round a corner between a cell that is kept and one that is not, a sliver of a tenth of a cell
    may stay in front.
    """
    whole = outline(side, above, toes=True)
    before = whole.intersection(Polygon([*TOE_LINE, (COLUMNS, -1), (0, -1)]))
    body = affinity.affine_transform(before, _to_floor(side))
    solid = [part for part in shapely.get_parts(body) if part.geom_type == "Polygon"]
    return Foot(side, MultiPolygon(solid), (), axis(side)[1], second_printed=True, printed=whole)


def _to_floor(side: str) -> list[float]:
    """From cells to mm, the middle of the matrix at 0, 0; a left foot is turned back to how it lies."""
    flip = 1 if side == "right" else -1
    return [CELL_MM * flip, 0, 0, CELL_MM, -CELL_MM * flip * COLUMNS / 2, -CELL_MM * 31.5]


def axis(side: str) -> tuple[tuple[float, float], tuple[float, float]]:
    """The matrix's own upright axis, on the floor in mm."""
    return (0.0, CELL_MM * (6 - 31.5)), (0.0, CELL_MM * (60 - 31.5))


def on_floor(side: str, line: list[tuple[float, float]]) -> np.ndarray:
    """Points in cells to points on the floor in mm."""
    a, b, c, d, x, y = _to_floor(side)
    return np.array([(a * u + b * v + x, c * u + d * v + y) for u, v in line])


@dataclass(frozen=True)
class Picture:
    """A picture of a real print with what a user would mark on it, in picture coordinates."""

    rgb: np.ndarray
    corners: list[list[float]]
    axis: list[list[float]]
    toe_line: list[list[float]]
    beyond: list[list[float]]


def picture(side: str, above: int, tilt_deg: float, *, toes: bool) -> Picture:
    """The blot on a white A4 sheet on a dark floor, with paper noise, a soft edge, a halo and specks."""
    sheet = Laid("a4", 0.0, 0.0, 2.0)
    number = list(TOES_ADD).index((side, above))
    camera = Camera(1600, 1200, 1500.0, 640.0, tilt_deg, 40.0 + 67 * number, 90.0 + 23 * number, (0.0, 0.0))
    scene = Scene(
        seed=500 + number,
        feet=(foot(side, above, toes=toes),),
        ground="dark floor",
        laid=sheet,
        camera=camera,
        factor=0.65,
        soft_mm=0.4,
        halo_mm=1.5,
        halo=0.2,
        uneven=0.05,
        specks=5,
        gradient=0.06,
        vignette=0.08,
        blur_px=0.7,
        noise=1.5,
        jpeg=90,
    )
    matrix = camera.homography()

    def seen(points: np.ndarray) -> list[list[float]]:
        return project(matrix, points).tolist()

    return Picture(
        rgb=render(scene),
        corners=seen(sheet.corners),
        axis=seen(np.array(axis(side))),
        toe_line=seen(on_floor(side, TOE_LINE)),
        beyond=seen(on_floor(side, BEYOND)),
    )
