"""Every component in every state: the one list of examples, which the staff page shows, tests try and pictures show.

Each component's folder may hold a ``samples.toml``; a component without one has one state. What a calculator says in a
sample is asked of the calculators when the site is built, so no answer stands in a list.
"""

from __future__ import annotations

import json
import tomllib
from collections.abc import Iterator, Mapping
from pathlib import Path
from typing import Any, Literal

from pydantic import BaseModel, ConfigDict

from calculators import api
from calculators.forms import FORMS

FILE = "samples.toml"


class Sample(BaseModel):
    """One state of a component.

    ``client`` is how far the calculators are: asleep, loading, starting once everything has arrived, ready, or failed
    for a ``reason`` of the protocol.
    ``input`` is what is typed, in the calculator's own names and in mm. ``tick`` has the radio buttons chosen by the
    beginning of their names, ``press`` the buttons pressed, and ``open`` unfolds what the answer folds away.
    ``kept`` is what the device holds, as `offline.js` knows it.
    """

    model_config = ConfigDict(extra="forbid", frozen=True)

    key: str
    title: str
    client: Literal["asleep", "loading", "starting", "ready", "failed"] = "ready"
    reason: str = ""
    input: Mapping[str, Any] = {}
    tick: Mapping[str, str] = {}
    press: tuple[str, ...] = ()
    open: bool = False
    kept: Mapping[str, Any] = {}


def load(folder: Path) -> tuple[Sample, ...]:
    """The samples of one component; ``folder`` is its own.

    Raises ``ValueError`` (pydantic's) for a sample of another shape: the lists are the project's own.
    """
    file = folder / FILE
    if not file.is_file():
        return ()
    return tuple(Sample(**row) for row in tomllib.loads(file.read_text("utf-8"))["sample"])


def shown(folder: Path, mm_per_unit: float, digits: int) -> list[dict[str, Any]]:
    """The samples as the page's script wants them: texts to type by their paths, and the calculators' answer.

    Lengths are typed in a clinic's own unit, ``mm_per_unit`` long, with at most ``digits`` decimals, and the answer is
    to what is typed.
    """
    action = folder.name.replace("-", "_")
    rows = []
    for sample in load(folder):
        # A list, because a field may appear only once another one says so.
        typed = list(_texts(sample.input, mm_per_unit, digits))
        row = sample.model_dump(exclude={"input"}) | {"typed": typed}
        if action in FORMS and sample.input:
            row["answer"] = answer(action, _as_typed(sample.input, mm_per_unit, digits))
        rows.append(row)
    return rows


def answer(action: str, given: Any) -> Any:
    """What the calculators say to an input."""
    return json.loads(api.call(json.dumps({"schema": api.SCHEMA, "action": action, "input": given})))


def _texts(value: Any, mm_per_unit: float, digits: int, path: str = "") -> Iterator[tuple[str, str]]:
    if isinstance(value, Mapping | list):
        for key, inner in value.items() if isinstance(value, Mapping) else enumerate(value):
            yield from _texts(inner, mm_per_unit, digits, f"{path}.{key}" if path else str(key))
    elif isinstance(value, str):
        yield path, value
    else:
        yield path, f"{_in_unit(path, value, mm_per_unit, digits):g}"


def _as_typed(value: Any, mm_per_unit: float, digits: int, key: str = "") -> Any:
    if isinstance(value, Mapping):
        return {name: _as_typed(inner, mm_per_unit, digits, name) for name, inner in value.items()}
    if isinstance(value, list):
        return [_as_typed(inner, mm_per_unit, digits) for inner in value]
    if key.endswith("_mm") and not isinstance(value, str):
        return _in_unit(key, value, mm_per_unit, digits) * mm_per_unit
    return value


def _in_unit(key: str, value: float, mm_per_unit: float, digits: int) -> float:
    return round(value / mm_per_unit, digits) if key.endswith("_mm") else value
