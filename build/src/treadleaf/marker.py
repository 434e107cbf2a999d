"""The file by which the builder knows a folder as its own: what it put there, and where the site will stand."""

import hashlib
import json
import os
from collections.abc import Collection, Iterator, Mapping
from importlib.metadata import version
from pathlib import Path
from typing import Any
from urllib.parse import urlsplit

from treadleaf.errors import InputProblems, Problem

NAME = ".treadleaf"
SITE = "site"
"""The key under which a mark tells what the pages of a site must say; a folder that is no site has none."""

AGAIN = "Build the site again with this version: treadleaf site CLINIC.toml --out DIR"
_SCHEMA = 3
# The second schema had the list of files already, and nothing on what the pages must say.
_WITH_FILES = (2, 3)
# Systems leave these in any folder that somebody looks into.
_LEFT_BY_SYSTEMS = frozenset({".DS_Store", "Thumbs.db", "desktop.ini"})


def write(
    site: Path, address: str, said: Mapping[str, object] | None = None, copies: Mapping[str, str] | None = None
) -> None:
    """Mark a built folder with the address at which it will be published, what it must say, and its files.

    ``copies`` names what the user may copy into a site from the files for the host, with the SHA-256 of each.
    """
    files = sorted(path.relative_to(site).as_posix() for path in site.rglob("*") if path.is_file())
    made_by = f"treadleaf {version('treadleaf')}"
    facts = {"schema": _SCHEMA, "made_by": made_by, "address": address, SITE: said, "files": files}
    facts["copies"] = dict(copies or {})
    (site / NAME).write_text(json.dumps(facts, indent=1) + "\n", "utf-8", newline="\n")


def read(folder: Path) -> dict[str, Any]:
    """The mark of a built folder. Raises InputProblems where there is none, or none that this version can read."""
    try:
        facts = json.loads((folder / NAME).read_text("utf-8"))
    except FileNotFoundError:
        what = "This folder has no mark of the builder: it is no finished site, or the mark was left behind in copying."
        raise InputProblems([Problem(what, str(folder), found=f"no {NAME}", mend=AGAIN)]) from None
    except (IsADirectoryError, ValueError, RecursionError):
        facts = None
    if not isinstance(facts, dict) or type(facts.get("schema")) is not int:
        raise InputProblems([damaged(folder)])
    if facts["schema"] != _SCHEMA:
        made_by = str(facts.get("made_by"))[:80]
        what = "The site was built by another version of the builder, whose mark this one does not read."
        raise InputProblems([Problem(what, str(folder / NAME), found=made_by, mend=AGAIN)])
    return facts


def damaged(folder: Path) -> Problem:
    """The mark is there, but is not as the builder wrote it."""
    return Problem("The builder's mark in this folder is empty or damaged.", str(folder / NAME), mend=AGAIN)


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
    files = facts.get("files") if facts.get("schema") in _WITH_FILES else None
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
    except (OSError, ValueError, RecursionError):
        return {}
    return facts if isinstance(facts, dict) else {}
