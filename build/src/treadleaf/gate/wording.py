"""Words that promise or judge more than a handout can."""

import re
import tomllib
from collections.abc import Iterator
from dataclasses import dataclass
from functools import cache

from treadleaf.gate.rules import DATA


@dataclass(frozen=True)
class Kind:
    """One kind of such words: how they are found, what is wrong with them, what to write in their place."""

    words: re.Pattern[str]
    excepted: frozenset[str]
    why: str
    instead: str


@dataclass(frozen=True)
class Remark:
    """One such word in a text: on which line of it (from 1), the word itself, and what to think about."""

    line: int
    word: str
    why: str
    instead: str


def remarks(text: str) -> Iterator[Remark]:
    """Every such word of a text, line by line."""
    for number, row in enumerate(text.splitlines(), 1):
        for rule in kinds():
            for found in rule.words.finditer(row):
                if found[0].lower() not in rule.excepted:
                    yield Remark(number, found[0], rule.why, rule.instead)


@cache
def kinds() -> tuple[Kind, ...]:
    """The table of such words, ``data/wording.toml``."""
    table = tomllib.loads((DATA / "wording.toml").read_text("utf-8"))
    return tuple(
        Kind(_pattern(row["starts"]), frozenset(row.get("except", ())), row["why"], row["instead"])
        for row in table["rule"]
    )


def _pattern(starts: list[str]) -> re.Pattern[str]:
    return re.compile(rf"(?<![\w-])(?:{'|'.join(map(re.escape, starts))})[\w-]*", re.IGNORECASE)
