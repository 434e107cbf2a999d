"""Hosts that send files wrongly: what can be used is used, and what is not what was published never runs."""

from __future__ import annotations

import gzip
import re

import pytest
from browser import card, sites
from browser.hosts import Host
from browser.sites import CHECK, WORDS
from browser.states import NO_IDLE, PATIENCE_MS, wait_for_pages_kept
from browser.worksheet import LEFT, Worksheet
from playwright.sync_api import expect

FAILED = WORDS["calculator"]["failed"]
TYPELESS = "application/octet-stream"
ABORTED = "request failed: .*ERR_ABORTED"

# Types that hosts are known to send for endings that they do not know.
TYPES = {
    "everything as text": dict.fromkeys((".wasm", ".gz", ".wasm.gz", ".zip.gz"), "text/plain"),
    "everything as bytes": dict.fromkeys((".wasm", ".gz", ".wasm.gz", ".zip.gz"), TYPELESS),
    "the list as text": {".json": "text/plain"},
}

PAYLOADS = ("wasm", "stdlib", "calculators")
SCRIPTS = ("pyodide", "module")
# An addition to a script that tells the server when it runs.
TELLS = b"\nfetch(new URL('ran', import.meta.url));\n"


def altered_payload(data: bytes) -> bytes:
    """Unpacks well, and one bit in it is another."""
    plain = bytearray(gzip.decompress(data))
    plain[len(plain) // 2] ^= 1
    return gzip.compress(bytes(plain), 1)


# What a host may put in a file's place: a name, and new bytes from the old ones.
SPOILT = {
    "altered": lambda data: altered_payload(data) if data[:2] == b"\x1f\x8b" else data + TELLS,
    "cut short": lambda data: data[: len(data) // 2],
    "a page in its place": lambda data: b"<!doctype html><title>Welcome</title><p>Please sign in to this network.",
    "empty": lambda data: b"",
}


@pytest.mark.parametrize("types", TYPES.values(), ids=TYPES.keys())
def test_a_wrong_type_is_nobodys_business(visitor, demo_site, types):
    with Host(demo_site, types=types) as host:
        _works(visitor, host)


def test_a_host_may_unpack_the_files_on_their_way(visitor, demo_site):
    with Host(demo_site, unpacks=True) as host:
        _works(visitor, host)


@pytest.mark.parametrize("role", [*PAYLOADS, *SCRIPTS])
def test_a_file_that_is_not_the_published_one_never_runs_and_is_not_kept(visitor, demo_site, tmp_path, role):
    # Ending the worker ends what it was still fetching.
    visitor.expect(ABORTED)
    site = sites.copy(demo_site, tmp_path / "site")
    file = sites.runtime_file(site, role)
    good = file.read_bytes()
    with Host(site) as host:
        sheet = Worksheet(visitor.open(host, first=NO_IDLE))
        wait_for_pages_kept(sheet.page)
        for name, spoil in SPOILT.items():
            file.write_bytes(spoil(good))
            _ask(sheet)
            expect(sheet.retry).to_be_visible(timeout=PATIENCE_MS)
            assert (name, sheet.status.inner_text()) == (name, FAILED["altered"])
            expect(sheet.card).to_be_hidden()
            assert sheet.typed() == {f"left.{key}": text for key, text in LEFT.items()}
            assert "runtime/ran" not in host.paths()
        file.write_bytes(good)
        sheet.retry.click()
        assert card.wrong(sheet, {"left": LEFT}) == []


def test_a_list_that_is_not_the_published_one_is_refused(visitor, demo_site, tmp_path):
    visitor.expect(ABORTED)
    site = sites.copy(demo_site, tmp_path / "site")
    manifest = site / "runtime" / "manifest.json"
    good = manifest.read_text("utf-8")
    leading_out = re.sub(r'"path": "pyodide\.asm', '"path": "../pyodide.asm', good)
    with Host(site) as host:
        # The service worker would answer with the list that it has kept.
        visitor.expect("registration blocked by Playwright")
        sheet = Worksheet(visitor.open(host, first=NO_IDLE, service_workers="block"))
        for text in ("<!doctype html>", "{}", "[]", leading_out, good.replace('"schema": 1', '"schema": 2')):
            assert text != good
            manifest.write_text(text, "utf-8")
            _ask(sheet)
            expect(sheet.retry).to_be_visible(timeout=PATIENCE_MS)
            assert (text[:40], sheet.status.inner_text()) == (text[:40], FAILED["altered"])
        manifest.write_text(good, "utf-8")
        sheet.retry.click()
        assert card.wrong(sheet, {"left": LEFT}) == []


@pytest.mark.parametrize("role", ["wasm", "module"])
def test_a_file_that_is_missing_on_the_host_is_told(visitor, demo_site, tmp_path, role):
    visitor.expect("status 404", "status of 404", ABORTED)
    site = sites.copy(demo_site, tmp_path / "site")
    sites.runtime_file(site, role).unlink()
    with Host(site) as host:
        sheet = Worksheet(visitor.open(host))
        _ask(sheet)
        expect(sheet.status).to_have_text(FAILED["not_found"], timeout=PATIENCE_MS)


@pytest.mark.parametrize("after", [None, 400_000], ids=["from the start", "half way"])
@pytest.mark.parametrize("role", ["wasm", "module"])
def test_a_file_that_does_not_arrive_is_told_in_time(visitor, demo_site, tmp_path, role, after):
    """With the patience of the published loader cut from twenty seconds to one, and nothing else changed."""
    site = sites.copy(demo_site, tmp_path / "site")
    sites.edited(site, "scripts/loader.js", "stall: 20_000", "stall: 1_000")
    visitor.expect(ABORTED)
    with Host(site) as host:
        host.hold(sites.runtime_file(site, role).name, after)
        sheet = Worksheet(visitor.open(host))
        _ask(sheet)
        expect(sheet.status).to_have_text(FAILED["stalled"], timeout=PATIENCE_MS)
        expect(sheet.retry).to_be_visible()
        host.release(sites.runtime_file(site, role).name)
        sheet.retry.click()
        assert card.wrong(sheet, {"left": LEFT}) == []


def test_a_host_without_modules_leaves_the_worksheet(visitor, demo_site):
    """Where scripts come as text, none runs: the sheet for pen and ruler stays, with no button that does nothing."""
    visitor.expect("Expected a JavaScript-or-Wasm module script", "MIME type")
    with Host(demo_site, types={".js": "text/plain"}) as host:
        page = visitor.open(host, CHECK)
        sheet = Worksheet(page)
        expect(sheet.field("left.ball_mm")).to_be_visible()
        expect(sheet.part("run")).to_be_hidden()


def _ask(sheet: Worksheet) -> None:
    """Ask for an answer, again where it was asked before."""
    if sheet.retry.is_visible():
        sheet.retry.click()
    else:
        sheet.type({"left": LEFT})
        sheet.press()


def _works(visitor, host: Host) -> None:
    sheet = Worksheet(visitor.open(host))
    _ask(sheet)
    assert card.wrong(sheet, {"left": LEFT}) == []
