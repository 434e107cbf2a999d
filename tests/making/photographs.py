"""Small pictures of something like a print, and what a calculator might say to one: for the way to it and back.

The stand-in measures nothing. It looks for the box of what is dark, so that a test can tell whether places in a picture
came through turning and shrinking unharmed.
"""

from __future__ import annotations

import io
import struct
import sys
import zlib
from types import ModuleType
from typing import Any

from PIL import Image, ImageDraw

from calculators.results import Refusal, Refused, quantity

DARK = 128


def spot(width: int = 240, height: int = 360, box: tuple[int, int, int, int] = (60, 40, 160, 320)) -> Image.Image:
    """A light ground with a dark ellipse in a box."""
    made = Image.new("RGB", (width, height), "#dcd6c8")
    ImageDraw.Draw(made).ellipse(box, fill="#40372c")
    return made


def saved(picture: Image.Image, kind: str, **options: Any) -> bytes:
    """A picture as a file of some kind."""
    made = io.BytesIO()
    picture.save(made, kind, **options)
    return made.getvalue()


def png(width: int, height: int, depth: int, colour: int, rows: bytes) -> bytes:
    """A PNG by hand, for what no encoder writes."""

    def chunk(name: bytes, data: bytes) -> bytes:
        return struct.pack(">I", len(data)) + name + data + struct.pack(">I", zlib.crc32(name + data))

    head = struct.pack(">IIBBBBB", width, height, depth, colour, 0, 0, 0)
    packed = chunk(b"IDAT", zlib.compress(rows)) if rows else b""
    return b"\x89PNG\r\n\x1a\n" + chunk(b"IHDR", head) + packed + chunk(b"IEND", b"")


def found_box(width: int, height: int, pixels: memoryview) -> tuple[float, float, float, float] | None:
    """Left, top, right and bottom edge of what is dark."""
    box = (
        Image.frombytes("RGBA", (width, height), bytes(pixels)).convert("L").point(lambda v: 255 * (v < DARK)).getbbox()
    )
    return None if box is None else tuple(map(float, box))


def answer(values: dict[str, dict[str, Any]], pixels: memoryview) -> dict[str, Any]:
    """In the place of the calculator: refuses a picture without anything dark, else answers with the box's corners."""
    asked = values[""]
    box = found_box(asked["width"], asked["height"], pixels)
    if box is None:
        raise Refused(Refusal("no_print", "pixels"))
    left, top, right, bottom = box
    if bottom - top < 20:
        raise Refused(Refusal("print_too_small", "pixels", low=quantity(20, "pixels")))
    one = _print(asked, left, top, right, bottom)
    return {"prints": [one, {**one, "foot": "right"}]} if asked["feet"] == 2 else one


def _print(asked: dict[str, Any], left: float, top: float, right: float, bottom: float) -> dict[str, Any]:
    across, middle = (left + right) / 2, (top + bottom) / 2
    index = {"value": 0.24, "low": 0.22, "high": 0.26, "unit": "ratio", "largest_cause": "threshold"}
    angle = {"value": 12.5, "low": 10.0, "high": 15.0, "unit": "degrees", "largest_cause": "axis"}
    gap = {"value": 0.0, "low": 0.0, "high": 0.0, "unit": "percent", "largest_cause": None}
    given = asked.get("axis")
    drawn = {
        "axis": {
            "heel": list(given[0]) if given else [across, bottom],
            "second_toe": list(given[1]) if given else None,
            "from": "given" if given else "fallback",
        },
        "toe_line": [list(at) for at in asked["toe_line"]] if "toe_line" in asked else None,
        "outline": [[[left, top], [right, top], [right, bottom], [left, bottom]]],
        "toes": [[[left, top - 9], [left + 9, top - 9], [left + 9, top - 2], [left, top - 2]]],
        "lines": {
            "axis": [[across, bottom], [across, top]],
            "thirds": [[[left, middle - 20], [right, middle - 20]], [[left, middle + 20], [right, middle + 20]]],
            "ball": [[left, top + 10], [right, top + 10]],
            "middle": None,
            "heel": [[left, bottom - 10], [right, bottom - 10]],
            "medial_tangent": None,
        },
    }
    return {
        "foot": "unknown" if asked["foot"] == "auto" else asked["foot"],
        "scale": {"mm_per_px": None, "from": "none"},
        "corners": [list(corner) for corner in asked["corners"]] if "corners" in asked else None,
        "areas": {"forefoot": 100, "midfoot": 50, "heel": 80, "unit": "px2"},
        "indices": {
            "arch_index": index, "chippaux_smirak_index": gap, "gamma_deg": angle, "hallux_angle_deg": None,
        },
        "lengths": None,
        "warnings": ["axis_by_fallback", "tilted"],
        **drawn,
        "upright": {"unit": "px", **drawn},
    }  # fmt: skip


def on_a_sheet(values: dict[str, dict[str, Any]], pixels: memoryview) -> dict[str, Any]:
    """In the place of the calculator: a square foot of 50 x 200 mm on a sheet of A4."""

    def across(ahead: float) -> list[list[float]]:
        return [[-25, -ahead], [25, -ahead]]

    upright = {
        "unit": "mm",
        "axis": {"heel": [0, 0], "second_toe": [0, -220], "from": "toes"},
        "toe_line": across(200),
        "outline": [[[-25, 0], [25, 0], [25, -200], [-25, -200]]],
        "toes": [[[-25, -205], [-5, -205], [-5, -225], [-25, -225]]],
        "lines": {
            "axis": [[0, 0], [0, -200]],
            "thirds": [across(66.7), across(133.3)],
            "ball": across(180),
            "middle": across(100),
            "heel": across(20),
            "medial_tangent": [[25, 0], [25, -200]],
        },
    }
    return {
        **_print({"foot": "left", **values[""]}, 0, 0, 1, 1),
        "scale": {"mm_per_px": 0.3, "from": "sheet"},
        "lengths": {"toeless_mm": 200, "ball_mm": 50, "middle_mm": 50, "heel_mm": 50},
        "upright": upright,
    }


def module() -> ModuleType:
    """The stand-in as the module that the door asks for."""
    made = ModuleType("calculators.footprint.photograph")
    made.footprint_photo = answer
    return made


def put_in(monkeypatch: Any) -> None:
    """Have the door ask the stand-in, in this process."""
    monkeypatch.setitem(sys.modules, "calculators.footprint.photograph", module())
