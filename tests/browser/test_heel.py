"""The heel angle on its page: what is typed, what is drawn and said, and how it prints."""

from __future__ import annotations

import re
from decimal import ROUND_HALF_UP, Decimal

import pytest
from browser import card, sheets
from browser.hosts import Host
from browser.on_paper import one_line, printed, small_print
from browser.sheets import HEEL, HeelSheet, answer
from browser.sites import WORDS
from browser.states import wait_for_calculators_kept, wait_for_pages_kept
from playwright.sync_api import expect

from calculators.results import DIGITS

ACTION = "heel_angle"
SAY = WORDS[ACTION]
BOTH = {"left": {"angle_deg": 5.5, "direction": "outward"}, "right": {"angle_deg": 2, "direction": "inward"}}

SHEETS = {
    "outward and inward": BOTH,
    "a difference within the error": {
        "left": {"angle_deg": 3, "direction": "outward"},
        "right": {"angle_deg": 6, "direction": "outward"},
    },
    "alike": {"left": {"angle_deg": 4, "direction": "inward"}, "right": {"angle_deg": 4, "direction": "inward"}},
    "the left alone": {"left": {"angle_deg": 7.25, "direction": "outward"}},
    "straight without an angle": {"right": {"direction": "straight"}},
    "nought without a direction": {"left": {"angle_deg": 0}, "right": {"angle_deg": 1, "direction": "inward"}},
    "an error of one's own": {**BOTH, "sem_deg": 3},
}

MISTAKES = {
    "no direction": ({"left": {"angle_deg": 5}}, "left.direction", SAY["missing"]["direction"]),
    "no angle": ({"right": {"direction": "inward"}}, "right.angle_deg", SAY["missing"]["angle_deg"]),
    "a tilted straight": (
        {"left": {"angle_deg": 5, "direction": "straight"}},
        "left.direction",
        WORDS["refusals"]["straight_needs_zero"],
    ),
    "the wrong side of the protractor": (
        {"left": {"angle_deg": 175, "direction": "outward"}},
        "left.angle_deg",
        WORDS["refusals"]["out_of_limits"].format(low=0, high=45, unit="°"),
    ),
    "a word": (
        {"left": {"angle_deg": "five", "direction": "outward"}},
        "left.angle_deg",
        WORDS["refusals"]["not_a_number"],
    ),
}


def shown(degrees: float, places: int = DIGITS["rearfoot_angle_deg"].page) -> str:
    """The size of an angle as the card shows it: no more decimals than a page has of this measure."""
    return f"{Decimal(abs(degrees)).quantize(Decimal(10) ** -places, ROUND_HALF_UP):f}".rstrip("0").rstrip(".")


def numbers(text: str) -> list[float]:
    return [float(number) for number in card.numbers(text)]


@pytest.fixture(scope="module")
def worksheet():
    return HeelSheet, HEEL


@pytest.mark.parametrize("given", SHEETS.values(), ids=SHEETS)
def test_the_card_says_what_the_calculator_says(sheet, given):
    sheet.work_out(given)
    result = answer(ACTION, given)["result"]
    for side in ("left", "right"):
        line = sheet.part(f"plain-{side}")
        if result[side] is None:
            expect(line).to_be_hidden()
            continue
        angle = result[side]["rearfoot_angle_deg"]
        said = SAY["plain"][angle["direction"]].format(side=WORDS["sides"][side], value=shown(angle["value"]))
        expect(line).to_have_text(said)
    ranges = [row[end] for row in _angles(result) for end in ("value", "low", "high")]
    assert card.numbers(sheet.part("ranges").text_content()) == [shown(end) for end in ranges]
    angle = _angles(result)[0]
    about = SAY["range_of"][angle["range_of"]].format(value=shown((angle["high"] - angle["low"]) / 2))
    assert about in sheet.part("sure").text_content()


@pytest.mark.parametrize("given", SHEETS.values(), ids=SHEETS)
def test_a_difference_stands_beside_its_limit_and_how_common_it_is(sheet, given):
    sheet.work_out(given)
    difference = answer(ACTION, given)["result"]["difference"]
    if difference is None:
        expect(sheet.part("difference")).to_be_hidden()
        return
    limit = difference["limit_95_deg"]
    further = card.numbers(sheet.part("more-outward").inner_text())
    assert further == ([shown(difference["value"])] if difference["value"] else [])
    text = sheet.part("limit").inner_text()
    assert SAY["limit"][limit["ruled_by"]].format(value=shown(limit["value"])) in text
    assert SAY["limit"]["larger" if difference["larger_than_limit"] else "not_larger"] in text
    assert SAY["basis"][limit["sem"]["basis"]].format(value=f"{limit['sem']['value']:g}") in text
    common = sheet.part("common").inner_text()
    for share in difference["how_common"]:
        row = {key: share[key]["value"] for key in ("people", "of", "line")}
        assert SAY["how_common"][share["line_at"]].format(**row) in common
        assert sheet.part("common").locator(f'a[href="#source-{share["source"]}"]').count() == 1
    assert "%" not in sheet.card.inner_text(), "an angle crosses zero, so it has no percentage"


@pytest.mark.parametrize("given", SHEETS.values(), ids=SHEETS)
def test_the_sum_has_every_number_as_exact_as_the_calculator(sheet, given):
    sheet.work_out(given)
    result = answer(ACTION, given)["result"]
    sem = given.get("sem_deg", 2)
    wanted = [[row["value"], 1.96, sem, row["low"], row["high"]] for row in _angles(result)]
    difference = result["difference"]
    if difference:
        limit = difference["limit_95_deg"]
        wanted.append([*(row["value"] for row in _angles(result)), difference["value"]])
        wanted.append([1.96, 2, limit["sem"]["value"], limit["value"]])
    told = sheet.part("sums").locator("li").all_text_contents()
    # Two heels are joined by a minus, which is no sign of the second.
    assert [numbers(row.replace(" \u2212 ", " ")) for row in told] == wanted


def test_two_numbers_that_would_read_alike_are_shown_as_exactly_as_they_were_compared(sheet):
    given = {"left": {"angle_deg": 5.49, "direction": "outward"}, "right": {"angle_deg": 0}}
    sheet.work_out(given)
    difference = answer(ACTION, given)["result"]["difference"]
    limit = difference["limit_95_deg"]["value"]
    assert shown(difference["value"]) == shown(limit)
    assert numbers(sheet.part("more-outward").inner_text()) == [difference["value"]]
    assert numbers(sheet.part("limit").inner_text())[0] == limit


def test_the_references_of_a_card_are_numbered_as_they_are_met(sheet):
    sheet.work_out(BOTH)
    met = list(dict.fromkeys(sheet.page.locator(".reference a").all_text_contents()))
    assert met == sorted(met, key=int)
    sizes = sheet.page.locator(".reference a:visible").evaluate_all(
        "(all) => all.map((link) => link.getBoundingClientRect()).map(({ width, height }) => Math.min(width, height))"
    )
    assert len(sizes) > 5
    assert min(sizes) >= 24


@pytest.mark.parametrize("given", SHEETS.values(), ids=SHEETS)
def test_each_heel_is_drawn_with_its_own_tilt_to_its_own_side(sheet, given):
    sheet.work_out(given)
    lines = sheet.root.locator(".result-card .heel-drawing__heel-line")
    turns = [
        re.match(r"rotate\((\S+)", text)[1]
        for text in lines.evaluate_all("(all) => all.map((line) => line.getAttribute('transform'))")
    ]
    result = answer(ACTION, given)["result"]
    # A turn above nought moves the bottom of a line to the left, which is outward for the left foot alone.
    signs = [1 if side == "left" else -1 for side in ("left", "right") if result[side]]
    wanted = [sign * row["value"] for sign, row in zip(signs, _angles(result), strict=True)]
    assert [float(turn) for turn in turns] == wanted


@pytest.mark.parametrize(("given", "where", "said"), MISTAKES.values(), ids=MISTAKES)
def test_a_mistake_is_told_beside_its_field(sheet, given, where, said):
    sheet.fill(given)
    sheet.press()
    expect(sheet.fault(where)).to_have_text(said, timeout=30_000)
    marked = sheet.place(where).locator("xpath=descendant-or-self::*[@aria-invalid]")
    expect(marked).to_have_count(1)
    assert sheet.place(where).evaluate("(place) => place.contains(document.activeElement)")
    expect(sheet.card).to_be_hidden()


def test_an_empty_sheet_asks_for_one_heel(sheet):
    sheet.press()
    expect(sheet.status).to_have_text(SAY["missing"]["left"], timeout=30_000)


def test_a_whole_sheet_is_worked_out_unasked_and_half_a_one_is_left_in_peace(sheet):
    sheet.fill({"left": BOTH["left"]})
    sheet.wait()
    sheet.field("right.angle_deg").fill("2")
    expect(sheet.card).to_be_hidden()
    expect(sheet.root.locator(".field__fault:visible")).to_have_count(0)
    sheet.fill({"right": BOTH["right"]})
    sheet.wait()
    expect(sheet.part("difference")).to_be_visible()


def test_the_keyboard_alone_is_enough(sheet):
    sheet.field("left.angle_deg").focus()
    keyboard = sheet.page.keyboard
    keyboard.type("5.5")
    keyboard.press("Tab")
    keyboard.press("Space")
    keyboard.press("ArrowRight")
    keyboard.press("Enter")
    sheet.wait()
    assert numbers(sheet.part("plain-left").inner_text()) == [5.5]
    assert SAY["directions"]["inward"] in sheet.part("plain-left").inner_text()


def test_a_result_always_carries_its_caution(sheet):
    sheet.fill({"left": {"direction": "straight"}})
    sheet.press()
    sheet.wait()
    for key in ("not_a_diagnosis", "arch_changed"):
        expect(sheet.card.locator(".result-card__caution")).to_contain_text(WORDS["cautions"][key]["text"])


@pytest.mark.parametrize("width", [360, 640, 1280])
def test_it_is_accessible_and_fits_in_every_state_light_or_dark(visitor, host, width):
    page = visitor.open(host, HEEL, viewport={"width": width, "height": 800})
    sheet = HeelSheet(page)
    assert sheets.at_fault(page) == []
    sheet.fill(MISTAKES["no direction"][0])
    sheet.press()
    expect(sheet.fault("left.direction")).to_be_visible(timeout=30_000)
    assert sheets.at_fault(page) == []
    sheet.work_out(BOTH)
    assert sheets.at_fault(page) == []


@pytest.mark.usefixtures("letters")
@pytest.mark.parametrize("paper", ["A4", "Letter"])
def test_it_prints_on_one_sheet_and_with_a_result_on_two(visitor, demo_site, imperial_site, paper):
    with Host(demo_site if paper == "A4" else imperial_site) as host:
        sheet = HeelSheet(visitor.open(host, HEEL))
        blank = printed(sheet.page)
        assert small_print(sheet.page) == []
        sheet.work_out(BOTH)
        full = printed(sheet.page)
        assert small_print(sheet.page) == []
    assert (len(blank.pages), len(full.pages)) == (1, 2)
    text = one_line(full.pages[1].extract_text())
    for said in (SAY["sure_title"], SAY["sum_title"], WORDS["cautions"]["arch_changed"]["text"]):
        assert said in text


def test_it_answers_offline_and_sends_nothing(visitor, host):
    visitor.expect("ERR_INTERNET_DISCONNECTED", "request failed")
    context = visitor.context()
    page = context.new_page()
    page.goto(host.url(HEEL))
    wait_for_pages_kept(page)
    wait_for_calculators_kept(page)
    context.set_offline(True)
    page = context.new_page()
    page.goto(host.url(HEEL))
    sheet = HeelSheet(page)
    sheet.work_out(BOTH)
    assert {asked.method for asked in host.asked} <= {"GET", "HEAD"}
    assert not [asked.path for asked in host.asked if "5.5" in asked.path]


def _angles(result):
    return [result[side]["rearfoot_angle_deg"] for side in ("left", "right") if result[side]]
