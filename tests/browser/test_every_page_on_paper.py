"""Every page on both papers, printed in one tour: how many leaves it takes, what it says there, and how large."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass

import pytest
from browser.conftest import Visitor
from browser.hosts import Host
from browser.on_paper import (
    EXERCISES,
    ONE,
    READ,
    SHEETS,
    SMALLEST_PT,
    Sizes,
    below,
    printed,
    read,
    sizes,
    sources_hidden,
    squeezed,
)
from browser.sites import HELP, WORDS
from playwright.sync_api import Browser, Page

from calculators.cautions import CAUTIONS
from treadleaf import clinic, site


@dataclass(frozen=True)
class OnPaper:
    """One page as it prints, and the sizes of its letters again without the sources. The text has no blanks."""

    leaves: int
    text: str
    sizes: Sizes
    without_sources: Sizes
    has_sources: bool


@pytest.fixture(scope="module")
def pages(browser: Browser, paper: tuple[Host, str]) -> Iterator[dict[str, OnPaper]]:
    """Every page on one paper, by its path. Nothing may go wrong on the way."""
    visitor = Visitor(browser)
    yield {path: on_paper(page) for path, page in visitor.tour(paper[0])}
    assert visitor.close() == []


def on_paper(page: Page) -> OnPaper:
    reader = printed(page)
    text, found = read(reader)
    has_sources = page.locator(".sources").count() > 0
    with sources_hidden(page):
        without = sizes(printed(page)) if has_sources else found
    return OnPaper(len(reader.pages), squeezed(text), found, without, has_sources)


def test_every_check_and_exercise_prints_on_one_leaf_and_what_is_read_on_two_at_most(pages):
    assert (len(ONE), len(EXERCISES), len(READ)) == (11, 7, 8)
    counted = {path: pages[path].leaves for path in (*ONE, *READ)}
    assert {path: many for path, many in counted.items() if many > (1 if path in ONE else 2)} == {}


def test_each_page_prints_its_cautions_the_clinic_and_its_purpose(pages):
    whose = clinic.load(site.DEMO)
    assert set(SHEETS) == set(pages) - {"404.html"}
    missing = {}
    for path, page in pages.items():
        signs = [key for key in CAUTIONS if key.startswith("help_")] if path == HELP else []
        said = [WORDS["cautions"][key]["text"] for key in (*(SHEETS[path].cautions if path in SHEETS else ()), *signs)]
        said = [sentence.replace("{emergency}", whose.emergency.number) for sentence in said]
        wanted = (whose.name, whose.telephone, WORDS["purpose"]["sentence"], *said)
        missing[path] = [sentence for sentence in wanted if squeezed(sentence) not in page.text]
    assert {path: rows for path, rows in missing.items() if rows} == {}


def test_nothing_but_the_sources_is_printed_small(pages):
    """Sources are for whoever checks us, not for the reader of the sheet; all else can be read at arm's length."""
    small = {}
    for path, page in pages.items():
        if page.has_sources:
            assert min(size for size, _ in page.sizes) < SMALLEST_PT, "this test sees that sources are small"
        assert len(page.without_sources) > 8, path
        small[path] = below(SMALLEST_PT, page.without_sources)
    assert {path: rows for path, rows in small.items() if rows} == {}
