"""What every test of the builder may ask for."""

from __future__ import annotations

from collections.abc import Callable
from pathlib import Path

import pytest


@pytest.fixture
def write(tmp_path: Path) -> Callable[[str], Path]:
    """Writes a clinic file in a folder of the test's own."""

    def written(text: str) -> Path:
        path = tmp_path / "clinic.toml"
        path.write_text(text, "utf-8")
        return path

    return written
