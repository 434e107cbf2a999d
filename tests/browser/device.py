"""What a device has kept of a site: looked at, spoilt, and cut off from its network, as a test needs it."""

from __future__ import annotations

from browser import card
from browser.hosts import Host
from browser.sites import CHECK
from browser.states import PATIENCE_MS
from browser.worksheet import BOTH, Worksheet
from playwright.sync_api import BrowserContext, Locator, Page, expect

READING = "learn/numbers.html"
CUTS = ("network cut", "server stopped")
# With the network gone, the browser itself says so of what it looks for afresh, such as a newer service worker.
SILENCE = (r"ERR_INTERNET_DISCONNECTED", r"ERR_CONNECTION_\w+", r"ERR_EMPTY_RESPONSE", r"ERR_FAILED", "ERR_ABORTED")

_SPOIL = """async ([path, how]) => {
    for (const name of await caches.keys()) {
        const cache = await caches.open(name);
        for (const request of await cache.keys()) {
            if (!new URL(request.url).pathname.endsWith(path)) continue;
            const kept = await cache.match(request);
            const bytes = new Uint8Array(await kept.arrayBuffer());
            bytes[bytes.length >> 1] ^= how === "altered" ? 1 : 0;
            const part = {altered: bytes, truncated: bytes.slice(0, bytes.length >> 1), emptied: new Uint8Array()}[how];
            if (how === "missing") await cache.delete(request);
            else await cache.put(request, new Response(part, { headers: kept.headers }));
            return true;
        }
    }
    return false;
}"""

_COUNT = """async () => {
    const name = (await caches.keys()).find((kept) => kept.includes(":pages:"));
    return (await (await caches.open(name)).keys()).length;
}"""


def badge(page: Page) -> Locator:
    """The line that says what works without a connection."""
    return page.locator("footer offline-badge")


def expect_kept(page: Page, amount: str) -> None:
    """That the page says "all", "some" or "nothing" is kept on this device."""
    expect(badge(page)).to_have_attribute("data-kept", amount, timeout=PATIENCE_MS)


def cut(context: BrowserContext, host: Host, way: str) -> None:
    """Take the network away from the device, or the server from the network; whatever is on its way is lost."""
    if way == "network cut":
        context.set_offline(True)
        host.hang_up()
    else:
        host.stop()


def mend(context: BrowserContext, host: Host, way: str) -> None:
    """The network is back, and nothing is held any more."""
    for ending in list(host.held):
        host.release(ending)
    if way == "network cut":
        context.set_offline(False)
    else:
        host.start()


def keep_everything(context: BrowserContext, host: Host) -> Page:
    """Press the button on a page to read, where no calculator starts by itself, and wait until it is done."""
    page = context.new_page()
    page.goto(host.url(READING))
    button = badge(page).get_by_role("button")
    expect(button).to_be_visible(timeout=PATIENCE_MS)
    button.click()
    expect_kept(page, "all")
    return page


def pages_kept(page: Page) -> int:
    """How many files are kept of the pages, whole or not."""
    return int(page.evaluate(_COUNT))


def spoil(page: Page, path: str, how: str) -> None:
    """Make one kept file truncated, altered, emptied or missing, as a failing device might."""
    assert page.evaluate(_SPOIL, [path, how]), f"nothing is kept of {path}"


def works(context: BrowserContext, host: Host) -> None:
    """The check opens, is styled, says that everything is kept, and its calculator is right."""
    page = context.new_page()
    page.goto(host.url(CHECK))
    assert page.locator(".clinic-header").evaluate("(header) => getComputedStyle(header).borderBottomWidth") != "0px"
    sheet = Worksheet(page)
    sheet.type(BOTH)
    sheet.press()
    assert card.wrong(sheet, BOTH) == []
    expect_kept(page, "all")
    page.close()
