"""What a rule finds in a page, before the page's name and the rule's own words are put to it."""

from collections.abc import Iterable, Iterator
from dataclasses import dataclass
from pathlib import Path

from treadleaf.errors import Problem
from treadleaf.gate.rules import RULES


@dataclass(frozen=True)
class Finding:
    """One breach of one rule. An empty ``what`` or ``mend`` stands for the rule's own words."""

    rule: str
    line: int | None
    found: str = ""
    what: str = ""
    mend: str = ""
    key: str = ""


def problems(path: Path, findings: Iterable[Finding]) -> Iterator[Problem]:
    """The findings in one file as problems that can be told, each with file, line, rule and mend."""
    for one in findings:
        rule = RULES[one.rule]
        yield Problem(
            one.what or rule.what,
            str(path),
            one.line,
            one.key,
            one.found.strip()[:80],
            one.mend or rule.mend,
            one.rule,
        )
