"""What is wrong in a clinic file, told to somebody who does not program: what, where, and how to mend it."""

import difflib
from collections.abc import Mapping
from dataclasses import replace
from pathlib import Path
from typing import Any, get_args

from pydantic import BaseModel
from pydantic.fields import FieldInfo
from pydantic_core import ErrorDetails

from treadleaf.clinic_model import Clinic
from treadleaf.errors import Problem
from treadleaf.positions import KeyPath


def told(path: Path, lines: Mapping[KeyPath, int], error: ErrorDetails) -> Problem:
    """One fault that the model found, as a Problem. ``lines`` is what `positions.key_lines` says of the file."""
    # The model marks a fault in a table's key, as opposed to its value, by a last part of its own.
    where: KeyPath = tuple(part for part in error["loc"] if part != "[key]")
    missing = error["type"] == "missing"
    what, mend = _say(where, error)
    found = "" if missing else repr(error["input"])[:80]
    return placed(Problem(what, str(path), 1 if missing else None, found=found, mend=mend), lines, where)


def placed(problem: Problem, lines: Mapping[KeyPath, int], where: KeyPath) -> Problem:
    """The same problem with its key path and the line of the nearest key that stands in the file."""
    nearest = (lines[where[:cut]] for cut in range(len(where), 0, -1) if where[:cut] in lines)
    key = ".".join(str(part + 1) if isinstance(part, int) else part for part in where)
    return replace(problem, key=key, line=next(nearest, problem.line))


def _say(where: KeyPath, error: ErrorDetails) -> tuple[str, str]:
    keys = _keys(where[:-1])
    last = str(where[-1])
    named = next((part for part in reversed(where) if isinstance(part, str)), last)
    # An item of a list is explained by the list's key, a page with a note by the key of all notes.
    field = keys.get(last) or _keys(where[: where.index(named)]).get(named) or _keys(()).get(str(where[0]))
    about = field.description or "" if field else ""
    if error["type"] == "extra_forbidden":
        return "This key is not known.", _mend_unknown(where, keys)
    what, mend = _WORDS.get(error["type"], (f"{error['msg']}.", ""))
    tables = bool(field and inner_model(field))
    brackets = f"[[{named}]]" if tables else f'{named} = ["..."]'
    gaps = {**error.get("ctx", {}), "key": last, "brackets": brackets}
    return what.format(**gaps), f"{mend.format(**gaps)} {about}".strip()


def _mend_unknown(where: KeyPath, keys: dict[str, FieldInfo]) -> str:
    """The nearest key of the same table; or the place where a key of that very name belongs; or all the keys."""
    last = str(where[-1])
    near = difflib.get_close_matches(last, keys, 1, 0.5)
    top = _keys(())
    if len(where) > 1 and last in top:
        return f"`{last}` belongs above the first line in [brackets]: move it up there."
    if near:
        return f"Did you mean `{near[0]}`?"
    elsewhere = [name for name, field in top.items() if (inner := inner_model(field)) and last in _of(inner)]
    hint = f" `{last}` is known in: {', '.join(elsewhere)}." if elsewhere else ""
    return f"Take it out. The keys here are: {', '.join(keys)}.{hint}"


def _keys(where: KeyPath) -> dict[str, FieldInfo]:
    """The keys of the table at a path."""
    model: type[BaseModel] | None = Clinic
    for part in where:
        if isinstance(part, str) and model:
            field = _of(model).get(part)
            model = inner_model(field) if field else None
    return _of(model) if model else {}


def _of(model: type[BaseModel]) -> dict[str, FieldInfo]:
    return {field.alias or name: field for name, field in model.model_fields.items()}


def inner_model(field: FieldInfo) -> type[BaseModel] | None:
    """The model of the tables that a field holds, one or many; None for plain values."""
    candidates: list[Any] = [field.annotation]
    while candidates:
        candidate = candidates.pop()
        if isinstance(candidate, type) and issubclass(candidate, BaseModel):
            return candidate
        candidates += get_args(candidate)
    return None


_WORDS = {
    "missing": ("This key is missing.", "Add it."),
    "value_error": ("The value {error}.", ""),
    "literal_error": ("The value is not one of those allowed.", "Write {expected}."),
    "string_type": ("The value must be text in quotes.", 'Write it as "...".'),
    "string_too_long": ("The value is too long: at most {max_length} characters.", ""),
    "string_too_short": ("The value is too short or empty.", "Fill it in."),
    "model_type": ("This must be a table.", "Write [{key}] on its own line, and its keys below it."),
    "dict_type": ("This must be a table.", "Write [{key}] on its own line, and its keys below it."),
    "tuple_type": ("This must be a list.", "Write it as {brackets}."),
    "too_long": ("There are too many: at most {max_length}.", ""),
    "too_short": ("There are too few: at least {min_length}.", ""),
}
