"""The clinic file: one TOML file that says whose handout site this is.

Each key is declared once, in `Clinic`. The check, the starter file that ``treadleaf new`` writes and the pages are
made from it.
"""

import difflib
import re
import tomllib
from pathlib import Path
from typing import Annotated, Any, Literal
from urllib.parse import urlsplit

from coloraide import Color
from pydantic import AfterValidator, BaseModel, ConfigDict, Field, ValidationError
from pydantic_core import ErrorDetails

from treadleaf import logo as logos
from treadleaf.errors import InputProblems, Problem
from treadleaf.positions import KeyPath, key_lines

SCHEMA = 1
_LARGEST_FILE = 200_000


def _one_line(text: str) -> str:
    if any(ord(letter) < 32 or 0x7F <= ord(letter) <= 0x9F or letter in "\u2028\u2029" for letter in text):
        raise ValueError("must stand on one line, with no control characters")
    if not text.strip():
        raise ValueError("is empty; write something between the quotes")
    return text.strip()


def _web_address(text: str) -> str:
    parts = urlsplit(_one_line(text))
    if parts.scheme not in ("https", "http") or not parts.hostname or " " in text or parts.username:
        raise ValueError("must be a full web address that starts with https://")
    return text.strip()


def _site_address(text: str) -> str:
    address = _web_address(text)
    if urlsplit(address).query or urlsplit(address).fragment:
        raise ValueError("must end at the folder of the site: leave out everything from ? or #")
    return address.rstrip("/") + "/"


def _telephone(text: str) -> str:
    if not re.fullmatch(r"\+?[0-9][0-9 ().\-/]*", _one_line(text)):
        raise ValueError("must be digits, with spaces, brackets, dots or dashes between them, and + only in front")
    return text.strip()


def _colour(text: str) -> str:
    if not re.fullmatch(r"#(?:[0-9a-fA-F]{3}|[0-9a-fA-F]{6})", text.strip()):
        raise ValueError('must be # and three or six hexadecimal digits, like "#2f6f5e"')
    return str(Color(text.strip()).to_string(hex=True))


def _logo_name(text: str) -> str:
    if not _one_line(text).lower().endswith((".svg", ".png")):
        raise ValueError("must name an .svg or a .png file")
    return text.strip()


Line = Annotated[str, AfterValidator(_one_line)]
Telephone = Annotated[str, AfterValidator(_telephone), Field(min_length=2, max_length=30)]
WebAddress = Annotated[str, AfterValidator(_web_address), Field(max_length=300)]


class Emergency(BaseModel):
    """Whom a client calls in an emergency. There is no default: numbers differ by country."""

    model_config = ConfigDict(extra="forbid", frozen=True, strict=True)

    number: Telephone = Field(description="The number to dial in an emergency where your clients live.", examples=[""])
    name: Annotated[Line, Field(max_length=60)] = Field(
        description="What people there call that service.", examples=[""]
    )


class Clinic(BaseModel):
    """A clinic file that has passed every check."""

    model_config = ConfigDict(extra="forbid", frozen=True, strict=True)

    schema_number: Literal[1] = Field(
        alias="schema", description="Version of this file's layout. Leave it as it is.", examples=[SCHEMA]
    )
    name: Annotated[Line, Field(max_length=60)] = Field(
        description="The clinic's name, as clients know it.", examples=["My clinic"]
    )
    strapline: Annotated[Line, Field(max_length=120)] = Field(
        description="One line under the name: what you do, for whom.",
        examples=["Exercise and movement for everyday feet"],
    )
    logo: Annotated[str, AfterValidator(_logo_name), Field(max_length=200)] | None = Field(
        None,
        description="Optional. An .svg or .png file beside this one, at most 200 kB.",
        examples=["logo.svg"],
    )
    colour: Annotated[str, AfterValidator(_colour)] = Field(
        "#2b5f6b", description="The clinic's colour. Shades that can be read are derived from it.", examples=["#2b5f6b"]
    )
    telephone: Telephone = Field(description="The number that clients call you on.", examples=[""])
    web: WebAddress | None = Field(
        None, description="Optional. The clinic's own website.", examples=["https://www.example.org"]
    )
    paper: Literal["A4", "Letter"] = Field("A4", description="What your printer holds: A4 or Letter.", examples=["A4"])
    units: Literal["metric", "imperial"] = Field(
        "metric", description="metric (millimetres) or imperial (inches).", examples=["metric"]
    )
    site_address: Annotated[str, AfterValidator(_site_address), Field(max_length=300)] = Field(
        description="Where the finished site will stand.", examples=["https://www.example.org/handouts/"]
    )
    emergency: Emergency = Field(description="Shown wherever a sheet says to get help at once.")


def load(path: Path) -> Clinic:
    """Read a clinic file.

    Raises InputProblems with everything that is wrong at once; each problem names the file, the key path, the line,
    what was found and how to mend it.
    """
    text = _read(path)
    values = _parse(path, text)
    lines = key_lines(text)
    problems: list[Problem] = []
    clinic: Clinic | None = None
    try:
        clinic = Clinic.model_validate(values)
    except ValidationError as failure:
        problems += [_problem(path, lines, error) for error in failure.errors(include_url=False)]
    named = values.get("logo")
    if isinstance(named, str) and not any(problem.key == "logo" for problem in problems):
        problems += logos.problems(path, named, lines.get(("logo",)))
    if clinic is None or problems:
        raise InputProblems(tuple(sorted(problems, key=lambda problem: (problem.line or 0, problem.key))))
    return clinic


def starter() -> str:
    """Text of a new clinic file, made from the model: every key with what it is for."""
    lines = ["# The clinic file. What is empty must be filled in; then run the check.", ""]
    for key, field in Clinic.model_fields.items():
        lines.append(f"# {field.description}")
        if key == "emergency":
            lines.append("[emergency]")
            for name, inner in Emergency.model_fields.items():
                lines += [f"# {inner.description}", f"{name} = {_toml(inner.examples)}"]
        else:
            mark = "# " if field.default is None else ""
            lines += [f"{mark}{field.alias or key} = {_toml(field.examples)}", ""]
    return "\n".join(lines) + "\n"


def _toml(examples: list[Any] | None) -> str:
    value = (examples or [""])[0]
    return str(value) if isinstance(value, int) else f'"{value}"'


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


def _problem(path: Path, lines: dict[KeyPath, int], error: ErrorDetails) -> Problem:
    where: KeyPath = tuple(error["loc"])
    missing = error["type"] == "missing"
    # A missing key has no line of its own: its table's, or else the first.
    nearest = (lines[where[:cut]] for cut in range(len(where), 0, -1) if where[:cut] in lines)
    what, mend = _say(where, error)
    return Problem(
        what,
        str(path),
        next(nearest, 1 if missing else None),
        ".".join(str(part) for part in where),
        "" if missing else repr(error["input"])[:80],
        mend,
    )


def _say(where: KeyPath, error: ErrorDetails) -> tuple[str, str]:
    """What is wrong and how to mend it, in words for somebody who does not program."""
    model = Emergency if where[0] == "emergency" and len(where) > 1 else Clinic
    fields = {field.alias or name: field for name, field in model.model_fields.items()}
    last = str(where[-1])
    about = fields[last].description or "" if last in fields else ""
    if error["type"] == "extra_forbidden":
        near = difflib.get_close_matches(last, fields, 1, 0.5)
        mend = f"Did you mean `{near[0]}`?" if near else f"Take it out. The keys are: {', '.join(fields)}."
        return "This key is not known.", mend
    what, mend = _WORDS.get(error["type"], (f"{error['msg']}.", ""))
    gaps = {**error.get("ctx", {}), "key": last}
    return what.format(**gaps), f"{mend.format(**gaps)} {about}".strip()


_WORDS = {
    "missing": ("This key is missing.", "Add it."),
    "value_error": ("The value {error}.", ""),
    "literal_error": ("The value is not one of those allowed.", "Write {expected}."),
    "string_type": ("The value must be text in quotes.", 'Write it as "...".'),
    "string_too_long": ("The value is too long: at most {max_length} characters.", ""),
    "string_too_short": ("The value is too short or empty.", "Fill it in."),
    "model_type": ("This must be a table.", "Write [{key}] on its own line, and its keys below it."),
}
