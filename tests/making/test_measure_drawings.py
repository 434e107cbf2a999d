"""What `treadleaf measure footprint` draws: one print as a picture, many on a page, and never a photograph."""

from __future__ import annotations

import re
import sys

import pytest
from making import photographs
from path_points import strokes

from treadleaf.measuring import drawing, readable


def test_a_drawing_shows_lines_and_numbers_and_never_the_photograph(run_measure, spot, tmp_path):
    assert run_measure(spot, "--drawing", tmp_path / "out.svg").exit_code == 0
    text = (tmp_path / "out.svg").read_text("utf-8")
    assert not re.search(r"<image|<script|href=|url\(|data:|base64", text)
    assert "<title id=" in text
    assert "Arch index 0.24, from 0.22 to 0.26." in text.split("<desc")[1].split("</desc>")[0]
    assert text.count('class="draw-measured"') == 2, "ball and heel; the middle was not measured"
    assert text.count('class="draw-unseen"') == 2
    assert len(text) < 12_000


def test_with_a_sheet_a_drawing_is_to_scale(run_measure, spot, tmp_path, monkeypatch):
    stand_in = photographs.module()
    stand_in.footprint_photo = photographs.on_a_sheet
    monkeypatch.setitem(sys.modules, stand_in.__name__, stand_in)
    run_measure(spot, "--sheet", "a4", "--drawing", tmp_path / "floor.svg")
    text = (tmp_path / "floor.svg").read_text("utf-8")
    widths = [strokes(data)[0] for data in re.findall(r'class="draw-measured" d="([^"]+)"', text)]
    assert len(widths) == 3
    for one, other in widths:
        assert abs(other[0] - one[0]) == pytest.approx(50 * drawing._PER_MM, abs=0.6)
        assert other[1] == pytest.approx(one[1], abs=0.6), "square to the axis, which stands upright"
    ys = [width[0][1] for width in widths]
    assert ys[2] - ys[0] == pytest.approx(160 * drawing._PER_MM, abs=0.6), "the ball above, the heel below"
    assert "Ball 50\u00a0mm" in text
    assert "50\u00a0mm</text>" in text


def test_the_drawing_of_a_refused_picture_is_not_written(run_measure, tmp_path):
    assert run_measure(tmp_path / "none.jpg", "--drawing", tmp_path / "out.svg").exit_code == 1
    assert not (tmp_path / "out.svg").exists()


def test_a_place_that_cannot_be_written_is_told_and_the_numbers_are_not_lost(run_measure, spot, tmp_path):
    answer = run_measure(spot, "--drawing", tmp_path / "no" / "out.svg")
    assert answer.exit_code == 1
    assert "Arch index" in answer.stdout
    assert "mend:" in answer.stderr


def test_a_contact_sheet_shows_every_picture_and_loads_nothing(run_measure, spot, large, tmp_path):
    odd = tmp_path / "<b>odd & name.png"
    odd.write_bytes(spot.read_bytes())
    (tmp_path / "empty.jpg").touch()
    answer = run_measure(
        spot, tmp_path / "empty.jpg", odd, large, "--feet", "2", "--contact-sheet", tmp_path / "all.html"
    )
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


def test_the_same_pictures_make_the_same_pages(run_measure, spot, large, tmp_path):
    for name in ("one", "two"):
        run_measure(spot, large, "--contact-sheet", tmp_path / f"{name}.html")
        run_measure(spot, "--drawing", tmp_path / f"{name}.svg")
    for ending in ("html", "svg"):
        assert (tmp_path / f"one.{ending}").read_bytes() == (tmp_path / f"two.{ending}").read_bytes()
