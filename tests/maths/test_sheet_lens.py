"""Corners that a lens can show, and the error of a scale: cameras with known pose as the truth, draws by chance."""

import math

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from maths.pinhole import PICTURE_PX, Pose, corners_of, floor_to_picture, poses_within, to_picture

from calculators.footprint.rectify import SHEETS, rectify
from calculators.footprint.sheet_lens import likeliest_corners, scale_error
from calculators.results import Refused

steady = settings(derandomize=True, deadline=None, max_examples=300)

A4, CARD = SHEETS["a4"].size_mm, SHEETS["card"].size_mm
PRINT_MM = (-20.0, 0.0)
CARD_AT = (110.0, 40.0)
poses = poses_within((0.6, 1.1), (550, 900), 60)


def scale_at(corners, size, point):
    return rectify(corners, size, PICTURE_PX).homography.mm_per_px(point)


def draws(pose, off_px, number, seed=1):
    """Corners of a card beside a print, each measured with an error; the print's middle and the true scale there."""
    rng = np.random.default_rng(seed)
    true = corners_of(pose, CARD, CARD_AT)
    point = to_picture(floor_to_picture(pose), [PRINT_MM])[0]
    measured = [[tuple(corner) for corner in np.add(true, rng.normal(0, off_px, (4, 2)))] for _ in range(number)]
    return measured, point, scale_at(true, CARD, point)


@steady
@given(poses, st.sampled_from([A4, CARD, (300.0, 300.0)]), st.floats(0.05, 2.0))
def test_corners_that_a_lens_shows_hardly_move(pose, size, off_px):
    """Nothing but the focal length is against them, so they give way to it by a part of their own error at most."""
    corners = rectify(corners_of(pose, size), size, PICTURE_PX).corners
    moved = likeliest_corners(corners, size, PICTURE_PX, off_px)
    # The usual lens is 0.75 long sides; 1.1 is (ln 1.1 / 0.75) / 0.35 = 1.1 deviations from it.
    assert math.hypot(*(math.dist(a, b) for a, b in zip(corners, moved, strict=True))) <= 1.2 * off_px


@pytest.mark.parametrize("pose", [Pose(3.0, 40.0, 10.0, 0.75, 600.0), Pose(16.0, 200.0, -35.0, 0.85, 650.0)])
def test_what_is_moved_is_a_rectangle_through_a_lens(pose):
    likely = [likeliest_corners(corners, CARD, PICTURE_PX, 0.5) for corners in draws(pose, 0.5, 20)[0]]
    assert None not in likely
    for moved in likely:
        found = rectify(moved, CARD, PICTURE_PX)
        assert moved == found.corners
        # Moving it once more changes nothing but what the lens still pulls.
        again = likeliest_corners(moved, CARD, PICTURE_PX, 0.5)
        assert max(math.dist(a, b) for a, b in zip(moved, again, strict=True)) < 0.5


@pytest.mark.parametrize(
    "pose",
    [Pose(0.0, 0.0, 20.0, 0.75, 600.0), Pose(8.0, 40.0, 10.0, 0.8, 600.0), Pose(20.0, 200.0, -35.0, 0.7, 650.0)],
    ids=["from above", "a little tilted", "tilted"],
)
@pytest.mark.parametrize("by_lens", [False, True])
def test_the_error_said_is_that_of_many_measurings(pose, by_lens):
    off_px = 0.5
    measured, point, true = draws(pose, off_px, 400)
    if by_lens:
        measured = [likeliest_corners(corners, CARD, PICTURE_PX, off_px) or corners for corners in measured]
    wrong = [scale_at(corners, CARD, point) / true - 1 for corners in measured]
    said = np.mean(
        [scale_error(corners, CARD, PICTURE_PX, point, off_px, by_lens=by_lens) for corners in measured[:30]]
    )
    # With the lens, the focal length of the draw is near the usual one: the error is smaller than what is allowed for.
    assert (0.5 if by_lens else 0.9) * said < math.sqrt(np.mean(np.square(wrong))) < 1.1 * said


def test_a_lens_makes_a_card_better():
    off_px = 0.5
    for pose in (Pose(2.0, 40.0, 10.0, 0.7, 600.0), Pose(15.0, 200.0, -35.0, 0.85, 650.0)):
        measured, point, true = draws(pose, off_px, 200)
        wrong = [abs(scale_at(corners, CARD, point) / true - 1) for corners in measured]
        moved = [likeliest_corners(corners, CARD, PICTURE_PX, off_px) or corners for corners in measured]
        better = [abs(scale_at(corners, CARD, point) / true - 1) for corners in moved]
        assert np.mean(better) < 0.9 * np.mean(wrong)


def test_the_error_grows_with_the_corners_and_the_way_to_the_print():
    pose = Pose(10.0, 40.0, 10.0, 0.75, 650.0)
    corners = corners_of(pose, CARD, CARD_AT)
    near, far = to_picture(floor_to_picture(pose), [CARD_AT, PRINT_MM])

    def error(point, off_px):
        return scale_error(corners, CARD, PICTURE_PX, point, off_px, by_lens=False)

    assert error(far, 1.0) == pytest.approx(2 * error(far, 0.5), rel=0.01)
    assert error(far, 0.5) > 3 * error(near, 0.5)
    sheet = corners_of(pose, A4, (0.0, 0.0))
    assert scale_error(sheet, A4, PICTURE_PX, far, 0.5, by_lens=False) < error(far, 0.5) / 5


def test_another_sheet_is_left_where_it_was_measured():
    corners = rectify(corners_of(Pose(12.0, 30.0, 5.0, 0.75, 500.0), (210.0, 210.0)), A4, PICTURE_PX).corners
    assert likeliest_corners(corners, A4, PICTURE_PX, 0.3) is None


def test_corners_of_no_sheet_are_refused():
    line = [(10.0, 10.0), (500.0, 500.0), (900.0, 900.0), (1200.0, 1200.0)]
    with pytest.raises(Refused):
        likeliest_corners(line, A4, PICTURE_PX, 0.3)
    with pytest.raises(Refused):
        scale_error(line, A4, PICTURE_PX, (700.0, 700.0), 0.3, by_lens=True)


@steady
@given(st.lists(st.tuples(st.floats(0, 1500), st.floats(0, 2000)), min_size=4, max_size=4), st.floats(0.05, 40.0))
def test_any_four_points_are_moved_little_or_refused(corners, off_px):
    try:
        laid = rectify(corners, CARD, PICTURE_PX).corners
    except Refused:
        return
    moved = likeliest_corners(corners, CARD, PICTURE_PX, off_px) or laid
    assert max(math.dist(a, b) for a, b in zip(laid, moved, strict=True)) <= 4.0 * off_px
