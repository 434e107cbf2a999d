"""Where a finished site goes: into a new folder, an empty one, or the place of one that this builder made."""

import os
import shutil
import tempfile
from collections.abc import Iterator
from contextlib import contextmanager
from pathlib import Path

from treadleaf import marker
from treadleaf.errors import InputProblems, Problem

_OTHER_FOLDER = "Name a new or empty folder with --out."
_FILE, _FOLDER = 0o644, 0o755
_SHOWN = 5
"""How many files that stand in the way are named."""


def refuse_foreign(out: Path) -> None:
    """Leave a folder alone that cannot be replaced, or that holds anything which the builder did not put there."""
    if out.exists() and not out.is_dir():
        raise InputProblems((Problem("This is a file, not a folder.", str(out), mend=_OTHER_FOLDER),))
    if os.path.ismount(out):
        what = "This folder is a drive or a mount point: the system does not let it be replaced."
        raise InputProblems((Problem(what, str(out), mend="Name a folder inside it with --out."),))
    strangers = marker.strangers(out) if out.is_dir() else []
    if strangers:
        what = "The folder holds files that are not on the builder's own list; nothing in it was touched."
        more = len(strangers) - _SHOWN
        found = ", ".join(strangers[:_SHOWN]) + (f" and {more} more" if more > 0 else "")
        mend = "Move them out, or name a new or empty folder with --out."
        raise InputProblems((Problem(what, str(out), found=found, mend=mend),))


@contextmanager
def beside(out: Path) -> Iterator[Path]:
    """A folder to work in, on the same disk as ``out``; it is gone at the end."""
    out.parent.mkdir(parents=True, exist_ok=True)
    try:
        work = Path(tempfile.mkdtemp(prefix=f".{out.name}-", dir=out.parent))
    except OSError as failure:
        what = f"The site is built beside its own folder, and nothing can be made here: {failure.strerror}."
        mend = "Name with --out a folder inside one where you may write."
        raise InputProblems((Problem(what, str(out.parent), mend=mend),)) from None
    try:
        yield work
    finally:
        shutil.rmtree(work, ignore_errors=True)


def swap(*moves: tuple[Path, Path]) -> None:
    """Put each new folder in the place of an old one, all or none: what fails half-way is put back.

    ``moves`` are pairs of a new folder, made beside its place, and that place. What is built may be read by all, on
    every machine alike: it is made for a web server, and many ways of publishing keep a file's mode.
    """
    for new, _ in moves:
        for path in (new, *new.rglob("*")):
            path.chmod(_FOLDER if path.is_dir() else _FILE)
    for _, out in moves:
        refuse_foreign(out)  # once more: building took a while, and what is replaced is deleted
    done: list[tuple[Path, Path]] = []
    try:
        for new, out in moves:
            old = new.with_name(f"{new.name}.old")
            if out.exists():
                out.replace(old)
                done.append((old, out))
            new.replace(out)
            done.append((out, new))
    except OSError:
        for now, before in reversed(done):
            now.replace(before)
        raise
