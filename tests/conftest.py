"""What every folder of tests may ask for: the project's folder, one built demo site, the browsers of this machine."""

from __future__ import annotations

import os
from collections.abc import Callable
from pathlib import Path

import browsers
import pytest

# The day on which everything is looked at, also by programs that a test runs: no page's review is due on it.
os.environ["SOURCE_DATE_EPOCH"] = "1795616000"


@pytest.fixture(scope="session")
def repo() -> Path:
    """The project's folder."""
    return Path(__file__).resolve().parents[1]


@pytest.fixture(scope="session")
def demo_site(tmp_path_factory: pytest.TempPathFactory) -> Path:
    """The demo clinic's site, built once for each process of a run. Read it; do not write into it."""
    from treadleaf import site

    out = tmp_path_factory.mktemp("demo") / "site"
    site.make(site.DEMO, out, lambda text: None)
    return out


@pytest.fixture
def report(record_property: Callable[[str, object], None]) -> Callable[[str], None]:
    """Keeps a line for the end of the run. What a test prints itself is not seen from another process."""
    return lambda line: record_property("report", line)


def pytest_terminal_summary(terminalreporter: pytest.TerminalReporter) -> None:
    """Show what tests reported, whether they passed or not."""
    ended = [*terminalreporter.getreports("passed"), *terminalreporter.getreports("failed")]
    lines = [line for test in ended for key, line in test.user_properties if key == "report"]
    if lines:
        terminalreporter.section("measured")
    for line in lines:
        terminalreporter.write_line(str(line))


def _engine(name: str) -> Path:
    path = browsers.find(name)
    if path is None:
        pytest.skip(f"{name} is missing: {browsers.how_to_get(name)}")
    return path


@pytest.fixture(scope="session")
def chromium() -> Path:
    """The program Chromium; a test that asks for it is skipped by name where there is none."""
    return _engine("chromium")


@pytest.fixture(scope="session")
def firefox() -> Path:
    """The program Firefox; a test that asks for it is skipped by name where there is none."""
    return _engine("firefox")


@pytest.fixture(scope="session")
def clock() -> Path:
    """The program faketime, which starts another with a wrong clock; its tests are skipped by name without it."""
    return _engine("clock")


@pytest.fixture(scope="session")
def webkit() -> Path:
    """The driver of WebKitGTK, with Xvfb beside it; a test that asks for it is skipped by name where one is missing."""
    return _engine("webkit")


@pytest.fixture(scope="session")
def letters() -> Path:
    """The font that most readers print with; a test that counts leaves is skipped by name where there is none."""
    return _engine("letters")


@pytest.fixture(scope="session")
def nginx() -> Path:
    """The program nginx; a test that asks for it is skipped by name where there is none."""
    return _engine("nginx")


@pytest.fixture(scope="session")
def html_checker(repo: Path) -> Path:
    """The jar of the Nu Html Checker; a test that asks for it is skipped by name where it or Java is missing."""
    jar = repo / "tests" / "node_modules" / "vnu-jar" / "build" / "dist" / "vnu.jar"
    if not jar.is_file():
        pytest.skip("vnu-jar is missing: `python3 tests` installs it (npm ci in tests/)")
    _engine("java")
    return jar
