"""The words of one language: every sentence that a template or a script shows, from one TOML file."""

import tomllib
from pathlib import Path
from typing import Any


def load(templates: Path, language: str) -> dict[str, Any]:
    """Read the strings of a language.

    Raises ValueError for a key that a template could not reach: written with a dot, it would find a method of the
    table in its place.
    """
    path = templates / "strings" / f"{language}.toml"
    words = tomllib.loads(path.read_text("utf-8"))
    hidden = [key for key in _keys(words) if hasattr(dict, key)]
    if hidden:
        raise ValueError(f"{path}: these keys cannot be reached from a template; rename them: {', '.join(hidden)}")
    return words


def _keys(table: dict[str, Any]) -> list[str]:
    return [name for key, value in table.items() for name in (key, *(_keys(value) if isinstance(value, dict) else ()))]
