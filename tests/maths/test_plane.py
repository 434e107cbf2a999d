"""Geometry of outlines: against shapely (areas, clips, chords, hulls) and scikit-image (hull of a mask), and exact."""

import math

import numpy as np
import pytest
import shapely
from hypothesis import given, settings
from hypothesis import strategies as st
from maths.outlines import blob, blocks, moved, polygon, round_cells, with_hole
from skimage.morphology import convex_hull_image

from calculators.footprint.plane import (
    areas_between,
    hull,
    mirrored,
    outer,
    signed_area,
    turned,
    unit,
)
from calculators.footprint.profile import profile, widest

steady = settings(derandomize=True, deadline=None, max_examples=60)
SEEDS = range(12)
FAR = 1e4


def cuts_of(rings, parts=5):
    us = [u for ring in rings for u, _ in ring]
    return tuple(min(us) + (max(us) - min(us)) * part / parts for part in range(parts + 1))


def chord_by_shapely(shape, u):
    line = shapely.intersection(shape, shapely.LineString([(u, -FAR), (u, FAR)]))
    return (line.bounds[1], line.bounds[3]) if not line.is_empty else None


@pytest.mark.parametrize("seed", SEEDS)
def test_areas_and_clips_are_those_of_shapely(seed):
    rings = with_hole(seed)
    shape = polygon(rings)
    assert math.fsum(map(signed_area, rings)) == pytest.approx(shape.area, rel=1e-12)
    cuts = cuts_of(rings)
    ours = areas_between(rings, cuts)
    for area, low, high in zip(ours, cuts, cuts[1:], strict=False):
        assert area == pytest.approx(shape.intersection(shapely.box(low, -FAR, high, FAR)).area, rel=1e-11)
    assert math.fsum(ours) == pytest.approx(shape.area, rel=1e-12)


def test_the_area_of_a_ring_far_from_the_origin_keeps_its_digits():
    square = [(0.0, 0.0), (0.001, 0.0), (0.001, 0.001), (0.0, 0.001)]
    assert signed_area(square) == pytest.approx(1e-6, rel=1e-12)
    assert signed_area(square[::-1]) == pytest.approx(-1e-6, rel=1e-12)
    assert signed_area([(x + 4096, y - 8192) for x, y in square]) == pytest.approx(1e-6, rel=1e-8)
    assert signed_area([]) == 0
    assert areas_between([[]], (0.0, 1.0)) == [0.0]


@pytest.mark.parametrize("seed", SEEDS)
def test_a_chord_is_that_of_shapely(seed):
    rings = with_hole(seed)
    shape, cuts = polygon(rings), cuts_of(rings, 37)
    seen = profile(outer(rings), *cuts)
    for u in cuts[1:-1]:
        chord = seen.chord(u)
        assert (chord.low, chord.high) == pytest.approx(chord_by_shapely(shape, u), abs=1e-9)


@pytest.mark.parametrize("seed", SEEDS)
def test_the_widest_and_the_narrowest_chord_beat_every_chord_of_shapely(seed):
    rings = with_hole(seed)
    shape = polygon(rings)
    start, end = cuts_of(rings)[1:5:3]
    seen = profile(outer(rings), start, end)
    corners = [u for ring in rings for u, _ in ring]
    places = np.unique([u for u in (*corners, *np.linspace(start, end, 301)) if start <= u <= end])
    widths = [high - low for low, high in (chord_by_shapely(shape, u) for u in places)]
    assert seen.widest().width == pytest.approx(max(widths), abs=1e-9)
    assert seen.narrowest().width == pytest.approx(min(widths), abs=1e-9)
    assert widest(outer(rings), start, end) == pytest.approx(seen.widest(), abs=1e-9)


@given(st.integers(0, 300), st.integers(5, 60), st.floats(-180, 180), st.floats(0, 0.7), st.floats(0.05, 0.3))
@steady
def test_the_widest_chord_is_that_of_the_whole_profile(seed, corners, turn, start, long):
    rings = moved(
        [blob(seed, corners), *round_cells({(150 + x, y // 3) for x in range(9) for y in range(seed % 40)})], turn
    )
    rings = outer(rings)
    low, high = cuts_of(rings, 1)
    start, end = low + start * (high - low), low + (start + long) * (high - low)
    assert widest(rings, start, end) == pytest.approx(profile(rings, start, end).widest(), abs=1e-9)


@pytest.mark.parametrize("wide", [30, 80])
def test_the_widest_chord_of_a_straight_piece_is_its_middle(wide):
    rings = moved(blocks(80, wide, 80), -90)
    assert widest(rings, 0.0, 70.0) == pytest.approx((35, -80, 0))
    assert widest(rings, 20.0, 130.0).u == pytest.approx(45 if wide < 80 else 75)
    assert widest(moved(blocks(90, 0, 60), -90), 75.0, 135.0) is None
    assert widest([], 0.0, 1.0) is None


def test_a_profile_can_be_taken_apart_at_its_cuts():
    rings = [blob(3)]
    a, b, c, d, e, f = cuts_of(rings)
    whole = profile(rings, a, b, c, d, e, f)
    for start, end in ((a, c), (b, e), (d, f), (a, f)):
        piece, alone = whole.part(start, end), profile(rings, start, end)
        assert (piece.at[0], piece.at[-1]) == (start, end)
        assert piece.widest() == pytest.approx(alone.widest(), abs=1e-9)
        assert piece.narrowest() == pytest.approx(alone.narrowest(), abs=1e-9)


def test_a_gap_has_no_narrowest_chord_and_counts_for_nothing_else():
    apart = moved(blocks(90, 0, 60), -90)
    seen = profile(apart, 0.0, 210.0)
    assert seen.narrowest() is None
    assert seen.widest().width == pytest.approx(90)
    assert seen.chord(100.0) is None
    assert profile(apart, 75.0, 135.0).widest() is None
    assert areas_between(apart, (0.0, 70.0, 140.0, 210.0)) == pytest.approx([4200, 0, 6300])


def test_equal_widths_give_the_middle_of_the_stretch_that_has_them():
    upright = moved(blocks(80, 80, 80), -90)
    assert profile(upright, 0.0, 210.0).widest().u == pytest.approx(105)
    assert profile(moved(blocks(90, 36, 60), -90), 0.0, 210.0).narrowest().u == pytest.approx(105)
    # Two rows of cells, equally wide, one shifted: the line between them is wider than either and is no place.
    rows = round_cells({(0, 0), (0, 1), (0, 2), (1, 1), (1, 2), (1, 3)})
    assert profile(rows, 0.0, 2.0).widest().width == 3
    assert profile(rows, 0.0, 1.0, 2.0).chord(1.0).width == 4


@given(st.integers(0, 40), st.floats(-180, 180), st.floats(0.01, 100))
@steady
def test_steps_square_to_the_axis_stay_steps_when_the_outline_has_been_turned(seed, turn_deg, scale):
    cells = {(x, y) for x in range(20) for y in range(14) if (x * 7 + y * 13 + seed * x * y) % 11 < 8 or 4 < y < 8}
    rings = round_cells(cells)
    straight = profile(outer(rings), 0.0, 20.0)
    there = moved(rings, turn_deg, scale)
    back = [[(u / scale, v / scale) for u, v in ring] for ring in moved(there, -turn_deg)]
    again = profile(outer(back), 0.0, 20.0)
    assert again.widest().width == pytest.approx(straight.widest().width, abs=1e-6)
    assert again.narrowest().width == pytest.approx(straight.narrowest().width, abs=1e-6)


@pytest.mark.parametrize("seed", SEEDS)
def test_the_hull_is_that_of_shapely(seed):
    ring = blob(seed)
    theirs = shapely.Polygon(ring).convex_hull
    assert shapely.Polygon(hull(ring)).symmetric_difference(theirs).area == pytest.approx(0, abs=1e-9)
    assert len(hull(ring)) == len(theirs.exterior.coords) - 1
    assert signed_area(hull(ring)) > 0


def test_the_hull_of_a_mask_is_that_of_scikit_image():
    pixels = [(x, y) for x in range(30) for y in range(30) if (x - 15) ** 2 + (y - 12) ** 2 < 90 and (x + y) % 7]
    mask = np.zeros((30, 30), dtype=bool)
    for x, y in pixels:
        mask[y, x] = True
    around = shapely.Polygon(hull([(float(x), float(y)) for x, y in pixels]))
    ours = [[around.covers(shapely.Point(x, y)) for x in range(30)] for y in range(30)]
    assert np.array_equal(ours, convex_hull_image(mask, offset_coordinates=False))


def test_a_hull_of_too_few_points_is_what_it_is():
    assert hull([(1.0, 2.0), (1.0, 2.0)]) == [(1.0, 2.0)]
    assert hull([]) == []


def test_turning_and_mirroring_keep_area_and_sense():
    ring = blob(5)
    along = unit((0.0, 0.0), (3.0, 4.0))
    assert along == pytest.approx((0.6, 0.8))
    assert signed_area(turned(ring, (17.0, -4.0), along)) == pytest.approx(signed_area(ring), rel=1e-12)
    assert turned([(17.0 + 0.6, -4.0 + 0.8)], (17.0, -4.0), along) == [pytest.approx((1, 0))]
    assert signed_area(mirrored(ring)) == pytest.approx(signed_area(ring), rel=1e-12)
    with pytest.raises(ValueError, match="no direction"):
        unit((1.0, 1.0), (1.0, 1.0))
