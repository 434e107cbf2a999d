"""The data tables: published rows as published, every key resolved, every look-up strict."""

import re
import tomllib
from dataclasses import asdict
from pathlib import Path

import pytest

from calculators.bands import ADULT_FROM_YEARS, BANDS, SHARES, beside, position, shares
from calculators.cautions import CAUTIONS, TIERS
from calculators.comparison.measuring_error import MEASURING_ERRORS
from calculators.comparison.repeat import SOURCES as OWN_ERROR_SOURCES
from calculators.data import table
from calculators.doses import DOSES, DRILLS, doses_of
from calculators.footprint.indices import INDICES
from calculators.footprint.photo_indices import PHOTO_INDICES
from calculators.forms import FORMS, Choice, Field, Line, Points, Rows, Word
from calculators.heel.measure import ANGLE_SOURCES, LIMIT_SOURCES
from calculators.refusals import REFUSAL_KEYS
from calculators.results import DIGITS, rounded
from calculators.sources import SOURCES, source
from calculators.units import MM_PER, from_mm, to_mm

CASES = tomllib.loads((Path(__file__).parents[1] / "cases" / "bands.toml").read_text("utf-8"))
LABELS = {"published", "secondary", "from_memory", "common_practice"}


def named(key):
    return next(band for band in BANDS if band.key == key)


@pytest.mark.parametrize("row", CASES["row"], ids=[row["key"] for row in CASES["row"]])
def test_a_published_row_stands_as_its_source_has_it(row):
    found = named(row["key"])._asdict()
    assert found["source"] == row["source"]
    for field, value in row["says"].items():
        assert found[field] == (tuple(value) if isinstance(value, list) else value), field


def test_no_row_stands_in_the_table_without_its_check():
    assert [band.key for band in BANDS] == [row["key"] for row in CASES["row"]]


@pytest.mark.parametrize("case", CASES["age"], ids=[case["name"] for case in CASES["age"]])
def test_an_age_brings_its_own_rows(case):
    for index in INDICES:
        marks = beside(index, 0.5, 0.6, case.get("years"))
        assert [mark["key"] for mark in marks] == case[index]
        assert {mark["compared"] for mark in marks} <= {case["compared"]}
        for mark in marks:
            assert (mark["position"] is not None) is (case["compared"] == "adult")
            band = named(mark["key"])
            assert (mark["source"], mark["label"], mark["population"]) == (band.source, band.label, band.population)


@pytest.mark.parametrize("case", CASES["position"], ids=[case["name"] for case in CASES["position"]])
def test_a_range_lies_where_it_lies(case):
    assert position(named(case["band"]), *case["range"]) == case["is"]


def test_a_line_is_not_compared_with():
    with pytest.raises(LookupError, match="line"):
        position(named("si_children_3_6"), 0.5, 0.6)


def test_every_row_is_a_range_or_a_line_and_only_adults_have_ranges():
    for band in BANDS:
        is_range = band.low is not None and band.high is not None
        is_line = band.line is not None and band.line_at in ("above", "at_or_above")
        assert is_range is not is_line, band.key
        assert band.adult is is_range, band.key
        assert band.adult or band.ages[1] < ADULT_FROM_YEARS, band.key
        assert band.ages[0] <= band.ages[1]
        assert band.unit == INDICES[band.measure].unit
        assert band.label in LABELS
        assert band.validity in ("with_caution", "none", "said_in_abstract", "not_rated")


def test_every_source_key_resolves():
    used = {band.source for band in BANDS}
    used |= {key for index in INDICES.values() for key in index.sources}
    used |= {key for index in PHOTO_INDICES.values() for key in index.sources}
    used |= {key for caution in CAUTIONS.values() for key in caution.basis}
    used |= {key for error in MEASURING_ERRORS for key in error.sources} | set(OWN_ERROR_SOURCES)
    used |= {share.source for share in SHARES} | {dose.source for dose in DOSES}
    used |= {*ANGLE_SOURCES, *(key for keys in LIMIT_SOURCES.values() for key in keys)}
    for key in used:
        assert source(key).key == key


def test_a_source_says_who_what_and_how_much_was_read():
    for key, found in SOURCES.items():
        assert found.label in LABELS, key
        assert found.authors, key
        assert found.read, key
        assert bool(found.title) is not bool(found.about), f"{key}: a title, or what it is"
        assert not re.search(r"https?://", found.address + found.doi), f"{key}: addresses are plain text"
        if found.label == "published":
            assert found.doi or found.address or found.container, key


def test_a_row_is_never_surer_than_its_source():
    for row in (*BANDS, *SHARES, *DOSES):
        assert row.label == SOURCES[row.source].label, row.key


def test_a_caution_has_a_tier_a_basis_and_a_page():
    for key, caution in CAUTIONS.items():
        assert caution.tier in TIERS, key
        assert caution.basis, key
        assert caution.applies, key
        assert key.startswith("help_") is ("help" in caution.applies), key


def test_every_tier_of_help_has_signs():
    for tier in ("now", "same_day", "book"):
        assert any(caution.tier == tier for key, caution in CAUTIONS.items() if key.startswith("help_"))


def test_every_measure_has_its_decimal_places():
    assert set(DIGITS) == set(INDICES) | set(PHOTO_INDICES) | {"gap", "rearfoot_angle_deg", "change_percent"}
    assert rounded("staheli_index", -0.0001) == 0
    assert str(rounded("staheli_index", -0.0001)) == "0.0"


# What each kind of number is counted in, and how its keys end.
KINDS = {
    "length": ({"mm"}, "_mm"),
    "years": ({"years"}, "_years"),
    "angle": ({"degrees"}, "_deg"),
    "pixels": ({"pixels"}, "click_error"),
    "seconds": ({"seconds"}, "s"),
    "weight": ({"kg"}, "_kg"),
    "share": ({"percent"}, "_percent"),
    "reading": ({"as_measured"}, ""),
    "count": ({"repetitions", "sets", "weeks", "days", "pixels", "feet"}, ""),
}


def groups_of(group):
    """A group and the groups of the rows inside it."""
    yield group
    for field in group.fields:
        if isinstance(field, Rows):
            yield from groups_of(field.row)


ALL_GROUPS = [inner for form in FORMS.values() for group in form.groups for inner in groups_of(group)]


def test_a_form_is_kept_under_its_action_and_asks_for_known_groups():
    for action, form in FORMS.items():
        assert form.action == action
        assert {group.key for group in form.groups} >= set(form.one_of)
        assert "" in {group.key for group in form.groups}


@pytest.mark.parametrize("group", ALL_GROUPS, ids=lambda group: group.key)
def test_a_group_asks_for_known_kinds_within_sensible_limits(group):
    keys = [field.key for field in group.fields]
    assert len(keys) == len(set(keys))
    assert all(rule.field in keys and rule.refusal in REFUSAL_KEYS for rule in group.rules)
    assert all((rule.at or rule.field) in keys for rule in group.rules)
    assert {key for way in group.ways for key in way} <= set(keys)
    for field in group.fields:
        assert field.default is None or not field.required
        if isinstance(field, Field):
            units, ending = KINDS[field.kind]
            assert field.unit in units
            assert field.key.endswith(ending)
            assert field.low < field.high
            assert field.default is None or field.low <= field.default <= field.high
            assert field.whole is (field.kind == "count")
        elif isinstance(field, Choice):
            assert field.kind == "choice"
            assert field.default is None or field.default in field.options
        elif isinstance(field, Rows):
            assert field.kind == "rows"
            assert 1 <= field.least < field.most
        elif isinstance(field, Points):
            assert field.kind == "points"
            assert 1 <= field.least <= field.most
            assert field.low < field.high
        else:
            assert isinstance(field, (Line, Word))
            assert field.kind in ("line", "word")


def test_a_form_that_takes_a_picture_asks_for_its_size():
    assert [action for action, form in FORMS.items() if form.pixels] == ["footprint_photo"]
    for form in FORMS.values():
        own = next(group for group in form.groups if not group.key)
        sizes = [field.key for field in own.fields if field.key in ("width", "height")]
        assert sizes == (["width", "height"] if form.pixels else []), form.action


def test_how_common_a_difference_is_stands_as_the_study_has_it():
    # livingston_2003, abstract: 56 % of 75 people had 4 degrees or more, 20 % more than 7; 11 + 14 had knee pain.
    four, seven = SHARES
    assert (four.line, four.line_at, 100 * four.people / four.of) == (4, "at_or_above", 56)
    assert (seven.line, seven.line_at, 100 * seven.people / seven.of) == (7, "above", 20)
    assert {(share.of, share.with_knee_pain) for share in SHARES} == {(75, 25)}
    assert [row["key"] for row in shares("rearfoot_angle_deg")] == [four.key, seven.key]
    assert shares("staheli_index") == ()


def test_a_dose_is_counted_or_timed_and_says_so_once():
    assert len({dose.key for dose in DOSES}) == len(DOSES)
    for dose in DOSES:
        assert re.fullmatch(r"[a-z0-9_]{1,40}", dose.drill), dose.key
        assert (dose.reps is None) is not (dose.seconds is None), dose.key
        assert dose.sides in ("both", "each", "alternate", "one", "not_stated"), dose.key
        assert dose.days_per_week is None or dose.every_days is None, dose.key
        assert dose.reps_to is None or dose.reps_to > dose.reps, dose.key
        assert dose.seconds_to is None or dose.seconds_to > dose.seconds, dose.key
        assert (dose.population == "none") is (dose.label == "common_practice"), dose.key
    assert {dose.drill for dose in doses_of("short_foot")} == {"short_foot"}
    assert {"towel_curl_big_toe", "towel_curl_lesser_toes", "point_and_dome"} <= set(DRILLS)


# As the sources have them: sets, repetitions or seconds, days a week, weeks.
@pytest.mark.parametrize(
    ("key", "says"),
    [
        ("short_foot_elsayed", {"sets": 3, "reps": 10, "days_per_week": 7, "weeks": 6}),
        ("short_foot_lynn", {"sets": 1, "reps": 100, "hold_s": 5, "days_per_week": 7, "weeks": 4}),
        ("ankle_inversion_band_spink", {"sets": 3, "reps": 10, "days_per_week": 3, "sides": "each"}),
        ("ankle_pull_up_hold_spink", {"sets": 3, "seconds": 10, "reps": None, "sides": "both"}),
        ("calf_stretch_spink", {"sets": 3, "seconds": 20, "sides": "each"}),
        ("toe_pick_up_spink", {"sets": 2, "reps": 20}),
        ("heel_raise_toes_up_fix_heel", {"reps": 8, "up_s": 3, "hold_s": 2, "down_s": 3, "rest_s": 120, "weeks": 8}),
        ("ball_roll_grabow", {"sets": 3, "seconds": 60, "rest_s": 60, "sides": "one"}),
        ("toe_spread_gooding", {"sets": 1, "reps": 40, "weeks": None}),
        ("mixed_programme_khamooshi", {"sets": 3, "reps": 20, "days_per_week": 3, "weeks": 8}),
        ("towel_curl_big_toe_usual", {"sets": 4, "seconds": 45, "seconds_to": 60, "sides": "alternate"}),
        ("point_and_dome_usual", {"sets": 4, "reps": 5, "reps_to": 6, "hold_s": 10, "sides": "both"}),
        ("short_foot_usual", {"sets": 3, "reps": 10, "hold_s": 5, "days_per_week": 5, "sides": "each"}),
        ("heel_raise_two_legs_spink", {"sets": 3, "reps": 10, "days_per_week": 3, "weeks": 26, "up_s": None}),
        ("heel_raise_two_legs_usual", {"sets": 3, "reps": 10, "up_s": 3, "hold_s": 2, "down_s": 3, "sides": "both"}),
        ("single_leg_stance_usual", {"sets": 3, "seconds": 20, "seconds_to": 30, "days_per_week": 3}),
        ("touch_point_usual", {"sets": 1, "seconds": 30, "seconds_to": 60, "days_per_week": 7, "sides": "each"}),
        ("touch_hand_usual", {"sets": 1, "seconds": 30, "seconds_to": 60, "days_per_week": 7, "sides": "each"}),
        ("touch_press_usual", {"sets": 1, "seconds": 30, "seconds_to": 60, "days_per_week": 7, "sides": "each"}),
    ],
)
def test_a_dose_stands_as_its_source_has_it(key, says):
    found = asdict(next(dose for dose in DOSES if dose.key == key))
    assert {name: found[name] for name in says} == says


def test_an_inch_is_25_4_millimetres_and_back():
    assert to_mm(1, "inch") == 25.4
    assert from_mm(25.4, "inch") == 1
    assert to_mm(3.5, "mm") == 3.5
    assert set(MM_PER) == {"mm", "inch"}


@pytest.mark.parametrize(
    "look_up",
    [
        lambda: to_mm(1, "cm"),
        lambda: from_mm(1, ""),
        lambda: rounded("mood", 1),
        lambda: source("nobody_1900"),
        lambda: table("nothing"),
        lambda: doses_of("juggling"),
    ],
)
def test_a_look_up_outside_its_table_is_refused(look_up):
    with pytest.raises(LookupError):
        look_up()
