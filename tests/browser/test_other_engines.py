"""The main path in Firefox and in WebKitGTK: type, read, lose the server, read again; and the worker stays at home."""

from __future__ import annotations

import json
import shutil
import subprocess
from collections.abc import Iterator
from pathlib import Path

import pytest
from browser import card, sites, webkit_visit
from browser.hosts import Host
from browser.sites import CHECK
from browser.worksheet import ACTION, BOTH, answer, named

HERE = Path(__file__).parent
TYPED = {f"{ACTION}-{where.replace('.', '-')}": text for where, text in named(BOTH).items()}
# Added to the worker's script: it tries another origin as soon as it is there, and tells its own host how that ended.
PROBE = """
const tell = (end) => fetch(new URL(`../told-${end}`, import.meta.url)).catch(() => {});
fetch("OTHER").then(() => tell("reached"), () => tell("refused"));
"""


@pytest.fixture
def other(tmp_path: Path) -> Iterator[Host]:
    """A second origin that lets everybody in and counts who came."""
    (tmp_path / "other").mkdir()
    with Host(tmp_path / "other", headers={"Access-Control-Allow-Origin": "*"}) as host:
        yield host


@pytest.fixture
def probing(demo_site: Path, other: Host, tmp_path: Path) -> Iterator[Host]:
    """The demo site with a worker that tries to reach the other origin, listed as if it had been published so."""
    site = sites.copy(demo_site, tmp_path / "site")
    last = 'reply({ id: 0, kind: "listening" });'
    sites.edited(site, "scripts/worker.js", last, last + PROBE.replace("OTHER", other.url("index.html")))
    with Host(site) as host:
        yield host


def stays_at_home(host: Host, other: Host) -> None:
    told = {path for path in host.paths() if path.startswith("told-")}
    assert told == {"told-refused"}
    assert other.asked == []


def reads_right(seen: dict, other: Host) -> None:
    """The same numbers as the calculators give here, beside each foot and in its ranges."""
    # That the other origin was refused is wanted, and reported as an error.
    assert [row for row in seen["troubles"] if other.origin not in row] == []
    result = answer(BOTH)["result"]
    for side, text in zip(("left", "right"), seen["sides"], strict=True):
        shown = card.numbers(text)
        for value in (result[side][card.CSI]["value"], 100 * result[side][card.SI]["value"]):
            assert f"{value:.0f}" in shown
    wanted = [end for side in ("left", "right", "difference") for end in card.ends(result[side])]
    assert [float(number) for number in card.numbers(card.signed(seen["ranges"]))] == pytest.approx(wanted)


def test_firefox(firefox: Path, probing: Host, other: Host):
    node = shutil.which("node")
    if node is None:
        pytest.skip("node is missing, which drives Firefox; python3 tests installs one")
    command = [node, str(HERE / "firefox_visit.mjs"), str(firefox), probing.url(CHECK)]
    with subprocess.Popen(command, stdin=subprocess.PIPE, stdout=subprocess.PIPE, text=True, encoding="utf-8") as visit:
        try:
            visit.stdin.write(json.dumps(TYPED) + "\n")
            visit.stdin.flush()
            reads_right(json.loads(visit.stdout.readline()), other)
            stays_at_home(probing, other)
            probing.stop()
            visit.stdin.write("again\n")
            visit.stdin.flush()
            reads_right(json.loads(visit.stdout.readline()), other)
            assert other.asked == []
            visit.stdin.write("enough\n")
            visit.stdin.flush()
            assert visit.wait(20) == 0
        finally:
            visit.kill()


def test_webkit(webkit: Path, probing: Host, other: Host, tmp_path: Path):
    browser = webkit_visit.mini_browser()
    if browser is None:
        pytest.skip("webkit has a driver here but no MiniBrowser for it")
    with webkit_visit.driven(webkit, browser, tmp_path / "home") as session:
        reads_right(webkit_visit.visit(session, probing.url(CHECK), TYPED), other)
        stays_at_home(probing, other)
        probing.stop()
        reads_right(webkit_visit.visit(session, probing.url(CHECK), TYPED), other)
        assert other.asked == []
