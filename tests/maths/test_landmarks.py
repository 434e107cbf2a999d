"""Axis, thirds and widths of a print: exact on blocks, against shapely on soles, and the same however the sole lies."""

import math

import pytest
import shapely
import shapely.ops
from hypothesis import given, settings
from hypothesis import strategies as st
from maths.outlines import blob, blocks, mirrored, moved, polygon, sole
from shapely import affinity

from calculators.footprint.landmarks import (
    LEFTWARD,
    MOST_ROUNDS,
    RIGHTWARD,
    SECOND_TOE,
    SETTLED_DEG,
    Frame,
    find_axis,
    lines,
    place,
)
from calculators.footprint.photo_indices import measured
from calculators.footprint.photo_indices import shape as shapes

steady = settings(derandomize=True, deadline=None, max_examples=40)
FAR = 1e4
UP = (0.0, 1.0)
TIP = (-15.0, 245.0)


def lean_deg(along):
    return math.degrees(math.atan2(along[0], along[1]))


def axis_by_shapely(shape, tip):
    """Heel centre and lean of the axis from the vertical, by iteration on shapely's own chords."""
    lean = 0.0
    for _ in range(60):
        upright = affinity.rotate(shape, lean, origin=tip)
        low, high = upright.bounds[1], upright.bounds[3]
        heights = [y for x, y in shapely.get_coordinates(upright) if low <= y <= low + (high - low) / 3]
        chords = [upright.intersection(shapely.LineString([(-FAR, y), (FAR, y)])).bounds for y in heights]
        widest = max(chords, key=lambda chord: chord[2] - chord[0])
        heel = shapely.Point((widest[0] + widest[2]) / 2, widest[1])
        heel = affinity.rotate(heel, -lean, origin=tip)
        lean = lean_deg((tip[0] - heel.x, tip[1] - heel.y))
    return (heel.x, heel.y), lean


@pytest.mark.parametrize("waist", [5, 20, 34, 45])
def test_the_axis_to_the_second_toe_is_that_of_an_iteration_on_shapely(waist):
    ring = sole(waist)
    heel, lean = axis_by_shapely(shapely.Polygon(ring), TIP)
    axis = find_axis([ring], (0.3, 1.0), TIP, None)
    assert axis.comes_from == "toes"
    assert axis.settled
    assert axis.rounds <= 5
    assert lean_deg(axis.along) == pytest.approx(lean, abs=SETTLED_DEG)
    assert axis.heel == pytest.approx(heel, abs=0.6)  # from one corner of the outline to the next


def test_the_axis_does_not_hang_on_where_the_rounds_begin():
    leans = {round(lean_deg(find_axis([sole()], (x, 1.0), TIP, None).along), 2) for x in (-0.5, -0.2, 0, 0.2, 0.5)}
    assert max(leans) - min(leans) <= 2 * SETTLED_DEG


@pytest.mark.parametrize(("medial", "part"), [(LEFTWARD, SECOND_TOE), (RIGHTWARD, SECOND_TOE), (None, 0.5)])
def test_without_toes_the_axis_goes_to_the_place_of_the_second_toe_or_through_the_middle_of_the_ball(medial, part):
    # A side that is not known is found afterwards, by the notch at the left.
    placed = place([sole()], UP, medial=medial)
    assert placed.axis.comes_from == "fallback"
    assert placed.heel.middle[1] == pytest.approx(0, abs=0.05)
    assert placed.ball.high / placed.ball.width == pytest.approx(part, abs=0.001)


def test_a_given_axis_is_used_as_it_is():
    placed = place([sole()], UP, second_toe=TIP, given_axis=((3.0, 20.0), (3.0, 90.0)), medial=LEFTWARD)
    assert (placed.axis.comes_from, placed.axis.rounds, placed.axis.along) == ("given", 0, UP)
    assert placed.frame.origin == pytest.approx((3.0, 0.0), abs=1e-9)
    assert placed.length == pytest.approx(200, abs=0.01)


def test_an_axis_that_does_not_settle_says_so_and_stops():
    # Egg-shaped outlines: nearly round, so that the middles of heel and ball turn with the axis.
    found = [find_axis([blob(seed, 30)], UP, None, None) for seed in range(80)]
    assert {axis.settled for axis in found} == {True, False}
    for axis in found:
        assert axis.rounds <= MOST_ROUNDS
        assert math.hypot(*axis.along) == pytest.approx(1)
    # Two directions that call each other: it stops when one comes back, between both.
    axis = find_axis([blob(256, 30)], UP, None, None)
    assert not axis.settled
    assert axis.rounds < MOST_ROUNDS


@pytest.mark.parametrize("waist", [5, 20, 34, 45])
def test_lines_and_widths_are_those_of_shapely_square_to_the_axis(waist):
    ring = sole(waist)
    placed = place([ring], UP, second_toe=TIP)
    shape = affinity.rotate(shapely.Polygon(ring), lean_deg(placed.axis.along), origin=(0, 0))
    _, low, _, high = shape.bounds
    long = high - low
    assert placed.length == pytest.approx(long, abs=1e-9)
    assert placed.thirds == pytest.approx((0, long / 3, 2 * long / 3, long))

    def widths(start, end):
        corners = [y - low for _, y in shapely.get_coordinates(shape)]
        heights = [u for u in (*corners, start, end) if start <= u <= end]
        chords = [shape.intersection(shapely.LineString([(-FAR, low + u), (FAR, low + u)])).bounds for u in heights]
        return [chord[2] - chord[0] for chord in chords]

    assert placed.ball.width == pytest.approx(max(widths(0.6 * long, long)), abs=1e-9)
    assert placed.heel.width == pytest.approx(max(widths(0, long / 3)), abs=1e-9)
    assert placed.middle.width == pytest.approx(min(widths(0.25 * long, 0.75 * long)), abs=1e-9)


def test_what_is_found_can_be_drawn_back_in_the_plane():
    (ring,) = moved([sole()], 130, 3, 400 - 90j)
    for medial in (LEFTWARD, RIGHTWARD):
        placed = place([ring], (-1.0, -0.8), medial=medial)
        shape = shapely.Polygon(ring)
        for chord in (placed.ball, placed.middle, placed.heel):
            for v in (chord.low, chord.high):
                assert shape.exterior.distance(shapely.Point(placed.frame.to_plane((chord.u, v)))) < 1e-9
        back = [placed.frame.to_plane(point) for point in placed.rings[0]]
        assert shapely.Polygon(back).symmetric_difference(shape).area == pytest.approx(0, abs=1e-6)
        (again,) = (placed.frame.to_foot(ring),)
        assert again == placed.rings[0]


def test_the_lines_to_draw_lie_where_they_should():
    (ring,) = moved([sole()], 25, 2, 50 + 7j)
    drawn, shape = lines(place([ring], (-0.5, 1.0))), shapely.Polygon(ring)
    cuts = [shapely.LineString(line) for line in drawn.thirds]
    pieces = shapely.get_parts(shapely.ops.split(shapely.MultiPolygon([shape]), shapely.MultiLineString(cuts)))
    found = measured(shapes(place([ring], (-0.5, 1.0))))
    areas = [found[key] for key in ("forefoot_mm2", "midfoot_mm2", "heel_mm2")]
    assert sorted(piece.area for piece in pieces) == pytest.approx(sorted(areas), rel=1e-9)
    assert shapely.LineString(drawn.axis).length == pytest.approx(place([ring], (-0.5, 1.0)).length)
    for chord in (drawn.ball, drawn.middle, drawn.heel):
        assert shape.buffer(1e-6).covers(shapely.LineString(chord).centroid)
        assert all(shape.exterior.distance(shapely.Point(end)) < 1e-6 for end in chord)
    assert shapely.LineString(drawn.medial_tangent).intersection(shape.buffer(-1e-6)).is_empty
    apart = lines(place(blocks(90, 0, 60), UP, given_axis=((30.0, 0.0), (30.0, 9.0)), medial=RIGHTWARD))
    assert apart.middle is None
    assert apart.thirds[0] == (pytest.approx((90, 70)), pytest.approx((0, 70)))


def test_the_medial_side_is_the_given_one_or_that_of_the_deeper_notch():
    ring = sole()
    assert place([ring], UP).frame.medial == LEFTWARD
    assert place([ring], UP).medial_from == "notch"
    assert place(mirrored([ring]), UP).frame.medial == RIGHTWARD
    assert place([ring], UP, medial=RIGHTWARD).medial_from == "given"
    assert place([ring], UP, medial=RIGHTWARD).frame.medial == RIGHTWARD
    assert place(blocks(80, 80, 80), UP).medial_from == "undecided"
    # A gap from side to side: the notch of each piece still tells.
    assert place(blocks(90, 0, 60), UP, given_axis=((30.0, 0.0), (30.0, 9.0))).middle is None


def test_medial_grows_towards_the_big_toe_on_both_feet():
    right, left = place([sole()], UP), place(mirrored([sole()]), UP)
    assert right.sides().medial.tangent.ball[1] > 0 > right.sides().lateral.ball[1]
    for ours, theirs in zip(left.rings[0], right.rings[0], strict=True):
        assert ours == pytest.approx(theirs, abs=1e-6)
    assert left.sides().medial.tangent.ball == pytest.approx(right.sides().medial.tangent.ball, abs=1e-6)


@given(st.floats(-180, 180), st.floats(0.05, 50), st.booleans(), st.booleans(), st.complex_numbers(max_magnitude=1e4))
@steady
def test_a_print_that_is_turned_scaled_shifted_or_mirrored_keeps_its_landmarks(turn, scale, mirror, toes, by):
    rings, tip = [sole(30.0, 150)], [[TIP]]
    plain = place(rings, UP, second_toe=TIP if toes else None)
    rings, tip = (mirrored(rings), mirrored(tip)) if mirror else (rings, tip)
    ((point,),) = moved(tip, turn, scale, by)
    ((towards,),) = moved([[UP]], turn)
    placed = place(moved(rings, turn, scale, by), towards, second_toe=point if toes else None)
    assert placed.length / scale == pytest.approx(plain.length, abs=1e-6)
    for ours, theirs in ((placed.ball, plain.ball), (placed.middle, plain.middle), (placed.heel, plain.heel)):
        assert [part / scale for part in ours] == pytest.approx(list(theirs), abs=1e-5)
    assert placed.medial_from == "notch"


def test_a_hole_changes_no_landmark():
    hole = [(5 * math.cos(t / 3), 40 - 5 * math.sin(t / 3)) for t in range(18)]
    assert polygon([sole(), hole]).area < polygon([sole()]).area
    one, other = place([sole()], UP), place([sole(), hole], UP)
    assert (one.length, one.ball, one.middle, one.heel) == (other.length, other.ball, other.middle, other.heel)


@pytest.mark.parametrize("rings", [[], [[]], [[(0.0, 0.0), (1.0, 1.0), (2.0, 2.0)]], [sole()[::-1]]])
def test_rings_without_an_area_are_no_print(rings):
    with pytest.raises(ValueError, match="no ring of the print"):
        place(rings, UP)


def test_two_points_in_one_place_give_no_axis():
    with pytest.raises(ValueError, match="no direction"):
        place([sole()], UP, given_axis=((1.0, 1.0), (1.0, 1.0)))
    with pytest.raises(ValueError, match="no direction"):
        place([sole()], (0.0, 0.0))


def test_a_frame_goes_there_and_back():
    for medial in (LEFTWARD, RIGHTWARD):
        frame = Frame((10.0, -3.0), (0.6, 0.8), medial)
        for point in ((0.0, 0.0), (12.0, 5.0), (-3.0, 8.0)):
            ((u, v),) = frame.to_foot([point])
            assert frame.to_plane((u, v)) == pytest.approx(point)
        # Looking along the axis, medial is at the left for a right foot.
        assert frame.to_plane((0.0, 1.0)) == pytest.approx((10 - 0.8 * medial, -3 + 0.6 * medial))
