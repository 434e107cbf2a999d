"""Floors, light and outlines, for pictures of what is no footprint."""

from __future__ import annotations

import math
from collections.abc import Callable

import numpy as np
from PIL import Image, ImageDraw, ImageFilter

Draw = np.random.Generator


def size(draw: Draw) -> tuple[int, int]:
    """Width and height."""
    return int(draw.integers(240, 481)), int(draw.integers(240, 481))


def colour(draw: Draw, low: int = 0, high: int = 256) -> tuple[int, int, int]:
    """A colour, each of its parts between limits."""
    return tuple(int(part) for part in draw.integers(low, high, 3))


def cloud(draw: Draw, width: int, height: int, cells: int) -> np.ndarray:
    """Smooth chance, from 0 to 1, with so many hills across."""
    small = Image.fromarray((draw.random((max(2, cells * height // width), cells)) * 255).astype(np.uint8))
    return np.asarray(small.resize((width, height), Image.Resampling.BICUBIC), float) / 255


def lit(draw: Draw, picture: Image.Image) -> Image.Image:
    """Uneven light, a little noise and a little blur, as a telephone has them."""
    width, height = picture.size
    y, x = np.mgrid[0:height, 0:width]
    angle = draw.uniform(0, 2 * math.pi)
    light = 1 + draw.uniform(0, 0.35) * ((x / width - 0.5) * math.cos(angle) + (y / height - 0.5) * math.sin(angle))
    values = np.asarray(picture, float) * light[..., None] + draw.normal(0, draw.uniform(0, 6), (height, width, 1))
    shaded = Image.fromarray(values.clip(0, 255).astype(np.uint8))
    return shaded.filter(ImageFilter.GaussianBlur(draw.uniform(0, 1.2)))


def ground(draw: Draw, width: int, height: int) -> Image.Image:
    """A floor: plain, blotched like concrete, tiled, or of boards."""
    base = np.array(colour(draw, 90, 240), float)
    kind = draw.integers(0, 4)
    y, x = np.mgrid[0:height, 0:width]
    shade = np.zeros((height, width))
    if kind == 1:
        shade += 50 * (cloud(draw, width, height, 12) - 0.5) + 30 * (cloud(draw, width, height, 50) - 0.5)
    elif kind == 2:
        side, joint = draw.integers(60, 160), draw.integers(2, 6)
        shade -= 60 * ((x % side < joint) | (y % side < joint))
    elif kind == 3:
        grain = cloud(draw, width, height, 6) * 12
        shade += 14 * np.sin(y / 3 + grain * 3) - 40 * (y % draw.integers(50, 110) < 3)
    return Image.fromarray((base + shade[..., None]).clip(0, 255).astype(np.uint8))


def contrast(draw: Draw, floor: Image.Image) -> tuple[int, int, int]:
    """A colour clearly darker, or sometimes lighter, than a floor."""
    mean = np.asarray(floor, float).mean((0, 1))
    change = -draw.uniform(30, 90) if draw.random() < 0.75 else draw.uniform(30, 90)
    return tuple(int(part) for part in (mean + change).clip(0, 255))


def placed(draw: Draw, outline: np.ndarray, width: int, height: int) -> list[tuple[float, float]]:
    """An outline about the origin, one high, turned and put somewhere into a picture."""
    angle, high = draw.uniform(0, 2 * math.pi), draw.uniform(0.35, 0.85) * min(width, height)
    turn = np.array([[math.cos(angle), -math.sin(angle)], [math.sin(angle), math.cos(angle)]])
    middle = np.array([width * draw.uniform(0.4, 0.6), height * draw.uniform(0.4, 0.6)])
    return [tuple(point) for point in high * outline @ turn.T + middle]


def around(radii: Callable[[np.ndarray], np.ndarray], count: int = 240) -> np.ndarray:
    """A closed outline by its distance from the origin in every direction."""
    angles = np.linspace(0, 2 * math.pi, count, endpoint=False)
    return radii(angles)[:, None] * np.stack([np.cos(angles), np.sin(angles)], 1)


def on_floor(
    draw: Draw, paint: Callable[[ImageDraw.ImageDraw, tuple[int, int, int], Image.Image], None]
) -> Image.Image:
    """A floor with something painted on it in a colour that stands out."""
    floor = ground(draw, *size(draw))
    dark = contrast(draw, floor)
    paint(ImageDraw.Draw(floor), dark, floor)
    return lit(draw, floor)
