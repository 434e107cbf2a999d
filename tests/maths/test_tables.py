"""The data tables: published rows as published, every key resolved, every look-up strict."""

import re
import tomllib
from dataclasses import asdict
from pathlib import Path

import pytest

from calculators.bands import ADULT_FROM_YEARS, BANDS, beside, position
from calculators.cautions import CAUTIONS, TIERS
from calculators.data import table
from calculators.footprint.indices import INDICES
from calculators.forms import FORMS
from calculators.results import DIGITS, REFUSAL_KEYS, rounded
from calculators.sources import SOURCES, source
from calculators.units import MM_PER, from_mm, to_mm

CASES = tomllib.loads((Path(__file__).parents[1] / "cases" / "bands.toml").read_text("utf-8"))
LABELS = {"published", "secondary", "from_memory", "common_practice"}


def named(key):
    return next(band for band in BANDS if band.key == key)


@pytest.mark.parametrize("row", CASES["row"], ids=[row["key"] for row in CASES["row"]])
def test_a_published_row_stands_as_its_source_has_it(row):
    found = asdict(named(row["key"]))
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
        assert band.unit == INDICES[band.index].unit
        assert band.label in LABELS
        assert band.validity in ("with_caution", "none", "said_in_abstract", "not_rated")


def test_every_source_key_resolves():
    used = {band.source for band in BANDS}
    used |= {key for index in INDICES.values() for key in index.sources}
    used |= {key for caution in CAUTIONS.values() for key in caution.basis}
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
    for band in BANDS:
        assert band.label == SOURCES[band.source].label, band.key


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
    assert set(DIGITS) == set(INDICES) | {"gap"}
    assert rounded("staheli_index", -0.0001) == 0
    assert str(rounded("staheli_index", -0.0001)) == "0.0"


def test_a_form_asks_for_known_kinds_within_sensible_limits():
    for action, form in FORMS.items():
        assert form.action == action
        assert {group.key for group in form.groups} >= set(form.one_of)
        for group in form.groups:
            keys = [field.key for field in group.fields]
            assert len(keys) == len(set(keys))
            assert all(rule.field in keys and rule.refusal in REFUSAL_KEYS for rule in group.rules)
            for field in group.fields:
                assert field.kind in ("length", "years")
                assert field.unit == {"length": "mm", "years": "years"}[field.kind]
                assert field.key.endswith("_mm" if field.kind == "length" else "_years")
                assert field.low < field.high
                assert field.step == {"length": 0.5, "years": 1}[field.kind]
                assert field.default is None or (field.low <= field.default <= field.high and not field.required)


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
    ],
)
def test_a_look_up_outside_its_table_is_refused(look_up):
    with pytest.raises(LookupError):
        look_up()
