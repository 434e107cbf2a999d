"""Nothing leaves the site's own origin: the browser itself refuses, and no request carries what was typed."""

from __future__ import annotations

import contextlib
import urllib.request
from pathlib import Path

import pytest
from browser import card, sites
from browser.hosts import Host
from browser.sites import CHECK, HELP
from browser.states import wait_for_calculators_kept
from browser.worksheet import Worksheet, named
from playwright.sync_api import Error, Page, expect

OPEN_TO_ALL = {"Access-Control-Allow-Origin": "*"}

ADDED = "(other) => document.body.append(Object.assign(document.createElement('%s'), { %s }))"
# Ways out of a page, each with the part of the policy that should stop it. `other` is an address on another origin.
PAGE_WAYS = {
    "fetch": ("connect-src", "(other) => void fetch(other).catch(() => {})"),
    "a message that outlives the page": ("connect-src", "(other) => void navigator.sendBeacon(other, 'x')"),
    "a request of the old kind": (
        "connect-src",
        """(other) => {
            const asks = new XMLHttpRequest();
            asks.open('GET', other);
            asks.send();
        }""",
    ),
    "a socket": ("connect-src", "(other) => { try { new WebSocket(other.replace('http', 'ws')); } catch {} }"),
    "a stream of events": ("connect-src", "(other) => void new EventSource(other)"),
    "a picture": ("img-src", "(other) => { new Image().src = other; }"),
    "a style": ("style-src-elem", ADDED % ("link", "rel: 'stylesheet', href: other")),
    "a script": ("script-src-elem", ADDED % ("script", "src: other")),
    "a font": ("font-src", "(other) => void new FontFace('other', `url(${other})`).load().catch(() => {})"),
    "a sound": ("media-src", "(other) => { new Audio(other).load(); }"),
    "a frame": ("frame-src", ADDED % ("iframe", "src: other")),
    "an embedded thing": ("object-src", ADDED % ("object", "data: other")),
    "a form": (
        "form-action",
        """(other) => {
            const form = Object.assign(document.createElement('form'), { action: other, method: 'post' });
            form.append(Object.assign(document.createElement('input'), { name: 'a', value: '1' }));
            document.body.append(form);
            form.submit();
        }""",
    ),
}

# The same for the calculators' worker.
WORKER_WAYS = {
    "fetch": "(other) => fetch(other).then(() => 'reached', () => 'refused')",
    "a script": "(other) => import(other).then(() => 'reached', () => 'refused')",
    "a socket": """(other) => new Promise((resolve) => {
        try {
            const socket = new WebSocket(other.replace('http', 'ws'));
            socket.onerror = () => resolve('refused');
            socket.onopen = () => resolve('reached');
        } catch { resolve('refused'); }
    })""",
    "a worker of its own": """(other) => new Promise((resolve) => {
        const source = URL.createObjectURL(new Blob([
            `fetch(${JSON.stringify(other)}).then(() => postMessage('reached'), () => postMessage('refused'))`]));
        new Worker(source).onmessage = ({ data }) => resolve(data);
    })""",
    # Later, because the browser lifts its ban for as long as a debugger's own script runs.
    "text run as a script": """() => new Promise((resolve) => setTimeout(() => {
        try { resolve((0, eval)("1") && "reached"); } catch { resolve("refused"); }
    }))""",
}

# A second Python, started in the page's own worker by the site's own scripts, for the test alone: the first one is
# behind its door, which takes only the calculators' requests.
SECOND_PYTHON = """async ([home, program, other]) => {
    const { boot } = await import(home + "scripts/boot.js");
    const runtime = home + "runtime/";
    const { lock, files } = await (await fetch(runtime + "manifest.json")).json();
    const scripts = await Promise.all(["pyodide", "module"].map((role) => import(runtime + files[role].path)));
    const plain = async (role) => {
        const { body } = await fetch(runtime + files[role].path);
        return new Uint8Array(await new Response(body.pipeThrough(new DecompressionStream("gzip"))).arrayBuffer());
    };
    const wasm = await WebAssembly.compile(await plain("wasm"));
    const python = await boot(runtime, lock, scripts, { wasm, stdlib: await plain("stdlib") });
    python.globals.set("other", other);
    return python.runPythonAsync(program);
}"""
PYTHON_WAYS = {
    "fetch": """
from js import fetch
try:
    await fetch(other)
    said = "reached"
except Exception:
    said = "refused"
said
""",
    "text run as a script": """
from pyodide.code import run_js
try:
    run_js("1 + 1")
    said = "reached"
except Exception:
    said = "refused"
said
""",
    "a package from outside": """
import pyodide_js
try:
    await pyodide_js.loadPackage(other + "/other-1.0-py3-none-any.whl")
    said = "refused"
except Exception:
    said = "refused"
said
""",
}


@pytest.fixture
def other(tmp_path: Path):
    """A second origin on this machine that lets everybody in and counts who came."""
    folder = tmp_path / "other"
    folder.mkdir()
    (folder / "index.html").write_text("<!doctype html><title>Elsewhere</title>", "utf-8")
    with Host(folder, headers=OPEN_TO_ALL) as host:
        yield host


def watch(page: Page) -> None:
    """Write down each refusal that the browser reports on this page."""
    page.evaluate(
        """() => {
            globalThis.refusals = [];
            addEventListener("securitypolicyviolation", ({ effectiveDirective }) => refusals.push(effectiveDirective));
        }"""
    )


@pytest.mark.parametrize("path", ["index.html", HELP, CHECK])
def test_a_page_cannot_reach_another_origin(visitor, host: Host, other: Host, path):
    visitor.expect(".*")  # every refusal is reported as an error, which is what is wanted
    page = visitor.open(host, path)
    watch(page)
    for name, (directive, way) in PAGE_WAYS.items():
        page.evaluate("() => { refusals.length = 0; }")
        page.evaluate(way, other.url("index.html"))
        page.wait_for_function("() => refusals.length > 0", timeout=5_000)
        assert (name, page.evaluate("() => refusals[0]")) == (name, directive)
    assert page.url == host.url(path)
    page.wait_for_timeout(300)
    assert other.asked == []


def test_without_the_policy_all_these_ways_would_be_open(visitor, other: Host, tmp_path):
    """So that the test above is known to be able to fail."""
    visitor.expect(".*")
    bare = tmp_path / "bare"
    bare.mkdir()
    (bare / "index.html").write_text("<!doctype html><title>No policy</title><p>Nothing</p>", "utf-8")
    with Host(bare) as host:
        for name, (_, way) in PAGE_WAYS.items():
            page = visitor.open(host, "")
            before = len(other.asked)
            page.evaluate(way, other.url("index.html"))
            for _ in range(50):
                if len(other.asked) > before:
                    break
                page.wait_for_timeout(100)
            assert len(other.asked) > before, name
            page.context.close()


def test_the_calculators_worker_cannot_reach_another_origin(visitor, host: Host, other: Host):
    visitor.expect(".*")
    sheet = Worksheet(visitor.open(host))
    sheet.start()
    (worker,) = sheet.page.workers
    assert worker.url.startswith("blob:")
    said = {name: worker.evaluate(way, other.url("index.html")) for name, way in WORKER_WAYS.items()}
    assert said == dict.fromkeys(WORKER_WAYS, "refused")
    assert other.asked == []


def test_python_in_the_worker_cannot_reach_another_origin(visitor, host: Host, other: Host):
    visitor.expect(".*")
    sheet = Worksheet(visitor.open(host))
    sheet.start()
    (worker,) = sheet.page.workers
    for name, program in PYTHON_WAYS.items():
        said = worker.evaluate(SECOND_PYTHON, [host.url(), program, other.url()])
        assert (name, said) == (name, "refused")
    assert other.asked == []


def test_the_counting_origin_counts(other: Host):
    with urllib.request.urlopen(other.url("index.html")):  # noqa: S310  (its own server)
        assert other.paths() == ["index.html"]


# Numbers that stand nowhere in the site's own addresses, so that a request that carries them is found.
TELLING = {
    "left": {"ball_mm": "93.17", "middle_mm": "37.19", "heel_mm": "61.23"},
    "right": {"ball_mm": "94.29", "middle_mm": "38.31", "heel_mm": "62.37"},
    "age_years": "43.41",
}


def test_whole_visits_ask_only_the_own_origin_and_carry_nothing_typed(visitor, demo_site):
    """Every request of the profile that is not for this machine goes to a proxy that counts: none may come."""
    visitor.expect("elsewhere.example", "request failed: .*ERR_ABORTED")  # leaving a page ends what it was fetching
    with Host(demo_site) as host, Host(demo_site) as proxy:
        context = visitor.context(proxy={"server": proxy.origin, "bypass": "127.0.0.1"})
        seen: list[str] = []
        context.on("request", lambda request: seen.append(f"{request.url} {request.post_data or ''}"))
        page = context.new_page()
        for path in sites.pages(demo_site):
            page.goto(host.url(path))
        page.goto(host.url(CHECK))
        sheet = Worksheet(page)
        sheet.type(TELLING)
        sheet.press()
        assert card.wrong(sheet, TELLING) == []
        wait_for_calculators_kept(page)
        page.locator(".search-opener").click()
        expect(page.locator("[data-md-component=search-query]")).to_be_focused()
        page.keyboard.type("wet print")
        expect(page.locator(".md-search-result__link").first).to_be_visible()
        page.keyboard.press("Escape")
        page.reload()
        page.goto(host.url("index.html"))

        assert proxy.asked == []
        assert [row for row in seen if not row.removeprefix("blob:").startswith((host.origin, "data:"))] == []
        with contextlib.suppress(Error):  # the proxy knows no such place; this shows that it counts
            context.new_page().goto("http://elsewhere.example/")
        assert [asked.path for asked in proxy.asked][:1] == ["http://elsewhere.example/"]

        typed = named(TELLING).values()
        assert {asked.method for asked in host.asked} == {"GET"}
        for asked in host.asked:
            sent = " ".join([asked.path, *asked.headers.values(), asked.body.decode("latin-1")])
            assert not [text for text in typed if text in sent], asked
            assert "?" not in asked.path, asked
            assert "Cookie" not in asked.headers


def test_nothing_typed_is_kept_on_the_device(visitor, host: Host):
    """A record is kept only where a person asks for it, and nothing on this page asks."""
    sheet = Worksheet(visitor.open(host))
    sheet.type(TELLING)
    sheet.press()
    sheet.wait()
    wait_for_calculators_kept(sheet.page)
    kept = sheet.page.evaluate(
        """async () => JSON.stringify([
            { ...localStorage }, { ...sessionStorage }, document.cookie, location.href, history.state,
            await indexedDB.databases(),
            await Promise.all((await caches.keys()).map(async (name) =>
                (await (await caches.open(name)).keys()).map(({ url }) => url))),
        ])"""
    )
    assert not [text for text in named(TELLING).values() if text in kept]
    sheet.page.reload()
    assert Worksheet(sheet.page).typed() == {}
