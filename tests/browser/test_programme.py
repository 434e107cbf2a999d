"""The programme on its page: rows added and taken away, what they add up to, what is drawn, and how it prints."""

from __future__ import annotations

import copy
import re

import pytest
from browser.programmes import ACTION, ARCHES, CURLS, GROWING, ONE, RAISES, TWO, filled
from browser.sheets import PROGRAMME, ProgrammeSheet, answer
from browser.sites import WORDS
from playwright.sync_api import expect

from calculators.doses import doses_of

SAY = WORDS[ACTION]

PROGRAMMES = {
    "one block": ONE,
    "two blocks, a gap, the right foot first": TWO,
    "repetitions with a load": {"days_per_week": 2, "weeks": 1, "blocks": [RAISES]},
    "two phases": GROWING,
}


@pytest.fixture(scope="module")
def worksheet():
    return ProgrammeSheet, PROGRAMME


def spoken(quantity):
    """A time as the card tells it."""
    minutes, seconds = divmod(quantity["value"], 60)
    hours, minutes = divmod(int(minutes), 60)
    said = [f"{hours}\u00a0h"] * (hours > 0) + [f"{minutes}\u00a0min"] * (minutes > 0)
    return " ".join(said + [f"{seconds:g}\u00a0s"] * (seconds > 0 or not said))


@pytest.mark.parametrize("given", PROGRAMMES.values(), ids=PROGRAMMES)
def test_each_session_is_told_in_one_sentence(sheet, given):
    result = filled(sheet, given)
    sessions = [phase["session"] for phase in result["phases"] or [result]] if result["phases"] else [result["session"]]
    lines = sheet.part("sessions").locator(".result-card__plain").all_text_contents()
    wanted = [
        SAY["plain_alike"].format(time=spoken(row["duration_s"]), each=spoken(row["working_s"]["left"]))
        for row in sessions
    ]
    assert lines == wanted


@pytest.mark.parametrize("given", PROGRAMMES.values(), ids=PROGRAMMES)
def test_the_drawn_work_is_that_of_the_timeline(sheet, given):
    """Bars of a foot, put together, are as long as it works; each is as wide as its step is long."""
    result = filled(sheet, given)
    timelines = [phase["timeline"] for phase in result["phases"]] if result["phases"] else [result["timeline"]]
    drawn = sheet.root.locator("svg.session")
    assert drawn.count() == len(timelines)
    for at, timeline in enumerate(timelines):
        rows = (
            drawn.nth(at)
            .locator("g > g > rect")
            .evaluate_all(
                "(all) => all.map((bar) => ['y', 'height', 'width'].map((name) => Number(bar.getAttribute(name))))"
            )
        )
        tallest = max(height for _, height, _ in rows)
        feet = {"both": 0.0, "left": 0.0, "right": 0.0}
        single = [height for _, height, _ in rows if height < tallest]
        for y, height, width in rows:
            both = height == tallest and (not single or height > min(single)) and _any_both(timeline)
            feet["both" if both else "left" if y < 10 else "right"] += width
        work = {"both": 0.0, "left": 0.0, "right": 0.0}
        for step in timeline:
            if step["kind"] == "work":
                work[step["side"]] += step["duration_s"]["value"]
        scale = sum(feet.values()) / sum(work.values())
        assert feet == pytest.approx({side: scale * seconds for side, seconds in work.items()}, abs=0.01)


def _any_both(timeline):
    return any(step["side"] == "both" for step in timeline)


@pytest.mark.parametrize("given", PROGRAMMES.values(), ids=PROGRAMMES)
def test_every_step_is_told_in_words_too(sheet, given):
    result = filled(sheet, given)
    timelines = [phase["timeline"] for phase in result["phases"]] if result["phases"] else [result["timeline"]]
    told = sheet.part("steps").locator("li").all_text_contents()
    steps = [step for timeline in timelines for step in timeline]
    assert len(told) == len(steps)
    for text, step in zip(told, steps, strict=True):
        start = step["start_s"]["value"]
        assert text.startswith(f"{int(start // 60)}:{int(start % 60):02}: ")
        assert spoken(step["duration_s"]) in text
        assert (WORDS["drills"][step["drill"]] if step["drill"] else SAY["kinds"][step["kind"]]) in text


def test_weeks_are_bars_with_numbers_and_changes_are_a_plain_record(sheet):
    result = filled(sheet, GROWING)
    bars = sheet.root.locator("svg.weeks rect").evaluate_all(
        "(all) => all.map((bar) => Number(bar.getAttribute('height')))"
    )
    seconds = [week["duration_s"]["value"] for week in result["weeks"]]
    assert bars == pytest.approx([max(bars) * one / max(seconds) for one in seconds], rel=1e-6)
    first, second = sheet.part("weeks").locator("li").all_inner_texts()
    assert SAY["no_earlier_week"] in first
    change = result["weeks"][2]["change"]
    duration, repetitions = change["duration_s"], change["repetitions"]["left"]
    assert f"+{spoken(duration['amount'])} (+{duration['percent']['value']:g}\u00a0%)" in second
    assert f"+{repetitions['amount']['value']} (+{repetitions['percent']['value']:g}\u00a0%)" in second
    assert SAY["no_verdict"] in sheet.card.inner_text()


def test_fewer_is_told_with_a_minus_and_nothing_new_as_nothing(sheet):
    less = copy.deepcopy(GROWING)
    less["phases"][1]["blocks"][1]["parts"][0]["reps"] = 8
    filled(sheet, less)
    assert "\u221220 each foot" not in sheet.part("weeks").inner_text()
    assert re.search("\u2212\\d+ \\(\u2212\\d", sheet.part("weeks").inner_text())
    same = copy.deepcopy(GROWING)
    same["phases"][1]["blocks"] = same["phases"][0]["blocks"]
    sheet.start_over()
    filled(sheet, same)
    assert SAY["unchanged"].format(before=2) in sheet.part("weeks").inner_text()


def test_doses_beside_it_are_those_of_its_own_exercises_and_no_others(sheet):
    filled(sheet, TWO)
    sheet.card.locator("summary", has_text=SAY["doses_title"]).click()
    expect(sheet.card.locator(".doses__note")).to_have_text(WORDS["doses"]["note"])
    shown = sheet.part("doses").locator("[data-drill]:visible")
    drills = shown.evaluate_all("(all) => all.map((row) => row.dataset.drill)")
    assert sorted(drills) == ["short_foot", "towel_curl_big_toe", "towel_curl_lesser_toes"]
    for drill in drills:
        row = sheet.part("doses").locator(f'[data-drill="{drill}"]')
        for dose in doses_of(drill):
            assert row.locator(f'a[href="#source-{dose.source}"]').count() >= 1
            listed = row.locator("li", has=sheet.page.locator(f'a[href="#source-{dose.source}"]')).first
            # What holds for most is said once, in the note above; the column says that a usual dose has no trial.
            marked = {"published": [], "common_practice": []}.get(dose.label, [WORDS["labels"][dose.label]])
            assert listed.locator(".label").all_text_contents() == marked
            usual = row.get_by_text(WORDS["doses"]["usual"], exact=True).count()
            assert usual == (1 if any(one.label == "common_practice" for one in doses_of(drill)) else 0)


def test_a_second_phase_starts_as_a_copy(sheet):
    sheet.fill(TWO)
    sheet.add("phases")
    for where in ("blocks.0.parts.1.drill", "blocks.0.sides", "blocks.1.parts.0.reps", "blocks.1.rest_s", "weeks"):
        first, second = (sheet.field(f"phases.{at}.{where}").input_value() for at in (0, 1))
        assert first == second != ""
    assert sheet.row("phases.1").evaluate("(row) => row.contains(document.activeElement)")


def test_what_is_taken_away_no_longer_counts(sheet):
    result = filled(sheet, {**ONE, "blocks": [CURLS, ARCHES]})
    sheet.row("blocks.1").locator('[data-remove="blocks"]').click()
    alone = answer(ACTION, ONE)["result"]["session"]
    assert alone["duration_s"] != result["session"]["duration_s"]
    expect(sheet.part("sessions")).to_contain_text(spoken(alone["duration_s"]), timeout=30_000)
    sheet.row("blocks.0.parts.1").locator("[data-remove]").click()
    less = answer(ACTION, {**ONE, "blocks": [{**CURLS, "parts": CURLS["parts"][:1]}]})["result"]["session"]
    expect(sheet.part("sessions")).to_contain_text(spoken(less["duration_s"]), timeout=30_000)
    expect(sheet.root.locator("form [data-remove]:visible")).to_have_count(0)


def test_every_field_has_a_name_of_its_own_after_adding_and_taking_away(sheet):
    sheet.fill(GROWING)
    sheet.add("parts", "phases.1.blocks.0")
    sheet.row("phases.0.blocks.0").locator('[data-remove="blocks"]').click()
    ids = sheet.page.evaluate("[...document.querySelectorAll('[id]')].map((element) => element.id)")
    assert len(ids) == len(set(ids))
    for field in sheet.root.locator("form [data-row] .field:visible").all():
        control = field.locator("input, select")
        assert field.locator(".field__label").get_attribute("for") == control.get_attribute("id")


MISTAKES = {
    "half a set": ({**ONE, "blocks": [{**CURLS, "sets": 2.5}]}, "blocks.0.sets", "not_whole"),
    "no sets": ({**ONE, "blocks": [{**CURLS, "sets": 0}]}, "blocks.0.sets", "out_of_limits"),
    "eight days": ({**ONE, "days_per_week": 8}, "days_per_week", "out_of_limits"),
    "a word": ({**ONE, "weeks": "six"}, "weeks", "not_a_number"),
    "repetitions without time": (
        {**ONE, "blocks": [{"parts": [{"drill": "short_foot", "reps": 10}], "sets": 1, "sides": "both"}]},
        "blocks.0.parts.0.up_s",
        "repetition_without_time",
    ),
    "below zero, in the second phase": (
        {**GROWING, "phases": [GROWING["phases"][0], {"weeks": 1, "blocks": [CURLS, {**ARCHES, "rest_s": -5}]}]},
        "phases.1.blocks.1.rest_s",
        "negative",
    ),
}


@pytest.mark.parametrize(("given", "where", "key"), MISTAKES.values(), ids=MISTAKES)
def test_a_mistake_is_told_beside_its_field(sheet, given, where, key):
    refusal = answer(ACTION, given)["refusal"]
    assert (refusal["key"], refusal["where"]) == (key, where)
    sheet.fill(given)
    sheet.press()
    fault = sheet.fault(where)
    expect(fault).to_be_visible(timeout=30_000)
    limits = {end: refusal[end]["value"] for end in ("low", "high") if end in refusal}
    unit = WORDS["units"][refusal["low"]["unit"]]["short"] if "low" in refusal else ""
    expect(fault).to_have_text(WORDS["refusals"][key].format(**limits, unit=unit))
    expect(sheet.field(where)).to_be_focused()
    expect(sheet.field(where)).to_have_attribute("aria-invalid", "true")
    expect(sheet.card).to_be_hidden()


WHOLES = {
    "a session of five hours": (
        {**ONE, "blocks": [{"parts": [{"drill": "calf_stretch", "seconds": 9000}], "sets": 1, "sides": "each"}]},
        "session_too_long",
    ),
    "too many steps": (
        {**ONE, "blocks": [{**CURLS, "parts": [{**part, "seconds": 1} for part in CURLS["parts"]], "sets": 80}]},
        "too_many_steps",
    ),
}


@pytest.mark.parametrize(("given", "key"), WHOLES.values(), ids=WHOLES)
def test_what_is_wrong_with_many_fields_together_is_told_at_their_list(sheet, given, key):
    refusal = answer(ACTION, given)["refusal"]
    assert refusal["key"] == key
    sheet.fill(given)
    sheet.press()
    said = WORDS["refusals"][key].format(high=refusal["high"]["value"])
    expect(sheet.root.locator(".field__fault:visible")).to_have_text(said, timeout=30_000)


def test_an_empty_sheet_is_not_worked_out_and_says_what_is_missing(sheet):
    sheet.press()
    expect(sheet.fault("blocks.0.parts.0.drill")).to_have_text(SAY["missing"]["drill"], timeout=30_000)


def test_clear_goes_back_to_one_empty_block(sheet):
    sheet.fill(GROWING)
    sheet.part("clear").click()
    assert sheet.root.locator("form [data-row]").count() == 3, "a phase, a block, an exercise"
    assert {
        field.input_value()
        for field in sheet.root.locator("form [data-row] [data-field]").locator("input, select").all()
    } == {""}
    expect(sheet.card).to_be_hidden()


def test_rows_are_added_and_taken_away_by_the_keyboard(sheet):
    add = sheet.root.locator('form [data-add="blocks"]')
    add.focus()
    sheet.page.keyboard.press("Enter")
    assert sheet.row("blocks.1").evaluate("(row) => row.contains(document.activeElement)")
    remove = sheet.row("blocks.1").locator('[data-remove="blocks"]')
    remove.focus()
    sheet.page.keyboard.press("Space")
    expect(sheet.row("blocks.1")).to_have_count(0)
    assert sheet.row("blocks.0").evaluate("(row) => row.contains(document.activeElement)")
