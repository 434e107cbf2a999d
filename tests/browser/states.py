"""What a page says of itself on <html>: how far it is with keeping the site for later."""

from __future__ import annotations

from playwright.sync_api import Page, expect

PATIENCE_MS = 30_000
# For a page that is never idle, so that its calculator starts only by a touch.
NO_IDLE = "globalThis.requestIdleCallback = () => 0;"


def wait_for_pages_kept(page: Page) -> None:
    """Until all pages are on the device."""
    expect(page.locator("html")).to_have_attribute("data-offline", "ready", timeout=PATIENCE_MS)


def wait_for_calculators_kept(page: Page) -> None:
    """Until Python and the calculators are on the device too."""
    expect(page.locator("html")).to_have_attribute("data-calculators", "kept", timeout=PATIENCE_MS)
