"""Simple pictures of a floor with or without a sheet, drawn in millimetres and photographed by a pinhole camera."""

from array import array
from typing import NamedTuple

import cv2
import numpy as np
from maths.pinhole import PICTURE_PX, floor_to_picture

from calculators.footprint.picture import Grey

FLOOR_MM = 1400
PX_PER_MM = 2


class Scene(NamedTuple):
    """What lies before the camera. Tones 0 to 255; the middle of the sheet, the print's and the card's in mm."""

    floor: str = "flat"
    floor_tone: float = 90.0
    sheet_mm: tuple[float, float] | None = (210.0, 297.0)
    sheet_tone: float = 235.0
    sheet_at_mm: tuple[float, float] = (0.0, 0.0)
    sheet_turn_deg: float = 0.0
    round_mm: float = 0.0
    thrown: float = 0.0  # how much the sheet's own shadow, a millimetre wide on two sides, darkens the floor
    print_at_mm: tuple[float, float] | None = (0.0, 0.0)
    print_tone: float = 0.6
    shadow: float = 1.0
    shadow_wide_mm: float = 40.0
    uneven: float = 0.0
    blur_px: float = 0.8
    noise: float = 2.0
    seed: int = 1


def cloudy(rng, cell_mm, sd):
    """Draw smooth noise with blotches of a given size."""
    side = int(FLOOR_MM * PX_PER_MM)
    small = rng.normal(0, 1, (max(3, int(FLOOR_MM / cell_mm)),) * 2).astype(np.float32)
    return cv2.resize(small, (side, side), interpolation=cv2.INTER_CUBIC) * sd


def tiles(rng, tone, wide_mm, high_mm, joint_mm=4.0, joint=0.7, spread=0.03):
    side = int(FLOOR_MM * PX_PER_MM)
    picture = np.full((side, side), tone * joint, dtype=np.float32)
    for x in np.arange(-rng.uniform(0, wide_mm), FLOOR_MM, wide_mm):
        for y in np.arange(-rng.uniform(0, high_mm) if x < 0 else -high_mm / 3, FLOOR_MM, high_mm):
            a, b = (int(max(0, v + joint_mm / 2) * PX_PER_MM) for v in (x, y))
            c, d = (int(max(0, v - joint_mm / 2) * PX_PER_MM) for v in (x + wide_mm, y + high_mm))
            picture[b:d, a:c] = tone * (1 + rng.normal(0, spread))
    return picture + cloudy(rng, 3, tone * 0.01)


def lattice(rng, tone, wide_mm, high_mm, joint=0.7, spread=0.03):
    """Tiles whose joints run through from edge to edge."""
    side = int(FLOOR_MM * PX_PER_MM)
    picture = np.full((side, side), tone * joint, dtype=np.float32)
    for x in np.arange(-60.0, FLOOR_MM, wide_mm):
        for y in np.arange(-90.0, FLOOR_MM, high_mm):
            a, b = (int(max(0, v + 2) * PX_PER_MM) for v in (x, y))
            c, d = (int(max(0, v - 2) * PX_PER_MM) for v in (x + wide_mm, y + high_mm))
            picture[b:d, a:c] = tone * (1 + rng.normal(0, spread))
    return picture + cloudy(rng, 3, tone * 0.01)


def wood(rng, tone):
    side = int(FLOOR_MM * PX_PER_MM)
    grain = rng.normal(0, 1, (side // 2, side // 100)).astype(np.float32)
    grain = cv2.resize(cv2.GaussianBlur(grain, (0, 0), 0.9), (side, side), interpolation=cv2.INTER_CUBIC)
    picture = tone * (1 + 0.10 * grain / grain.std())
    for at in np.arange(30, FLOOR_MM, 95):
        y = int(at * PX_PER_MM)
        picture[y : y + int(95 * PX_PER_MM)] *= 1 + rng.normal(0, 0.05)
        picture[y : y + 3] *= 0.6
    return picture


def concrete(rng, tone):
    return tone + cloudy(rng, 60, tone * 0.07) + cloudy(rng, 12, tone * 0.05) + cloudy(rng, 2, tone * 0.05)


FLOORS = {
    "flat": lambda rng, tone: np.full((int(FLOOR_MM * PX_PER_MM),) * 2, tone, dtype=np.float32) + cloudy(rng, 3, 1.5),
    "wood": wood,
    "concrete": concrete,
    "square_tile": lambda rng, tone: lattice(rng, tone, 200, 200),
    "a4_like_tile": lambda rng, tone: lattice(rng, tone, 210, 300, spread=0.05),
    "long_tile": lambda rng, tone: lattice(rng, tone, 300, 600, spread=0.02),
    "brick": lambda rng, tone: tiles(rng, tone, 100, 210, joint=0.75, spread=0.06),
    "large_light_joint": lambda rng, tone: lattice(rng, tone, 330, 440, joint=1.35),
}


def floor_px(point_mm):
    """Floor mm (x right, y up, 0 in the middle) to the drawing's pixels."""
    x, y = point_mm
    return (x + FLOOR_MM / 2) * PX_PER_MM, (FLOOR_MM / 2 - y) * PX_PER_MM


def cover(shape, points_mm):
    """Tell how much of each pixel a convex polygon covers, to about a hundredth."""
    points = np.array([floor_px(p) for p in points_mm])
    left, top = np.maximum(np.floor(points.min(axis=0)).astype(int) - 2, 0)
    right, bottom = np.ceil(points.max(axis=0)).astype(int) + 2
    mask = np.zeros(shape, dtype=np.float32)
    part = mask[top:bottom, left:right]
    y, x = np.mgrid[top : top + part.shape[0], left : left + part.shape[1]] + 0.5
    part[:] = 1.0
    for (ax, ay), (bx, by) in zip(points, np.roll(points, -1, axis=0), strict=True):
        inside = ((x - ax) * (by - ay) - (y - ay) * (bx - ax)) / np.hypot(bx - ax, by - ay)
        np.minimum(part, np.clip(inside + 0.5, 0, 1), out=part)
    return mask


def foot(at_mm):
    """Draw a blot like a sole with toes, 235 mm long."""
    side = int(FLOOR_MM * PX_PER_MM)
    mask = np.zeros((side, side), dtype=np.float32)
    blots = [(0, -80, 28, 36), (-12, -20, 16, 60), (0, 45, 42, 34)]
    blots += [(-30 + 15 * i, 92 + (12, 18, 20, 18, 14)[i] - 12, 7 + i, 9 + i) for i in range(5)]
    for x, y, a, b in blots:
        cx, cy = floor_px((at_mm[0] + x, at_mm[1] + y))
        cv2.ellipse(mask, (int(cx), int(cy)), (int(a * PX_PER_MM), int(b * PX_PER_MM)), 0, 0, 360, 1.0, -1, cv2.LINE_AA)
    return mask


def placed(size_mm, at_mm, turn_deg, round_mm):
    """Give the sheet's outline on the floor, with round corners where asked."""
    c, s = np.cos(np.radians(turn_deg)), np.sin(np.radians(turn_deg))
    points = []
    for k, (i, j) in enumerate(((-1, -1), (1, -1), (1, 1), (-1, 1))):
        x, y = i * (size_mm[0] / 2 - round_mm), j * (size_mm[1] / 2 - round_mm)
        for a in np.linspace(180 + 90 * k, 270 + 90 * k, 12 if round_mm else 1):
            px, py = (
                (x + round_mm * np.cos(np.radians(a)), y + round_mm * np.sin(np.radians(a))) if round_mm else (x, y)
            )
            points.append((at_mm[0] + c * px - s * py, at_mm[1] + s * px + c * py))
    return points


def draw(scene, pose, picture_px=PICTURE_PX):
    """Photograph a scene; returns the grey picture (uint8) and the true corners in pixels, or None."""
    rng = np.random.default_rng(scene.seed)
    floor = FLOORS[scene.floor](rng, scene.floor_tone)
    truth = None
    if scene.sheet_mm:
        outline = placed(scene.sheet_mm, scene.sheet_at_mm, scene.sheet_turn_deg, scene.round_mm)
        mask = cover(floor.shape, outline)
        if scene.thrown:
            under = cover(floor.shape, [(x + 0.8, y - 0.6) for x, y in outline])
            floor = floor * (1 - scene.thrown * cv2.GaussianBlur(under, (0, 0), 0.4 * PX_PER_MM))
        floor = floor * (1 - mask) + mask * (scene.sheet_tone + cloudy(rng, 5, 0.7))
        corners = placed(scene.sheet_mm, scene.sheet_at_mm, scene.sheet_turn_deg, 0.0)
        matrix = floor_to_picture(pose, picture_px)
        truth = [tuple(p) for p in cv2.perspectiveTransform(np.array([corners]), matrix)[0].tolist()]
    if scene.print_at_mm is not None:
        floor = floor * (1 - (1 - scene.print_tone) * foot(scene.print_at_mm))
    if scene.shadow != 1.0:
        y, x = np.mgrid[0 : floor.shape[0], 0 : floor.shape[1]] / PX_PER_MM - FLOOR_MM / 2
        edge = np.tanh(2 * (x * 0.8 + y * 0.6 - 20) / scene.shadow_wide_mm)
        floor = floor * (scene.shadow + (1 - scene.shadow) * (1 + edge) / 2)
    wide, high = picture_px
    # From the drawing's pixels to the picture's, both counted from the middle of the first one, at twice the size.
    to_mm = np.array([[1 / PX_PER_MM, 0, -FLOOR_MM / 2], [0, -1 / PX_PER_MM, FLOOR_MM / 2], [0, 0, 1]])
    half = np.array([[1, 0, 0.5], [0, 1, 0.5], [0, 0, 1]])
    whole = np.linalg.inv(half) @ np.diag([2, 2, 1.0]) @ floor_to_picture(pose, picture_px) @ to_mm @ half
    seen = cv2.warpPerspective(
        floor.astype(np.float32), whole, (2 * wide, 2 * high), flags=cv2.INTER_LINEAR, borderMode=cv2.BORDER_REFLECT
    )
    seen = cv2.resize(seen, (wide, high), interpolation=cv2.INTER_AREA)
    if scene.uneven:
        y, x = np.mgrid[0:high, 0:wide]
        seen = seen * (1 - scene.uneven * (0.6 * x / wide + 0.4 * y / high))
    seen = cv2.GaussianBlur(seen, (0, 0), scene.blur_px) if scene.blur_px else seen
    seen = seen + rng.normal(0, scene.noise, seen.shape)
    return np.clip(np.round(seen), 0, 255).astype(np.uint8), truth


def grey_of(picture, cells=500):
    """Make block means as the engine does: whole blocks, 0 to 4080."""
    high, wide = picture.shape
    scale = max(1, round(max(high, wide) / cells))
    rows, columns = high // scale, wide // scale
    blocks = picture[: rows * scale, : columns * scale].astype(np.float64)
    means = blocks.reshape(rows, scale, columns, scale).mean(axis=(1, 3)) * 16
    return Grey(columns, rows, scale, array("H", np.round(means).astype(np.uint16).ravel().tolist()))


def photographed_colour(scene, pose, red_and_blue):
    """Photograph a scene in which only the sheet has a colour: greys of brightness, red and blue, and true corners.

    The sheet's red and blue are given as parts of its brightness.
    """
    grey, truth = draw(scene, pose)
    red, blue = (draw(scene._replace(sheet_tone=scene.sheet_tone * part), pose)[0] for part in red_and_blue)
    return grey_of(grey), grey_of(red), grey_of(blue), truth
