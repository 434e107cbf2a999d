"""`treadleaf measure footprint`: what it asks of the calculators, and what it prints of their answers."""

from __future__ import annotations

import json
import os
import re
import sys
from pathlib import Path

import pytest
from making import photographs

from calculators.forms import FORMS
from calculators.results import Refusal, quantity
from treadleaf.measuring import decode, footprint, readable

KEYS = {
    "schema", "picture", "ok", "foot", "scale", "corners", "axis", "toe_line", "areas", "indices", "lengths",
    "warnings",
}  # fmt: skip


@pytest.fixture
def asked(monkeypatch):
    """What the calculator was asked, picture by picture."""
    seen = []
    stand_in = photographs.module()
    monkeypatch.setattr(
        stand_in,
        "footprint_photo",
        lambda values, pixels: seen.append(values[""]) or photographs.answer(values, pixels),
    )
    monkeypatch.setitem(sys.modules, stand_in.__name__, stand_in)
    monkeypatch.setattr(footprint, "workers", lambda pictures: 1)
    return seen


def rows(answer):
    return [json.loads(row) for row in answer.stdout.splitlines()]


# -- one picture -------------------------------------------------------------------------------------------------------


def test_the_answer_to_a_picture_is_one_json_object(run_measure, spot):
    answer = run_measure(spot, "--json")
    (told,) = rows(answer)
    assert (answer.exit_code, answer.stderr) == (0, "")
    assert told.keys() == KEYS
    assert (told["schema"], told["picture"], told["ok"]) == (1, str(spot), True)
    assert told["axis"] == {"heel": [110.5, 321.0], "second_toe": None, "from": "fallback"}
    assert told["areas"] == {"forefoot": 100, "midfoot": 50, "heel": 80, "unit": "px2"}


def test_an_answer_is_in_the_pixels_of_the_picture_and_not_of_the_smaller_one(run_measure, asked, large):
    (told,) = rows(run_measure(large, "--json"))
    (given,) = asked
    assert (given["width"], given["height"]) == (1200, 1800)
    assert told["axis"]["heel"] == pytest.approx([1100, 3200], abs=3)
    assert told["areas"] == {"forefoot": 400, "midfoot": 200, "heel": 320, "unit": "px2"}
    assert told["indices"]["arch_index"]["value"] == 0.24


def test_points_are_given_in_the_pixels_of_the_picture_too(run_measure, asked, large):
    (told,) = rows(
        run_measure(
            large, "--json", "--sheet", "a4", "--corners", "10,20 2300,20 2300,3500 10,3500",
            "--axis", "1100,3000 1000,500", "--toe-line", "600,700 1100,650.5 1600,800",
        )
    )  # fmt: skip
    (given,) = asked
    assert given["corners"] == ((5, 10), (1150, 10), (1150, 1750), (5, 1750))
    assert given["axis"] == ((550, 1500), (500, 250))
    assert given["toe_line"] == ((300, 350), (550, 325.25), (800, 400))
    assert told["corners"] == [[10, 20], [2300, 20], [2300, 3500], [10, 3500]]
    assert told["axis"] == {"heel": [1100, 3000], "second_toe": [1000, 500], "from": "given"}
    assert told["toe_line"] == [[600, 700], [1100, 650.5], [1600, 800]]


@pytest.mark.parametrize(
    ("words", "fields"),
    [
        ([], {"foot": "auto", "feet": 1, "view": "floor", "sheet": "none"}),
        (["--foot", "left", "--view", "sole", "--age", "8.5"], {"foot": "left", "view": "sole", "age_years": 8.5}),
        (["--sheet", "card"], {"sheet": "card"}),
        (["--sheet", "210x297"], {"sheet_width_mm": 210, "sheet_height_mm": 297}),
        (["--sheet", "215.9X279.4"], {"sheet_width_mm": 215.9, "sheet_height_mm": 279.4}),
        (["--feet", "2"], {"feet": 2}),
        (["--threshold", "40"], {"threshold_percent": 40}),
    ],
)
def test_every_option_reaches_the_calculator(run_measure, asked, spot, words, fields):
    assert run_measure(spot, *words).exit_code == 0
    (given,) = asked
    assert {key: given[key] for key in fields} == fields


def test_no_field_of_the_form_is_without_an_option(run_measure):
    text = run_measure("--help").stdout
    names = {
        "width": "",
        "height": "",
        "age_years": "--age",
        "sheet_width_mm": "WxH",
        "sheet_height_mm": "WxH",
        "threshold_percent": "--threshold",
    }
    for field in FORMS["footprint_photo"].groups[0].fields:
        assert names.get(field.key, f"--{field.key.replace('_', '-')}") in text, field.key


@pytest.mark.parametrize(
    ("words", "says"),
    [
        ([], "PICTURE"),
        (["x.jpg", "--foot", "both"], "--foot"),
        (["x.jpg", "--sheet", "a5"], "'a5' is none of a4, letter, a3, card, scale, none, nor a width and height"),
        (["x.jpg", "--sheet", "20x30"], "--sheet: Type a number from 40 to 1,500"),
        (["x.jpg", "--corners", "1,2 3,4 5,6 7,8"], "--sheet: These corners belong to no sheet."),
        (["x.jpg", "--sheet", "a4", "--corners", "1,2 3,4"], "--corners: This needs 4 points"),
        (["x.jpg", "--axis", "1 2"], "--axis: This needs 2 points"),
        (["x.jpg", "--axis", "1,2,3 4,5"], "--axis: This needs 2 points"),
        (["x.jpg", "--axis", "heel toe"], "'heel toe' is not points"),
        (["x.jpg", "--axis", "nan,1 2,3"], "--axis: "),
        (["x.jpg", "--toe-line", "1,2"], "--toe-line: This needs 2 points"),
        (["x.jpg", "--age", "150"], "150.0 is not in the range 0<=x<=120"),
        (["x.jpg", "--feet", "3"], "--feet"),
        (["x.jpg", "--feet", "2", "--foot", "left"], "--foot: This goes with one foot"),
        (["x.jpg", "y.jpg", "--axis", "1,2 3,4"], "--axis goes with one picture"),
        (["x.jpg", "y.jpg", "--drawing", "out.svg"], "--drawing goes with one picture"),
        (["--drawing", "x.jpg", "y.jpg"], "must end with .svg"),
        (["--contact-sheet", "x.jpg", "y.jpg"], "must end with .html"),
    ],
)
def test_a_command_that_makes_no_sense_ends_with_2_and_writes_nothing(run_measure, tmp_path, monkeypatch, words, says):
    monkeypatch.chdir(tmp_path)
    answer = run_measure(*words)
    assert (answer.exit_code, answer.stdout) == (2, "")
    assert says in " ".join(answer.stderr.split())
    assert list(tmp_path.iterdir()) == []


def test_both_feet_come_as_two_prints(run_measure, spot):
    (told,) = rows(run_measure(spot, "--feet", "2", "--json"))
    assert told.keys() == {"schema", "picture", "ok", "prints"}
    assert [one.keys() for one in told["prints"]] == [KEYS - {"schema", "picture", "ok"}] * 2
    assert run_measure(spot, "--feet", "2").stdout.count("Arch index") == 2


def test_people_read_numbers_with_ranges_warnings_and_what_it_is_for(run_measure, spot):
    answer = run_measure(spot)
    text = " ".join(answer.stdout.split())
    said = readable.said()
    assert answer.exit_code == 0
    assert text.startswith(f"{spot} Left or right is not known. No size known: ratios and angles only.")
    assert "Arch index 0.24 0.22 to 0.26 most from the edge of the print" in text
    assert "Gamma angle 12.5° 10.0° to 15.0° most from the axis" in text
    assert "Chippaux-Smirak index 0.0 % 0.0 % to 0.0 % Gamma angle" in text, "what nothing moves has no cause"
    assert "Big-toe angle" not in text
    for sentence in (
        said["picture_warnings"]["axis_by_fallback"],
        said["picture_warnings"]["tilted"],
        said["purpose"]["sentence"],
        said["cautions"]["not_a_diagnosis"]["text"],
        said["cautions"]["arch_changed"]["text"],
    ):
        assert sentence in text


# -- what is refused ---------------------------------------------------------------------------------------------------


def test_a_picture_without_a_print_is_refused_with_its_key(run_measure, tmp_path):
    photographs.spot(box=(0, 0, 0, 0)).convert("L").point(lambda v: 200).save(tmp_path / "bare.jpg")
    answer = run_measure(tmp_path / "bare.jpg", "--json")
    (told,) = rows(answer)
    assert (answer.exit_code, told["ok"], told["refusal"]["key"]) == (1, False, "no_print")
    assert told.keys() == {"schema", "picture", "ok", "refusal"}
    text = " ".join(run_measure(tmp_path / "bare.jpg").stdout.split())
    assert f"Not measured. {readable.said()['picture_refusals']['no_print']}" in text
    assert readable.said()["purpose"]["sentence"] not in text, "no number, no caution"


def test_a_limit_is_told_in_the_pixels_of_the_picture(run_measure, tmp_path):
    photographs.spot(2400, 3600, (1200, 1200, 1220, 1230)).save(tmp_path / "small.png")
    (told,) = rows(run_measure(tmp_path / "small.png", "--json"))
    assert told["refusal"] == {"key": "print_too_small", "where": "pixels", "low": {"value": 40, "unit": "pixels"}}
    assert "must cover at least 40 pixels" in " ".join(run_measure(tmp_path / "small.png").stdout.split())


def test_every_refusal_can_be_told_in_words():
    of_files = set(readable.said()["picture_files"])
    code = "".join(Path(module.__file__).read_text("utf-8") for module in (decode, footprint))
    assert of_files == set(re.findall(r'(?:Refusal|_refuse)\("(\w+)"', code))
    tables = [set(readable.said()[table]) for table in ("refusals", "picture_refusals", "picture_files")]
    assert len(set.union(*tables)) == sum(map(len, tables)), "a key stands in one table only"
    for key in set.union(*tables):
        limits = quantity(1234567, "pixels"), quantity(50, "pixels")
        told = readable.refused(Refusal(key, "", *limits).plain())
        assert not re.search(r"[{}]", told), key
        assert told.count(". ") >= 1 or key in readable.said()["refusals"], f"{key}: what is wrong, and what to do"


def test_a_refused_picture_loses_none_of_the_others(run_measure, spot, large, tmp_path):
    (tmp_path / "words.jpg").write_text("no picture at all")
    os.mkfifo(tmp_path / "pipe.jpg")
    pictures = [spot, tmp_path / "words.jpg", tmp_path, tmp_path / "pipe.jpg", tmp_path / "none.jpg", large]
    answer = run_measure(*pictures, "--json")
    told = rows(answer)
    assert answer.exit_code == 1
    assert [row["picture"] for row in told] == [str(path) for path in pictures]
    assert [row.get("refusal", {}).get("key", "ok") for row in told] == [
        "ok", "picture_not_a_picture", "picture_not_a_file", "picture_not_a_file", "picture_missing", "ok",
    ]  # fmt: skip
    text = run_measure(*pictures)
    assert text.exit_code == 1
    assert [row for row in text.stdout.splitlines() if row in map(str, pictures)] == [str(path) for path in pictures]
    assert text.stdout.endswith("4 of 6 pictures not measured.\n")


def test_what_breaks_in_the_calculator_is_a_refusal_too(run_measure, spot, monkeypatch):
    stand_in = photographs.module()
    monkeypatch.setattr(stand_in, "footprint_photo", lambda values, pixels: 1 / 0)
    monkeypatch.setitem(sys.modules, stand_in.__name__, stand_in)
    (told,) = rows(run_measure(spot, "--json"))
    assert told["refusal"] == {"key": "internal", "where": ""}


def test_a_picture_for_which_there_is_no_memory_is_refused(run_measure, spot, monkeypatch):
    def full(path):
        raise MemoryError

    monkeypatch.setattr(decode, "picture", full)
    (told,) = rows(run_measure(spot, "--json"))
    assert told["refusal"]["key"] == "measuring_ended"


def test_every_index_has_a_name_and_its_unit_is_known():
    from calculators.footprint.photo_indices import PHOTO_INDICES

    assert set(readable.own()["indices"]) == set(PHOTO_INDICES)
    assert set(readable.own()["unit"]) == {index.unit for index in PHOTO_INDICES.values()}
