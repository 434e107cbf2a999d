"""Every drawing: small, plain, repeatable, as it was looked at, and with words that follow its pose."""

from __future__ import annotations

import re
from itertools import pairwise
from pathlib import Path

import pytest
from click.testing import CliRunner
from path_points import strokes

from treadleaf import colours
from treadleaf.audit import page as audit_page
from treadleaf.cli import main
from treadleaf.drawings import (
    DRAWINGS,
    draw,
    on_disk,
    phrases,
    scenes_cautions,
    table,
)
from treadleaf.drawings.geometry import Curve, Point
from treadleaf.drawings.scene import WIDTH
from treadleaf.drawings.strokes import LETTER_HEIGHT, Label, Mark

GOLDEN = Path(__file__).parents[1] / "cases" / "drawings"
LARGEST = 12_000
KEYS = list(DRAWINGS)
EXERCISES = ("dome-", "towel-curl-", "short-foot-", "heel-raise-", "single-leg-", "touch-")
SCREEN_LETTERS, PAPER_LETTERS = LETTER_HEIGHT, 25
"""In a picture's units: on an exercise sheet a picture is printed 62 mm wide, its letters no smaller than 12 pt."""


@pytest.mark.parametrize("key", KEYS)
def test_a_drawing_is_small_and_says_what_it_shows(key):
    drawing = draw(key)
    assert len(drawing.svg.encode()) < LARGEST
    assert len(on_disk.alone(key, on_disk.style(colours.shades("#2b5f6b"))).encode()) < LARGEST
    assert f'<title id="{key}-title">' in drawing.svg
    assert f'<desc id="{key}-desc">' in drawing.svg
    assert f'aria-labelledby="{key}-title" aria-describedby="{key}-desc"' in drawing.svg
    assert len(drawing.title) < 90 < len(drawing.title + drawing.description)
    assert "{" not in drawing.title + drawing.description


@pytest.mark.parametrize("key", KEYS)
def test_a_drawing_holds_only_what_a_page_may_hold(key):
    read = audit_page.read(f"<h1>A page</h1>{draw(key).svg}", (), ())
    assert (read.faults, read.addresses) == ([], [])
    assert "style" not in draw(key).svg, "colours come from classes"


@pytest.mark.parametrize("key", KEYS)
def test_nothing_lies_outside_the_picture(key):
    text = draw(key).svg
    width, height = map(float, re.search(r'viewBox="0 0 (\S+) (\S+)"', text).groups())
    assert width == WIDTH
    found = [point for data in re.findall(r' d="([^"]+)"', text) for stroke in strokes(data) for point in stroke]
    scene = DRAWINGS[key](table._words()["labels"])
    found += [point for one in scene.marks if isinstance(one, Label) for point in one.every_point()]
    assert len(found) > 20
    assert [point for point in found if not (0 <= point[0] <= width and 0 <= point[1] <= height)] == []


@pytest.mark.parametrize("key", KEYS)
def test_every_class_of_a_drawing_has_a_look(key, repo):
    style = (repo / "site_templates" / "styles" / "drawings.css").read_text("utf-8")
    kinds = {kind for row in re.findall(r'class="([^"]+)"', draw(key).svg) for kind in row.split()}
    # What holds for every text or line of a drawing is enough; the print style of the exercises hides what is minor.
    plain = {"draw-label", "draw-line", "draw-minor"}
    assert {kind for kind in kinds - plain if not re.search(rf"\.{kind}\b", style)} == set()


def _on_a_line(curve: Curve) -> list[Point]:
    """Points close together along a curve."""
    found, here = [curve.start], curve.start
    for piece in curve.pieces:
        run = [here, *piece]
        for step in range(1, 41):
            at = run
            while len(at) > 1:
                at = [one.plus(two.minus(one), step / 40) for one, two in pairwise(at)]
            found += at
        here = piece[-1]
    return found


def _within(point: Point, box: tuple[Point, Point]) -> bool:
    (left, top), (right, bottom) = box
    return left < point.x < right and top < point.y < bottom


@pytest.mark.parametrize("high", [SCREEN_LETTERS, PAPER_LETTERS])
@pytest.mark.parametrize("key", [key for key in KEYS if key.startswith(EXERCISES)])
def test_labels_of_an_exercise_have_room_on_a_screen_and_on_paper(key, high):
    """Each stays in the picture and clear of every line and every other label; on paper the minor ones are left out."""
    scene = DRAWINGS[key](table._words()["labels"])
    seen = [one for one in scene.marks if high == SCREEN_LETTERS or not one.minor]
    labels = [one for one in seen if isinstance(one, Label)]
    assert labels
    lines = [point for one in seen if isinstance(one, Mark) for curve in one.curves for point in _on_a_line(curve)]
    for label in labels:
        box = label.box(high)
        assert all(0 <= x <= WIDTH and 0 <= y <= scene.height for x, y in box), label.text
        assert [point for point in lines if _within(point, box)] == [], label.text
        others = [one.box(high) for one in labels if one is not label]
        assert not any(_overlap(box, other) for other in others), label.text


def _overlap(one: tuple[Point, Point], other: tuple[Point, Point]) -> bool:
    return all(one[0][way] < other[1][way] and other[0][way] < one[1][way] for way in (0, 1))


def test_what_is_minor_says_so_in_its_class():
    """A leader goes with its word: a picture has none, or a word and perhaps the lines that go with it."""
    for key in KEYS:
        minor = [one for one in DRAWINGS[key](table._words()["labels"]).marks if one.minor]
        assert draw(key).svg.count(" draw-minor") == len(minor)
        assert not minor or any(isinstance(one, Label) for one in minor)


@pytest.mark.parametrize("key", KEYS)
def test_a_drawing_is_the_one_that_was_looked_at(key, tmp_path):
    """A change is fine once somebody has looked at the new picture: then copy it."""
    made = tmp_path / f"{key}.svg"
    made.write_text(draw(key).svg.replace("><", ">\n<") + "\n", "utf-8")
    golden = GOLDEN / made.name
    look = f"look at it, then: cp {made} {golden}"
    assert golden.is_file(), look
    assert golden.read_text("utf-8") == made.read_text("utf-8"), look


def test_no_golden_picture_is_left_over():
    assert sorted(path.stem for path in GOLDEN.glob("*.svg")) == sorted(KEYS)


def test_the_same_bytes_are_written_each_time():
    first = {key: draw(key).svg for key in KEYS}
    draw.cache_clear()
    assert {key: draw(key).svg for key in KEYS} == first


@pytest.mark.parametrize(
    ("word", "key"),
    [
        (phrases.contact(0), "gap"),
        (phrases.contact(0.3), "narrow"),
        (phrases.contact(0.9), "wide"),
        (phrases.tilt(0), "tilt_none"),
        (phrases.tilt(-9), "tilt_in"),
        (phrases.tilt(9), "tilt_out"),
        (phrases.ankle(15), "foot_up"),
        (phrases.ankle(-40), "foot_down"),
        (phrases.toes((26, -70)), "toes_curled"),
        (phrases.toes((0, 0)), "toes_flat"),
        (phrases.toes((30, 0)), "toes_up"),
        (phrases.heel(0), "heel_down"),
        (phrases.heel(38), "heel_up"),
        (phrases.arch(2), "arch_low"),
        (phrases.ticks(0), "ticks_none"),
        (phrases.ticks(3 / 7), "ticks_some"),
        (phrases.ticks(7 / 7), "ticks_all"),
    ],
)
def test_the_words_follow_the_pose(word, key):
    assert word == key
    assert word in table._words()["phrases"]


def test_the_mark_on_the_pain_scale_is_where_its_words_say():
    assert f"At {scenes_cautions.STOP} a thick mark" in draw("pain-scale").description
    assert f"a mark at {scenes_cautions.STOP}:" in draw("pain-scale").title


def test_every_word_is_used():
    words = table._words()
    assert set(words["drawings"]) == set(KEYS)
    code = "".join(path.read_text("utf-8") for path in Path(table.__file__).parent.glob("*.py"))
    assert [key for part in ("labels", "phrases") for key in words[part] if f'"{key}"' not in code] == []


@pytest.fixture
def run():
    return lambda *words: CliRunner().invoke(main, [str(word) for word in words], prog_name="treadleaf")


def test_the_command_writes_every_drawing_and_one_sheet(run, tmp_path):
    out = tmp_path / "drawn"
    answer = run("drawings", "--out", out)
    assert answer.exit_code == 0
    assert sorted(path.name for path in out.iterdir()) == sorted(
        [*(f"{key}.svg" for key in KEYS), "contact-sheet.html"]
    )
    sheet = (out / "contact-sheet.html").read_text("utf-8")
    assert sheet.count("<svg ") == len(KEYS)
    assert not re.search(r"<script|<link|src=|url\(|@import|href=", sheet), "it loads nothing"
    first = {path.name: path.read_bytes() for path in out.iterdir()}
    assert run("drawings", "--out", out).exit_code == 0
    assert {path.name: path.read_bytes() for path in out.iterdir()} == first


def test_the_command_takes_the_clinics_colour(run, tmp_path, write):
    from treadleaf import site

    file = write(site.DEMO.read_text("utf-8").replace('logo = "marrowby.svg"\n', ""))
    colour = colours.shades(re.search(r'^colour = "(.+)"', file.read_text(), re.MULTILINE)[1])["clinic-text"]
    assert run("drawings", "--out", tmp_path / "drawn", "--clinic", file).exit_code == 0
    assert f"--accent:{colour}" in (tmp_path / "drawn" / f"{KEYS[0]}.svg").read_text("utf-8")


def test_the_command_leaves_a_folder_alone_that_holds_anything_else(run, tmp_path):
    (tmp_path / "thesis.txt").write_text("ten years of work")
    answer = run("drawings", "--out", tmp_path)
    assert (answer.exit_code, answer.stdout) == (1, "")
    assert "thesis.txt" in answer.stderr
    assert [path.name for path in tmp_path.iterdir()] == ["thesis.txt"]


def test_the_style_keeps_its_meaning_when_it_is_made_short():
    look = on_disk.style(colours.shades("#2b5f6b"))
    assert ".drawing :is(.draw-skin,.draw-thing,.draw-towel,.draw-body,.draw-far){fill:var(--ground)}" in look
    assert "prefers-color-scheme:dark" in look.replace(" ", "")
