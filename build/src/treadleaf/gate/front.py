"""The text of a page's file and its front matter, read strictly: what is wrong is found with its line."""

import difflib
import re
from collections.abc import Iterator
from dataclasses import dataclass, field
from pathlib import Path
from typing import Any

import yaml
from pydantic import ValidationError

from treadleaf.gate.finding import Finding
from treadleaf.kinds import KINDS, Front

_FENCE = re.compile(r"\A---\n(.*?\n)---\n", re.DOTALL)


class Unreadable(Exception):
    """A file that cannot be looked at any further, for one reason."""

    def __init__(self, finding: Finding) -> None:
        self.finding = finding
        super().__init__(finding.what)


@dataclass(frozen=True)
class Opened:
    """A file taken apart: its front matter if that is one of a kind, the line of each key, the text below it."""

    front: Front | None
    lines: dict[str, int]
    markdown: str
    first_line: int
    findings: list[Finding] = field(default_factory=list)


def opened(path: Path) -> Opened:
    """Read a page's file. Raises Unreadable where there is no front matter to speak of."""
    text = _text(path)
    fence = _FENCE.match(text)
    if not fence:
        raise Unreadable(Finding("front-matter", 1, what="The page has no front matter."))
    values, lines = _yaml(fence[1])
    front: Front | None = None
    kind = values.get("kind")
    findings: list[Finding] = []
    if not isinstance(kind, str) or kind not in KINDS:
        mend = f"Write one of: {', '.join(KINDS)}."
        findings.append(Finding("kind", lines.get("kind", 1), repr(kind), mend=mend, key="kind"))
    else:
        try:
            front = KINDS[kind].model_validate(values)
        except ValidationError as failure:
            findings += _faults(kind, failure, lines)
    return Opened(front, lines, text[fence.end() :], text[: fence.end()].count("\n"), findings)


def _text(path: Path) -> str:
    data = path.read_bytes()
    try:
        return data.decode("utf-8-sig").replace("\r\n", "\n")
    except UnicodeDecodeError as failure:
        raise Unreadable(Finding("not-utf8", data[: failure.start].count(b"\n") + 1)) from None


def _yaml(text: str) -> tuple[dict[str, Any], dict[str, int]]:
    """Keys of the front matter with their values, and the line of each key. Two keys of one name are refused."""

    def refuse(what: str, line: int, key: str = "", mend: str = "Write one `key: value` a line.") -> Unreadable:
        return Unreadable(Finding("front-matter", line, what=what, mend=mend, key=key))

    values: dict[str, Any] = {}
    lines: dict[str, int] = {}
    name, line = "", 1
    try:
        loader = yaml.SafeLoader(text)
        node = loader.get_single_node()
        if not isinstance(node, yaml.MappingNode):
            raise refuse("The front matter must be keys with values.", 2)
        for key, value in node.value:
            name, line = str(key.value), key.start_mark.line + 2
            if name in lines:
                raise refuse("This key stands twice.", line, name, f"Keep one; the other is on line {lines[name]}.")
            lines[name] = line
            values[name] = loader.construct_object(value, deep=True)
    except (yaml.YAMLError, RecursionError) as failure:
        mark = getattr(failure, "problem_mark", None)
        what = f"The front matter is malformed: {getattr(failure, 'problem', None) or failure}."
        raise refuse(what, mark.line + 2 if mark else 1) from None
    except ValueError as failure:  # 30 February, for one, has the shape of a date
        raise refuse(f"This value cannot be: {failure}.", line, name, "Write one that there is.") from None
    return values, lines


def _faults(kind: str, failure: ValidationError, lines: dict[str, int]) -> Iterator[Finding]:
    fields = KINDS[kind].model_fields
    for error in failure.errors(include_url=False):
        key = ".".join(str(part) for part in error["loc"])
        line = lines.get(str(error["loc"][0]) if error["loc"] else "", 1)
        near = difflib.get_close_matches(key, fields, 1) if error["type"] == "extra_forbidden" else []
        mend = f"Did you mean `{near[0]}`?" if near else f"A {kind} page has: {', '.join(fields)}."
        found = "" if error["type"] == "missing" else repr(error["input"])
        yield Finding("front-key", line, found, f"{error['msg']}.", mend, key)
