"""The staff page that shows every part in every state: each sample stands there in the state that it is named for."""

from __future__ import annotations

from collections.abc import Iterator
from pathlib import Path

import pytest
from browser.conftest import Visitor
from browser.hosts import Host
from browser.sites import WORDS
from playwright.sync_api import Browser, Page, expect

from calculators.forms import FORMS
from treadleaf import places, samples

PAGE = "staff/every-part.html"
COMPONENTS = sorted(path for path in (places.templates() / "components").iterdir() if path.is_dir())
LISTS = {folder.name: samples.load(folder) for folder in COMPONENTS}
ALL = [(tag, sample) for tag, listed in LISTS.items() for sample in listed]
SHEETS = [(tag, sample) for tag, sample in ALL if tag.replace("-", "_") in FORMS]


def named(rows: list[tuple[str, samples.Sample]]) -> pytest.MarkDecorator:
    return pytest.mark.parametrize(("tag", "sample"), rows, ids=[f"{tag}.{sample.key}" for tag, sample in rows])


@pytest.fixture(scope="module")
def every(browser: Browser, demo_site: Path) -> Iterator[Page]:
    visitor = Visitor(browser)
    with Host(demo_site, prefix="/marrowby/") as host:
        # What is kept for offline use holds a list of the calculator's parts; here only what the page asks for counts.
        page = visitor.open(host, PAGE, service_workers="block")
        expect(page.locator("figure[id='programme-volume.curls'] .result-card")).to_be_visible()
        yield page
        asked = [request.path for request in host.asked]
    assert visitor.close() == []
    assert not [path for path in asked if "/runtime/" in path], "samples need no calculator"


def test_every_component_stands_on_the_page(every):
    placed = {figure.get_attribute("data-samples") for figure in every.locator("[data-samples]").all()}
    assert placed == set(LISTS) - {"part-samples"}


def test_every_reason_for_no_answer_has_a_sample():
    assert {sample.reason for _, sample in SHEETS if sample.reason} == set(WORDS["calculator"]["failed"])


def test_no_name_stands_twice(every):
    names = every.evaluate("[...document.querySelectorAll('[id]')].map(({ id }) => id)")
    assert len(names) == len(set(names))


@named(ALL)
def test_a_sample_has_its_title_and_is_found_by_its_name(every, tag, sample):
    figure = every.locator(f"figure[id='{tag}.{sample.key}']")
    expect(figure.locator("figcaption")).to_have_text(sample.title)
    assert every.locator(f"a[href='#{tag}.{sample.key}']").count() == 1


@named(SHEETS)
def test_a_calculator_stands_in_the_state_of_its_sample(every, tag, sample):
    figure = every.locator(f"figure[id='{tag}.{sample.key}']")
    card, status, retry = (figure.locator(f'[data-part="{name}"]') for name in ("result", "status", "retry"))
    rows = {row["key"]: row for row in samples.shown(places.templates() / "components" / tag, 1, 1)}
    answer = rows[sample.key].get("answer") if sample.client == "ready" else None
    expect(card).to_be_visible(visible=bool(answer and answer["ok"]))
    arriving = sample.client in ("loading", "starting")
    expect(figure.locator('[data-part="progress"]')).to_be_visible(visible=arriving)
    expect(retry).to_be_visible(visible=sample.client == "failed" and sample.reason != "too_old")
    faults = [text for text in figure.locator(".field__fault").all_inner_texts() if text]
    assert bool(faults) == bool(answer and not answer["ok"]), faults
    if sample.client == "failed":
        expect(status).to_have_text(WORDS["calculator"]["failed"][sample.reason])


def test_a_calculator_that_has_arrived_is_told_as_starting_and_its_bar_is_not_full(every):
    figure = every.locator("figure[id='footprint-widths.starting']")
    expect(figure.locator('[data-part="status"]')).to_have_text(WORDS["calculator"]["starting"])
    assert figure.locator("progress").evaluate("(bar) => bar.position") == -1
    loading = every.locator("figure[id='footprint-widths.loading'] progress")
    assert 0 < loading.evaluate("(bar) => bar.position") < 1


def test_a_refusal_is_told_in_the_ink_of_its_fault_and_no_news_is(every):
    def ink(key: str, part: str) -> str:
        told = every.locator(f"figure[id='programme-volume.{key}'] {part}").filter(visible=True).first
        return str(told.evaluate("(told) => getComputedStyle(told).color"))

    assert ink("too_long", '[data-part="status"]') == ink("too_long", ".field__fault")
    assert ink("curls", '[data-part="status"]') != ink("too_long", '[data-part="status"]')


def test_everything_that_is_ticked_has_one_size_large_enough_for_a_thumb(every):
    boxes = every.evaluate(
        """[...document.querySelectorAll("article :is([type=radio], [type=checkbox])")]
          .map((box) => box.getBoundingClientRect()).filter(({ width }) => width)
          .map(({ width, height }) => [width, height])"""
    )
    assert len({round(side, 1) for box in boxes for side in box}) == 1
    assert min(boxes[0]) >= 24


def test_what_a_form_pressed_empty_says_is_shown(every):
    expect(every.locator("figure[id='clinic-form.faults'] .clinic-form__fault").first).to_be_visible()
    expect(every.locator("figure[id='clinic-form.today'] input[type=text]").first).not_to_have_value("")
    assert every.evaluate("scrollY") == 0
