"""Where the builder finds the files it builds from, and where it keeps what it has downloaded."""

from __future__ import annotations

import os
from functools import cache as once
from pathlib import Path

import platformdirs

_HERE = Path(__file__).resolve().parent
_CHECKOUT = _HERE.parents[2]


def content() -> Path:
    """The folder of Markdown pages, one folder a language inside."""
    return _root() / "content"


def templates() -> Path:
    """The folder of page templates, components, styles, scripts and strings."""
    return _root() / "site_templates"


def mkdocs_yml() -> Path:
    """The MkDocs settings that no clinic may change."""
    return _root() / "mkdocs.yml"


def cache() -> Path:
    """The folder for downloads and what is made from them: ``$TREADLEAF_CACHE``, else the user's own cache folder."""
    chosen = os.environ.get("TREADLEAF_CACHE")
    return Path(chosen).expanduser().resolve() if chosen else platformdirs.user_cache_path("treadleaf", appauthor=False)


@once
def _root() -> Path:
    """The folder that holds content, templates and settings.

    An installed copy carries them in ``_bundled`` beside this file. A checkout never looks there: a ``_bundled`` left
    behind by an earlier installation would be stale.
    """
    root = _CHECKOUT if _in_checkout() else _HERE / "_bundled"
    if not (root / "content").is_dir():
        raise FileNotFoundError(
            f"the pages and templates that belong to treadleaf are missing: no folder 'content' in {root}. "
            "Install treadleaf again, or run it from a complete checkout."
        )
    return root


def _in_checkout() -> bool:
    return _HERE.parent.name == "src" and _HERE.parents[1].name == "build" and (_CHECKOUT / "pyproject.toml").is_file()
