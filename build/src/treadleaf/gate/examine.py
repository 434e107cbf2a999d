"""One file through the gate: read it, then ask every rule."""

from collections.abc import Callable, Iterator
from dataclasses import dataclass
from pathlib import Path

from treadleaf import markup
from treadleaf.errors import Problem
from treadleaf.gate import evidence, form, front, reading, references, words
from treadleaf.gate.draft import Draft
from treadleaf.gate.facts import Facts
from treadleaf.gate.finding import Finding, problems

RULES_BY_FILE: tuple[Callable[[Draft, Facts], Iterator[Finding]], ...] = (
    references.findings,
    form.findings,
    evidence.findings,
    words.findings,
)
"""Each looks at a page by itself. Links need the other pages too, and wait until all are read."""


@dataclass(frozen=True)
class Examined:
    """What came of one file: the page as far as it could be read, and what is wrong with it."""

    draft: Draft | None
    problems: tuple[Problem, ...]


def examine(path: Path, source: str, facts: Facts, render: markup.Render) -> Examined:
    """Look at one file. ``source`` is its path below the language's folder, ``render`` makes HTML as published."""
    try:
        opened = front.opened(path)
    except front.Unreadable as failure:
        return Examined(None, tuple(problems(path, [failure.finding])))
    findings, draft = list(opened.findings), None
    if opened.front:
        read = reading.read(opened.markdown, opened.first_line)
        published = markup.read(render(opened.markdown))
        draft = Draft(path, source, opened.front, opened.lines, opened.markdown, opened.first_line, read, published)
        findings += [found for rule in RULES_BY_FILE for found in rule(draft, facts)]
    return Examined(draft, tuple(problems(path, findings)))
