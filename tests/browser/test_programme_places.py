"""The programme's page for everybody and everywhere: small screens, screen readers, paper, no scripts, no network."""

from __future__ import annotations

import re

import pytest
from browser import sheets
from browser.hosts import Host
from browser.on_paper import one_line, printed, small_print, text_of
from browser.programmes import ACTION, GROWING, ONE, TWO, filled, growing
from browser.sheets import PROGRAMME, ProgrammeSheet
from browser.sites import WORDS
from browser.states import wait_for_calculators_kept, wait_for_pages_kept
from playwright.sync_api import expect

SAY = WORDS[ACTION]


@pytest.mark.parametrize("width", [360, 640, 1280])
def test_it_is_accessible_and_fits_in_every_state_light_or_dark(visitor, host, width):
    page = visitor.open(host, PROGRAMME, viewport={"width": width, "height": 800})
    sheet = ProgrammeSheet(page)
    assert sheets.at_fault(page) == []
    sheet.press()
    expect(sheet.fault("blocks.0.parts.0.drill")).to_be_visible(timeout=30_000)
    assert sheets.at_fault(page) == []
    sheet.fill(GROWING)
    sheet.press()
    sheet.wait()
    page.evaluate("document.querySelectorAll('details').forEach((folded) => { folded.open = true; })")
    assert sheets.at_fault(page) == []


@pytest.mark.usefixtures("letters")
@pytest.mark.parametrize("paper", ["A4", "Letter"])
@pytest.mark.parametrize("given", [TWO, GROWING], ids=["one phase", "two phases"])
def test_it_prints_on_one_sheet_and_with_a_result_on_two(visitor, demo_site, imperial_site, paper, given):
    with Host(demo_site if paper == "A4" else imperial_site) as host:
        sheet = ProgrammeSheet(visitor.open(host, PROGRAMME))
        blank = printed(sheet.page)
        assert small_print(sheet.page) == []
        sheet.fill(given)
        sheet.press()
        sheet.wait()
        full = printed(sheet.page)
        assert small_print(sheet.page) == []
    assert (len(blank.pages), len(full.pages)) == (1, 2)
    empty, text = map(text_of, (blank, full))
    assert SAY["paper"]["amount"] in empty
    assert SAY["paper"]["amount"] not in text
    for said in (WORDS["drills"]["towel_curl_big_toe"], SAY["weeks_title"], WORDS["cautions"]["arch_changed"]["text"]):
        assert said in text


@pytest.mark.parametrize(("paper", "phases", "leaves"), [("A4", 3, 3), ("Letter", 6, 4)])
def test_a_long_programme_prints_each_phase_whole(visitor, demo_site, imperial_site, paper, phases, leaves):
    """Its heading, its blocks and its drawing on one sheet; what each week comes to in lines of a readable length."""
    with Host(demo_site if paper == "A4" else imperial_site) as host:
        sheet = ProgrammeSheet(visitor.open(host, PROGRAMME))
        given = growing(phases)
        sheet.fill(given)
        sheet.press()
        expect(sheet.part("weeks").locator("li")).to_have_count(phases, timeout=30_000)
        on_paper = [one_line(leaf.extract_text()) for leaf in printed(sheet.page).pages]
    assert len(on_paper) <= leaves
    for at, phase in enumerate(given["phases"], start=1):
        heading = SAY["phase_weeks_many"].format(number=at, weeks=phase["weeks"])
        (text,) = [leaf.partition(heading)[2] for leaf in on_paper if heading in leaf]
        own = text.partition(SAY["rows"]["phases"].format(number=at + 1))[0]
        for number in range(1, 4):
            assert SAY["plan_block"].partition(":")[0].format(number=number) in own, (at, number)
        assert f"{phase['blocks'][1]['parts'][0]['reps']} repetitions" in own
        # The drawing of 18 minutes and more has two lines, with a time at each mark.
        assert {"0:00", "15:00"} <= set(re.findall(r"\b\d+:00\b", own)), at
    (weeks,) = [leaf for leaf in on_paper if SAY["weeks_title"] in leaf]
    assert all(SAY["run_many"].format(first=first, last=last) in weeks for first, last in ((1, 2), (3, 5), (6, 9)))
    for leaf in on_paper:
        assert (SAY["weeks_axis"] in leaf) == (SAY["weeks_title"] in leaf), "the bars stand with their title"
    stop = next(leaf for leaf in on_paper if "When to stop" in leaf)
    assert "Stop for the day at any sharp pain" in stop
    assert "This is our own rule" in stop


def test_without_scripts_the_sheet_for_pencil_stands_there(visitor, host):
    page = visitor.open(host, PROGRAMME, java_script_enabled=False, viewport={"width": 360, "height": 740})
    expect(page.locator(".paper__plan")).to_be_visible()
    expect(page.locator("programme-volume form")).to_be_hidden()
    page.locator("dose-table summary").click()
    expect(page.locator("dose-table .doses").last).to_be_visible()
    assert sheets.fits(page)


def test_it_answers_offline_and_sends_nothing(visitor, host):
    visitor.expect("ERR_INTERNET_DISCONNECTED", "request failed")
    context = visitor.context()
    page = context.new_page()
    page.goto(host.url(PROGRAMME))
    wait_for_pages_kept(page)
    wait_for_calculators_kept(page)
    context.set_offline(True)
    page = context.new_page()
    page.goto(host.url(PROGRAMME))
    filled(ProgrammeSheet(page), ONE)
    assert {asked.method for asked in host.asked} <= {"GET", "HEAD"}
    assert not [asked.path for asked in host.asked if "towel_curl" in asked.path]


SCALE = "(drawn) => drawn.getBoundingClientRect().width / drawn.viewBox.baseVal.width"


def test_pictures_are_drawn_anew_for_another_width(visitor, host):
    page = visitor.open(host, PROGRAMME, viewport={"width": 1280, "height": 800})
    sheet = ProgrammeSheet(page)
    filled(sheet, GROWING)
    folded = sheet.card.locator("details").first
    folded.locator("summary").click()
    for width in (360, 1024):
        page.set_viewport_size({"width": width, "height": 800})
        for drawn in ("svg.session", "svg.weeks"):
            page.wait_for_function(
                "(drawn) => Math.abs((" + SCALE + ")(document.querySelector(drawn)) - 1) < 0.05", arg=drawn
            )
    assert folded.evaluate("(folded) => folded.open"), "what was opened stays open"
    assert sheets.fits(page)


def test_pictures_print_alike_from_a_telephone_and_from_a_desk(visitor, host):
    texts = []
    for width in (360, 1280):
        page = visitor.open(host, PROGRAMME, viewport={"width": width, "height": 800})
        sheet = ProgrammeSheet(page)
        filled(sheet, ONE)
        page.evaluate(
            """addEventListener("beforeprint", () => {
              globalThis.printed = document.querySelector("svg.session").viewBox.baseVal.width;
            })"""
        )
        printed(page)
        texts.append(page.evaluate("globalThis.printed"))
        page.wait_for_function("(" + SCALE + ")(document.querySelector('svg.session')) > 0.95")
    assert texts[0] == texts[1]
    assert 600 < texts[0] < 800, "as wide as a sheet of paper, at 96 pixels an inch"


def test_one_exercise_stands_in_one_frame(visitor, host):
    sheet = ProgrammeSheet(visitor.open(host, PROGRAMME, viewport={"width": 1280, "height": 800}))
    names = sheet.root.locator("form legend").filter(visible=True)
    expect(names).to_have_text([SAY["rows"]["parts"].format(number=1)])
    days, weeks = (sheet.field(key).bounding_box() for key in ("days_per_week", "phases.0.weeks"))
    assert days["y"] == weeks["y"]
    fields = [sheet.field(f"blocks.0.{key}") for key in ("sets", "sides", "rest_s", "change_s")]
    assert len({field.bounding_box()["y"] for field in fields}) == 1
    sheet.press()
    expect(sheet.status).to_contain_text(SAY["missing"]["drill"], timeout=30_000)
    expect(sheet.status).not_to_contain_text(SAY["rows"]["blocks"].format(number=1))
    sheet.add("parts", "blocks.0")
    expect(names.first).to_have_text(SAY["rows"]["blocks"].format(number=1))


def test_phases_have_no_frame_on_a_telephone(visitor, host):
    sheet = ProgrammeSheet(visitor.open(host, PROGRAMME, viewport={"width": 360, "height": 740}))
    sheet.add("phases")
    phase = sheet.row("phases.1")
    expect(phase).to_have_css("border-left-width", "0px")
    expect(phase).to_have_css("padding-left", "0px")
