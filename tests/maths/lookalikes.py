"""More of what a camera might see instead of a print: tools, bottles, slippers, stains, shadows across a floor."""

from __future__ import annotations

import math

import numpy as np
from maths.floors import Draw, around, cloud, contrast, ground, lit, on_floor, placed, size
from PIL import Image, ImageDraw, ImageFilter


def tools(draw: Draw) -> Image.Image:
    """A hammer, a spanner, a pair of pliers or a screwdriver, each from plain parts: about the origin, one long."""

    def paint(pen, dark, floor):
        for _ in range(int(draw.integers(1, 3))):
            kind = int(draw.integers(0, 4))
            wide = draw.uniform(0.025, 0.05)
            handle = _bar(0, -0.5, 0, 0.35, wide, wide * draw.uniform(0.7, 1))
            parts = {
                0: [handle, _bar(-0.18, 0.4, 0.16, 0.4, 0.07, draw.uniform(0.03, 0.08))],
                1: [handle, *(_jaw(end, draw.uniform(0.07, 0.12)) for end in (0.42, -0.46))],
                2: [
                    *(_bar(side * 0.16, -0.5, side * 0.02, 0.15, wide, wide) for side in (-1, 1)),
                    *(_bar(side * 0.05, 0.12, side * 0.02, 0.45, 0.05, 0.02) for side in (-1, 1)),
                ],
                3: [_bar(0, -0.5, 0, -0.12, 0.07, 0.06), _bar(0, -0.14, 0, 0.5, 0.018, 0.018)],
            }[kind]
            laid = placed(draw, np.concatenate(parts), *floor.size)
            at = 0
            for part in parts:
                pen.polygon(laid[at : at + len(part)], fill=dark)
                at += len(part)

    return on_floor(draw, paint)


def _bar(x0: float, y0: float, x1: float, y1: float, first: float, last: float) -> np.ndarray:
    """A straight piece between two points, so wide to either side at its two ends."""
    along = np.array([x1 - x0, y1 - y0])
    across = np.array([-along[1], along[0]]) / np.hypot(*along)
    one, other = np.array([x0, y0]), np.array([x1, y1])
    return np.array([one - first * across, one + first * across, other + last * across, other - last * across])


def _jaw(end: float, radius: float) -> np.ndarray:
    """A round head that is open at its end."""
    angles = np.linspace(0.5, 2 * math.pi - 0.5, 40) + (math.pi / 2 if end > 0 else -math.pi / 2)
    circle = np.stack([np.cos(angles), np.sin(angles)], 1)
    return np.add(np.concatenate([radius * circle, 0.45 * radius * circle[::-1]]), [0, end])


def bottles(draw: Draw) -> Image.Image:
    """A bottle, standing or lying, with a label; its waist may be as narrow as an arch."""

    def paint(pen, dark, floor):
        for _ in range(int(draw.integers(1, 3))):
            neck, body, waist = draw.uniform(0.04, 0.08), draw.uniform(0.11, 0.19), draw.uniform(0.45, 1)
            half = [0, body * 0.9, body, body * waist, body, body * 0.9, neck, neck * 1.1, 0]
            high = [-0.5, -0.49, -0.35, -0.08, 0.12, 0.2, 0.36, 0.49, 0.5]
            fine = np.linspace(-0.5, 0.5, 160)
            soft = np.convolve(np.pad(np.interp(fine, high, half), 4, "edge"), np.ones(9) / 9, "valid")
            edge = np.stack([soft, fine], 1)
            label = np.array([[-body, -0.3], [body, -0.3], [body, 0.05], [-body, 0.05]]) * [0.85, 1]
            laid = placed(draw, np.concatenate([edge, (edge * [-1, 1])[::-1], label]), *floor.size)
            pen.polygon(laid[:-4], fill=dark)
            if draw.random() < 0.5:
                pen.polygon(laid[-4:], fill=tuple(min(255, part + 40) for part in dark))

    return on_floor(draw, paint)


def plain_soles(draw: Draw) -> Image.Image:
    """The sole of a slipper: one smooth piece as long as a print, with hardly a waist and no toes."""

    def paint(pen, dark, floor):
        for _ in range(int(draw.integers(1, 3))):
            waist, lean = draw.uniform(0.78, 1), draw.uniform(-0.05, 0.05)
            fine = np.linspace(-0.5, 0.5, 160)
            half = np.interp(fine, [-0.5, -0.3, 0, 0.25, 0.5], [0.72, 0.82, waist, 1, 0.8]) * draw.uniform(0.16, 0.21)
            # Round at both ends.
            half *= np.sqrt(1 - np.clip((np.abs(fine) - 0.36) / 0.14, 0, 1) ** 2)
            middle = lean * np.sin(fine * math.pi)
            edge = np.concatenate([np.stack([middle - half, fine], 1), np.stack([middle + half, fine], 1)[::-1]])
            pen.polygon(placed(draw, edge, *floor.size), fill=dark)

    return on_floor(draw, paint)


def stains(draw: Draw) -> Image.Image:
    """What was spilt: one pool with splashes around it, a darker rim as it dries, and sometimes a run to one side."""
    width, height = size(draw)
    floor = ground(draw, width, height)
    wet = Image.new("L", (width, height), 0)
    pen = ImageDraw.Draw(wet)
    middle, reach = np.array([width, height]) * draw.uniform(0.35, 0.65, 2), min(width, height) * draw.uniform(0.1, 0.3)

    def blot(at, radius):
        wild, turns = draw.uniform(0, 0.22, 5), draw.uniform(0, 2 * math.pi, 5)
        slim, turn = draw.uniform(0.4, 1), draw.uniform(0, 2 * math.pi)

        def radii(angle):
            waves = [
                part * np.cos((n + 2) * angle + start) for n, (part, start) in enumerate(zip(wild, turns, strict=True))
            ]
            return radius * (1 + np.sum(waves, 0)) * np.hypot(slim * np.cos(angle - turn), np.sin(angle - turn))

        pen.polygon([tuple(point) for point in around(radii) + at], fill=255)

    blot(middle, reach)
    for _ in range(int(draw.integers(0, 14))):
        way, far = draw.uniform(0, 2 * math.pi), reach * draw.uniform(1, 2.2)
        blot(middle + far * np.array([math.cos(way), math.sin(way)]), reach * draw.uniform(0.03, 0.25))
    if draw.random() < 0.4:
        way = draw.uniform(0, 2 * math.pi)
        end = middle + 2 * reach * np.array([math.cos(way), math.sin(way)])
        pen.line([*middle, *end], fill=255, width=int(reach * draw.uniform(0.1, 0.5)))
    soft = np.asarray(wet.filter(ImageFilter.GaussianBlur(draw.uniform(0.5, 3))), float) / 255
    rim = soft * (1 - np.asarray(wet.filter(ImageFilter.GaussianBlur(reach / 12 + 1)), float) / 255)
    strength = draw.uniform(0.5, 1) * soft + draw.uniform(0, 1.2) * rim
    values = np.asarray(floor, float)
    values += (np.array(contrast(draw, floor)) - values) * strength.clip(0, 1)[..., None]
    return lit(draw, Image.fromarray(values.clip(0, 255).astype(np.uint8)))


def shadows(draw: Draw) -> Image.Image:
    """Shadows on a bare floor: a person's leg and shoe, a window's bars, leaves of a tree, a straight edge."""
    width, height = size(draw)
    floor = np.asarray(ground(draw, width, height), float)
    dark = Image.new("L", (width, height), 0)
    pen = ImageDraw.Draw(dark)
    kind = int(draw.integers(0, 4))
    if kind == 0:
        leg = np.concatenate([_bar(0, -0.5, 0, 0.25, 0.1, 0.07), _bar(-0.06, 0.27, 0.2, 0.3, 0.09, 0.05)])
        laid = placed(draw, leg, width, height)
        pen.polygon(laid[:4], fill=255)
        pen.polygon(laid[4:], fill=255)
    elif kind == 1:
        step, thick = int(draw.integers(30, 110)), int(draw.integers(4, 30))
        lean = draw.uniform(-0.7, 0.7)
        for x in range(-height, width + height, step):
            pen.line([x, 0, x + lean * height, height], fill=255, width=thick)
    elif kind == 2:
        hills = cloud(draw, width, height, int(draw.integers(4, 18)))
        dark = Image.fromarray(np.uint8(255 * (hills > draw.uniform(0.45, 0.7))))
    else:
        angle = draw.uniform(0, 2 * math.pi)
        y, x = np.mgrid[0:height, 0:width]
        beyond = (x - width / 2) * math.cos(angle) + (y - height / 2) * math.sin(angle) > draw.uniform(-60, 60)
        dark = Image.fromarray(np.uint8(255 * beyond))
    soft = np.asarray(dark.filter(ImageFilter.GaussianBlur(draw.uniform(0.5, 12))), float) / 255
    values = floor * (1 - draw.uniform(0.15, 0.6) * soft)[..., None]
    return lit(draw, Image.fromarray(values.clip(0, 255).astype(np.uint8)))


LOOKALIKES = (tools, bottles, plain_soles, stains, shadows)
