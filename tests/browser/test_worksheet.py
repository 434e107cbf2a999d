"""The calculator as a person uses it: what is typed, what is shown, and what is said when something cannot be right."""

from __future__ import annotations

import re

import pytest
from browser import card, worksheet
from browser.hosts import Host
from browser.sites import WORDS
from browser.states import NO_IDLE
from browser.worksheet import BOTH, LEFT, RIGHT, Worksheet, answer
from playwright.sync_api import expect

from calculators.units import MM_PER

OPEN_PRINT = {"ball_mm": "88", "middle_mm": "0", "heel_mm": "57"}

# What is typed, by what is special about it. The numbers that should appear are worked out by the calculators here.
SHEETS = {
    "both feet": BOTH,
    "the left foot alone": {"left": LEFT},
    "the right foot alone": {"right": RIGHT},
    "an open print with its gap": {"left": {**OPEN_PRINT, "gap_mm": "24"}, "right": RIGHT},
    "an open print without its gap": {"left": OPEN_PRINT},
    "an adult": {**BOTH, "age_years": "41"},
    "a person of just 18": {**BOTH, "age_years": "18"},
    "a child of 7": {**BOTH, "age_years": "7"},
    "a child for whom no table is at hand": {"left": LEFT, "age_years": "2"},
    "own errors of ruler and edge": {**BOTH, "reading_mm": "1", "edge_mm": "0"},
    "commas as decimal signs": {"left": {"ball_mm": "90,5", "middle_mm": "36,25", "heel_mm": "60,0"}},
    "blanks around the numbers": {"left": {"ball_mm": " 90 ", "middle_mm": "36 ", "heel_mm": " 60"}},
    "the unit beside the number": {"left": {"ball_mm": "90 mm", "middle_mm": "36mm", "heel_mm": "60,5 mm"}},
    "a heel wider than the ball": {"left": {"ball_mm": "60", "middle_mm": "36", "heel_mm": "90"}},
}

# What is typed that cannot be right, and the field that should say so.
MISTAKES = {
    "a word": ({"left": {**LEFT, "middle_mm": "about 36"}}, "left.middle_mm"),
    "another unit beside the number": ({"right": {**RIGHT, "heel_mm": "6.2 cm"}}, "right.heel_mm"),
    "a sign below zero": ({"left": {**LEFT, "middle_mm": "-1"}}, "left.middle_mm"),
    "centimetres for millimetres": ({"left": {"ball_mm": "9", "middle_mm": "3.6", "heel_mm": "6"}}, "left.ball_mm"),
    "a heel out of all limits": ({"left": LEFT, "right": {**RIGHT, "heel_mm": "600"}}, "right.heel_mm"),
    "a middle wider than the ball": ({"left": LEFT, "right": {**RIGHT, "middle_mm": "95"}}, "right.middle_mm"),
    "a foot half measured": ({"left": LEFT, "right": {"ball_mm": "91", "heel_mm": "62"}}, "right.middle_mm"),
    "an age below zero": ({**BOTH, "age_years": "-3"}, "age_years"),
    "a wet edge of four centimetres": ({**BOTH, "edge_mm": "40"}, "edge_mm"),
    "a number with two points": ({"left": {**LEFT, "ball_mm": "9.0.1"}}, "left.ball_mm"),
}


@pytest.mark.parametrize("typed", SHEETS.values(), ids=SHEETS.keys())
def test_the_numbers_shown_are_those_of_the_calculators(sheet: Worksheet, typed):
    sheet.type(typed)
    sheet.press()
    assert card.wrong(sheet, typed) == []


INCHES = {
    "both feet in inches": {
        "left": {"ball_mm": "3.55", "middle_mm": "1.4", "heel_mm": "2.35"},
        "right": {"ball_mm": "3.6", "middle_mm": "1.6", "heel_mm": "2.45"},
    },
    "a gap and own errors in inches": {
        "left": {"ball_mm": "3.5", "middle_mm": "0", "heel_mm": "2.25", "gap_mm": "0.75"},
        "reading_mm": "0.03",
        "edge_mm": "0.1",
        "age_years": "30",
    },
}


@pytest.mark.parametrize("typed", INCHES.values(), ids=INCHES.keys())
def test_inches_are_turned_into_millimetres_and_back(visitor, imperial_site, typed):
    with Host(imperial_site) as host:
        sheet = Worksheet(visitor.open(host))
        sheet.type(typed)
        sheet.press()
        assert card.wrong(sheet, typed, MM_PER["inch"]) == []


def test_limits_are_told_in_the_unit_that_is_typed(visitor, imperial_site):
    typed = {"left": {"ball_mm": "90", "middle_mm": "36", "heel_mm": "60"}}
    refusal = answer(typed, MM_PER["inch"])["refusal"]
    with Host(imperial_site) as host:
        sheet = Worksheet(visitor.open(host))
        sheet.type(typed)
        sheet.press()
        said = sheet.fault("left.ball_mm")
        expect(said).to_be_visible(timeout=30_000)
        limits = [round(refusal[end]["value"] / MM_PER["inch"], 2) for end in ("low", "high")]
        assert [float(number) for number in card.numbers(said.inner_text())] == limits
        assert f"\u00a0{WORDS['units']['inch']['short']}." in said.inner_text()


@pytest.mark.parametrize(("typed", "where"), MISTAKES.values(), ids=MISTAKES.keys())
def test_a_mistake_is_told_beside_its_field_and_nothing_typed_is_lost(sheet: Worksheet, typed, where):
    sheet.type(typed)
    sheet.press()
    expect(sheet.fault(where)).to_be_visible(timeout=30_000)
    expect(sheet.fault(where)).to_have_text(_sentence(answer(typed)["refusal"]))
    expect(sheet.field(where)).to_have_attribute("aria-invalid", "true")
    expect(sheet.field(where)).to_have_accessible_description(sheet.fault(where).inner_text())
    expect(sheet.field(where)).to_be_focused()
    expect(sheet.root.locator(".field__fault:visible")).to_have_count(1)
    expect(sheet.card).to_be_hidden()
    assert sheet.typed() == worksheet.named(typed)


def test_without_a_press_the_message_comes_but_the_focus_stays(sheet: Worksheet):
    sheet.type({"left": {**LEFT, "middle_mm": "95"}})
    expect(sheet.fault("left.middle_mm")).to_be_visible(timeout=30_000)
    expect(sheet.field("left.heel_mm")).to_be_focused()


def test_a_mended_mistake_is_forgotten(sheet: Worksheet):
    sheet.type({"left": {**LEFT, "middle_mm": "95"}})
    sheet.press()
    expect(sheet.fault("left.middle_mm")).to_be_visible(timeout=30_000)
    sheet.field("left.middle_mm").fill(LEFT["middle_mm"])
    assert card.wrong(sheet, {"left": LEFT}) == []
    expect(sheet.fault("left.middle_mm")).to_be_hidden()
    assert sheet.root.locator("[aria-invalid]").count() == 0


def test_an_empty_sheet_asks_for_one_foot(sheet: Worksheet):
    sheet.press()
    expect(sheet.status).to_have_text(WORDS["footprint_widths"]["missing"]["left"], timeout=30_000)
    expect(sheet.card).to_be_hidden()


def test_a_complete_sheet_is_worked_out_without_a_press_and_follows_what_is_typed(sheet: Worksheet):
    sheet.type({"left": LEFT})
    assert card.wrong(sheet, {"left": LEFT}) == []
    sheet.type({"right": RIGHT})
    expect(sheet.part("difference")).to_be_visible()
    assert card.wrong(sheet, BOTH) == []
    sheet.field("right.heel_mm").fill("")
    expect(sheet.card).to_be_hidden()


def test_clear_empties_everything_and_goes_back_to_the_first_field(sheet: Worksheet):
    sheet.type({**BOTH, "age_years": "41"})
    sheet.press()
    sheet.wait()
    sheet.part("clear").click()
    assert sheet.typed() == {}
    expect(sheet.card).to_be_hidden()
    expect(sheet.status).to_have_text("")
    expect(sheet.field("left.ball_mm")).to_be_focused()


def test_the_gap_is_asked_for_only_where_the_middle_is_zero(sheet: Worksheet):
    gap = sheet.field("left.gap_mm")
    expect(gap).to_be_hidden()
    for zero in ("0", "0,0", "00"):
        sheet.field("left.middle_mm").fill(zero)
        expect(gap).to_be_visible()
    expect(sheet.field("right.gap_mm")).to_be_hidden()
    gap.fill("20")
    sheet.type({"left": LEFT})
    # What was typed into it is not sent while it is out of sight, and it is still there afterwards.
    assert card.wrong(sheet, {"left": LEFT}) == []
    sheet.field("left.middle_mm").fill("0")
    expect(gap).to_have_value("20")


def test_the_drawn_widths_stand_in_the_proportion_that_was_typed(sheet: Worksheet):
    sheet.type(BOTH)
    sheet.press()
    sheet.wait()
    for side, widths in BOTH.items():
        drawn = sheet.root.locator(f'[data-side="{side}"] .foot-drawing__width')
        labels, paths = drawn.locator("text").all_text_contents(), drawn.locator("path")
        lengths = []
        for at in range(paths.count()):
            start, end = re.match(r"M([\d.-]+) [\d.-]+H([\d.-]+)", paths.nth(at).get_attribute("d")).groups()
            lengths.append(float(end) - float(start))
        typed = [float(text) for text in widths.values()]
        assert [[float(number) for number in card.numbers(label)] for label in labels] == [[length] for length in typed]
        # Ends are rounded to a tenth of a unit of the drawing, in which the ball is some ninety units wide.
        assert lengths == pytest.approx([length / typed[0] * lengths[0] for length in typed], abs=0.25)


def test_a_result_always_carries_its_caution(sheet: Worksheet):
    sheet.type({"left": LEFT})
    sheet.press()
    sheet.wait()
    caution = sheet.card.locator(".result-card__caution")
    expect(caution).to_be_visible()
    for key in ("not_a_diagnosis", "arch_changed"):
        expect(caution).to_contain_text(WORDS["cautions"][key]["text"])


def _sentence(refusal: dict) -> str:
    """The words of a refusal on a metric site, with its limits in them."""
    limits = {end: f"{refusal[end]['value']:g}" for end in ("low", "high") if end in refusal}
    unit = WORDS["units"][refusal["low"]["unit"]]["short"] if "low" in refusal else ""
    return WORDS["refusals"][refusal["key"]].format(**limits, unit=unit)


@pytest.mark.parametrize("width", [360, 1280])
def test_a_field_that_waits_for_another_is_out_of_sight_on_a_small_screen_too(visitor, host, width):
    sheet = Worksheet(visitor.open(host, first=NO_IDLE, viewport={"width": width, "height": 740}))
    gap = sheet.field("left.gap_mm")
    expect(gap).to_be_hidden()
    sheet.field("left.middle_mm").fill("0")
    expect(gap).to_be_visible()
    expect(sheet.field("right.gap_mm")).to_be_hidden()
