"""The file by which the builder knows a folder as one that it made: it may be replaced, and where it will stand."""

import json
from importlib.metadata import version
from pathlib import Path
from urllib.parse import urlsplit

NAME = ".treadleaf"
_SCHEMA = 1


def write(site: Path, address: str) -> None:
    """Mark a finished site, with the address at which it will be published."""
    facts = {"schema": _SCHEMA, "made_by": f"treadleaf {version('treadleaf')}", "address": address}
    (site / NAME).write_text(json.dumps(facts, indent=1) + "\n", "utf-8")


def published_path(site: Path) -> str:
    """The path of a site on its host, with a slash at both ends; "/" for a folder that does not say."""
    try:
        return urlsplit(json.loads((site / NAME).read_text("utf-8"))["address"]).path or "/"
    except (OSError, ValueError, KeyError, TypeError):
        return "/"
