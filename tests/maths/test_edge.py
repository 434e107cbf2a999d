"""The edge as it is measured: smooth outlines stay, rough ones lean neither way, a thin strip comes back."""

import math
import statistics

import pytest
import shapely
from hypothesis import given, settings
from hypothesis import strategies as st
from maths.outlines import blocks, moved, rough, sole
from maths.standing import FLAT, Drawn, stand
from prints.feet import make
from prints.truth import measure

from calculators.footprint.edge import as_measured, evened, moved_out, traced
from calculators.footprint.landmarks import LEFTWARD, place
from calculators.footprint.photo_indices import measured, shape
from calculators.footprint.plane import signed_area

steady = settings(derandomize=True, deadline=None, max_examples=40)
UP = (0.0, 1.0)
WIDTHS = ("toeless_mm", "ball_mm", "middle_mm", "heel_mm")


def circle(radius, corners=400):
    steps = [math.tau * number / corners for number in range(corners)]
    return [(90 + radius * math.cos(turn), radius * math.sin(turn) - 40) for turn in steps]


def widths(ring):
    found = measured(shape(place([ring], UP, given_axis=((0.0, 0.0), UP), medial=LEFTWARD)))
    return [found[key] for key in WIDTHS]


@pytest.mark.parametrize(("radius", "reach", "off"), [(30, 3, 1.5e-3), (30, 6, 2.5e-3), (6, 3, 2e-2), (1, 3, 6e-3)])
def test_a_circle_keeps_its_radius(radius, reach, off):
    ring = evened(circle(radius), reach)
    assert [math.dist(point, (90, -40)) for point in ring] == pytest.approx([radius] * len(ring), abs=off)
    assert signed_area(ring) > 0
    assert len(ring) >= 24


@pytest.mark.parametrize("arch", [-0.3, 0.05, 0.3, 0.6, 1.0])
@pytest.mark.parametrize("seed", range(3))
def test_a_smooth_print_keeps_its_widths_and_indices(arch, seed):
    foot = make(seed, "right", length=240, arch=arch)
    rings = [list(part.exterior.coords)[:-1] for part in shapely.get_parts(foot.body)]
    rings = [ring if signed_area(ring) > 0 else ring[::-1] for ring in rings]
    one, other = (
        measured(shape(place(found, UP, second_toe=foot.second_tip, medial=LEFTWARD)))
        for found in (rings, [evened(ring, 3.0) for ring in rings])
    )
    for key in WIDTHS:
        assert other[key] == pytest.approx(one[key], abs=0.05), key
    assert other["arch_index"] == pytest.approx(one["arch_index"], abs=1.5e-4)
    assert other["chippaux_smirak_index"] == pytest.approx(one["chippaux_smirak_index"], abs=0.06)
    assert other["staheli_index"] == pytest.approx(one["staheli_index"], abs=5e-4)


def test_a_rough_edge_no_longer_widens_what_is_widest():
    plain = widths(sole())
    raw, even = [], []
    for seed in range(12):
        ring = rough(sole(), 0.25, seed)
        raw.append([a - b for a, b in zip(widths(ring), plain, strict=True)])
        even.append([a - b for a, b in zip(widths(evened(ring, 3.0)), plain, strict=True)])
    before, after = ([statistics.mean(row[at] for row in rows) for at in range(4)] for rows in (raw, even))
    assert before[1] > 0.4
    assert before[2] < -0.4
    assert before[3] > 0.4
    for one, other in zip(before, after, strict=True):
        assert abs(other) < 0.45 * abs(one)


@given(st.floats(-180, 180), st.floats(0.05, 50), st.integers(0, 300), st.complex_numbers(max_magnitude=1e4))
@steady
def test_an_evened_outline_does_not_hang_on_how_it_lies_or_where_it_begins(turn, scale, start, by):
    ring = rough(sole(), 0.2, 1)
    plain = shapely.Polygon(evened(ring, 3.0))
    (there,) = moved([ring[start:] + ring[:start]], turn, scale, by)
    (back,) = moved([[(x - by.real, y - by.imag) for x, y in evened(there, 3.0 * scale)]], -turn, 1 / scale)
    assert shapely.Polygon(back).symmetric_difference(plain).area < 2e-3 * plain.area


def test_the_straight_sides_of_blocks_stay_where_they_are():
    (ring,) = blocks(90, 36, 60)
    found = evened(ring, 3.0)
    assert max(x for x, y in found if 10 < y < 60) == pytest.approx(60, abs=1e-9)
    assert max(x for x, y in found if 80 < y < 130) == pytest.approx(36, abs=1e-9)


def test_how_rough_an_edge_was_is_told_with_it():
    smooth = traced(stand(Drawn(shapely.Polygon(sole()), 0.0)), FLAT, 0.5)
    torn = traced(stand(Drawn(shapely.Polygon(rough(sole(), 0.25, 3)), 0.0)), FLAT, 0.5)
    assert smooth.rough < 0.02
    assert 0.8 * 0.25 < torn.rough < 1.1 * 0.25


def test_an_outline_moves_out_square_to_itself_and_a_hole_closes():
    ring = evened(circle(30), 3.0)
    assert shapely.Polygon(moved_out(ring, 0.5)).area == pytest.approx(math.pi * 30.5**2, rel=2e-3)
    assert shapely.Polygon(moved_out(ring, -0.5)).area == pytest.approx(math.pi * 29.5**2, rel=2e-3)
    assert shapely.Polygon(moved_out(ring[::-1], 0.5)).area == pytest.approx(math.pi * 29.5**2, rel=2e-3)


def test_an_outline_without_a_way_round_stays_as_it_is():
    assert evened([(1.0, 2.0)] * 3, 3.0) == [(1.0, 2.0)] * 3
    assert evened(circle(5), 0.0) == circle(5)


def test_a_thin_strip_of_the_middle_is_put_back():
    foot = make(4, "left", length=240, arch=0.06)
    true = measure(foot)
    found = stand(Drawn(foot.printed, 0.15, strip_mm=true.middle_mm + 1.5))
    assert found.placed.middle is None
    whole = as_measured(found, FLAT)
    assert whole.thin == 0
    assert whole.placed.middle.width == pytest.approx(true.middle_mm, abs=0.1)


def test_a_gap_stays_a_gap_where_no_strip_or_too_much_besides_is_seen():
    foot = make(4, "left", length=240, arch=-0.3)
    drawn = Drawn(foot.printed, 0.15, strip_mm=3.0)
    assert as_measured(stand(drawn), FLAT).placed.middle is None
    # A joint along the foot, 1.5 mm wide and longer than the foot, and two across it.
    (x, y), (left, low, right, high) = foot.body.centroid.coords[0], foot.printed.bounds
    lines = [
        ((x, low - 40), (x, high + 40)),
        ((left - 60, y + 50), (right + 60, y + 50)),
        ((left - 60, y - 50), (right + 60, y - 50)),
    ]
    joints = shapely.union_all([shapely.LineString(line).buffer(0.75) for line in lines])
    joined = stand(Drawn(foot.printed.union(joints), 0.15, strip_mm=3.0))
    assert joined.placed.middle is None
    assert as_measured(joined, FLAT).placed.middle is None


@pytest.mark.parametrize(("toes", "off"), [("separate", 0.3), ("merged", 1.2)])
def test_toes_that_stand_apart_never_widen_the_ball(toes, off):
    for seed in range(10):
        foot = make(seed, "right", length=250, arch=0.5, toes=toes)
        found = stand(Drawn(foot.printed, 0.15))
        assert found.placed.ball.width == pytest.approx(measure(foot).ball_mm, abs=off), seed
