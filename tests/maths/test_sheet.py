"""A sheet found in drawn photographs, and none where there is none."""

import math
import random
import time
from array import array

import cv2
import numpy as np
import pytest
from maths.pinhole import Pose
from maths.sheet_scenes import FLOORS, Scene, draw, grey_of, photographed_colour

from calculators.footprint.picture import Grey, halved
from calculators.footprint.rectify import SHEETS, rectify
from calculators.footprint.sheet import find_sheet, find_sheet_among
from calculators.footprint.sheet_pixels import fitted_in_pixels

A4, CARD = SHEETS["a4"].size_mm, SHEETS["card"].size_mm
PICTURE_PX = (1500, 2000)
# Everything at once: off the middle, aslant, rolled.
ASLANT = Pose(tilt_deg=22.0, towards_deg=140.0, roll_deg=-37.0, focal=0.78, height_mm=470.0, off_mm=(15.0, -20.0))
CARD_BESIDE = Scene(sheet_mm=CARD, round_mm=3.2, sheet_at_mm=(112.0, 30.0), sheet_turn_deg=25.0, floor_tone=140.0)


def off_mm(found, truth, size_mm):
    """Mean and largest distance of the corners on the floor, by the true map."""
    true = rectify(truth, size_mm, PICTURE_PX)
    plane = true.homography.ring_to_plane(true.corners)
    offs = [min(math.dist(corner, other) for other in plane) for corner in true.homography.ring_to_plane(found.corners)]
    return math.fsum(offs) / 4, max(offs)


SCENES = {
    "dark floor": Scene(floor_tone=45.0),
    "mid floor": Scene(floor_tone=120.0),
    "light floor, a tenth": Scene(floor_tone=210.0),
    "wood": Scene(floor="wood", floor_tone=130.0),
    "concrete": Scene(floor="concrete", floor_tone=140.0),
    "tiles": Scene(floor="square_tile", floor_tone=160.0),
    "tiles of its own size": Scene(floor="a4_like_tile", floor_tone=150.0),
    "bricks": Scene(floor="brick", floor_tone=150.0),
    "light joints": Scene(floor="large_light_joint", floor_tone=130.0),
    "shadow across": Scene(floor="concrete", floor_tone=130.0, shadow=0.55, shadow_wide_mm=25.0),
    "uneven light": Scene(floor="wood", floor_tone=110.0, uneven=0.35),
    "toes on the edge": Scene(floor_tone=110.0, print_at_mm=(0.0, 50.0)),
    "blurred": Scene(floor="concrete", floor_tone=120.0, blur_px=3.5),
    "noisy": Scene(floor_tone=120.0, noise=12.0),
}


@pytest.mark.parametrize("scene", SCENES.values(), ids=SCENES)
@pytest.mark.parametrize("pose", [Pose(height_mm=430.0), ASLANT], ids=["from above", "aslant"])
def test_a_sheet_is_found_where_it_lies(scene, pose):
    picture, truth = draw(scene, pose)
    found = find_sheet(grey_of(picture), A4)
    assert found is not None
    mean, worst = off_mm(found, truth, A4)
    assert mean < 0.3
    assert worst < 0.6
    assert found.lighter
    assert found.aspect_off < 0.03
    # Plainly wrong by more than that is a lens taken for another one.
    assert found.tilt_deg == pytest.approx(pose.tilt_deg, abs=4.0)


@pytest.mark.parametrize("floor", FLOORS)
@pytest.mark.parametrize("tone", [240.0, 40.0], ids=["light", "dark"])
def test_a_card_is_found_beside_a_print_on_the_bare_floor(floor, tone):
    picture, truth = draw(CARD_BESIDE._replace(floor=floor, sheet_tone=tone), ASLANT._replace(height_mm=520.0))
    found = find_sheet(grey_of(picture), CARD)
    assert found is not None
    assert found.lighter is (tone > 100)
    mean, worst = off_mm(found, truth, CARD)
    assert mean < 0.4
    assert worst < 0.8


@pytest.mark.parametrize("floor", FLOORS)
@pytest.mark.parametrize("pose", [Pose(), ASLANT], ids=["from above", "aslant"])
def test_no_sheet_is_invented_on_a_bare_floor(floor, pose):
    picture, _ = draw(Scene(floor=floor, floor_tone=150.0, sheet_mm=None, shadow=0.7, seed=7), pose)
    grey = grey_of(picture)
    assert [find_sheet(grey, size) for size in (A4, SHEETS["letter"].size_mm, CARD, None)] == [None] * 4


def test_a_sheet_of_another_shape_is_not_taken_for_the_declared_one():
    picture, _ = draw(Scene(sheet_mm=(210.0, 210.0)), ASLANT)
    grey = grey_of(picture)
    assert find_sheet(grey, A4) is None
    assert find_sheet(grey, (210.0, 210.0)) is not None


def test_a_letter_is_told_from_an_a4_by_its_aspect():
    picture, truth = draw(
        Scene(sheet_mm=SHEETS["letter"].size_mm), Pose(tilt_deg=8.0, towards_deg=30.0, height_mm=430.0)
    )
    right = find_sheet(grey_of(picture), SHEETS["letter"].size_mm)
    assert off_mm(right, truth, SHEETS["letter"].size_mm)[0] < 0.2
    assert right.aspect_off < 0.01
    as_a4 = find_sheet(grey_of(picture), A4)
    assert as_a4.aspect_off == pytest.approx((297 / 210) / (279.4 / 215.9) - 1, abs=0.02)


def test_a_sheet_that_leaves_the_picture_is_not_found():
    picture, truth = draw(Scene(sheet_at_mm=(170.0, 0.0)), Pose(height_mm=430.0))
    assert max(x for x, _ in truth) > PICTURE_PX[0]
    assert find_sheet(grey_of(picture), A4) is None


def test_a_card_as_bright_as_the_floor_is_found_by_its_colour():
    grey, red, blue, truth = photographed_colour(CARD_BESIDE._replace(sheet_tone=140.0), ASLANT, (0.4, 1.3))
    assert find_sheet(grey, CARD) is None
    found = find_sheet_among(iter((grey, red, blue)), CARD)
    assert off_mm(found, truth, CARD)[0] < 0.4
    assert not found.lighter  # in the red, where it stands out more


def test_no_other_grey_is_asked_for_where_the_first_is_clear():
    picture, _ = draw(Scene(), ASLANT)

    def greys():
        yield grey_of(picture)
        pytest.fail("asked for another")

    assert find_sheet_among(greys(), A4) is not None


def rgba(*colours):
    return np.dstack([*colours, np.full_like(colours[0], 255)]).tobytes()


def sides_off(corners, truth, size_mm):
    """By how much a quadrilateral is too long, in parts, as the mean of both ways."""
    true = rectify(truth, size_mm, PICTURE_PX)
    (ax, ay), (bx, by), (cx, cy), (dx, dy) = true.homography.ring_to_plane(corners)
    return ((bx - ax + cx - dx) / true.size_mm[0] + (dy - ay + cy - by) / true.size_mm[1]) / 4 - 1


@pytest.mark.parametrize(
    ("scene", "size", "within"),
    [
        (Scene(floor_tone=200.0, thrown=0.22), A4, 0.0004),
        (CARD_BESIDE._replace(sheet_tone=200.0, thrown=0.22), CARD, 0.002),
        (CARD_BESIDE._replace(sheet_tone=70.0, thrown=0.22), CARD, 0.004),
    ],
    ids=["light sheet", "light card", "dark card"],
)
def test_a_thin_shadow_is_not_taken_for_the_sheet_in_the_pixels(scene, size, within):
    picture, truth = draw(scene, Pose(tilt_deg=12.0, towards_deg=60.0, roll_deg=20.0, height_mm=450.0))
    found = find_sheet(grey_of(picture), size)
    finer = fitted_in_pixels(rgba(picture, picture, picture), *PICTURE_PX, found, size)
    assert abs(sides_off(finer.corners, truth, size)) < within
    assert abs(sides_off(finer.corners, truth, size)) < abs(sides_off(found.corners, truth, size))


def test_the_colour_in_which_a_card_stands_out_is_fitted():
    pose = Pose(tilt_deg=12.0, towards_deg=60.0, roll_deg=20.0, height_mm=450.0)
    scene = CARD_BESIDE._replace(thrown=0.22, sheet_tone=85.0)
    dark, truth = draw(scene, pose)
    light, _ = draw(scene._replace(sheet_tone=200.0), pose)
    found = find_sheet(grey_of(dark), CARD)
    finer = fitted_in_pixels(rgba(dark, dark, light), *PICTURE_PX, found, CARD)
    assert abs(sides_off(finer.corners, truth, CARD)) < 0.002


def test_what_the_pixels_do_not_show_is_left_as_it_was_found():
    picture, _ = draw(Scene(), ASLANT)
    found = find_sheet(grey_of(picture), A4)
    empty = np.full_like(picture, 128)
    assert fitted_in_pixels(rgba(empty, empty, empty), *PICTURE_PX, found, A4) == found


@pytest.mark.parametrize("scale", [2, 3])
def test_the_scale_of_the_cells_is_taken_into_the_corners(scale):
    picture, truth = draw(Scene(), ASLANT)
    found = find_sheet(grey_of(picture, cells=round(2000 / scale)), A4)
    assert off_mm(found, truth, A4)[0] < 0.2


def test_halving_gives_the_means_of_four():
    rng = np.random.default_rng(3)
    for width, height in ((8, 6), (7, 9), (2, 2), (51, 33)):
        values = rng.integers(0, 4081, (height, width))
        small = halved(Grey(width, height, 3, array("H", values.ravel().tolist())))
        rows, columns = height // 2, width // 2
        blocks = values[: 2 * rows, : 2 * columns].reshape(rows, 2, columns, 2)
        assert (small.width, small.height, small.scale) == (columns, rows, 6)
        assert small.values.tolist() == (blocks.sum(axis=(1, 3)) // 4).ravel().tolist()


def test_pictures_of_nothing_have_no_sheet():
    rng = np.random.default_rng(11)
    for width, height in ((1, 1), (1, 400), (21, 20), (64, 64), (300, 400)):
        blotches = cv2.resize(rng.uniform(0, 4080, (9, 7)), (width, height), interpolation=cv2.INTER_LINEAR)
        kinds = [np.zeros((height, width)), np.full((height, width), 4080.0), rng.uniform(0, 4080, (height, width))]
        kinds += [np.add.outer(np.linspace(0, 2000, height), np.linspace(0, 2000, width)), blotches]
        for kind in kinds:
            values = array("H", np.clip(kind, 0, 4080).astype(int).ravel().tolist())
            for size in (A4, CARD, None):
                assert find_sheet(Grey(width, height, 4, values), size) is None


@pytest.mark.slow
def test_random_scenes_find_rate_errors_and_false_finds(capsys):
    rng = random.Random(2)
    offs, times, found_of = [], [], {"sheet": [], "card": [], "none": []}
    for seed in range(90):
        kind = ("sheet", "card", "none")[seed % 3]
        size = CARD if kind == "card" else SHEETS[rng.choice(["a4", "letter"])].size_mm
        scene = Scene(
            floor=rng.choice(list(FLOORS)),
            floor_tone=rng.uniform(40, 180),
            sheet_mm=None if kind == "none" else size,
            round_mm=3.2 if kind == "card" else 0.0,
            sheet_at_mm=(rng.choice([-112.0, 112.0]), rng.uniform(-50, 50)) if kind == "card" else (0.0, 0.0),
            sheet_turn_deg=rng.uniform(-180, 180) if kind == "card" else rng.uniform(-20, 20),
            print_tone=rng.uniform(0.4, 0.85),
            shadow=rng.choice([1.0, 0.8, 0.6]),
            uneven=rng.choice([0.0, 0.15, 0.3]),
            blur_px=rng.uniform(0.5, 1.8),
            noise=rng.uniform(1, 5),
            seed=seed,
        )
        turn, focal, height_mm = rng.uniform(-180, 180), rng.uniform(0.7, 0.85), rng.uniform(470, 560)
        pose = Pose(rng.uniform(0, 28), rng.uniform(0, 360), turn, focal, height_mm)
        picture, truth = draw(scene, pose)
        grey = grey_of(picture)
        start = time.process_time()
        found = find_sheet(grey, size)
        times.append(1000 * (time.process_time() - start))
        found_of[kind].append(found is not None)
        if found is not None and truth is not None:
            offs.append(off_mm(found, truth, size))
    with capsys.disabled():
        counts = {kind: f"{finds.count(True)}/{len(finds)}" for kind, finds in found_of.items()}
        print(f"\nfound {counts}, corners off {np.mean([mean for mean, _ in offs]):.3f} mm, "
              f"worst {max(worst for _, worst in offs):.3f} mm, median {np.median(times):.0f} ms")  # fmt: skip
    assert found_of["none"].count(True) == 0
    assert found_of["sheet"].count(True) == len(found_of["sheet"])
    assert found_of["card"].count(True) >= 0.95 * len(found_of["card"])
    assert max(worst for _, worst in offs) < 1.5
    assert np.mean([mean for mean, _ in offs]) < 0.15
