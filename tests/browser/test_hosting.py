"""The files for the web host do what they say, and the site works on hosts of many kinds."""

from __future__ import annotations

import gzip
import http.client
import json
import tempfile
from collections.abc import Callable, Iterator
from contextlib import contextmanager
from pathlib import Path

import pytest
from browser import card, servers, sites
from browser.hosts import Host
from browser.sites import CHECK, WORDS
from browser.states import NO_IDLE, wait_for_calculators_kept, wait_for_pages_kept
from browser.worksheet import BOTH, Worksheet
from playwright.sync_api import BrowserContext, Page, expect

from treadleaf import hosting, policy, serving

# With the server gone; and what a page that is left at once gives up.
CUT = (r"ERR_CONNECTION_REFUSED", r"ERR_FAILED", "fetching the script", r"logo\.svg net::ERR_ABORTED")
ABORTED = "request failed: .*ERR_ABORTED"
PATH = "/marrowby/"
TYPELESS = dict.fromkeys((".wasm", ".gz", ".wasm.gz", ".zip.gz"), "text/plain")


@pytest.fixture(scope="module")
def top_site(tmp_path_factory) -> Path:
    """The demo clinic's site for the top of a host."""
    folder = tmp_path_factory.mktemp("top")
    clinic = sites.clinic(folder / "clinic", site_address="https://www.example.org/")
    return sites.build(clinic, folder / "site")


@contextmanager
def on_nginx(program: Path, site: Path, prefix: str, **more: bool) -> Iterator[servers.Server]:
    with tempfile.TemporaryDirectory(prefix="treadleaf-nginx-") as work:
        Path(work).chmod(0o755)
        with servers.nginx(program, Path(work), site, prefix, **more) as server:
            yield server


@pytest.fixture(scope="module", params=["at the top", "under a path"])
def served(request, nginx: Path, demo_site: Path, top_site: Path) -> Iterator[servers.Server]:
    """The site on nginx with the built files; under a path also with compressed copies beside the files."""
    top = request.param == "at the top"
    with on_nginx(nginx, top_site if top else demo_site, "/" if top else PATH, packed=not top) as server:
        yield server


def declared(site: Path) -> tuple[hosting.Header, ...]:
    return hosting.headers([policy.stated((site / page).read_text("utf-8")) for page in sites.every_page(site)])


def ask(server: servers.Server, name: str) -> tuple[int, dict[str, str], bytes]:
    """Status, headers by their names in small letters, and body; as a browser that unpacks asks."""
    connection = http.client.HTTPConnection(servers.LOCAL, server.port, timeout=10)
    try:
        connection.request("GET", server.prefix + name, headers={"Accept-Encoding": "gzip"})
        answer = connection.getresponse()
        headers = {name.lower(): value for name, value in answer.headers.items()}
        body = answer.read()
    finally:
        connection.close()
    return answer.status, headers, gzip.decompress(body) if headers.get("content-encoding") == "gzip" else body


def test_every_answer_of_nginx_carries_every_header(served):
    site = served.folder
    expected = {header.name.lower(): header.value for header in declared(site)}
    names = [path.relative_to(site).as_posix() for path in site.rglob("*") if path.is_file()]
    for name in [*names, "", "no-such-page.html", "runtime/gone.0123456789ab.js"]:
        _, headers, _ = ask(served, name)
        assert {name: headers.get(name) for name in expected} == expected, name


def test_nginx_sends_each_file_as_what_it_is_and_says_how_long_it_may_be_kept(served):
    site = served.folder
    parts = json.loads((site / "runtime" / "manifest.json").read_text("utf-8"))["files"].values()
    hashed = {f"runtime/{part['path']}" for part in parts}
    known = ("service-worker.js", "search/search_index.json", "logo.svg", "runtime/manifest.json", "styles/site.css")
    for name in [*hashed, *sites.every_page(site), *known, "NOTICES.txt", "sitemap.xml"]:
        status, headers, body = ask(served, name)
        keeps = hosting.KEPT if name in hashed else hosting.CHECKED
        assert (name, status, headers["cache-control"]) == (name, 200, keeps)
        assert (name, headers["content-type"]) == (name, serving.TYPES[Path(name).suffix])
        if name.endswith(".gz"):
            assert "content-encoding" not in headers
            assert body == (site / name).read_bytes()


def test_nginx_answers_to_a_wrong_address_with_the_page_for_the_lost(served):
    for name in ("no-such-page.html", "no/such/page", "Checks/Wet-Print.html", "runtime/gone.0123456789ab.js"):
        status, headers, body = ask(served, name)
        assert (status, headers["cache-control"]) == (404, hosting.CHECKED), name
        assert WORDS["missing"]["title"] in body.decode(), name


def test_on_nginx_every_page_opens_and_nothing_is_refused(visitor, served):
    for path, page in visitor.tour(served):
        assert page.locator("h1").count() == 1, path


def test_no_other_site_can_show_this_one_inside_its_own(visitor, served, tmp_path):
    """Neither fresh from the host nor, later, from the copy on the device; without the headers it could."""
    visitor.expect("frame-ancestors", "X-Frame-Options", "ERR_BLOCKED_BY_RESPONSE", "chrome-error", ABORTED)
    context = visitor.context()
    with Host(served.folder, served.prefix) as bare:
        assert shown_inside(context, tmp_path, bare.url(CHECK))
    assert not shown_inside(context, tmp_path, served.url(CHECK))
    own = context.new_page()
    own.goto(served.url(CHECK))
    wait_for_pages_kept(own)
    own.reload()
    assert own.evaluate("navigator.serviceWorker.controller !== null")
    assert not shown_inside(context, tmp_path, served.url(CHECK))


def shown_inside(context: BrowserContext, folder: Path, url: str) -> bool:
    """Whether a page of another origin can show an address inside itself."""
    (folder / "index.html").write_text(
        f'<!doctype html><link rel="icon" href="data:,"><iframe src="{url}"></iframe>', "utf-8"
    )
    with Host(folder) as other:
        page = context.new_page()
        page.goto(other.url("index.html"))  # until what is inside has come, or was refused
        (inside,) = page.main_frame.child_frames
        found = inside.url
        page.close()
    assert found in (url, "chrome-error://chromewebdata/")
    return found == url


def works(visitor, server, stop: Callable[[], None]) -> Page:
    """The calculator, the search, the copy for later; then, with the server stopped, pages and calculator again."""
    visitor.expect(*CUT)
    context = visitor.context()
    page = context.new_page()
    page.goto(server.url(CHECK))
    answers(page)
    wait_for_pages_kept(page)
    wait_for_calculators_kept(page)
    finds(page)
    page.close()
    stop()
    for path in ("index.html", sites.HELP, CHECK):
        page = context.new_page()
        assert page.goto(server.url(path)).status == 200
        assert page.locator(".clinic-header__logo").evaluate("(logo) => logo.naturalWidth > 0"), path
    answers(page)
    finds(page)
    return page


def answers(page: Page) -> None:
    sheet = Worksheet(page)
    sheet.type(BOTH)
    sheet.press()
    assert card.wrong(sheet, BOTH) == []


def finds(page: Page) -> None:
    page.locator(".search-opener").click()
    expect(page.locator("[data-md-component=search-query]")).to_be_focused()
    page.keyboard.type("wet print")
    expect(page.locator(".md-search-result__link").first).to_be_visible()
    assert CHECK in page.locator(".md-search-result__link").first.get_attribute("href")


@pytest.mark.parametrize("packed", [False, True], ids=["packed on its way", "packed beforehand"])
def test_the_whole_site_works_on_nginx_and_when_it_is_stopped(visitor, nginx, demo_site, top_site, packed):
    site, prefix = (demo_site, PATH) if packed else (top_site, "/")
    with on_nginx(nginx, site, prefix, packed=packed) as server:
        works(visitor, server, server.stop)


def test_the_whole_site_works_with_every_header_and_wrong_types(visitor, demo_site):
    headers = {header.name: header.value for header in declared(demo_site)}
    with Host(demo_site, PATH, types=TYPELESS, headers=headers) as host:
        works(visitor, host, host.stop)


@pytest.mark.parametrize("top", [pytest.param(True, marks=pytest.mark.slow), False], ids=["at the top", "in a folder"])
def test_the_whole_site_works_on_pythons_own_server(visitor, demo_site, top_site, tmp_path, top):
    folder = top_site
    if not top:
        sites.copy(demo_site, tmp_path / PATH.strip("/"))
        folder = tmp_path
    with servers.pythons(folder, top_site if top else demo_site, "/" if top else PATH) as server:
        works(visitor, server, server.stop)


def test_the_whole_site_works_on_a_host_that_is_blind_to_case(visitor, top_site, tmp_path):
    """An address in another case shows its page there, and spoils nothing of the copy on the device."""
    visitor.expect("status 404", "status of 404", "status 503", "status of 503", ABORTED)
    with servers.CaseBlind(servers.lower_case(top_site, tmp_path / "site")) as server:
        page = visitor.open(server, "Checks/Wet-Print.HTML", first=NO_IDLE)
        title = page.locator("h1").inner_text()
        wait_for_pages_kept(page)
        page.reload()
        assert page.locator("h1").inner_text() == title
        page.locator(".clinic-header a").first.click()
        expect(page.locator("h1")).not_to_have_text(title)
        answered = page.goto(server.url("CHECKS/NO-SUCH.html"))
        assert answered.status == 404
        page.context.close()
        last = works(visitor, server, server.stop)
        answered = last.goto(server.url("Checks/Wet-Print.HTML"))
        assert (answered.status, last.locator("h1").inner_text()) == (503, WORDS["missing"]["title"])
