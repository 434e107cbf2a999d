"""Indices of an outline: closed forms, shapely on smooth soles, and what turning, mirroring and scaling leave alone."""

import math
import time
from itertools import pairwise

import pytest
import shapely
from hypothesis import given, settings
from hypothesis import strategies as st
from maths.outlines import blob, blocks, mirrored, moved, polygon, sole
from shapely import affinity

from calculators.footprint.indices import INDICES
from calculators.footprint.landmarks import LEFTWARD, RIGHTWARD, place
from calculators.footprint.photo_indices import PHOTO_INDICES, measured, shape
from calculators.sources import source

steady = settings(derandomize=True, deadline=None, max_examples=40)
UP = (0.0, 1.0)
TIP = (-15.0, 245.0)
LENGTHS = ("toeless_mm", "ball_mm", "middle_mm", "heel_mm")
AREAS = ("forefoot_mm2", "midfoot_mm2", "heel_mm2")


def indices(rings, big_toe=None, **how):
    return measured(shape(place(rings, UP, **how), big_toe))


def upright(rings, medial=RIGHTWARD, big_toe=None):
    """Measured along the plane's own y."""
    return indices(rings, big_toe, given_axis=((0.0, 0.0), UP), medial=medial)


# Widths of ball, middle and heel; the arch index, Chippaux-Smirak and Staheli in closed form: own table.
@pytest.mark.parametrize(
    ("widths", "arch", "csi", "si"),
    [
        ((90, 36, 60), 0.193548, 40, 0.6),
        ((90, 20, 60), 0.117647, 22.2222, 0.3333),
        ((90, 54, 60), 0.264706, 60, 0.9),
        ((80, 80, 80), 0.333333, 100, 1),
        ((90, 0, 60), 0, 0, 0),
    ],
)
def test_three_blocks_give_their_closed_forms(widths, arch, csi, si):
    a, b, c = widths
    found = upright(blocks(a, b, c))
    assert found["arch_index"] == pytest.approx(b / (a + b + c), rel=1e-12, abs=1e-12)
    assert found["arch_index"] == pytest.approx(arch, abs=5e-7)
    assert found["chippaux_smirak_index"] == pytest.approx(csi, abs=5e-5)
    assert found["staheli_index"] == pytest.approx(si, abs=5e-5)
    assert found["staheli_index"] == pytest.approx(b / c, rel=1e-12)
    assert [found[key] for key in LENGTHS] == pytest.approx([210, a, b, c], rel=1e-12)
    assert [found[key] for key in AREAS] == pytest.approx([70 * a, 70 * b, 70 * c], rel=1e-12, abs=1e-9)


def test_clarkes_angle_to_the_deepest_point_is_that_of_its_three_points():
    # The medial side is at x = 0; heel and ball leave it beyond the two contacts.
    print_ = [[(5.0, 0.0), (80.0, 0.0), (80.0, 240.0), (5.0, 240.0), (0.0, 200.0), (40.0, 110.0), (0.0, 40.0)]]
    found = upright(print_, LEFTWARD)
    assert found["clarke_angle_deg"] == pytest.approx(math.degrees(math.atan2(40, 90)))
    assert found["clarke_angle_deg"] == pytest.approx(23.962, abs=5e-4)
    assert found["clarke_angle_tangent_deg"] == pytest.approx(found["clarke_angle_deg"])
    assert found["ky_index"] == pytest.approx(0.5)
    # The medial tangent upright, the lateral border too.
    assert found["gamma_deg"] == pytest.approx(0, abs=1e-9)
    steep = [[(2.0, -2.0), (80.0, -2.0), (80.0, 120.0), (9.0, 120.0), (0.0, 100.0), (45.0, 55.0), (0.0, 0.0)]]
    assert upright(steep, LEFTWARD)["clarke_angle_deg"] == pytest.approx(45)


def test_the_touching_line_turns_further_than_the_line_to_the_deepest_point():
    # The border leaves the ball steeply, then sinks slowly to its deepest point near the heel.
    print_ = [[(5.0, 0.0), (80, 0), (80, 240), (5, 240), (0.0, 200.0), (30.0, 150.0), (40.0, 70.0), (0.0, 40.0)]]
    found = upright([[(float(x), float(y)) for x, y in print_[0]]], LEFTWARD)
    assert found["clarke_angle_deg"] == pytest.approx(math.degrees(math.atan2(40, 130)))
    assert found["clarke_angle_tangent_deg"] == pytest.approx(math.degrees(math.atan2(30, 50)))


def test_tangents_that_lean_seven_and_a_half_degrees_each_cross_at_fifteen():
    lean = 200 * math.tan(math.radians(7.5))
    print_ = [[(-30.0, 0.0), (30.0, 0.0), (30 + lean, 200.0), (-30 - lean, 200.0)]]
    assert upright(print_, LEFTWARD)["gamma_deg"] == pytest.approx(15, abs=1e-9)
    assert upright(print_, RIGHTWARD)["gamma_deg"] == pytest.approx(15, abs=1e-9)


def test_the_big_toe_leans_as_far_as_its_medial_edge():
    toe = [(-10.0, 250.0), (10.0, 250.0), (10.0, 280.0), (-10.0, 280.0)]
    print_ = [[(5.0, 0.0), (80.0, 0.0), (80.0, 240.0), (5.0, 240.0), (0.0, 200.0), (40.0, 110.0), (0.0, 40.0)]]
    # Medial is at smaller x: the toe's corner (-10, 250) sticks out most as seen from the contact (0, 200).
    found = upright(print_, LEFTWARD, toe)["hallux_angle_deg"]
    assert found == pytest.approx(-math.degrees(math.atan2(10, 50)))
    leaning = [(x + 30, y) for x, y in toe]
    assert upright(print_, LEFTWARD, leaning)["hallux_angle_deg"] == pytest.approx(math.degrees(math.atan2(20, 80)))
    assert upright(print_, LEFTWARD)["hallux_angle_deg"] is None
    assert upright(print_, LEFTWARD, [(x, y - 200) for x, y in toe])["hallux_angle_deg"] is None


def test_a_straight_medial_side_has_no_arch_and_no_error():
    found = upright(blocks(80, 80, 80))
    assert (found["clarke_angle_deg"], found["clarke_angle_tangent_deg"]) == (0, 0)
    assert (found["ky_index"], found["staheli_index_tangent"]) == (1, 1)


def test_an_interrupted_print_has_no_angle_and_zero_contact():
    found = upright(blocks(90, 0, 60))
    assert found["clarke_angle_deg"] is None
    assert found["clarke_angle_tangent_deg"] is None
    assert (found["ky_index"], found["staheli_index_tangent"], found["arch_index"]) == (0, 0, 0)
    assert found["gamma_deg"] == pytest.approx(math.degrees(math.atan2(30, 140)))
    # Two pieces that touch the tangent with one corner each: between the contacts there is nothing at all.
    apart = [[(0.0, 60.0), (30.0, 0.0), (60.0, 60.0)], [(0.0, 140.0), (60.0, 140.0), (30.0, 200.0)]]
    found = upright(apart, LEFTWARD)
    assert (found["ky_index"], found["clarke_angle_deg"], found["staheli_index_tangent"]) == (0, None, None)


def test_a_side_that_bulges_has_no_tangent():
    egg = [[(40 * math.cos(t / 20), 100 * math.sin(t / 20)) for t in range(126)]]
    found = upright(egg)
    for key in ("clarke_angle_deg", "clarke_angle_tangent_deg", "ky_index", "gamma_deg", "staheli_index_tangent"):
        assert found[key] is None, key
    assert found["arch_index"] > 1 / 3


@pytest.mark.parametrize("waist", [10, 25, 34, 42])
@pytest.mark.parametrize("tip", [TIP, None])
def test_a_smooth_sole_gives_what_shapely_measures_on_it(waist, tip):
    hole = [(5 * math.cos(t / 3), 40 - 5 * math.sin(t / 3)) for t in range(18)]
    rings = [sole(waist), hole]
    placed = place(rings, UP, second_toe=tip)
    found = measured(shape(placed))
    lean = math.degrees(math.atan2(*placed.axis.along))
    whole = affinity.rotate(polygon(rings), lean, origin=(0, 0))
    left, low, right, high = whole.bounds
    thirds = [low + (high - low) * part / 3 for part in range(4)]
    heel, middle, ball = (whole.intersection(shapely.box(left, a, right, b)).area for a, b in pairwise(thirds))
    assert [found[key] for key in AREAS] == pytest.approx([ball, middle, heel], rel=1e-10)
    assert found["arch_index"] == pytest.approx(middle / whole.area, rel=1e-10)
    # The medial tangent: the longest side of shapely's hull that faces left.
    corners = shapely.get_coordinates(whole.convex_hull)
    sides = pairwise(corners)
    (x0, y0), (x1, y1) = max(
        (side for side in sides if max(side[0][0], side[1][0]) < 0), key=lambda side: math.dist(*side)
    )
    tilt = math.degrees(math.atan2(abs(x1 - x0) * (1 if (x1 - x0) * (y1 - y0) > 0 else -1), abs(y1 - y0)))
    base = (x0, y0) if y0 < y1 else (x1, y1)
    far = (x1, y1) if y0 < y1 else (x0, y0)
    stood = affinity.translate(affinity.rotate(whole, tilt, origin=base), -base[0], -base[1])
    long = math.dist(base, far)

    def across(t):
        bounds = stood.intersection(shapely.LineString([(-500, t), (500, t)])).bounds
        return bounds[0], bounds[2]

    at_middle, at_heel = across(long / 2), across(1e-9)
    widths = (at_middle[1] - at_middle[0]) / (at_heel[1] - at_heel[0])
    assert found["staheli_index_tangent"] == pytest.approx(widths, rel=1e-6)
    notch = shapely.box(0, 0, 40, long).difference(stood)
    part = max(shapely.get_parts(notch), key=lambda piece: piece.area if piece.bounds[0] < 1e-6 else 0)
    depth, t = max(
        (x, y)
        for x, y in shapely.get_coordinates(part)
        if 0 < y < long and stood.exterior.distance(shapely.Point(x, y)) < 1e-7
    )
    assert found["clarke_angle_deg"] == pytest.approx(math.degrees(math.atan2(depth, long - t)), abs=1e-6)
    assert found["ky_index"] == pytest.approx(1 - depth / across(t)[1], rel=1e-6)
    assert found["clarke_angle_tangent_deg"] >= found["clarke_angle_deg"]


@given(st.floats(-180, 180), st.floats(0.05, 50), st.booleans(), st.floats(5, 44), st.booleans())
@steady
def test_turning_scaling_and_mirroring_change_no_index(turn, scale, mirror, waist, toes):
    rings, tip, toe = [sole(waist, 150)], [[TIP]], [[(x / 4 - 35, y / 6 + 220) for x, y in sole()]]
    plain = measured(shape(place(rings, UP, second_toe=TIP if toes else None, medial=LEFTWARD), toe[0]))
    if mirror:
        rings, tip, toe = mirrored(rings), mirrored(tip), mirrored(toe)
    ((towards,),) = moved([[UP]], turn)
    ((point,),) = moved(tip, turn, scale)
    (there,) = moved(toe, turn, scale)
    placed = place(
        moved(rings, turn, scale),
        towards,
        second_toe=point if toes else None,
        medial=RIGHTWARD if mirror else LEFTWARD,
    )
    found = measured(shape(placed, there))
    powers = dict.fromkeys(LENGTHS, 1) | dict.fromkeys(AREAS, 2)
    for key, value in plain.items():
        assert found[key] / scale ** powers.get(key, 0) == pytest.approx(value, rel=1e-5, abs=1e-5), key


@given(st.floats(10, 40), st.floats(0.2, 3))
@steady
def test_a_print_that_swells_has_wider_middles(waist, by):
    thin = [sole(waist, 120)]
    (thick,) = [list(shapely.Polygon(thin[0]).buffer(by).exterior.coords)[:-1]]
    one, other = (
        upright(thin, LEFTWARD),
        upright([thick[::-1] if not shapely.LinearRing(thick).is_ccw else thick], LEFTWARD),
    )
    for key in ("chippaux_smirak_index", "staheli_index"):
        assert other[key] > one[key]


@given(st.integers(0, 10_000), st.integers(3, 40), st.booleans())
@steady
def test_any_outline_gives_numbers_or_nothing_and_never_an_exception(seed, corners, known):
    rings = [blob(seed, corners)]
    found = indices(rings, big_toe=blob(seed + 1, 5), medial=LEFTWARD if known else None)
    assert list(found) == list(PHOTO_INDICES)
    for key, value in found.items():
        assert value is None or math.isfinite(value), key
    assert 0 <= found["arch_index"] <= 1
    assert found["chippaux_smirak_index"] >= 0


def test_ruler_and_photograph_share_their_formulas():
    found = upright(blocks(90, 36, 60))
    widths = {"ball_mm": 90.0, "middle_mm": 36.0, "heel_mm": 60.0}
    for key, index in INDICES.items():
        assert found[key] == pytest.approx(index.measure(widths, 0.0)[0], rel=1e-12)
        photo = PHOTO_INDICES[key]
        assert (photo.unit, photo.difference_unit, photo.sources) == (index.unit, index.difference_unit, index.sources)


def test_the_table_says_what_was_read():
    assert next(iter(PHOTO_INDICES)) == "arch_index"
    for key, index in PHOTO_INDICES.items():
        labels = {source(name).label for name in index.sources}
        assert index.definition == ("published" if "published" in labels else "from_memory"), key
        assert index.needs_scale is (index.unit in ("mm", "mm2")), key
        assert index.least_steady is key.startswith("clarke"), key
        assert index.staff_detail is (key not in ("arch_index", "chippaux_smirak_index", "staheli_index")), key
    variants = [(index.construction, index.variant, index.unit, index.sources) for index in PHOTO_INDICES.values()]
    assert len(set(variants[:9])) == 9


@pytest.mark.bench
def test_all_indices_take_less_time_than_the_chords_alone_by_shapely():
    ring = sole(34.0, 2000)
    solid = shapely.Polygon(ring)

    def ours():
        measured(shape(place([ring], UP, second_toe=TIP, medial=LEFTWARD)))

    def theirs():
        lines = shapely.linestrings([[(-500, y), (500, y)] for _, y in ring])
        shapely.bounds(shapely.intersection(solid, lines))

    def quickest(work):
        times = []
        for _ in range(7):
            start = time.process_time()
            work()
            times.append(time.process_time() - start)
        return min(times)

    ratio = quickest(ours) / quickest(theirs)
    print(f"all indices of 2,000 points: {ratio:.3f} of the time of shapely's chords")
    assert ratio < 0.5
