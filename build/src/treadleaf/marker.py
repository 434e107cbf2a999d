"""The file by which the builder knows a folder as its own: what it put there, and where the site will stand."""

import hashlib
import json
import os
from collections.abc import Collection, Iterator, Mapping
from importlib.metadata import version
from pathlib import Path
from typing import Any
from urllib.parse import urlsplit

NAME = ".treadleaf"
_SCHEMA = 2
# Systems leave these in any folder that somebody looks into.
_LEFT_BY_SYSTEMS = frozenset({".DS_Store", "Thumbs.db", "desktop.ini"})


def write(site: Path, address: str, copies: Mapping[str, str] | None = None) -> None:
    """Mark a finished site with the address at which it will be published and the list of its files.

    ``copies`` names what the user may copy into the site from the files for the host, with the SHA-256 of each.
    """
    files = sorted(path.relative_to(site).as_posix() for path in site.rglob("*") if path.is_file())
    made_by = f"treadleaf {version('treadleaf')}"
    facts = {"schema": _SCHEMA, "made_by": made_by, "address": address, "files": files, "copies": dict(copies or {})}
    (site / NAME).write_text(json.dumps(facts, indent=1) + "\n", "utf-8")


def published_path(site: Path) -> str:
    """The path of a site on its host, with a slash at both ends; "/" for a folder that does not say."""
    address = _facts(site).get("address")
    try:
        path = urlsplit(address).path if isinstance(address, str) else ""
    except ValueError:  # an address that somebody changed by hand
        path = ""
    return path if path.startswith("/") and path.endswith("/") else "/"


def copied(site: Path) -> list[str]:
    """What somebody has copied into a site from the files for the host, each as it was built."""
    copies = _facts(site).get("copies")
    known = copies.items() if isinstance(copies, dict) else ()
    return sorted(name for name, sha256 in known if _sha256(site / name) == sha256)


def _sha256(file: Path) -> str | None:
    return hashlib.sha256(file.read_bytes()).hexdigest() if file.is_file() else None


def strangers(folder: Path) -> list[str]:
    """What stands in a folder and is not on its list of built files, in order; in a folder without a list, all of it.

    Paths have forward slashes; a folder that holds nothing built is named once, with a slash at its end.
    """
    facts = _facts(folder)
    files = facts.get("files") if facts.get("schema") == _SCHEMA else None
    built = {*(files if isinstance(files, list) else ()), *([NAME, *copied(folder)] if files else [])}
    return sorted(_strangers(folder, built))


def _strangers(folder: Path, built: Collection[object]) -> Iterator[str]:
    rooms = {str(room) for name in built for room in Path(str(name)).parents}
    for place, folders, files in os.walk(folder, onerror=_unreadable):
        here = Path(place).relative_to(folder)
        for name in files:
            if name not in _LEFT_BY_SYSTEMS and (here / name).as_posix() not in built:
                yield (here / name).as_posix()
        # A link to a folder is nothing that was built, whatever its name.
        foreign = [name for name in folders if str(here / name) not in rooms or (Path(place) / name).is_symlink()]
        for name in foreign:
            yield f"{(here / name).as_posix()}/"
            folders.remove(name)


def _unreadable(failure: OSError) -> None:
    raise failure  # what cannot be looked into cannot be known as built


def _facts(site: Path) -> dict[str, Any]:
    try:
        facts = json.loads((site / NAME).read_text("utf-8"))
    except (OSError, ValueError):
        return {}
    return facts if isinstance(facts, dict) else {}
