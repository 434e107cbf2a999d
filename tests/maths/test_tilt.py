"""The tilt that a picture gives reason for, in drawn photographs without a sheet of known size."""

import math
import time

import numpy as np
import pytest
from maths.pinhole import Pose
from maths.sheet_scenes import FLOORS, Scene, draw, grey_of

from calculators.footprint.tilt import tilt_reason


@pytest.mark.parametrize("tilt_deg", [0.0, 10.0, 20.0, 28.0])
def test_a_sheet_of_unknown_size_tells_it(tilt_deg):
    picture, _ = draw(Scene(), Pose(tilt_deg=tilt_deg, towards_deg=70.0, height_mm=450.0))
    # The usual lens is meant; one of another focal length shows a tilt in proportion.
    assert tilt_reason(grey_of(picture)) == pytest.approx(tilt_deg, abs=2.0)


@pytest.mark.parametrize("tilt_deg", [0.0, 10.0, 15.0, 20.0, 28.0])
@pytest.mark.parametrize("towards_deg", [0.0, 50.0])
def test_joints_that_cross_tell_it(tilt_deg, towards_deg):
    scene = Scene(floor="square_tile", floor_tone=150.0, sheet_mm=None, seed=3)
    picture, _ = draw(scene, Pose(tilt_deg, towards_deg, roll_deg=20.0, height_mm=620.0))
    assert tilt_reason(grey_of(picture)) == pytest.approx(tilt_deg, abs=2.5)


@pytest.mark.parametrize(("off_deg", "low"), [(0.0, 12.0), (30.0, 8.0), (60.0, 0.0), (90.0, 0.0)])
def test_boards_tell_how_much_it_is_at_least(off_deg, low):
    """What runs together is the part of the tilt along the boards: tan(least) = tan(tilt) cos(off)."""
    scene = Scene(floor="wood", floor_tone=130.0, sheet_mm=None, print_at_mm=None, seed=5)
    # Drawn boards run along x; the tilt falls towards 90 degrees off the hinge.
    picture, _ = draw(scene, Pose(tilt_deg=20.0, towards_deg=90.0 + off_deg, height_mm=620.0))
    least = math.degrees(math.atan(math.tan(math.radians(20.0)) * math.cos(math.radians(off_deg))))
    assert low <= tilt_reason(grey_of(picture)) <= least + 2.0


@pytest.mark.parametrize("floor", FLOORS)
@pytest.mark.parametrize("seed", [1, 3])
def test_no_floor_seen_from_above_is_called_tilted(floor, seed):
    scene = Scene(floor=floor, floor_tone=140.0, sheet_mm=None, shadow=0.7, uneven=0.2, seed=seed)
    picture, _ = draw(scene, Pose(tilt_deg=2.0, towards_deg=33.0 * seed, roll_deg=-50.0 * seed, height_mm=560.0))
    # Drawn grain is wavy, so that it may seem to run together.
    assert (tilt_reason(grey_of(picture)) or 0.0) < (9.0 if floor == "wood" else 4.0)


def test_a_bare_floor_gives_no_reason():
    picture, _ = draw(Scene(sheet_mm=None), Pose(tilt_deg=20.0, height_mm=450.0))
    assert tilt_reason(grey_of(picture)) is None


def test_noise_gives_no_reason():
    rng = np.random.default_rng(4)
    for _ in range(5):
        picture = rng.integers(0, 256, (800, 600)).astype(np.uint8)
        assert (tilt_reason(grey_of(picture)) or 0.0) < 8.0


def test_it_takes_little_time():
    picture, _ = draw(Scene(floor="square_tile", sheet_mm=None, seed=3), Pose(15.0, 40.0, height_mm=620.0))
    grey = grey_of(picture, cells=560)
    least = math.inf
    for _ in range(3):
        start = time.process_time()
        tilt_reason(grey)
        least = min(least, time.process_time() - start)
    assert least < 0.2  # 0.03 s on an idle machine
