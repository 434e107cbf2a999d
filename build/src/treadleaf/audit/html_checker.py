"""The Nu Html Checker, where this machine has it: a program beside the builder, no part of it."""

import json
import re
import shutil
import subprocess
import tomllib
from collections.abc import Iterator
from dataclasses import dataclass
from pathlib import Path
from urllib.parse import unquote, urlsplit

from treadleaf.audit.folder import Folder
from treadleaf.audit.rules import DATA, broken
from treadleaf.errors import InputProblems, Problem

MISSING = "there is no program vnu on this machine; name its jar with --vnu, which needs Java"
_OPTIONS = ("--format", "json", "--stdout", "--exit-zero-always", "--errors-only")
_ERRORS = ("error", "non-document-error")
_OUR_STYLES = ("styles/", "components/")
_SECONDS = 300


@dataclass(frozen=True)
class Checker:
    """The words with which the checker is started."""

    command: tuple[str, ...]


@dataclass(frozen=True)
class _PassedOver:
    """A message that is no fault here, by what it says and what it shows, and the reason."""

    message: re.Pattern[str]
    extract: re.Pattern[str]
    because: str


_PASSED_OVER = tuple(
    _PassedOver(re.compile(row["message"]), re.compile(row.get("extract", "")), row["because"])
    for row in tomllib.loads((DATA / "passed_over.toml").read_text("utf-8"))["passed_over"]
)


def find(jar: Path | None) -> Checker | None:
    """The checker of a jar, else the program ``vnu`` of this machine, else None. Raises InputProblems without Java."""
    if jar is None:
        program = shutil.which("vnu")
        return Checker((program,)) if program else None
    java = shutil.which("java")
    if java is None:
        what = "The HTML checker is a Java program, and there is no java on this machine."
        mend = "Install it (on Debian: apt-get install default-jre-headless), or leave --vnu out."
        raise InputProblems([Problem(what, key="--vnu", mend=mend)])
    return Checker((java, "-jar", str(jar)))


def look(folder: Folder, checker: Checker) -> Iterator[Problem]:
    """Every error in the pages and in our own style sheets. Raises InputProblems where the checker does not run."""
    styles = [name for name in folder.texts if name.endswith(".css") and name.startswith(_OUR_STYLES)]
    for option, names in (("--html", list(folder.pages())), ("--css", styles)):
        for message in _told(checker, option, [str(folder.root / name) for name in names]):
            said, extract = str(message.get("message", "")), str(message.get("extract", ""))
            if not any(row.message.search(said) and row.extract.search(extract) for row in _PASSED_OVER):
                path = Path(unquote(urlsplit(str(message.get("url", ""))).path))
                name = path.relative_to(folder.root).as_posix() if path.is_relative_to(folder.root) else str(path)
                line = message.get("lastLine")
                yield broken("html", name, said, " ".join(extract.split()), line if isinstance(line, int) else None)


def _told(checker: Checker, option: str, files: list[str]) -> list[dict[str, object]]:
    if not files:
        return []
    said = ""
    try:
        answer = subprocess.run(  # noqa: S603 - the user's own program, on files that were just listed
            [*checker.command, option, *_OPTIONS, *files],
            check=False,
            capture_output=True,
            text=True,
            encoding="utf-8",
            timeout=_SECONDS,
        )
        said = answer.stderr.strip() or answer.stdout.strip()
        messages = json.loads(answer.stdout)["messages"]
        return [message for message in messages if message["type"] in _ERRORS]
    except (OSError, subprocess.TimeoutExpired) as failure:
        raise _did_not_run(checker, str(failure)) from None
    except (ValueError, LookupError, TypeError):
        raise _did_not_run(checker, said) from None


def _did_not_run(checker: Checker, said: str) -> InputProblems:
    what = "The HTML checker did not run, or gave no answer that can be read."
    mend = f"Try it by itself: {' '.join(checker.command)} --version"
    return InputProblems([Problem(what, key="--vnu", found=said[:200], mend=mend)])
