"""`treadleaf measure footprint`: what it asks of the calculators, and what it prints of their answers."""

from __future__ import annotations

import json
import os
import re
import sys
from pathlib import Path

import pytest
from click.testing import CliRunner
from making import dying, photographs
from path_points import strokes

from calculators.forms import FORMS
from calculators.results import Refusal, quantity
from treadleaf.cli import main
from treadleaf.measuring import decode, drawing, footprint, readable

KEYS = {
    "schema", "picture", "ok", "foot", "scale", "corners", "axis", "toe_line", "areas", "indices", "lengths",
    "warnings",
}  # fmt: skip


@pytest.fixture
def run(monkeypatch):
    """Run the command in this process, with a stand-in for the calculator."""
    photographs.put_in(monkeypatch)
    monkeypatch.setattr(footprint, "workers", lambda pictures: 1)
    return lambda *words: CliRunner().invoke(
        main, ["measure", "footprint", *(str(word) for word in words)], prog_name="treadleaf"
    )


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


@pytest.fixture
def spot(tmp_path):
    path = tmp_path / "spot.png"
    photographs.spot().save(path)
    return path


@pytest.fixture
def large(tmp_path):
    """Four times as large in both directions; it is halved before it is measured."""
    path = tmp_path / "large.jpg"
    photographs.spot(2400, 3600, (600, 400, 1600, 3200)).save(path, quality=95)
    return path


def rows(answer):
    return [json.loads(row) for row in answer.stdout.splitlines()]


# -- one picture -------------------------------------------------------------------------------------------------------


def test_the_answer_to_a_picture_is_one_json_object(run, spot):
    answer = run(spot, "--json")
    (told,) = rows(answer)
    assert (answer.exit_code, answer.stderr) == (0, "")
    assert told.keys() == KEYS
    assert (told["schema"], told["picture"], told["ok"]) == (1, str(spot), True)
    assert told["axis"] == {"heel": [110.5, 321.0], "second_toe": None, "from": "fallback"}
    assert told["areas"] == {"forefoot": 100, "midfoot": 50, "heel": 80, "unit": "px2"}


def test_an_answer_is_in_the_pixels_of_the_picture_and_not_of_the_smaller_one(run, asked, large):
    (told,) = rows(run(large, "--json"))
    (given,) = asked
    assert (given["width"], given["height"]) == (1200, 1800)
    assert told["axis"]["heel"] == pytest.approx([1100, 3200], abs=3)
    assert told["areas"] == {"forefoot": 400, "midfoot": 200, "heel": 320, "unit": "px2"}
    assert told["indices"]["arch_index"]["value"] == 0.24


def test_points_are_given_in_the_pixels_of_the_picture_too(run, asked, large):
    (told,) = rows(
        run(
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
    ],
)
def test_every_option_reaches_the_calculator(run, asked, spot, words, fields):
    assert run(spot, *words).exit_code == 0
    (given,) = asked
    assert {key: given[key] for key in fields} == fields


def test_no_field_of_the_form_is_without_an_option(run):
    text = run("--help").stdout
    names = {"width": "", "height": "", "age_years": "--age", "sheet_width_mm": "WxH", "sheet_height_mm": "WxH"}
    for field in FORMS["footprint_photo"].groups[0].fields:
        assert names.get(field.key, f"--{field.key.replace('_', '-')}") in text, field.key


@pytest.mark.parametrize(
    ("words", "says"),
    [
        ([], "PICTURE"),
        (["x.jpg", "--foot", "both"], "--foot"),
        (["x.jpg", "--sheet", "a5"], "'a5' is none of a4, letter, a3, card, none, nor a width and height"),
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
def test_a_command_that_makes_no_sense_ends_with_2_and_writes_nothing(run, tmp_path, monkeypatch, words, says):
    monkeypatch.chdir(tmp_path)
    answer = run(*words)
    assert (answer.exit_code, answer.stdout) == (2, "")
    assert says in " ".join(answer.stderr.split())
    assert list(tmp_path.iterdir()) == []


def test_both_feet_come_as_two_prints(run, spot):
    (told,) = rows(run(spot, "--feet", "2", "--json"))
    assert told.keys() == {"schema", "picture", "ok", "prints"}
    assert [one.keys() for one in told["prints"]] == [KEYS - {"schema", "picture", "ok"}] * 2
    assert run(spot, "--feet", "2").stdout.count("Arch index") == 2


def test_people_read_numbers_with_ranges_warnings_and_what_it_is_for(run, spot):
    answer = run(spot)
    text = " ".join(answer.stdout.split())
    said = readable.said()
    assert answer.exit_code == 0
    assert text.startswith(f"{spot} Left or right is not known. No size known: ratios and angles only.")
    assert "Arch index 0.24 0.22 to 0.26 most from the edge of the print" in text
    assert "Gamma angle 12.5° 10.0° to 15.0° most from the axis" in text
    for sentence in (
        said["picture_warnings"]["axis_by_fallback"],
        said["picture_warnings"]["tilted"],
        said["purpose"]["sentence"],
        said["cautions"]["not_a_diagnosis"]["text"],
        said["cautions"]["arch_changed"]["text"],
    ):
        assert sentence in text


# -- what is refused ---------------------------------------------------------------------------------------------------


def test_a_picture_without_a_print_is_refused_with_its_key(run, tmp_path):
    photographs.spot(box=(0, 0, 0, 0)).convert("L").point(lambda v: 200).save(tmp_path / "bare.jpg")
    answer = run(tmp_path / "bare.jpg", "--json")
    (told,) = rows(answer)
    assert (answer.exit_code, told["ok"], told["refusal"]["key"]) == (1, False, "no_print")
    assert told.keys() == {"schema", "picture", "ok", "refusal"}
    text = " ".join(run(tmp_path / "bare.jpg").stdout.split())
    assert f"Not measured. {readable.said()['picture_refusals']['no_print']}" in text
    assert readable.said()["purpose"]["sentence"] not in text, "no number, no caution"


def test_a_limit_is_told_in_the_pixels_of_the_picture(run, tmp_path):
    photographs.spot(2400, 3600, (1200, 1200, 1220, 1230)).save(tmp_path / "small.png")
    (told,) = rows(run(tmp_path / "small.png", "--json"))
    assert told["refusal"] == {"key": "print_too_small", "where": "pixels", "low": {"value": 40, "unit": "pixels"}}
    assert "at least 40 pixels long" in " ".join(run(tmp_path / "small.png").stdout.split())


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


def test_a_refused_picture_loses_none_of_the_others(run, spot, large, tmp_path):
    (tmp_path / "words.jpg").write_text("no picture at all")
    os.mkfifo(tmp_path / "pipe.jpg")
    pictures = [spot, tmp_path / "words.jpg", tmp_path, tmp_path / "pipe.jpg", tmp_path / "none.jpg", large]
    answer = run(*pictures, "--json")
    told = rows(answer)
    assert answer.exit_code == 1
    assert [row["picture"] for row in told] == [str(path) for path in pictures]
    assert [row.get("refusal", {}).get("key", "ok") for row in told] == [
        "ok", "picture_not_a_picture", "picture_not_a_file", "picture_not_a_file", "picture_missing", "ok",
    ]  # fmt: skip
    text = run(*pictures)
    assert text.exit_code == 1
    assert [row for row in text.stdout.splitlines() if row in map(str, pictures)] == [str(path) for path in pictures]
    assert text.stdout.endswith("4 of 6 pictures not measured.\n")


def test_what_breaks_in_the_calculator_is_a_refusal_too(run, spot, monkeypatch):
    stand_in = photographs.module()
    monkeypatch.setattr(stand_in, "footprint_photo", lambda values, pixels: 1 / 0)
    monkeypatch.setitem(sys.modules, stand_in.__name__, stand_in)
    (told,) = rows(run(spot, "--json"))
    assert told["refusal"] == {"key": "internal", "where": ""}


def test_a_picture_for_which_there_is_no_memory_is_refused(run, spot, monkeypatch):
    def full(path):
        raise MemoryError

    monkeypatch.setattr(decode, "picture", full)
    (told,) = rows(run(spot, "--json"))
    assert told["refusal"]["key"] == "measuring_ended"


# -- many pictures -----------------------------------------------------------------------------------------------------


def test_many_pictures_are_measured_by_several_processes_in_their_order(tmp_path, monkeypatch):
    monkeypatch.setattr(footprint, "measure", dying.measure)
    paths = [tmp_path / f"{number}.jpg" for number in range(12)]
    found = list(footprint.measure_all(paths, {"foot": "left"}, 2))
    assert [one["result"] for one in found] == [path.name for path in paths]
    assert all(one["asked"] == {"foot": "left"} for one in found)
    assert os.getpid() not in {one["by"] for one in found}


def test_a_process_that_the_system_ends_costs_its_own_picture_only(tmp_path, monkeypatch):
    monkeypatch.setattr(footprint, "measure", dying.measure)
    names = ["a.jpg", "deadly.jpg", "b.jpg", "c.jpg"]
    found = list(footprint.measure_all([tmp_path / name for name in names], {}, 2))
    assert [one.get("result") for one in found] == ["a.jpg", None, "b.jpg", "c.jpg"]
    assert found[1] == {"ok": False, "refusal": {"key": "measuring_ended", "where": ""}}


def test_there_are_no_more_processes_than_pictures_or_cores():
    assert footprint.workers(1) == 1
    assert 1 <= footprint.workers(1000) <= (os.cpu_count() or 1)


def test_files_are_refused_by_the_real_thing_in_several_processes(tmp_path, monkeypatch):
    """Without a stand-in, from the command down to the file: what is no picture never reaches the calculator."""
    monkeypatch.setattr(footprint, "workers", lambda pictures: 2)
    (tmp_path / "empty.jpg").touch()
    words = ["measure", "footprint", str(tmp_path / "empty.jpg"), str(tmp_path), str(tmp_path / "no.jpg"), "--json"]
    answer = CliRunner().invoke(main, words, prog_name="treadleaf")
    assert [row["refusal"]["key"] for row in rows(answer)] == ["picture_empty", "picture_not_a_file", "picture_missing"]
    assert answer.exit_code == 1


def test_whoever_stops_listening_is_not_kept(tmp_path, monkeypatch):
    monkeypatch.setattr(footprint, "measure", dying.measure)
    asking = footprint.measure_all([tmp_path / f"{number}.jpg" for number in range(50)], {}, 2)
    assert next(asking)["ok"]
    asking.close()


def test_progress_is_shown_on_a_terminal_and_nowhere_else(run, spot, large, monkeypatch):
    assert run(spot, large).stderr == ""
    from treadleaf.measuring import command

    class Terminal:
        @staticmethod
        def isatty():
            return True

        def __init__(self):
            self.text = ""

        def write(self, text):
            self.text += text

        def flush(self):
            pass

    terminal = Terminal()
    monkeypatch.setattr(command.sys, "stderr", terminal)
    with command._progress(2) as step:
        step()
        step()
    assert "2/2" in terminal.text
    with command._progress(1) as step:
        step()
    assert "1/1" not in terminal.text, "one picture needs no bar"


# -- drawings ----------------------------------------------------------------------------------------------------------


def test_a_drawing_shows_lines_and_numbers_and_never_the_photograph(run, spot, tmp_path):
    assert run(spot, "--drawing", tmp_path / "out.svg").exit_code == 0
    text = (tmp_path / "out.svg").read_text("utf-8")
    assert not re.search(r"<image|<script|href=|url\(|data:|base64", text)
    assert "<title id=" in text
    assert "Arch index 0.24, from 0.22 to 0.26." in text.split("<desc")[1].split("</desc>")[0]
    assert text.count('class="draw-measured"') == 2, "ball and heel; the middle was not measured"
    assert text.count('class="draw-unseen"') == 2
    assert len(text) < 12_000


def test_with_a_sheet_a_drawing_is_to_scale_and_upright_though_the_camera_looked_from_the_side(
    run, spot, tmp_path, monkeypatch
):
    stand_in = photographs.module()
    stand_in.footprint_photo = photographs.on_a_sheet
    monkeypatch.setitem(sys.modules, stand_in.__name__, stand_in)
    corners = "40,330 205,300 180,60 60,45"
    run(spot, "--sheet", "a4", "--corners", corners, "--drawing", tmp_path / "floor.svg")
    run(spot, "--sheet", "a4", "--corners", corners, "--view", "sole", "--drawing", tmp_path / "sole.svg")
    drawn = {name: (tmp_path / f"{name}.svg").read_text("utf-8") for name in ("floor", "sole")}
    for text in drawn.values():
        widths = [strokes(data)[0] for data in re.findall(r'class="draw-measured" d="([^"]+)"', text)]
        assert len(widths) == 3
        for one, other in widths:
            assert abs(other[0] - one[0]) == pytest.approx(50 * drawing._PER_MM, abs=0.6)
            assert other[1] == pytest.approx(one[1], abs=0.6), "square to the axis, which stands upright"
        ys = [width[0][1] for width in widths]
        assert ys[2] - ys[0] == pytest.approx(160 * drawing._PER_MM, abs=0.6), "the ball above, the heel below"
        assert "Ball 50\u00a0mm" in text
        assert "50\u00a0mm</text>" in text
    tangents = {
        name: strokes(re.search(r'class="draw-line" d="([^"]+)"', text)[1])[0][0][0] for name, text in drawn.items()
    }
    assert tangents["floor"] > tangents["sole"] + 40 * drawing._PER_MM, "a sole is turned over into a print"


def test_the_drawing_of_a_refused_picture_is_not_written(run, tmp_path):
    assert run(tmp_path / "none.jpg", "--drawing", tmp_path / "out.svg").exit_code == 1
    assert not (tmp_path / "out.svg").exists()


def test_a_place_that_cannot_be_written_is_told_and_the_numbers_are_not_lost(run, spot, tmp_path):
    answer = run(spot, "--drawing", tmp_path / "no" / "out.svg")
    assert answer.exit_code == 1
    assert "Arch index" in answer.stdout
    assert "mend:" in answer.stderr


def test_a_contact_sheet_shows_every_picture_and_loads_nothing(run, spot, large, tmp_path):
    odd = tmp_path / "<b>odd & name.png"
    odd.write_bytes(spot.read_bytes())
    (tmp_path / "empty.jpg").touch()
    answer = run(spot, tmp_path / "empty.jpg", odd, large, "--feet", "2", "--contact-sheet", tmp_path / "all.html")
    page = (tmp_path / "all.html").read_text("utf-8")
    assert answer.exit_code == 1
    assert page.count("<svg ") == 3
    assert page.count('class="refused"') == 1
    assert readable.said()["picture_files"]["picture_empty"] in page
    assert "<b>odd" not in page
    assert "3 of 4 pictures measured." in page
    assert not re.search(r"<script|<link|<img|src=|url\(|@import|href=|data:", page)
    assert len(set(re.findall(r' id="([^"]+)"', page))) == len(re.findall(r' id="', page)), "each id stands once"
    assert readable.said()["purpose"]["sentence"] in page


def test_the_same_pictures_make_the_same_pages(run, spot, large, tmp_path):
    for name in ("one", "two"):
        run(spot, large, "--contact-sheet", tmp_path / f"{name}.html")
        run(spot, "--drawing", tmp_path / f"{name}.svg")
    for ending in ("html", "svg"):
        assert (tmp_path / f"one.{ending}").read_bytes() == (tmp_path / f"two.{ending}").read_bytes()
