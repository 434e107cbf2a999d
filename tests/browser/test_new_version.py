"""A new version of the site is offered, never forced, and the old one stays whole until it is taken."""

from __future__ import annotations

import time
from pathlib import Path

import pytest
from browser import card, device, sites
from browser.hosts import Host
from browser.sites import CHECK, HELP, WORDS
from browser.states import NO_IDLE, PATIENCE_MS, wait_for_calculators_kept, wait_for_pages_kept
from browser.worksheet import BOTH, LEFT, Worksheet
from playwright.sync_api import Page, expect

from treadleaf import offline

OLD, NEW = "Steps of the first version", "Steps of the second version"
STRAPLINE = ".clinic-header__strapline"


@pytest.fixture(scope="module")
def versions(tmp_path_factory: pytest.TempPathFactory) -> tuple[Path, Path]:
    """Two sites of one clinic that differ in one sentence of its file."""
    folder = tmp_path_factory.mktemp("versions")
    built = [
        sites.build(sites.clinic(folder / f"clinic-{at}", strapline=words), folder / f"site-{at}")
        for at, words in enumerate((OLD, NEW))
    ]
    return built[0], built[1]


@pytest.fixture
def published(versions, tmp_path):
    """A host of the first version, and a call that publishes the second over it."""
    folder = sites.copy(versions[0], tmp_path / "published")
    with Host(folder) as host:
        yield host, lambda: sites.copy(versions[1], folder)


def offer(page: Page):
    return page.get_by_text(WORDS["new_version"]["offer"])


def look_for_a_new_version(page: Page) -> None:
    """What the browser does by itself at a visit, done now."""
    page.evaluate("async () => void (await (await navigator.serviceWorker.getRegistration()).update())")


def test_the_offer_appears_on_an_open_page_and_taking_it_shows_the_new_version(visitor, published):
    host, publish = published
    page = visitor.open(host, "index.html")
    wait_for_pages_kept(page)
    expect(offer(page)).to_be_hidden()
    publish()
    look_for_a_new_version(page)
    expect(offer(page)).to_be_visible()
    expect(page.locator(STRAPLINE)).to_have_text(OLD)
    page.get_by_role("button", name=WORDS["new_version"]["take"]).click()
    expect(page.locator(STRAPLINE)).to_have_text(NEW)
    expect(offer(page)).to_be_hidden()


def test_not_taking_it_keeps_the_old_version_whole(visitor, published):
    visitor.expect("request failed: .*ERR_ABORTED")  # leaving a page ends what it was fetching
    host, publish = published
    page = visitor.open(host, "index.html")
    wait_for_pages_kept(page)
    publish()
    look_for_a_new_version(page)
    expect(offer(page)).to_be_visible()
    for path in (CHECK, HELP, "index.html"):
        page.goto(host.url(path))
        expect(page.locator(STRAPLINE)).to_have_text(OLD)
        expect(offer(page)).to_be_visible()
    page.goto(host.url(CHECK))
    sheet = Worksheet(page)
    sheet.type(BOTH)
    sheet.press()
    assert card.wrong(sheet, BOTH) == []


@pytest.mark.parametrize("width", [360, 1280])
def test_the_offer_is_large_enough_to_read_hides_nothing_and_can_wait(visitor, published, width):
    host, publish = published
    page = visitor.open(host, "index.html", viewport={"width": width, "height": 740})
    wait_for_pages_kept(page)
    publish()
    look_for_a_new_version(page)
    bar = page.locator("[data-update-offer]")
    sizes = bar.evaluate("(bar) => [...bar.children].map((part) => parseFloat(getComputedStyle(part).fontSize))")
    assert min(sizes) >= 16
    assert bar.bounding_box()["y"] + bar.bounding_box()["height"] == pytest.approx(740, abs=1), "in sight at the top"
    page.evaluate("scrollTo(0, document.documentElement.scrollHeight)")
    end = page.locator("footer").bounding_box()
    assert end["y"] + end["height"] <= bar.bounding_box()["y"] + 1
    page.get_by_role("button", name=WORDS["new_version"]["later"]).click()
    expect(bar).to_have_count(0)
    page.goto(host.url(HELP))
    expect(offer(page)).to_be_visible()


def take(page: Page) -> None:
    page.get_by_role("button", name=WORDS["new_version"]["take"]).click()


def test_the_offer_is_out_of_sight_while_something_runs(visitor, published):
    """A calculation here, held by a file that does not come; marks and timers will say it in the same way."""
    visitor.expect("request failed: .*ERR_ABORTED")
    host, publish = published
    page = visitor.open(host, first=NO_IDLE)
    wait_for_pages_kept(page)
    publish()
    look_for_a_new_version(page)
    expect(offer(page)).to_be_visible()
    sheet = Worksheet(page)
    with host.holding(".wasm.gz"):
        sheet.type({"left": LEFT})
        sheet.press()
        expect(offer(page)).to_be_hidden()
    assert card.wrong(sheet, {"left": LEFT}) == []
    expect(offer(page)).to_be_visible()


def test_taking_it_where_something_is_typed_asks_first(visitor, published):
    host, publish = published
    page = visitor.open(host, first=NO_IDLE)
    wait_for_pages_kept(page)
    publish()
    look_for_a_new_version(page)
    sheet = Worksheet(page)
    sheet.field("left.ball_mm").fill("90")
    take(page)
    expect(page.get_by_text(WORDS["new_version"]["typed"])).to_be_visible()
    assert sheet.typed() == {"left.ball_mm": "90"}
    expect(page.locator(STRAPLINE)).to_have_text(OLD)
    take(page)
    expect(page.locator(STRAPLINE)).to_have_text(NEW, timeout=2 * PATIENCE_MS)


def test_a_page_in_use_keeps_the_others_from_taking_it(visitor, published):
    host, publish = published
    used = visitor.open(host, first=NO_IDLE)
    wait_for_pages_kept(used)
    other = used.context.new_page()
    other.goto(host.url("index.html"))
    Worksheet(used).field("left.ball_mm").fill("90")
    publish()
    look_for_a_new_version(other)
    take(other)
    expect(other.get_by_text(WORDS["new_version"]["elsewhere"])).to_be_visible()
    expect(used.locator(STRAPLINE)).to_have_text(OLD)
    sheet = Worksheet(used)
    sheet.type({"left": LEFT})
    sheet.press()
    assert card.wrong(sheet, {"left": LEFT}) == []
    sheet.part("clear").click()
    used.wait_for_timeout(300)  # no person is quicker than the fields are emptied
    take(other)
    for page in (other, used):  # nothing is lost on the one that is free now: it goes along
        expect(page.locator(STRAPLINE)).to_have_text(NEW)


def test_an_older_version_can_be_published_again(visitor, published, versions):
    host, publish = published
    page = visitor.open(host, "index.html")
    wait_for_pages_kept(page)
    publish()
    look_for_a_new_version(page)
    take(page)
    expect(page.locator(STRAPLINE)).to_have_text(NEW)
    sites.copy(versions[0], host.folder)
    look_for_a_new_version(page)
    take(page)
    expect(page.locator(STRAPLINE)).to_have_text(OLD)
    wait_for_pages_kept(page)
    host.stop()
    visitor.expect(*device.SILENCE)
    page.goto(host.url(HELP))
    expect(page.locator(STRAPLINE)).to_have_text(OLD)


def test_a_version_that_was_taken_back_before_anybody_took_it_is_not_offered(visitor, published, versions):
    host, publish = published
    page = visitor.open(host, "index.html")
    wait_for_pages_kept(page)
    publish()
    look_for_a_new_version(page)
    expect(offer(page)).to_be_visible()
    sites.copy(versions[0], host.folder)
    look_for_a_new_version(page)
    page.goto(host.url(HELP))
    wait_for_pages_kept(page)
    page.wait_for_timeout(1500)
    expect(offer(page)).to_be_hidden()


def test_taking_the_offline_copy_back_empties_the_device_and_pages_go_on(visitor, published):
    """What is typed stays; a page on which nothing is typed is shown anew, from the host."""
    host, _ = published
    used = visitor.open(host)
    wait_for_calculators_kept(used)
    reading = used.context.new_page()
    reading.goto(host.url("index.html"))
    sheet = Worksheet(used)
    sheet.type({"left": LEFT})
    (host.folder / "service-worker.js").write_text(sites.switched_off(), "utf-8")
    with reading.expect_navigation():
        look_for_a_new_version(reading)
    device.expect_kept(reading, "nothing")
    assert reading.evaluate("caches.keys()") == []
    assert sheet.typed() == {f"left.{key}": text for key, text in LEFT.items()}
    assert card.wrong(sheet, {"left": LEFT}) == []
    host.asked.clear()
    reading.goto(host.url(HELP))
    assert HELP in host.paths()


def test_what_is_being_typed_is_not_lost_when_a_new_version_comes(visitor, published):
    host, publish = published
    sheet = Worksheet(visitor.open(host))
    wait_for_calculators_kept(sheet.page)
    sheet.type({"left": LEFT})
    publish()
    look_for_a_new_version(sheet.page)
    expect(offer(sheet.page)).to_be_visible()
    assert sheet.typed() == {f"left.{key}": text for key, text in LEFT.items()}
    assert card.wrong(sheet, {"left": LEFT}) == []


def test_the_next_visit_after_closing_every_page_shows_the_new_version(visitor, published):
    host, publish = published
    page = visitor.open(host, "index.html")
    context = page.context
    wait_for_pages_kept(page)
    publish()
    look_for_a_new_version(page)
    expect(offer(page)).to_be_visible()
    page.close()
    again = context.new_page()
    deadline = time.monotonic() + PATIENCE_MS / 1000
    while again.goto(host.url("index.html")) and time.monotonic() < deadline:
        if again.locator(STRAPLINE).inner_text() == NEW:
            break
        again.goto("about:blank")  # a visit that comes at once may find the change still under way
        again.wait_for_timeout(500)
    expect(again.locator(STRAPLINE)).to_have_text(NEW)


def test_python_is_not_downloaded_again_for_a_new_version_of_the_pages(visitor, published):
    host, publish = published
    page = visitor.open(host)
    wait_for_calculators_kept(page)
    publish()
    look_for_a_new_version(page)
    expect(offer(page)).to_be_visible()
    before = len(host.asked)
    page.get_by_role("button", name=WORDS["new_version"]["take"]).click()
    expect(page.locator(STRAPLINE)).to_have_text(NEW)
    wait_for_calculators_kept(page)
    large = [path for path in host.paths()[before:] if path.startswith("runtime/") and path.endswith((".gz", ".js"))]
    assert large == []


def test_a_half_published_version_is_not_taken(visitor, published):
    """While files are still being copied to the host, lists and files do not fit: the old version stays."""
    host, publish = published
    page = visitor.open(host, "index.html")
    wait_for_pages_kept(page)
    old = (host.folder / HELP).read_bytes()
    publish()
    (host.folder / HELP).write_bytes(old)
    visitor.expect("ServiceWorker|Service Worker|service-worker")
    look_for_a_new_version(page)
    page.wait_for_timeout(1500)
    expect(offer(page)).to_be_hidden()
    page.goto(host.url(HELP))
    expect(page.locator(STRAPLINE)).to_have_text(OLD)
    publish()
    look_for_a_new_version(page)
    expect(offer(page)).to_be_visible()


def test_calculators_that_are_kept_stay_kept_with_a_version_that_has_others(visitor, published):
    visitor.expect(*device.SILENCE)
    host, _ = published
    page = device.keep_everything(visitor.context(), host)
    manifest = host.folder / "runtime" / "manifest.json"
    old = sites.runtime_file(host.folder, "calculators")
    new = old.with_name("calculators.0123456789ab.zip.gz")
    old.rename(new)
    manifest.write_text(manifest.read_text("utf-8").replace(old.name, new.name), "utf-8")
    offline.put(host.folder)
    look_for_a_new_version(page)
    expect(offer(page)).to_be_visible(timeout=PATIENCE_MS)
    take(page)
    expect(offer(page)).to_be_hidden(timeout=PATIENCE_MS)
    device.expect_kept(page, "all")
    host.stop()
    device.works(page.context, host)
