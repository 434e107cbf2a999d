"""Left against right, now against before, and a person's own repeatability: what is larger than measuring error."""

import json
import math
import random

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from calculators.comparison.change import change
from calculators.comparison.difference import difference
from calculators.comparison.limit import Taken
from calculators.comparison.measuring_error import MEASURING_ERRORS, measuring_error
from calculators.comparison.repeat import SOURCES, STUDENT_T_95, OwnError, own_error
from calculators.footprint.photo_indices import PHOTO_INDICES
from calculators.sources import source

steady = settings(derandomize=True, deadline=None, max_examples=100)
THREE = (0.230, 0.242, 0.251)


def taken(value, half=0.0, way="photo"):
    return Taken(value, value - half, value + half, way)


# -- what was published or derived --


def test_every_limit_follows_from_what_its_sources_give():
    for error in MEASURING_ERRORS:
        assert error.unit == PHOTO_INDICES[error.measure].difference_unit, error.key
        assert error.label in ("published", "derived", "assumed"), error.key
        assert all(source(key).key == key for key in error.sources), error.key
        if error.label == "derived":
            sems = [error.sem] if error.sem else [sd * math.sqrt(1 - error.icc) for sd in error.sd]
            made = [1.96 * math.sqrt(2) * sem for sem in sems]
            assert min(made) - 0.0005 <= error.limit <= max(made) + 0.0005, (error.key, made)


def test_the_arch_index_is_held_against_a_derived_limit_and_the_widths_against_none():
    found = measuring_error("arch_index")
    assert (found.limit, found.label) == (0.04, "derived")
    assert {error.measure for error in MEASURING_ERRORS} == {"arch_index"}
    assert measuring_error("chippaux_smirak_index") is None


# -- own repeatability --


def inside(t, degrees):
    """The part of Student's distribution within t either side, in closed form for 2 and 4 degrees of freedom."""
    if degrees == 2:
        return t / math.sqrt(2 + t * t)
    x = t / math.sqrt(4 + t * t)
    return 1.5 * x - 0.5 * x**3


@pytest.mark.parametrize(("degrees", "t"), STUDENT_T_95.items())
def test_students_t_holds_95_of_100(degrees, t):
    assert inside(t, degrees) == pytest.approx(0.95, abs=0.00005)
    assert inside(t - 0.0006, degrees) < 0.95 < inside(t + 0.0006, degrees)


def test_three_prints_of_one_foot_give_the_persons_own_limit():
    found = own_error("chippaux_smirak_index", {"left": (38.0, 40.0, 43.0)})
    mean = 121 / 3
    sd = math.sqrt(((38 - mean) ** 2 + (40 - mean) ** 2 + (43 - mean) ** 2) / 2)
    assert (found.degrees_of_freedom, found.reason, found.ruled_by) == (2, None, "own")
    assert found.deviation == pytest.approx(sd)
    assert found.limit == found.own == pytest.approx(4.303 * sd * math.sqrt(2))


def test_three_prints_of_each_foot_are_pooled_about_each_foots_own_mean():
    one = own_error("chippaux_smirak_index", {"left": (38.0, 40.0, 42.0), "right": (60.0, 61.0, 62.0)})
    assert one.degrees_of_freedom == 4
    assert one.deviation == pytest.approx(math.sqrt((4 + 0 + 4 + 1 + 0 + 1) / 4))
    assert one.limit == pytest.approx(2.776 * one.deviation * math.sqrt(2))


def test_the_own_limit_is_never_below_the_derived_one():
    found = own_error("arch_index", {"left": (0.240, 0.241, 0.242)})
    assert (found.limit, found.ruled_by) == (0.04, "method")
    wide = own_error("arch_index", {"left": (0.20, 0.24, 0.27)})
    assert wide.ruled_by == "own"
    assert wide.limit > 0.04
    assert own_error("arch_index", {"left": (0.24,) * 3}).limit == 0.04


def test_prints_that_agree_entirely_give_no_limit_of_their_own():
    found = own_error("staheli_index", {"right": (0.6, 0.6, 0.6)})
    assert (found.limit, found.reason) == (None, "no_spread")


@pytest.mark.parametrize(
    "prints",
    [
        {},
        {"left": ()},
        {"left": (0.2, 0.3)},
        {"left": THREE, "right": (0.2,)},
        {"left": (*THREE, 0.2)},
        {"foot": THREE},
    ],
)
def test_other_counts_than_three_prints_a_foot_are_refused(prints):
    found = own_error("arch_index", prints)
    assert (found.limit, found.reason) == (None, "three_prints_a_foot")
    assert found.plain()["prints_needed"] == {"value": 3, "unit": "prints"}


def test_which_prints_and_how_many_stand_in_the_answer():
    plain = own_error("arch_index", {"left": THREE}).plain()
    assert plain["prints"] == {"left": [{"value": value, "unit": "ratio"} for value in THREE]}
    assert plain["student_t"] == {"value": 4.303, "unit": "ratio"}
    assert plain["degrees_of_freedom"] == {"value": 2, "unit": "degrees_of_freedom"}
    assert plain["standard_deviation"] == {"value": 0.0105, "unit": "ratio"}
    assert plain["method"] == {"value": 0.04, "unit": "ratio"}
    assert plain["limit_95"] == plain["own"] == {"value": 0.064, "unit": "ratio"}
    assert plain["sources"] == list(SOURCES)
    assert json.loads(json.dumps(plain)) == plain


@pytest.mark.parametrize("both", [False, True])
def test_two_prints_of_one_foot_seldom_differ_by_more_than_the_own_limit(both):
    # Whoever repeats with a deviation of 2 points is told of a change that is none in about 5 of 100 pairs.
    chance, told, pairs = random.Random(7), 0, 6000
    for _ in range(pairs):
        prints = {side: tuple(chance.gauss(40, 2) for _ in range(3)) for side in ("left", "right")[: 1 + both]}
        own = own_error("chippaux_smirak_index", prints)
        now, before = chance.gauss(40, 2), chance.gauss(40, 2)
        told += change("chippaux_smirak_index", taken(now), taken(before), own)["larger_than_limit"]
    assert told / pairs == pytest.approx(0.05, abs=0.01)


# -- two prints --


def test_a_difference_beyond_the_derived_limit_is_larger_than_measuring_error():
    for apart, larger in ((0.041, True), (0.040, False), (-0.039, False), (-0.06, True)):
        found = difference("arch_index", taken(0.25 + apart), taken(0.25))
        assert (found["value"], found["unit"]) == (round(apart, 3), "ratio")
        assert found["larger_than_limit"] is larger
        assert found["limit_95"]["value"] == 0.04
        assert (found["limit_95"]["ruled_by"], found["limit_95"]["label"]) == ("method", "derived")
        assert found["how_common"] == []


def test_the_largest_of_three_errors_rules():
    own = own_error("arch_index", {"left": (0.20, 0.24, 0.27)})
    found = difference("arch_index", taken(0.30), taken(0.20), own)
    assert found["limit_95"]["ruled_by"] == "own"
    assert found["larger_than_limit"] is False
    unsteady = difference("arch_index", taken(0.30, 0.08), taken(0.20, 0.06), own_error("arch_index", {"left": THREE}))
    assert unsteady["limit_95"]["ruled_by"] == "these_prints"
    assert unsteady["limit_95"]["value"] == pytest.approx(0.1)
    assert unsteady["larger_than_limit"] is False


def test_a_range_counts_towards_no_difference_only():
    # The higher value may be lower and the lower one higher; how far they may lie apart the other way says nothing.
    high, low = Taken(0.30, 0.29, 0.45, "photo"), Taken(0.20, 0.05, 0.21, "photo")
    for found in (difference("arch_index", high, low), change("arch_index", low, high)):
        assert found["limit_95"]["these_prints"]["value"] == round(math.hypot(0.01, 0.01), 3)
        assert found["larger_than_limit"] is True


def test_without_a_known_error_nothing_is_called_larger_or_smaller():
    found = difference("staheli_index", taken(0.9, 0.01), taken(0.5, 0.01))
    assert (found["value"], found["larger_than_limit"], found["reason"]) == (0.4, None, "no_error_known")
    alike = own_error("staheli_index", {"left": (0.6, 0.6, 0.6)})
    assert difference("staheli_index", taken(0.9), taken(0.5), alike)["reason"] == "no_error_known"
    own = own_error("staheli_index", {"left": (0.58, 0.60, 0.61)})
    assert difference("staheli_index", taken(0.9), taken(0.5), own)["larger_than_limit"] is True


def test_prints_taken_in_different_ways_are_not_compared():
    found = change("arch_index", taken(0.30), taken(0.20, way="ruler"))
    assert (found["value"], found["larger_than_limit"], found["reason"]) == (0.1, None, "taken_differently")
    assert found["limit_95"] is None


@given(st.floats(0, 0.4), st.floats(0, 0.4), st.floats(0, 0.1), st.floats(0, 0.1))
@steady
def test_changing_sides_turns_the_sign_and_nothing_else(one, other, half, half_other):
    there = difference("arch_index", taken(one, half), taken(other, half_other))
    back = difference("arch_index", taken(other, half_other), taken(one, half))
    assert there["value"] == -back["value"]
    assert there["limit_95"] == back["limit_95"]
    assert there["larger_than_limit"] is back["larger_than_limit"]


def test_a_look_up_outside_the_table_is_refused():
    with pytest.raises(LookupError):
        own_error("mood", {"left": THREE})
    with pytest.raises(LookupError):
        change("mood", taken(1), taken(2))
    with pytest.raises(ValueError, match="own limit"):
        change("arch_index", taken(0.2), taken(0.3), OwnError("staheli_index", {}))
