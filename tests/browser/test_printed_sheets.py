"""The sheets on paper: how many leaves each takes in letters of two sizes, what stands on them, and many in one go."""

from __future__ import annotations

import pypdf
import pytest
from browser.hosts import Host
from browser.on_paper import EXERCISES, ONE, SHEETS, leaves, printed, sizes, small_print, squeezed, text_of
from browser.sites import HELP, WORDS
from browser.states import NO_IDLE
from playwright.sync_api import Page, expect

from treadleaf import clinic, site

PACK = "staff/print-pack.html"
LARGE_PT = 16


@pytest.fixture
def host(paper) -> Host:
    """The site of a clinic that prints on one of the papers."""
    return paper[0]


def in_large_letters(page: Page) -> Page:
    page.get_by_label(WORDS["print_bar"]["large"]).check()
    return page


def test_in_large_letters_a_check_or_an_exercise_takes_two_leaves_at_most(visitor, host):
    counted, small = {}, {}
    for path, page in visitor.tour(host, ONE):
        counted[path] = leaves(in_large_letters(page))
        if path in EXERCISES:
            small[path] = small_print(page, LARGE_PT)
    assert (len(counted), len(small)) == (len(ONE), len(EXERCISES))
    assert {path: many for path, many in counted.items() if many > 2} == {}
    assert {path: rows for path, rows in small.items() if rows} == {}


def test_large_letters_need_no_script(visitor, host):
    page = visitor.open(host, EXERCISES[0], java_script_enabled=False)
    usual = max(size for size, _ in sizes(printed(page)))
    large = max(size for size, _ in sizes(printed(in_large_letters(page))))
    assert large / usual == pytest.approx(16 / 12, rel=0.02)
    expect(page.locator("[data-print]")).to_be_hidden()


def test_an_exercise_on_paper_has_all_that_its_reader_needs(visitor, host):
    whose = clinic.load(site.DEMO)
    said, missing = WORDS["tick_grid"], {}
    for path, page in visitor.tour(host, EXERCISES):
        front = SHEETS[path]
        wanted = [
            whose.name,
            whose.telephone,
            WORDS["purpose"]["sentence"],
            f"{whose.site_address}{path}".partition("//")[2],
            said["title"],
            said["started"],
            *said["days"],
            *(said["week"].format(number=number) for number in (1, 2)),
            WORDS["doses"]["trial"],
            WORDS["doses"]["usual"],
            *(WORDS["cautions"][key]["text"] for key in front.cautions),
            *page.locator("h2").all_text_contents()[:1],
            *page.locator("figcaption").all_text_contents(),
        ]
        on_paper = squeezed(text_of(printed(page)))
        missing[path] = [text for text in wanted if squeezed(text) not in on_paper]
        assert page.locator(".drawing").count() >= 2, f"{path} shows how to start and where to end"
        assert page.locator(".tick-grid tbody td").count() == 14
    assert len(missing) == len(EXERCISES)
    assert {path: rows for path, rows in missing.items() if rows} == {}


def open_pack(visitor, host: Host, path: str = PACK, **context) -> Page:
    """The page that prints several, with a printer that only counts."""
    counter = "window.print = () => { window.printed = (window.printed ?? 0) + 1; };"
    return visitor.open(host, path, first=NO_IDLE + counter, **context)


def tick(page: Page, *addresses: str) -> None:
    for address in addresses:
        page.get_by_label(SHEETS[address].title, exact=True).check()


def press(page: Page) -> pypdf.PdfReader:
    page.locator("[data-part=print]").click()
    page.wait_for_function("() => window.printed === 1")
    return printed(page)


def test_several_sheets_print_in_one_go_each_as_it_prints_alone(visitor, host):
    """In the worst mix: a worksheet, an exercise, the signs, and a page to read."""
    chosen = [HELP, "checks/wet-print.html", "exercises/short-foot.html", "learn/how-an-arch-works.html"]
    alone = [printed(visitor.open(host, path, first=NO_IDLE)) for path in chosen]
    page = open_pack(visitor, host)
    tick(page, *chosen)
    together = press(page)
    assert len(together.pages) == sum(len(one.pages) for one in alone)
    text = squeezed(text_of(together))
    for path in chosen:
        assert squeezed(SHEETS[path].title) in text
        for key in SHEETS[path].cautions:
            assert squeezed(WORDS["cautions"][key]["text"]) in text
    assert text.count(squeezed(WORDS["purpose"]["sentence"])) == len(chosen)
    assert squeezed(WORDS["print_pack"]["lead"]) not in text
    repeated = page.evaluate(
        "() => { const ids = [...document.querySelectorAll('[id]')].map((one) => one.id);"
        " return ids.filter((id, at) => ids.indexOf(id) !== at); }"
    )
    assert repeated == []


def test_all_sheets_can_be_ticked_and_printed_in_large_letters(visitor, host):
    page = open_pack(visitor, host)
    page.locator("[data-part=all]").click()
    boxes = page.locator("fieldset input")
    assert boxes.count() == len([front for front in SHEETS.values() if front.door])
    page.locator("[data-part=none]").click()
    tick(page, EXERCISES[0])
    in_large_letters(page)
    reader = press(page)
    assert len(reader.pages) == 2
    assert max(size for size, _ in sizes(reader)) == pytest.approx(24, rel=0.02)


def test_nothing_ticked_prints_nothing_and_says_so(visitor, host):
    page = open_pack(visitor, host)
    page.locator("[data-part=print]").click()
    expect(page.locator("[data-part=status]")).to_have_text(WORDS["print_pack"]["choose"])
    assert page.evaluate("() => window.printed") is None


def test_a_sheet_that_cannot_be_fetched_is_named_and_nothing_is_printed(visitor, host):
    """Without a service worker, which would hand out the page it keeps instead of asking for it."""
    visitor.expect("ERR_FAILED", "registration blocked by Playwright")
    page = open_pack(visitor, host, service_workers="block")
    page.route("**/exercises/touch.html", lambda route: route.abort())
    tick(page, "exercises/touch.html", HELP)
    page.locator("[data-part=print]").click()
    title = SHEETS["exercises/touch.html"].title
    expect(page.locator("[data-part=status]")).to_have_text(WORDS["print_pack"]["failed"].format(titles=title))
    assert page.locator(".print-pack__sheet").count() == 0
    assert page.evaluate("() => window.printed") is None
    expect(page.get_by_label(title, exact=True)).to_be_checked()


def test_after_printing_the_page_is_itself_again(visitor, host):
    page = open_pack(visitor, host)
    tick(page, EXERCISES[0])
    press(page)
    page.evaluate("() => dispatchEvent(new Event('afterprint'))")
    assert page.locator(".print-pack__sheet").count() == 0
    assert squeezed(WORDS["print_pack"]["lead"]) in squeezed(text_of(printed(page)))
