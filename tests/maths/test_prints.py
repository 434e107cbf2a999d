"""Can pictures of prints be trusted? Truth against closed forms, drawing against shapely, camera against OpenCV."""

import math

import cv2
import numpy as np
import pytest
from prints import feet, photographs, scene
from prints.camera import Camera, mm_per_px, project
from prints.raster import coverage, rings
from prints.truth import measure
from shapely.geometry import MultiPolygon, Polygon, box
from shapely.ops import unary_union

RATIOS = ("arch_index", "chippaux_smirak_index", "staheli_index", "staheli_tangent_index", "ky_index")
LENGTHS = ("toeless_mm", "ball_mm", "middle_mm", "heel_mm")

# Widths of ball, middle and heel; blocks of 70 mm; arch index, Chippaux-Smirak, Staheli in closed form.
BLOCKS = [
    (90, 36, 60, 0.193548, 40.0, 0.6),
    (90, 20, 60, 0.117647, 22.2222, 0.3333),
    (90, 54, 60, 0.264706, 60.0, 0.9),
    (80, 80, 80, 0.333333, 100.0, 1.0),
    (90, 0, 60, 0.0, 0.0, 0.0),
]


def _blocks(ball, middle, heel):
    stack = [box(-width / 2, 70 * i, width / 2, 70 * (i + 1)) for i, width in enumerate((heel, middle, ball)) if width]
    joined = unary_union(stack)
    return joined if isinstance(joined, MultiPolygon) else MultiPolygon([joined])


@pytest.mark.parametrize(("ball", "middle", "heel", "arch", "csi", "si"), BLOCKS)
def test_a_foot_of_blocks_has_the_indices_of_its_closed_form(ball, middle, heel, arch, csi, si):
    blocks = _blocks(ball, middle, heel)
    foot = feet.Foot("right", blocks, (), (0.0, 250.0), True, blocks)
    true = measure(foot)
    assert true.arch_index == pytest.approx(arch, abs=5e-7)
    assert true.chippaux_smirak_index == pytest.approx(csi, abs=5e-5)
    assert true.staheli_index == pytest.approx(si, abs=5e-5)
    assert (true.toeless_mm, true.ball_mm, true.middle_mm, true.heel_mm) == pytest.approx((210, ball, middle, heel))


def test_angles_of_a_notch_are_those_of_its_triangle():
    """Both tangents lean by 7.5 degrees; the notch's corner is where the sides of the angle meet."""
    lean = math.tan(math.radians(7.5))
    outer = [(-30 - 200 * lean, 200), (-30, 0), (30, 0), (0, 100), (30 + 200 * lean, 200)]
    shape = MultiPolygon([Polygon(outer)])
    true = measure(feet.Foot("left", shape, (), (0.0, 250.0), True, shape))
    assert true.gamma_deg == pytest.approx(15.0, abs=1e-6)
    far = np.array(outer[4], float)
    one, other = np.array(outer[2]) - far, np.array(outer[3]) - far
    angle = math.degrees(math.acos(one @ other / np.linalg.norm(one) / np.linalg.norm(other)))
    assert true.clarke_angle_deg == pytest.approx(angle, abs=1e-6)
    assert true.clarke_tangent_angle_deg == pytest.approx(angle, abs=1e-6)


@pytest.mark.parametrize("arch", [-0.9, 0.04, 0.4, 1.0])
def test_the_truth_stays_when_a_foot_is_mirrored_turned_and_moved(arch):
    plain = measure(feet.make(7, "left", length=250, arch=arch))
    moved = measure(feet.make(7, "right", length=250, arch=arch).placed(131, 400, -90))
    for key in (*RATIOS, *LENGTHS, "clarke_angle_deg", "gamma_deg"):
        assert getattr(moved, key) == pytest.approx(getattr(plain, key), abs=1e-9), key
    assert (plain.side, moved.side) == ("left", "right")


def test_feet_of_the_list_run_from_no_arch_to_a_gap_and_are_sound():
    indices = []
    for number, photograph in enumerate(photographs.photographs()):
        for row in photograph.feet:
            foot = feet.make(**row)
            assert foot.body.is_valid
            assert foot.printed.is_valid
            assert len(foot.body.geoms) == (2 if row["arch"] < 0 else 1)
            # The big toe is the largest and lies on the medial side of the axis.
            if row["toes"] == "separate":
                areas = [toe.area for toe in foot.toes]
                assert areas[0] == max(areas)
                assert (foot.toes[0].centroid.x < foot.toes[-1].centroid.x) == (row["side"] == "right")
            if number % 4:
                continue
            # Toes and body share a border at most.
            assert unary_union(foot.toes).intersection(foot.body).area < 1e-6
            indices.append(measure(foot).arch_index)
    assert min(indices) == 0
    assert max(indices) > 0.31
    assert len([value for value in indices if 0.2 < value < 0.28]) > 8


def test_filling_by_area_is_exact_where_opencv_draws_a_border_too_much():
    shape = Polygon([(3.3, 2.2), (40.7, 5.1), (30.2, 33.9), (9.6, 28.4)])
    filled = coverage(rings(shape), 50, 40)
    assert float(filled.sum()) == pytest.approx(shape.area, rel=2e-4)
    by_opencv = cv2.fillPoly(np.zeros((40, 50), np.uint8), [np.rint(rings(shape)[0]).astype(np.int32)], 1)
    assert by_opencv.sum() > shape.area + 20


@pytest.mark.parametrize(("tilt", "toward", "roll"), [(0, 0, 0), (12, 70, 33), (25, 200, 280)])
def test_the_camera_is_opencvs_pin_hole(tilt, toward, roll):
    camera = Camera(1600, 1200, 1400.0, 700.0, tilt, toward, roll, (20.0, -30.0))
    matrix = camera.homography()
    assert project(matrix, np.array([camera.target]))[0] == pytest.approx([800, 600])
    floor = np.array([(-120, -150), (90, -140), (100, 160), (-80, 130), (0, 0.0)])
    lens = np.array([[1400.0, 0, 800], [0, 1400.0, 600], [0, 0, 1]])
    # OpenCV finds where a camera with this lens must stand to see the points there; none may be left over.
    solid = np.c_[floor, np.zeros(len(floor))]
    found, turn, shift = cv2.solvePnP(solid, project(matrix, floor), lens, None, flags=cv2.SOLVEPNP_ITERATIVE)
    assert found
    again = cv2.projectPoints(solid, turn, shift, lens, None)[0][:, 0]
    assert again == pytest.approx(project(matrix, floor), abs=1e-4)
    place = -cv2.Rodrigues(turn)[0].T @ shift
    assert float(place[2, 0]) == pytest.approx(700.0, abs=1e-3)
    assert math.degrees(math.acos(-cv2.Rodrigues(turn)[0][2, 2])) == pytest.approx(tilt, abs=1e-4)


@pytest.mark.parametrize("tilt", [0.0, 20.0])
def test_a_drawn_print_covers_the_area_of_its_outline_within_a_thousandth(tilt):
    foot = feet.make(3, "left", length=250, arch=0.5)
    camera = Camera(1800, 1500, 1600.0, 600.0, tilt, 40.0, 33.0, (0.0, 120.0))
    picture = scene.render(scene.Scene(seed=1, feet=(foot,), ground="paper", laid=None, camera=camera, factor=0.5))
    blank = scene.render(scene.Scene(seed=1, feet=(), ground="paper", laid=None, camera=camera, factor=0.5))
    # How far each pixel has gone from ground to print; then half-way is where the edge must stand.
    gone = 2 * (1 - picture.sum(axis=2) / blank.sum(axis=2))
    inverse = np.linalg.inv(camera.homography())
    x, y = np.meshgrid(np.arange(1800) + 0.5, np.arange(1500) + 0.5)
    depth = inverse[2, 0] * x + inverse[2, 1] * y + inverse[2, 2]
    area_of_pixel = abs(np.linalg.det(inverse)) / abs(depth) ** 3
    assert float((gone * area_of_pixel).sum()) == pytest.approx(foot.printed.area, rel=1e-3)
    assert float(((gone > 0.5) * area_of_pixel).sum()) == pytest.approx(foot.printed.area, rel=1e-3)
    # Farther off by the tilt, and foreshortened one way.
    assert mm_per_px(camera.homography(), (0.0, 120.0)) == pytest.approx(
        600 / 1600 / math.cos(math.radians(tilt)) ** 1.5, rel=1e-4
    )


def test_the_same_row_gives_the_same_picture_from_scratch_and_from_what_was_kept(tmp_path, monkeypatch):
    photograph = next(one for one in photographs.photographs() if one.name.startswith("easy-03"))
    monkeypatch.setenv("TREADLEAF_PHOTOGRAPHS", str(tmp_path / "one"))
    first, true = photographs.render(photograph)
    again, _ = photographs.render(photograph)
    monkeypatch.setenv("TREADLEAF_PHOTOGRAPHS", str(tmp_path / "other"))
    fresh, same = photographs.render(photograph)
    assert np.array_equal(first, again)
    assert np.array_equal(first, fresh)
    assert true == same
    assert [path.suffix for path in (tmp_path / "one").iterdir()] == [".png"]
