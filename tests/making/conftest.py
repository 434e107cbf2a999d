"""What every test of the builder may ask for."""

from __future__ import annotations

from collections.abc import Callable, Iterator
from pathlib import Path

import pytest
from click.testing import CliRunner, Result
from making import photographs, planting


@pytest.fixture(scope="module")
def quick_looks() -> Iterator[None]:
    """Makes many looks at one site quick, for a file of tests that plant faults in it."""
    with pytest.MonkeyPatch.context() as monkeypatch:
        planting.remember_what_is_unchanged(monkeypatch)
        yield


@pytest.fixture
def write(tmp_path: Path) -> Callable[[str], Path]:
    """Writes a clinic file in a folder of the test's own."""

    def written(text: str) -> Path:
        path = tmp_path / "clinic.toml"
        path.write_text(text, "utf-8")
        return path

    return written


@pytest.fixture
def run_measure(monkeypatch: pytest.MonkeyPatch) -> Callable[..., Result]:
    """Runs `treadleaf measure footprint` in this process, with a stand-in for the calculator."""
    from treadleaf.cli import main
    from treadleaf.measuring import footprint

    photographs.put_in(monkeypatch)
    monkeypatch.setattr(footprint, "workers", lambda pictures: 1)
    return lambda *words: CliRunner().invoke(main, ["measure", "footprint", *map(str, words)], prog_name="treadleaf")


@pytest.fixture
def spot(tmp_path: Path) -> Path:
    """A picture of 240 x 360 pixels with a dark ellipse in it."""
    path = tmp_path / "spot.png"
    photographs.spot().save(path)
    return path


@pytest.fixture
def large(tmp_path: Path) -> Path:
    """The same, ten times as large in both directions; it is halved before it is measured."""
    path = tmp_path / "large.jpg"
    photographs.spot(2400, 3600, (600, 400, 1600, 3200)).save(path, quality=95)
    return path
