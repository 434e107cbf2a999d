"""A photograph never leaves the memory of its page, and leaves that too: no request, nothing kept, nothing left."""

from __future__ import annotations

import re

import pytest
from browser.hosts import Host
from browser.photo_tool import PATH, SAY, PhotoTool, jpeg
from browser.sites import WORDS
from browser.states import wait_for_calculators_kept, wait_for_pages_kept
from PIL import Image
from playwright.sync_api import CDPSession, expect

LARGE = 500_000  # bytes: less than any photograph that is looked at takes, and more than anything else of a page

KEPT = """async () => JSON.stringify([
    { ...localStorage }, { ...sessionStorage }, document.cookie, location.href, history.state,
    await indexedDB.databases(),
    (await Array.fromAsync((await navigator.storage.getDirectory()).keys())),
    (await Promise.all((await caches.keys()).map(async (name) =>
        (await (await caches.open(name)).keys()).map(({ url }) => url))))
        .flat().filter((url) => !url.includes("/marrowby/")),
])"""


def large_buffers(tool: PhotoTool) -> int:
    """How many large pieces of memory the page still holds, once everything that nobody holds has been swept up."""
    session = tool.page.context.new_cdp_session(tool.page)
    session.send("HeapProfiler.enable")
    for _ in range(3):
        session.send("HeapProfiler.collectGarbage")
    sizes = {
        "ArrayBuffer": "one.byteLength",
        "Uint8ClampedArray": "one.byteLength",
        "ImageData": "one.data.byteLength",
        "ImageBitmap": "4 * one.width * one.height",
    }
    counted = sum(_larger(session, kind, size) for kind, size in sizes.items())
    session.detach()
    return counted


def _larger(session: CDPSession, kind: str, size: str) -> int:
    made = session.send("Runtime.evaluate", {"expression": f"{kind}.prototype"})["result"]["objectId"]
    found = session.send("Runtime.queryObjects", {"prototypeObjectId": made})["objects"]["objectId"]
    asked = f"function (least) {{ return this.filter((one) => {size} > least).length; }}"
    counted = session.send(
        "Runtime.callFunctionOn",
        {"objectId": found, "functionDeclaration": asked, "arguments": [{"value": LARGE}], "returnByValue": True},
    )
    return int(counted["result"]["value"])


@pytest.fixture
def tool(visitor, host: Host) -> PhotoTool:
    return PhotoTool(visitor.open(host, PATH))


def test_no_request_carries_anything_of_a_photograph_and_nothing_is_kept(tool, host: Host):
    wait_for_pages_kept(tool.page)
    tool.take(jpeg("easy-31", comment=b"a secret word"), foot="left", name="anna-left-foot.jpg")
    wait_for_calculators_kept(tool.page)
    before = len(host.asked)
    tool.keep()
    tool.take(jpeg("easy-31"), foot="right")
    tool.keep()
    assert host.asked[before:] == []
    for asked in host.asked:
        assert (asked.method, asked.body) == ("GET", b"")
        assert "?" not in asked.path
        assert "anna" not in asked.path
    kept = tool.page.evaluate(KEPT)
    assert kept.startswith("[{},{},")
    assert "anna" not in kept
    assert kept.endswith("[],[],[]]"), "no database, no file, nothing in the copies but the site"
    tool.page.reload()
    assert PhotoTool(tool.page).card.is_hidden()


def test_its_bytes_are_gone_once_it_is_kept_as_a_drawing(tool):
    tool.take(jpeg("easy-31"), foot="left")
    assert large_buffers(tool) > 0, "while it is looked at, it is there"
    tool.keep()
    assert large_buffers(tool) == 0
    assert tool.root.locator("canvas").evaluate_all("(all) => all.map((one) => one.width * one.height)") == [0, 0]
    assert tool.card.locator("image, img, canvas").count() == 0


def test_stopping_ends_the_worker_and_lets_go_of_the_photograph(tool):
    tool.page.evaluate(
        "() => { const real = Worker.prototype.postMessage;"
        " Worker.prototype.postMessage = function (message, transfer) {"
        "   if (message.action !== 'footprint_photo') real.call(this, message, transfer); }; }"
    )
    tool.part("file").set_input_files({"name": "photo.jpg", "mimeType": "image/jpeg", "buffer": jpeg("easy-31")})
    expect(tool.status).to_have_text(SAY["looking"], timeout=30_000)
    assert len(tool.page.workers) == 1
    expect(tool.status).to_have_text(SAY["slow"], timeout=30_000)
    expect(tool.part("progress")).to_be_visible()
    tool.part("stop").click()
    expect(tool.status).to_have_text(SAY["stopped"])
    assert tool.page.workers == []
    assert tool.page.locator("html").get_attribute("data-calculator") == "asleep"
    assert large_buffers(tool) == 0


def test_starting_again_ends_the_worker_that_saw_the_photograph(tool):
    tool.take(jpeg("easy-31"), foot="left")
    tool.keep()
    assert len(tool.page.workers) == 1
    tool.part("clear").click()
    tool.part("clear").click()
    expect(tool.status).to_have_text(SAY["cleared"])
    assert tool.page.workers == []


DRAWN = """async () => {
    const { drawn } = await import("../components/footprint-photo/saved-drawing.js");
    return new XMLSerializer().serializeToString(drawn(document.querySelector('footprint-photo [data-part="result"]')));
}"""


def test_the_saved_drawing_is_lines_and_numbers(tool, tmp_path):
    tool.take(jpeg("easy-06"), sheet="a4", foot="left")
    tool.keep()
    text = tool.page.evaluate(DRAWN)
    assert not re.search(r"<image|<script|href|url\(|data:|base64|foreignObject", text)
    assert WORDS["sides"]["left"] in text
    assert "mm" in text
    assert "cannot tell you" in text
    with tool.page.expect_download() as download:
        tool.part("save").click()
    expect(tool.part("saved")).to_have_text(SAY["saved"])
    assert download.value.suggested_filename == SAY["file"]
    download.value.save_as(tmp_path / "saved.png")
    with Image.open(tmp_path / "saved.png") as saved:
        assert saved.format == "PNG"
        assert saved.width > 1000
        counted = sorted((count for count, _ in saved.convert("RGB").getcolors(1 << 24)), reverse=True)
    assert sum(counted[:3]) > 0.93 * saved.width * saved.height, "white, one shade and ink: a photograph has thousands"


def test_leaving_the_page_with_prints_on_it_is_asked_about(tool):
    asked = []
    tool.page.on("dialog", lambda dialog: (asked.append(dialog.type), dialog.accept()))
    tool.take(jpeg("easy-31"), foot="left")
    tool.page.reload()
    assert asked == []
    tool.take(jpeg("easy-31"), foot="left")
    tool.keep()
    tool.page.reload()
    assert asked == ["beforeunload"]


def test_a_question_that_fails_can_be_asked_again(tool):
    """Python that broke once is not asked again; the photograph is still there for another."""
    tool.page.evaluate(
        "() => { const real = Worker.prototype.postMessage; let failed = false;"
        " Worker.prototype.postMessage = function (message, transfer) {"
        "   if (message.action !== 'footprint_photo' || failed) return real.call(this, message, transfer);"
        "   failed = true;"
        "   setTimeout(() => this.dispatchEvent(new ErrorEvent('error', { message: 'broken for a test' }))); }; }"
    )
    tool.take(jpeg("easy-31"), foot="left")
    assert (tool.step, tool.status.inner_text()) == ("refused", WORDS["calculator"]["failed"]["start_failed"])
    tool.part("retry").click()
    tool.wait()
    expect(tool.tool).to_have_attribute("data-step", "look", timeout=60_000)
    tool.found()
