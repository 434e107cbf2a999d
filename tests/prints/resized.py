"""A photograph of the list taken with a camera of more or fewer pixels, at the same place and with the same light."""

from __future__ import annotations

import json
from dataclasses import replace
from functools import cache
from typing import Any, NamedTuple

import numpy as np

from calculators.api import call
from prints.photographs import known, photographs
from prints.scene import render
from prints.staging import stage


class Resized(NamedTuple):
    """One photograph: what the user says of it, the picture (height x width x 3 bytes, RGB), and what is true of it."""

    options: dict[str, Any]
    rgb: np.ndarray
    true: dict[str, Any]


@cache
def resized(start: str, megapixels: float) -> Resized:
    """The one photograph of the seen set whose name begins so. Do not write into it.

    Blur and noise are as many pixels and levels as before.
    """
    (row,) = (one for one in photographs() if one.name.startswith(start) and not one.unseen)
    scene = stage(row)
    finer = (megapixels * 1e6 / (scene.camera.width * scene.camera.height)) ** 0.5
    width, height = round(scene.camera.width * finer), round(scene.camera.height * finer)
    camera = replace(scene.camera, width=width, height=height, focal_px=scene.camera.focal_px * finer)
    taken = replace(scene, camera=camera)
    return Resized(row.options, render(taken), known(taken))


def buffer(rgb: np.ndarray) -> bytes:
    """The picture as the door wants it: RGBA, nowhere clear."""
    return np.dstack([rgb, np.full(rgb.shape[:2], 255, np.uint8)]).tobytes()


def request(rgb: np.ndarray, options: dict[str, Any]) -> str:
    """What the door is asked."""
    height, width = rgb.shape[:2]
    asked = {"width": width, "height": height, **options}
    return json.dumps({"schema": 1, "action": "footprint_photo", "input": asked})


def measured(rgb: np.ndarray, options: dict[str, Any]) -> dict[str, Any]:
    """The door's result for a picture that must not be refused."""
    answer = json.loads(call(request(rgb, options), buffer(rgb)))
    assert answer["ok"], answer
    return answer["result"]
