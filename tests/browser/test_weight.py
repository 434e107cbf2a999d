"""How much a visitor downloads. Beyond the pass mark a test fails; the target beside it is only reported."""

from __future__ import annotations

import gzip
import json
import re
from pathlib import Path

import pytest
from browser import sites
from browser.hosts import Host
from browser.sites import CHECK
from browser.states import NO_IDLE

READING_PAGE = {"pass": 60_000, "target": 35_000}
RUNTIME = {"pass": 6_500_000, "target": 6_300_000}
# What a host sends as it is: packed already, so that packing it again gains nothing.
PACKED = (".gz", ".png", ".jpg", ".webp", ".woff2")


def over_the_wire(file: Path) -> int:
    """Bytes of one file from a host that packs with gzip at its usual level."""
    data = file.read_bytes()
    return len(data) if file.suffix in PACKED else len(gzip.compress(data, 6))


def asked_by_the_page(visitor, host: Host, path: str) -> set[str]:
    """What a first visit loads before anything is touched. What the service worker keeps for later is not in it."""
    visitor.expect("registration blocked by Playwright")
    page = visitor.open(host, path, first=NO_IDLE, service_workers="block")
    page.wait_for_load_state("networkidle")
    asked = set(host.paths())
    page.goto("about:blank")  # an icon that is still on its way is given up before the host goes
    return asked


def sent(finished: Path, paths: set[str]) -> int:
    return sum(over_the_wire(finished / path) for path in paths)


def test_a_reading_page_is_light(visitor, demo_site, capsys):
    for path in sites.pages(demo_site):
        with Host(demo_site) as host:
            paths = asked_by_the_page(visitor, host, path)
        assert path in paths
        assert any(name.endswith(".css") for name in paths)
        size = sent(demo_site, paths)
        with capsys.disabled():
            print(f"\n  {path}: {size / 1000:.1f} kB gz in {len(paths)} files", end="")
            print(f" (pass {READING_PAGE['pass'] / 1000:.0f}, target {READING_PAGE['target'] / 1000:.0f})", end="")
        if "wasm-unsafe-eval" not in (demo_site / path).read_text("utf-8") and not path.startswith("staff/"):
            assert size <= READING_PAGE["pass"], sorted((over_the_wire(demo_site / name), name) for name in paths)


def test_the_runtime_is_not_heavier_than_it_was_meant_to_be(demo_site, capsys):
    sizes = {file.name: over_the_wire(file) for file in sorted((demo_site / "runtime").iterdir())}
    total = sum(sizes.values())
    with capsys.disabled():
        print("".join(f"\n  runtime/{name}: {size / 1000:.1f} kB gz" for name, size in sizes.items()))
        print(f"  runtime in all: {total / 1e6:.2f} MB gz (pass {RUNTIME['pass'] / 1e6})", end="")
    assert total <= RUNTIME["pass"]


def test_what_is_kept_for_offline_reading_is_reported(demo_site, capsys):
    script = (demo_site / "service-worker.js").read_text("utf-8")
    listed = json.loads(re.search(r"const SITE = (\{.*?\n\})", script, re.DOTALL).group(1))
    size = sent(demo_site, set(listed["pages"]))
    with capsys.disabled():
        print(f"\n  kept at the first visit: {size / 1000:.1f} kB gz in {len(listed['pages'])} files", end="")
    assert {path for path in listed["pages"] if path.endswith(".html")} == {*sites.for_clients(demo_site), "404.html"}


@pytest.mark.parametrize("path", ["index.html", CHECK])
def test_the_themes_script_comes_only_with_the_first_search(visitor, demo_site, path):
    with Host(demo_site) as host:
        paths = asked_by_the_page(visitor, host, path)
    assert not [name for name in paths if name.startswith("assets/javascripts/")]
