"""Hosts and devices that misbehave in the middle of things: errors, sign-in pages, drips, full disks, wrong clocks."""

from __future__ import annotations

import datetime
import json
import subprocess
import time

import pytest
from browser import card, device, sites
from browser.conftest import ARGUMENTS, PINNED
from browser.device import badge, expect_kept
from browser.hosts import FAULTY, Drip, Host
from browser.sites import CHECK, WORDS
from browser.states import NO_IDLE, PATIENCE_MS, wait_for_pages_kept
from browser.worksheet import LEFT, Worksheet
from playwright.sync_api import expect

SAYS = WORDS["offline"]
TROUBLES = ("status", "Failed to load", "request failed", "ServiceWorker", "fetching the script", "MIME type")


@pytest.mark.parametrize("fault", FAULTY)
def test_what_is_kept_is_shown_whatever_the_host_answers(visitor, host: Host, fault):
    visitor.expect(*TROUBLES)
    context = visitor.context()
    device.keep_everything(context, host).close()
    host.faulty[""] = fault
    before = len(host.asked)
    device.works(context, host)
    assert set(host.paths()[before:]) <= {"service-worker.js"}


@pytest.mark.parametrize("fault", FAULTY)
def test_a_host_that_answers_wrongly_keeps_nobody_from_the_page_and_is_told(visitor, host: Host, fault):
    """The page has come; then everything else is an error, or the sign-in page of a network."""
    visitor.expect(*TROUBLES)
    context = visitor.context()
    context.add_init_script(NO_IDLE)
    host.faulty |= {"runtime/": fault, "NOTICES.txt": fault}
    page = context.new_page()
    page.goto(host.url(CHECK))
    expect_kept(page, "nothing")
    reason = "altered" if FAULTY[fault][0] == 200 else "refused"
    expect(badge(page)).to_contain_text(SAYS["failed"][reason], timeout=PATIENCE_MS)
    sheet = Worksheet(page)
    sheet.type({"left": LEFT})
    sheet.press()
    told = WORDS["calculator"]["failed"]["altered" if reason == "altered" else "not_found"]
    expect(sheet.status).to_have_text(told, timeout=PATIENCE_MS)
    host.faulty.clear()
    sheet.retry.click()
    assert card.wrong(sheet, {"left": LEFT}) == []
    expect_kept(page, "all")


def test_a_slow_drip_is_waited_for_and_silence_is_not(visitor, demo_site, tmp_path):
    """With the patience of loader and service worker cut to a second: what drips takes longer, and arrives."""
    visitor.expect(*TROUBLES)
    site = sites.copy(demo_site, tmp_path / "site")
    sites.edited(site, "scripts/loader.js", "stall: 20_000", "stall: 1_000")
    worker = site / "service-worker.js"
    worker.write_text(worker.read_text("utf-8").replace("PATIENCE_MS = 30_000", "PATIENCE_MS = 1_000"), "utf-8")
    context = visitor.context()
    context.add_init_script(NO_IDLE)
    with Host(site) as host:
        host.faulty |= {"runtime/": Drip(20_000, 0.3, 6), "NOTICES.txt": Drip(300, 0.3, 6)}
        host.hold("learn/numbers.html", 0.5)
        page = context.new_page()
        page.goto(host.url(CHECK))
        sheet = Worksheet(page)
        sheet.type({"left": LEFT})
        sheet.press()
        assert card.wrong(sheet, {"left": LEFT}) == []
        expect(badge(page)).to_contain_text(SAYS["failed"]["stalled"], timeout=PATIENCE_MS)
        host.release("learn/numbers.html")
        badge(page).get_by_role("button").click()
        expect_kept(page, "all")


@pytest.mark.parametrize("at", ["installation", "calculators"])
def test_a_full_disk_is_told_and_the_site_works_with_a_network(visitor, host: Host, at):
    visitor.expect(*TROUBLES)
    context = visitor.context()
    page = context.new_page()
    room = context.new_cdp_session(page)
    if at == "calculators":
        page.goto(host.url(device.READING))
        wait_for_pages_kept(page)
    used = page.evaluate("navigator.storage.estimate().then(({ usage }) => usage)") if at == "calculators" else 0
    room.send("Storage.overrideQuotaForOrigin", {"origin": host.origin, "quotaSize": used + 100_000})
    page.goto(host.url(CHECK))
    sheet = Worksheet(page)
    sheet.type({"left": LEFT})
    sheet.press()
    assert card.wrong(sheet, {"left": LEFT}) == []
    expect(badge(page)).to_contain_text(SAYS["failed"]["full"], timeout=PATIENCE_MS)
    expect_kept(page, "some" if at == "calculators" else "nothing")
    room.send("Storage.overrideQuotaForOrigin", {"origin": host.origin})
    badge(page).get_by_role("button").click()
    expect_kept(page, "all")


def test_a_browser_that_may_store_nothing_says_so_and_calculates(browser, chromium, demo_site, tmp_path):
    """Its user has forbidden cookies, and with them everything that a site could store."""
    settings = tmp_path / "profile" / "Default" / "Preferences"
    settings.parent.mkdir(parents=True)
    settings.write_text(json.dumps({"profile": {"default_content_setting_values": {"cookies": 2}}}), "utf-8")
    start = browser.browser_type.launch_persistent_context
    with (
        Host(demo_site) as host,
        start(tmp_path / "profile", executable_path=str(chromium), args=list(ARGUMENTS), **PINNED) as context,
    ):
        page = context.new_page()
        page.goto(host.url(CHECK))
        assert page.evaluate("caches.keys().then(() => 'open', ({ name }) => name)") != "open"
        _needs_a_connection(page, "blocked")


def test_an_address_without_https_says_that_it_keeps_nothing_and_calculates(started_with, demo_site):
    """This machine's own address counts as safe; the same machine under another name does not."""
    with Host(demo_site) as host:
        context = started_with("--host-resolver-rules=MAP clinic.test 127.0.0.1")
        page = context.new_page()
        page.goto(host.url(CHECK).replace("127.0.0.1", "clinic.test"))
        assert page.evaluate("isSecureContext") is False
        _needs_a_connection(page, "unsupported")
        expect(badge(page).get_by_role("button")).to_be_hidden()


def _needs_a_connection(page, reason: str) -> None:
    expect_kept(page, "nothing")
    expect(badge(page)).to_contain_text(SAYS["none"])
    expect(badge(page)).to_contain_text(SAYS["failed"][reason])
    sheet = Worksheet(page)
    sheet.type({"left": LEFT})
    sheet.press()
    assert card.wrong(sheet, {"left": LEFT}) == []


@pytest.mark.parametrize("years", [-20, 30])
def test_a_clock_that_is_wrong_by_years_changes_nothing(started_with, clock, demo_site, years):
    """The whole browser, service worker and caches and all, runs with that clock; the host's own is right."""
    asked = [clock, "-f", f"{years:+d}y", "printenv", "LD_PRELOAD"]
    told = subprocess.run(asked, check=True, text=True, stdout=subprocess.PIPE).stdout.strip()
    context = started_with(surroundings={"LD_PRELOAD": told, "FAKETIME": f"{years:+d}y"})
    with Host(demo_site, headers={"Cache-Control": "max-age=86400"}) as host:
        page = device.keep_everything(context, host)
        now = datetime.datetime.now(datetime.UTC).year
        assert page.evaluate("new Date().getFullYear()") in (now + years - 1, now + years, now + years + 1)
        page.close()
        host.stop()
        device.works(context, host)
        host.start()
        page = context.new_page()
        page.goto(host.url(CHECK))
        expect_kept(page, "all")


def test_two_clinics_of_one_origin_keep_their_copies_apart(visitor, demo_site, other_site, tmp_path):
    """Side by side, and one inside the other; the copy of one is switched off, and the others stay."""
    visitor.expect(*device.SILENCE, "ServiceWorker")
    folders = {"": demo_site, "rooms/other/": other_site, "rooms/demo/": demo_site}
    for path, finished in folders.items():
        sites.copy(finished, tmp_path / path)
    context = visitor.context()
    with Host(tmp_path) as host:
        names = {}
        for path in folders:
            page = context.new_page()
            page.goto(host.url(path + device.READING))
            badge(page).get_by_role("button").click()
            expect_kept(page, "all")
            names[path] = page.locator(".clinic-header__name").inner_text()
            page.close()
        kept = _caches(context, host)
        assert len(kept) == 2 * len(folders)
        worker = tmp_path / "rooms" / "demo" / "service-worker.js"
        worker.write_text(sites.switched_off(), "utf-8")
        page = context.new_page()
        page.goto(host.url("rooms/demo/index.html"))
        page.evaluate("async () => void (await (await navigator.serviceWorker.ready).update())")
        wanted = [name for name in kept if "/rooms/demo/" not in name]
        deadline = time.monotonic() + PATIENCE_MS / 1000
        while (left := _caches(context, host)) != wanted and time.monotonic() < deadline:
            page.wait_for_timeout(200)
        assert left == wanted
        page.close()
        host.stop()
        for path in ("", "rooms/other/"):
            page = context.new_page()
            page.goto(host.url(path + CHECK))
            assert page.locator(".clinic-header__name").inner_text() == names[path]
            expect_kept(page, "all")
            page.close()


def _caches(context, host: Host) -> list[str]:
    page = context.new_page()
    page.goto(host.url(device.READING))
    found: list[str] = sorted(page.evaluate("caches.keys()"))
    page.close()
    return found
