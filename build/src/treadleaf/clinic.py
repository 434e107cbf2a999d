"""The clinic file: one TOML file that says whose handout site this is.

Its keys are declared in `clinic_model`; here it is read, and what is wrong with it is told.
"""

import re
import tomllib
from pathlib import Path
from typing import Any

from pydantic import ValidationError

from treadleaf import clinic_faults, logo
from treadleaf.clinic_model import SCHEMA, Clinic
from treadleaf.clinic_values import FOLDER, LONGEST_PATH, PAGE
from treadleaf.errors import InputProblems, Problem
from treadleaf.own_pages import Wishes
from treadleaf.positions import key_lines

_LARGEST_FILE = 200_000


def load(path: Path) -> Clinic:
    """Read a clinic file.

    Raises InputProblems with everything that is wrong at once; each problem names the file, the key path (places in a
    list are counted from 1), the line, what was found and how to mend it.
    """
    text = _read(path)
    values = _parse(path, text)
    lines = key_lines(text)
    problems: list[Problem] = []
    clinic: Clinic | None = None
    try:
        clinic = Clinic.model_validate(values)
    except ValidationError as failure:
        problems += [clinic_faults.told(path, lines, error) for error in failure.errors(include_url=False)]
    named = values.get("logo")
    if isinstance(named, str) and not any(problem.key == "logo" for problem in problems):
        try:
            logo.cleaned(path, named)
        except InputProblems as failure:
            problems += [clinic_faults.placed(problem, lines, ("logo",)) for problem in failure.problems]
    if clinic is None or problems:
        raise InputProblems(tuple(sorted(problems, key=lambda problem: (problem.line or 0, problem.key))))
    return clinic


def wishes(path: Path) -> Wishes:
    """What a clinic file says of the pages, as far as it can be used.

    What has another shape is passed over: `load` tells it. So a wrong telephone number hides no wrong page.
    """
    try:
        text = _read(path)
        values = _parse(path, text)
    except InputProblems:
        return Wishes()
    left_out, notes = values.get("leave_out"), values.get("notes")
    return Wishes(
        tuple(_fitting(PAGE, page) for page in left_out) if isinstance(left_out, list) else (),
        _fitting(FOLDER, values.get("pages")).rstrip("/"),
        {page: note for page, note in notes.items() if _fitting(PAGE, page) and isinstance(note, str)}
        if isinstance(notes, dict)
        else {},
        key_lines(text),
    )


def _fitting(pattern: str, value: object) -> str:
    """The value where it is a path of the right shape, else nothing."""
    fits = isinstance(value, str) and len(value) <= LONGEST_PATH and re.search(pattern, value)
    return str(value) if fits else ""


def _read(path: Path) -> str:
    if not path.is_file():
        mend = "Check the name, or make one with `new FOLDER`."
        raise InputProblems((Problem("There is no such clinic file.", str(path), mend=mend),))
    data = path.read_bytes()
    if len(data) > _LARGEST_FILE:
        mend = f"A clinic file is plain text of a few lines; at most {_LARGEST_FILE:,} bytes are read."
        found = f"{len(data):,} bytes"
        raise InputProblems((Problem("The clinic file is too large.", str(path), found=found, mend=mend),))
    try:
        return data.decode("utf-8-sig").replace("\r\n", "\n")
    except UnicodeDecodeError as failure:
        line = data[: failure.start].count(b"\n") + 1
        mend = "Save the file as UTF-8 in your editor."
        raise InputProblems((Problem("The clinic file is not UTF-8 text.", str(path), line, mend=mend),)) from None


def _parse(path: Path, text: str) -> dict[str, Any]:
    try:
        values = tomllib.loads(text)
    except (tomllib.TOMLDecodeError, RecursionError) as failure:
        place = re.search(r"at line (\d+)", str(failure))
        rows = text.split("\n") if text.strip() else [""]
        last = max(index for index, row in enumerate(rows, 1) if row.strip() or index == 1)
        line = min(int(place[1]), last) if place else last
        found = rows[line - 1].strip()[:80]
        what = f"This is not TOML: {re.sub(r' [(]at .*', '', str(failure))[:200]}."
        mend = 'Write each line as  key = "value"  with straight quotes, and each key once.'
        raise InputProblems((Problem(what, str(path), line, found=found, mend=mend),)) from None
    number = values.get("schema")
    if isinstance(number, int) and not isinstance(number, bool) and number > SCHEMA:
        line_of = key_lines(text).get(("schema",))
        mend = "Install a newer version of the builder; the file was left as it is."
        what = "The clinic file is of a newer layout."
        raise InputProblems((Problem(what, str(path), line_of, "schema", str(number), mend),))
    return values
