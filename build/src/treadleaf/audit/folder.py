"""A finished folder as it is on disk: its plain files, the text of those that are text, and what is neither."""

import os
from collections.abc import Iterator, Mapping
from dataclasses import dataclass
from pathlib import Path

from treadleaf.audit.rules import broken
from treadleaf.errors import Problem

_TEXT = (".html", ".css", ".js", ".json", ".svg", ".txt", ".xml")


@dataclass(frozen=True)
class Folder:
    """What was found. ``sizes`` has every plain file with its bytes, ``texts`` those that are text.

    Paths are relative to ``root``, with forward slashes.
    """

    root: Path
    sizes: Mapping[str, int]
    texts: Mapping[str, str]
    faults: tuple[Problem, ...]

    def pages(self) -> dict[str, str]:
        """The text of every page by its path, in order."""
        return {name: text for name, text in self.texts.items() if name.endswith(".html")}


def read(root: Path) -> Folder:
    """Read a folder. Links are not followed: a host may publish the link, its target, or nothing."""
    root = root.resolve()
    sizes: dict[str, int] = {}
    texts: dict[str, str] = {}
    faults: list[Problem] = []
    for name, path in _inside(root):
        if path.is_symlink():
            faults.append(broken("folder", name, "This is a link to somewhere else, not a file.", str(path.readlink())))
        elif path.is_dir():
            faults.append(broken("folder", name, "This is a folder, and is named like a file."))
        elif not path.is_file():
            faults.append(broken("folder", name, "This is no plain file."))
        else:
            data = path.read_bytes()
            sizes[name] = len(data)
            if name.endswith(_TEXT):
                try:
                    texts[name] = data.decode("utf-8")
                except UnicodeDecodeError as failure:
                    at = f"byte {failure.start + 1}"
                    faults.append(broken("folder", name, "The file is not UTF-8, so browsers would guess.", at))
    return Folder(root, sizes, texts, tuple(faults))


def _inside(root: Path) -> Iterator[tuple[str, Path]]:
    """Everything in a folder but the folders that are plainly folders, in order."""

    def refused(failure: OSError) -> None:
        raise failure  # what cannot be looked into cannot be called good

    found: list[Path] = []
    for place, folders, files in os.walk(root, onerror=refused):
        found += [Path(place) / name for name in files]
        found += [path for name in folders if (path := Path(place) / name).is_symlink() or name.endswith(_TEXT)]
    yield from sorted((path.relative_to(root).as_posix(), path) for path in found)
