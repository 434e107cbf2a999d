"""Where a finished site goes: into a new folder, an empty one, or the place of one that this builder made."""

import shutil
import tempfile
from collections.abc import Iterator
from contextlib import contextmanager
from pathlib import Path

from treadleaf import marker
from treadleaf.errors import InputProblems, Problem

_OTHER_FOLDER = "Name a new or empty folder with --out."


def refuse_foreign(out: Path) -> None:
    """Raise InputProblems for a file, and for a folder whose content this builder did not make."""
    if out.is_dir() and any(out.iterdir()) and not (out / marker.NAME).is_file():
        what = "The folder holds files that this builder did not make; they were left alone."
        raise InputProblems((Problem(what, str(out), mend=_OTHER_FOLDER),))
    if out.exists() and not out.is_dir():
        raise InputProblems((Problem("This is a file, not a folder.", str(out), mend=_OTHER_FOLDER),))


@contextmanager
def beside(out: Path) -> Iterator[Path]:
    """A folder to work in, on the same disk as ``out``; it is gone at the end."""
    out.parent.mkdir(parents=True, exist_ok=True)
    work = Path(tempfile.mkdtemp(prefix=f".{out.name}-", dir=out.parent))
    try:
        yield work
    finally:
        shutil.rmtree(work, ignore_errors=True)


def swap(site: Path, out: Path) -> None:
    """Put the new site in the old one's place; if that fails half-way the old one is put back."""
    old = site.parent / "old"
    if out.exists():
        out.replace(old)
    try:
        site.replace(out)
    except OSError:
        if old.exists():
            old.replace(out)
        raise
