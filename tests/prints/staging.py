"""From a row of the list to a scene: where feet and sheet lie, where the camera stands, how the light falls."""

from __future__ import annotations

import math
from typing import TYPE_CHECKING

import numpy as np
import shapely
from shapely.geometry import Point, Polygon

from prints import feet as feet_of
from prints.camera import Camera, project
from prints.scene import SHEETS_MM, Laid, Scene

if TYPE_CHECKING:
    from prints.rows import Photograph

# Lengths that share no factor with 3, so that the seen and the unseen get the same mixture.
MEGAPIXELS = (3.0, 1.2, 2.0, 0.8, 3.0, 1.6, 2.4)
SHAPES = ((4, 3), (3, 4), (16, 9), (3, 4), (4, 3))
CARD_LOOKS = ("navy card", "blue card", "yellow card", "black card", "green card", "pink card")
FLOOR_AROUND = 0.12  # the least margin of the picture, as a part of its side, around all that must be seen


def stage(photograph: Photograph) -> Scene:
    """The scene of a photograph; the same row gives the same scene."""
    rng = np.random.default_rng(photograph.seed)
    laid = _laid(photograph, rng)
    feet = _feet(photograph, laid, rng)
    if photograph.laid == "beside":
        laid = _beside(photograph, feet, rng)
    camera = _camera(photograph, feet, laid, rng)
    return Scene(
        seed=photograph.seed,
        feet=feet,
        ground=photograph.ground,
        laid=laid,
        camera=camera,
        **{**_light(photograph, rng), **photograph.extras, **_spoilt(photograph)},
    )


def _laid(photograph: Photograph, rng: np.random.Generator) -> Laid | None:
    if photograph.laid != "under":
        return None
    return Laid(photograph.sheet, 0.0, 0.0, float(rng.uniform(-5, 5)))


def _feet(photograph: Photograph, laid: Laid | None, rng: np.random.Generator) -> tuple[feet_of.Foot, ...]:
    """Prints on the floor, near the origin; on a sheet with at least 6 mm around them."""
    made = [feet_of.make(**arguments) for arguments in photograph.feet]
    if not made:
        return ()
    placed = []
    apart = float(rng.uniform(58, 75))
    for foot in made:
        x = 0.0 if len(made) == 1 else -apart if foot.side == "left" else apart
        lean = (
            float(rng.uniform(-3, 3))
            if len(made) == 1
            else float(rng.uniform(2, 7)) * (1 if foot.side == "left" else -1)
        )
        middle = foot.placed(lean, 0, 0).printed.envelope.centroid
        placed.append(foot.placed(lean, x - middle.x, -middle.y))
    if laid is None:
        turn = float(rng.uniform(0, 360))
        return tuple(foot.placed(turn, 0, 0) for foot in placed)
    around = 6.0 if photograph.spoil != "over" else -1000.0
    sheet = Polygon(laid.corners).buffer(-around)
    turn = laid.turn_deg + (180.0 if rng.random() < 0.3 else 0.0)
    slack = 24.0
    for _ in range(400):
        lean, dx, dy = rng.uniform(-6, 6) * slack / 24, rng.uniform(-slack, slack), rng.uniform(-slack, slack)
        tried = [foot.placed(lean + turn, dx, dy) for foot in placed]
        if all(sheet.contains(foot.printed) for foot in tried):
            break
        slack = max(0.5, slack * 0.985)
    else:
        raise ValueError(f"{photograph.name}: the print does not go on its sheet")
    if photograph.spoil == "over":
        way = math.radians(laid.turn_deg)
        tried = [foot.placed(0, 90 * math.cos(way), 90 * math.sin(way)) for foot in tried]
    return tuple(tried)


def _beside(photograph: Photograph, feet: tuple[feet_of.Foot, ...], rng: np.random.Generator) -> Laid:
    """A sheet or card next to the print, on the same floor, not touching it."""
    # Nobody lays a card into the hollow of a print; between two prints they do.
    printed = shapely.union_all([foot.printed.convex_hull for foot in feet]) if feet else Point(0, 0).buffer(60)
    if photograph.sheet == "card":
        look = CARD_LOOKS[photograph.seed % len(CARD_LOOKS)]
        if look == photograph.ground:
            look = "black card"
    else:
        look = "white sheet"
    reach = max(SHEETS_MM[photograph.sheet]) / 2
    long_way = float(rng.uniform(0, 360))
    for distance in np.arange(20.0, 700.0, 4.0):
        for turn in (0.0, 60.0, 120.0, 180.0, 240.0, 300.0):
            way = math.radians(long_way + turn)
            at = (distance * math.cos(way), distance * math.sin(way))
            laid = Laid(photograph.sheet, *at, long_way + turn + float(rng.uniform(-25, 25)), look)
            if 12 < Polygon(laid.corners).distance(printed) < 30 + reach:
                return laid
    raise ValueError(f"{photograph.name}: no place for the {photograph.sheet}")


def _camera(
    photograph: Photograph, feet: tuple[feet_of.Foot, ...], laid: Laid | None, rng: np.random.Generator
) -> Camera:
    """A phone 0.5 to 1 m above the floor, as close as everything that must be seen allows."""
    number = photograph.seed
    pixels = MEGAPIXELS[number % len(MEGAPIXELS)] * 1e6
    across, down = SHAPES[number % len(SHAPES)]
    width = round(math.sqrt(pixels * across / down))
    height = round(pixels / width)
    shapes = [foot.printed for foot in feet] + ([Polygon(laid.corners)] if laid else [])
    if not shapes:
        shapes = [Point(0, 0).buffer(120)]
    wanted = shapely.union_all(shapes).convex_hull
    points = shapely.get_coordinates(wanted)
    middle = wanted.envelope.centroid
    toward, roll = float(rng.uniform(0, 360)), float(rng.uniform(0, 360))
    roomy, jitter = float(rng.uniform(1.0, 1.3)), rng.uniform(-12, 12, 2)
    long = max(width, height)
    lowest = float(rng.uniform(500, 800))
    for high in np.linspace(lowest, 1000, 12):
        for focal in np.linspace(1.7, 0.70, 41):
            camera = Camera(
                width, height, focal * long / roomy, float(high), photograph.tilt, toward, roll,
                (middle.x + float(jitter[0]), middle.y + float(jitter[1])),
            )  # fmt: skip
            seen = project(camera.homography(), points) / [width, height]
            if seen.min() > FLOOR_AROUND / 2 and seen.max() < 1 - FLOOR_AROUND / 2 and focal / roomy >= 0.62:
                return _moved(camera, photograph, feet)
    raise ValueError(f"{photograph.name}: it does not go into the picture")


def _moved(camera: Camera, photograph: Photograph, feet: tuple[feet_of.Foot, ...]) -> Camera:
    """The camera of a picture that is spoilt by where it stands."""
    if photograph.spoil == "small":
        return Camera(**{**camera.__dict__, "focal_px": camera.focal_px * 60 / max(camera.width, camera.height)})
    if photograph.spoil != "cut":
        return camera
    # A quarter of the print, toes or heel, is beyond the edge.
    turn = math.radians((photograph.seed * 137) % 360)
    printed = feet[0].printed
    for step in range(2000):
        target = (camera.target[0] + step * math.cos(turn), camera.target[1] + step * math.sin(turn))
        moved = Camera(**{**camera.__dict__, "target": target})
        frame = project(
            np.linalg.inv(moved.homography()),
            np.array([(0, 0), (camera.width, 0), (camera.width, camera.height), (0, camera.height)]),
        )
        if Polygon(frame).intersection(printed).area < 0.75 * printed.area:
            return moved
    raise ValueError(f"{photograph.name}: it was never cut")


def _light(photograph: Photograph, rng: np.random.Generator) -> dict:
    strong = photograph.light != "mild"
    light = {
        "gradient": float(rng.uniform(0.02, 0.25 if strong else 0.10)),
        "gradient_deg": float(rng.uniform(0, 360)),
        "vignette": float(rng.uniform(0.02, 0.28 if strong else 0.12)),
        "tint": tuple(float(value) for value in np.array([1.0, 1.0, 1.0]) + rng.uniform(-0.05, 0.03, 3)),
    }
    if photograph.light == "shadow":
        light |= {
            "shadow": float(rng.uniform(0.55, 0.85)),
            "shadow_deg": float(rng.uniform(0, 360)),
            "shadow_at": float(rng.uniform(-60, 60)),
            "penumbra_mm": float(np.exp(rng.uniform(math.log(6), math.log(70)))),
        }
    return light


def _spoilt(photograph: Photograph) -> dict:
    return {
        "blurred": {"blur_px": 9.0, "smear_px": 61.0, "noise": 1.0},
        "faint": {"factor": 0.975, "noise": 4.0, "halo": 0.0},
        "empty": {"specks": 0, "drips": 0, "holes": 0, "halo": 0.0},
        "small": {"blur_px": 0.6},
    }.get(photograph.spoil, {})
