"""The table of rules that a finished site is held to; other parts of the builder may name a rule by its key."""

import tomllib
from dataclasses import dataclass
from pathlib import Path

from treadleaf.errors import Problem

DATA = Path(__file__).parent / "data"


@dataclass(frozen=True)
class Rule:
    """One rule: what is true of a site that keeps it, and what to do about one that does not."""

    key: str
    says: str
    mend: str


RULES: dict[str, Rule] = {
    key: Rule(key, **row) for key, row in tomllib.loads((DATA / "rules.toml").read_text("utf-8")).items()
}


def broken(rule: str, file: str, what: str, found: str = "", line: int | None = None) -> Problem:
    """One breach of one rule in one file. Raises LookupError for a key that no rule has."""
    return Problem(what, file, line, found=found[:120], mend=RULES[rule].mend, rule=rule)
