"""A photograph changed in a way that changes no foot gives the same answer: mirrored, turned, resized, cut, relit.

The tolerances are own choices: what lies between a picture and its change is never more than a third of the 0.02 that
an unwarned arch index may be off. What moves no pixel from one cell to another is held closer. The heel's middle must
go with the picture, to a part of the toeless length.
"""

from __future__ import annotations

import math
from collections.abc import Callable
from typing import Any, NamedTuple

import cv2
import numpy as np
import pytest
from prints.resized import measured, resized

MEGAPIXELS = 0.4
# On a sheet; without one, toes apart; a floor with joints and a sheet under the print.
PICTURES = ("easy-06", "easy-31", "hard-03")
INDICES = ("arch_index", "chippaux_smirak_index", "staheli_index")
LENGTHS = ("toeless_mm", "ball_mm", "middle_mm", "heel_mm")

Point = tuple[float, float]


class Tolerance(NamedTuple):
    """How far an answer may move: the three indices, lengths in mm, the heel's middle as a part of the length."""

    arch_index: float
    chippaux_smirak_index: float
    staheli_index: float
    mm: float
    heel: float


CLOSE = Tolerance(0.002, 0.4, 0.008, 0.3, 0.01)
NEAR = Tolerance(0.004, 0.8, 0.015, 0.6, 0.015)


class Change(NamedTuple):
    """What is done to a picture, where its points then are (given its width and height), and how close it must stay."""

    picture: Callable[[np.ndarray], np.ndarray]
    point: Callable[[Point, int, int], Point]
    within: Tolerance
    flips: bool = False


def _still(point: Point, width: int, height: int) -> Point:
    return point


def _scaled(by: float) -> Change:
    how = cv2.INTER_AREA if by < 1 else cv2.INTER_CUBIC
    return Change(
        lambda rgb: cv2.resize(rgb, None, fx=by, fy=by, interpolation=how),
        lambda point, width, height: (point[0] * by, point[1] * by),
        NEAR,
    )


def _levels(gain: float, lift: float) -> Change:
    """Every level times a gain, plus a lift; cut off at black and white."""
    return Change(
        lambda rgb: np.clip(np.rint(rgb * np.float32(gain) + np.float32(lift)), 0, 255).astype(np.uint8), _still, NEAR
    )


def _packed(quality: int) -> Change:
    def packed(rgb: np.ndarray) -> np.ndarray:
        _, file = cv2.imencode(".jpg", rgb[..., ::-1], [cv2.IMWRITE_JPEG_QUALITY, quality])
        return np.ascontiguousarray(cv2.imdecode(file, cv2.IMREAD_COLOR)[..., ::-1])

    return Change(packed, _still, NEAR)


CHANGES = {
    "mirrored": Change(lambda rgb: rgb[:, ::-1], lambda p, width, height: (width - p[0], p[1]), CLOSE, flips=True),
    "turned left": Change(lambda rgb: np.rot90(rgb, 1), lambda p, width, height: (p[1], width - p[0]), CLOSE),
    "turned round": Change(lambda rgb: np.rot90(rgb, 2), lambda p, width, height: (width - p[0], height - p[1]), CLOSE),
    "turned right": Change(lambda rgb: np.rot90(rgb, 3), lambda p, width, height: (height - p[1], p[0]), CLOSE),
    "half as large": _scaled(0.5),
    "twice as large": _scaled(2.0),
    "darker": _levels(0.75, 0),
    "lighter": _levels(1, 20),
    "less contrast": _levels(0.7, 35),
    "more contrast": _levels(1.2, -25),
    "JPEG 92": _packed(92),
    "JPEG 75": _packed(75),
    "JPEG 50": _packed(50),
}


def _held_to(found: dict[str, Any], base: dict[str, Any], within: Tolerance) -> None:
    for key in INDICES:
        assert found["indices"][key]["value"] == pytest.approx(
            base["indices"][key]["value"], abs=getattr(within, key)
        ), key
    assert (found["lengths"] is None) == (base["lengths"] is None)
    for key in LENGTHS if base["lengths"] else ():
        assert found["lengths"][key] == pytest.approx(base["lengths"][key], abs=within.mm), key


def _long(result: dict[str, Any]) -> float:
    """Heel to ball in pixels: as long as a print is, near enough to divide by."""
    across = [point for ring in result["outline"] for point in ring]
    return math.dist(*(tuple(edge(at) for at in zip(*across, strict=True)) for edge in (min, max)))


class Bases(dict[str, dict[str, Any]]):
    def __missing__(self, name: str) -> dict[str, Any]:
        options, rgb, true = resized(name, MEGAPIXELS)
        self[name] = measured(rgb, options)
        assert self[name]["foot"] == true["sides"][0]
        return self[name]


@pytest.fixture(scope="module")
def bases() -> Bases:
    """The answers to the pictures as they are, each asked for when it is wanted."""
    return Bases()


@pytest.mark.parametrize("change", CHANGES)
@pytest.mark.parametrize("name", PICTURES)
def test_a_picture_that_is_changed_gives_the_same_numbers(bases, name, change):
    options, rgb, _ = resized(name, MEGAPIXELS)
    made = CHANGES[change]
    found, base = measured(np.ascontiguousarray(made.picture(rgb)), options), bases[name]
    other = {"left": "right", "right": "left"}[base["foot"]]
    assert found["foot"] == (other if made.flips else base["foot"])
    _held_to(found, base, made.within)
    height, width = rgb.shape[:2]
    wanted = made.point(tuple(base["axis"]["heel"]), width, height)
    assert math.dist(found["axis"]["heel"], wanted) < made.within.heel * _long(found)


def _cut(rgb: np.ndarray, true: dict[str, Any]) -> tuple[np.ndarray, Point]:
    """A picture without most of what lies around print and sheet, and where it begins in the old one."""
    one = true["prints"][0]
    points = np.concatenate(
        [np.array(ring) for ring in [*one["body"], *one["toes"], true["corners"] or one["body"][0]]]
    )
    height, width = rgb.shape[:2]
    (left, top), (right, low) = points.min(0), points.max(0)
    # Less is left on one side than on the other, and odd numbers of pixels.
    left, top = int(left * 0.5) | 1, int(top * 0.35) | 1
    right, low = int(width - 0.6 * (width - right)), int(height - 0.3 * (height - low)) | 1
    return np.ascontiguousarray(rgb[top:low, left:right]), (float(left), float(top))


@pytest.mark.parametrize("name", PICTURES)
def test_a_picture_that_is_cut_gives_the_same_numbers(bases, name):
    options, rgb, true = resized(name, MEGAPIXELS)
    cut, (left, top) = _cut(rgb, true)
    assert cut.size < 0.85 * rgb.size
    found, base = measured(cut, options), bases[name]
    assert found["foot"] == base["foot"]
    _held_to(found, base, NEAR)
    x, y = base["axis"]["heel"]
    assert math.dist(found["axis"]["heel"], (x - left, y - top)) < NEAR.heel * _long(found)


@pytest.mark.parametrize("name", PICTURES[:1])
def test_a_sole_seen_from_below_is_the_print_mirrored(bases, name):
    options, rgb, _ = resized(name, MEGAPIXELS)
    found = measured(np.ascontiguousarray(rgb[:, ::-1]), {**options, "view": "sole"})
    assert found["foot"] == bases[name]["foot"]
    _held_to(found, bases[name], CLOSE)
