"""A worker that the system ends at a picture of a certain name: for tests of what becomes of the others."""

from __future__ import annotations

import os
from collections.abc import Mapping
from pathlib import Path
from typing import Any


def measure(path: Path, asked: Mapping[str, Any]) -> dict[str, Any]:
    """In the place of the measuring, in a process of its own."""
    if path.name.startswith("deadly"):
        os._exit(9)
    return {"ok": True, "result": path.name, "asked": dict(asked), "by": os.getpid()}
