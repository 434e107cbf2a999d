"""The calculators' door asked about one picture without a print, in a process that may have to be ended."""

from __future__ import annotations

import json
import time
from pathlib import Path
from typing import Any

import numpy as np
from maths.non_prints import KINDS, SEED, picture

from calculators.api import call
from calculators.forms import LONGEST_SIDE_PIXELS, MOST_PIXELS


def asked_of(kind: str, number: int, width: int, height: int) -> dict[str, Any]:
    """What is asked about a picture: most often nothing in particular, else whatever somebody might say of it."""
    draw = np.random.default_rng([SEED, 1, list(KINDS).index(kind), number])
    asked: dict[str, Any] = {"width": width, "height": height}
    if draw.random() < 0.6:
        return asked

    def points(count: int) -> list[list[float]]:
        return (draw.uniform(-0.2, 1.2, (count, 2)) * [width, height]).round(1).tolist()

    asked["view"] = str(draw.choice(["floor", "sole"]))
    asked["feet"] = int(draw.choice([1, 1, 1, 2]))
    if asked["feet"] == 1:
        asked["foot"] = str(draw.choice(["left", "right", "auto"]))
        if draw.random() < 0.2:
            asked["axis"] = points(2)
        if draw.random() < 0.2:
            asked["toe_line"] = points(int(draw.integers(2, 21)))
    sheet = str(draw.choice(["none", "a4", "letter", "a3", "card", "size"]))
    asked |= {"sheet_width_mm": 300, "sheet_height_mm": 400} if sheet == "size" else {"sheet": sheet}
    if sheet != "none" and draw.random() < 0.5:
        frame = np.array([[0.1, 0.1], [0.9, 0.1], [0.9, 0.9], [0.1, 0.9]]) + draw.normal(
            0, draw.choice([0.02, 0.3]), (4, 2)
        )
        asked["corners"] = (frame * [width, height]).round(1).tolist()
    return asked


def ask(which: tuple[str, int]) -> dict[str, Any]:
    """The door's answer to one picture, what was asked, the seconds it took, and the most MB that this process held."""
    made = picture(*which).convert("RGBA")
    asked = asked_of(*which, *made.size)
    began = time.perf_counter()
    answer = call(json.dumps({"schema": 1, "action": "footprint_photo", "input": asked}), made.tobytes())
    took = time.perf_counter() - began
    return {"which": which, "asked": asked, "answer": json.loads(answer), "held": held(), "seconds": took}


def ask_largest(kind: str) -> dict[str, Any]:
    """The door's answer to the largest picture that the form lets through, filled with one of a kind side by side."""
    width = LONGEST_SIDE_PIXELS
    height = MOST_PIXELS // width
    one = np.asarray(picture(kind, 0))
    tiles = np.tile(one, (-(-height // one.shape[0]), -(-width // one.shape[1]), 1))[:height, :width]
    pixels = np.dstack([tiles, np.full((height, width), 255, np.uint8)]).tobytes()
    began = time.perf_counter()
    answer = call(json.dumps({"action": "footprint_photo", "input": {"width": width, "height": height}}), pixels)
    took = time.perf_counter() - began
    return {"which": (kind, 0), "answer": json.loads(answer), "held": held(), "seconds": took}


def held() -> float | None:
    """The most memory that this process has held, in MB; None on a system that does not tell."""
    told = Path("/proc/self/status")
    if not told.exists():
        return None
    return next(int(row.split()[1]) * 1.024 / 1000 for row in told.read_text().splitlines() if row.startswith("VmHWM"))
