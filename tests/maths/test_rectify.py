"""Millimetres from four corners: an exact solve, OpenCV as the reference, cameras with known pose as the truth."""

import math

import cv2
import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from maths.pinhole import PICTURE_PX, Pose, corners_of, poses_within

from calculators.footprint.rectify import SHEETS, in_turn, rectify, seen_aspect_and_tilt
from calculators.results import Refused
from calculators.sources import source

steady = settings(derandomize=True, deadline=None, max_examples=200)

A4 = SHEETS["a4"].size_mm
PORTRAIT = [(300.0, 1700.0), (1200.0, 1700.0), (1200.0, 427.0), (300.0, 427.0)]

poses = poses_within((0.65, 0.9), (450, 900), 100)
sizes = st.sampled_from([sheet.size_mm for sheet in SHEETS.values()] + [(300.0, 300.0), (100.0, 250.0)])


def area(ring):
    return (
        math.fsum(x * y_next - x_next * y for (x, y), (x_next, y_next) in zip(ring, ring[1:] + ring[:1], strict=True))
        / 2
    )


def near(points, others, within):
    return max(math.dist(a, b) for a, b in zip(points, others, strict=True)) <= within


@steady
@given(poses, sizes, st.permutations(range(4)))
def test_the_map_is_opencvs_whatever_the_order_of_the_corners(pose, size, order):
    seen = corners_of(pose, size)
    found = rectify([seen[at] for at in order], size, PICTURE_PX)
    width, height = found.size_mm
    plane = [(0.0, 0.0), (width, 0.0), (width, height), (0.0, height)]
    assert near(found.homography.ring_to_plane(found.corners), plane, 1e-6)
    reference = cv2.getPerspectiveTransform(
        np.array(found.corners, dtype=np.float32), np.array(plane, dtype=np.float32)
    )
    inside = [(x * width, y * height) for x in (0.1, 0.5, 0.9) for y in (0.2, 0.7)]
    pixels = found.homography.ring_to_picture(inside)
    by_opencv = cv2.perspectiveTransform(np.array([pixels]), reference)[0]
    # OpenCV takes the corners in single precision: 2000 px in steps of 1.2e-4 px.
    assert near([tuple(point) for point in by_opencv.tolist()], inside, 2e-3)
    assert near(found.homography.ring_to_plane(pixels), inside, 1e-6)


@steady
@given(poses, sizes)
def test_the_plane_is_the_floor_seen_from_above_and_its_x_runs_to_the_right(pose, size):
    found = rectify(corners_of(pose, size), size, PICTURE_PX)
    width, height = found.size_mm
    assert area(found.corners) < 0
    assert area(found.homography.ring_to_plane(found.corners)) == pytest.approx(width * height)
    # A mark to the left of the thumb stays there: three points anticlockwise before the eye stay so on the floor.
    mid = found.homography.to_picture((width / 2, height / 2))
    right, up = (mid[0] + 5, mid[1]), (mid[0], mid[1] - 5)
    triangle = found.homography.ring_to_plane([mid, right, up])
    assert area(triangle) > 0
    # The assignment with x most to the right is at most half a quarter turn off, and the tilt shears a little more.
    (ax, ay), (bx, by), _ = triangle
    assert abs(math.atan2(by - ay, bx - ax)) < math.radians(45 + 12)


@steady
@given(poses, sizes)
def test_the_scale_at_a_point_is_that_of_a_small_square_there(pose, size):
    found = rectify(corners_of(pose, size), size, PICTURE_PX)
    x, y = found.homography.to_picture((size[0] * 0.3, size[0] * 0.4))
    square = [(x - 0.5, y + 0.5), (x + 0.5, y + 0.5), (x + 0.5, y - 0.5), (x - 0.5, y - 0.5)]
    measured = math.sqrt(area(found.homography.ring_to_plane(square)))
    assert found.homography.mm_per_px((x, y)) == pytest.approx(measured, rel=1e-3)


@steady
@given(poses, st.sampled_from(["a4", "a3", "letter", "card"]), st.permutations(range(4)))
def test_portrait_or_landscape_aspect_and_tilt_are_told_from_the_picture(pose, name, order):
    size = SHEETS[name].size_mm
    seen = corners_of(pose, size)
    found = rectify([seen[at] for at in order], size[::-1], PICTURE_PX)
    # The truth: the first two corners found are neighbours along the sheet's width or along its height.
    along = {frozenset((0, 1)): size, frozenset((2, 3)): size, frozenset((1, 2)): size[::-1]}
    pair = frozenset(min(range(4), key=lambda at: math.dist(seen[at], corner)) for corner in found.corners[:2])
    assert found.size_mm == along.get(pair, size[::-1])
    assert found.aspect_off < 0.06
    assert found.tilt_deg == pytest.approx(pose.tilt_deg, abs=1.5)


@steady
@given(poses)
def test_a_sheet_of_another_shape_shows_as_off(pose):
    letter = corners_of(pose, SHEETS["letter"].size_mm)
    assert 0.02 < rectify(letter, A4, PICTURE_PX).aspect_off < 0.18
    square = corners_of(pose, (250.0, 250.0))
    assert rectify(square, A4, PICTURE_PX).aspect_off > 0.3
    assert rectify(square, (1.0, 1.0), PICTURE_PX).aspect_off < 0.06


@steady
@given(poses, st.floats(0.35, 1.5))
def test_the_lens_is_told_by_two_vanishing_points(pose, focal):
    pose = pose._replace(focal=focal, tilt_deg=25.0, roll_deg=40.0, towards_deg=0.0, height_mm=900 * focal)
    found = rectify(corners_of(pose, A4), A4, PICTURE_PX)
    assert found.aspect_off < 0.01
    assert found.tilt_deg == pytest.approx(25.0, abs=2.0)
    aspect, tilt = seen_aspect_and_tilt(corners_of(pose, A4), PICTURE_PX)
    assert aspect == pytest.approx(found.aspect)
    assert tilt == pytest.approx(25.0, abs=2.0)


def test_an_upright_sheet_has_round_numbers():
    found = rectify(PORTRAIT, A4, PICTURE_PX)
    assert found.corners == PORTRAIT
    assert found.size_mm == A4
    assert found.tilt_deg == 0.0
    assert found.homography.to_plane((300.0, 427.0)) == pytest.approx((0.0, 297.0), rel=1e-12)
    assert found.homography.mm_per_px((700.0, 900.0)) == pytest.approx(math.sqrt(210 * 297 / (900 * 1273)), rel=1e-12)


def test_beyond_the_horizon_there_is_no_floor():
    found = rectify(corners_of(Pose(tilt_deg=30.0), A4), A4, PICTURE_PX)
    with pytest.raises(Refused, match="sheet_not_possible"):
        found.homography.to_plane((1000.0, 20000.0))


@pytest.mark.parametrize(
    "corners",
    [
        [*PORTRAIT[:3], (900.0, 1300.0)],  # inside the triangle of the other three
        [(0.0, 0.0), (100.0, 0.0), (200.0, 0.0), (300.0, 0.0)],
        [(0.0, 0.0), (1000.0, 0.0), (1000.0, 1000.0), (998.0, 1001.0)],
        [(0.0, 0.0), (0.0, 0.0), (1000.0, 1000.0), (0.0, 1000.0)],
        [(0.0, 0.0), (1000.0, 0.0), (1000.0, 4.0), (0.0, 4.0)],
        [(0.0, 0.0), (1000.0, 0.0), (520.0, 510.0), (0.0, 1000.0)],
        [(math.nan, 0.0), *PORTRAIT[1:]],
        [(math.inf, 0.0), *PORTRAIT[1:]],
        [(1e300, 0.0), (1e300, 1e300), (0.0, 1e300), (-1e300, 0.0)],
        PORTRAIT[:3],
    ],
)
def test_corners_that_no_sheet_has_are_refused(corners):
    with pytest.raises(Refused, match="sheet_not_possible") as caught:
        rectify(corners, A4, PICTURE_PX)
    assert caught.value.refusal.where == "corners"


def test_the_order_given_changes_nothing():
    crossed = [PORTRAIT[at] for at in (0, 2, 1, 3)]
    assert in_turn(crossed) == in_turn(PORTRAIT[::-1]) == PORTRAIT


def test_each_size_names_its_source():
    for name, sheet in SHEETS.items():
        # The clinic's own sheet is this project's design.
        labels = ("common_practice",) if name == "scale" else ("published", "secondary", "from_memory")
        assert source(sheet.source).label in labels
