"""The fixed list of photographs, with the options that a user would give; `render` makes one, with its truth.

Three kinds can be measured: easy (paper or card, mild light, toes apart, tilt up to 10 degrees), hard (floors, shadow
edges, halo, specks, toes close or merged, tilt up to 18), extreme (tilt up to 25, faint, broad toes, several
disturbances at once); some are spoilt and must be refused. Every third is unseen: whoever tunes an engine looks at the
others only. All was chosen before an engine was looked at. Places, lights and turns come from each one's own seed.

`further` are more by the same recipe, to tune by: an engine that was tuned by 72 fitted those 72.

Pictures are kept in the folder TREADLEAF_PHOTOGRAPHS, else in the temporary folder; what is kept carries the hash of
the modules that made it.
"""

from __future__ import annotations

import hashlib
import os
import tempfile
from functools import lru_cache
from pathlib import Path

import cv2
import numpy as np
import shapely

from prints import truth as truth_of
from prints.camera import mm_per_px, project
from prints.raster import rings
from prints.rows import Photograph, fresh, further, photographs
from prints.scene import Scene
from prints.scene import render as render_scene
from prints.staging import stage

__all__ = ["Photograph", "folder", "fresh", "further", "known", "photographs", "render"]


@lru_cache(maxsize=1)
def _made_by() -> str:
    folder = Path(__file__).parent
    modules = ("camera", "feet", "grounds", "raster", "rows", "scene", "staging")
    return hashlib.sha256(b"".join((folder / f"{name}.py").read_bytes() for name in modules)).hexdigest()[:12]


def folder() -> Path:
    """Where pictures are kept between runs."""
    return Path(os.environ.get("TREADLEAF_PHOTOGRAPHS") or Path(tempfile.gettempdir()) / "treadleaf-photographs")


def render(photograph: Photograph) -> tuple[np.ndarray, dict]:
    """The picture (height x width x 3 bytes, RGB), and what is true of it.

    The truth: `prints`, a list of `truth.Truth.plain()` with `body` and `toes` (rings in picture coordinates) added;
    `homography` from floor to picture; `corners` of the sheet in the picture or None; `mm_per_px` at the first print;
    `sides`. Lines inside a print's truth are on the floor.
    """
    scene = stage(photograph)
    kept = folder() / f"{photograph.name}-{_made_by()}.png"
    if kept.is_file():
        rgb = np.ascontiguousarray(cv2.imread(str(kept), cv2.IMREAD_COLOR)[..., ::-1])
    else:
        rgb = render_scene(scene)
        kept.parent.mkdir(parents=True, exist_ok=True)
        # Written beside and moved, so that another process never reads half a picture.
        with tempfile.NamedTemporaryFile(dir=kept.parent, suffix=".part", delete=False) as part:
            part.write(cv2.imencode(".png", rgb[..., ::-1], [cv2.IMWRITE_PNG_COMPRESSION, 1])[1].tobytes())
        Path(part.name).replace(kept)
    return rgb, known(scene)


def known(scene: Scene) -> dict:
    """What is true of a scene; see `render`."""
    matrix = scene.camera.homography()

    def seen(shape):
        return [project(matrix, ring[:-1]).tolist() for ring in rings(shape)]

    prints = [
        {
            **truth_of.measure(foot).plain(),
            "body": seen(foot.body),
            "toes": [loop for toe in foot.toes for loop in seen(toe)],
        }
        for foot in scene.feet
    ]
    middle = shapely.union_all([foot.body for foot in scene.feet]).centroid if scene.feet else None
    return {
        "prints": prints,
        "sides": [foot.side for foot in scene.feet],
        "homography": matrix.tolist(),
        "corners": project(matrix, scene.laid.corners).tolist() if scene.laid else None,
        "mm_per_px": mm_per_px(matrix, (middle.x, middle.y)) if middle is not None else None,
    }
