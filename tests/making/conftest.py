"""What every test of the builder may ask for."""

from __future__ import annotations

from collections.abc import Callable, Iterator
from pathlib import Path

import pytest
from making import planting


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
