"""How many syllables a word has: from a pronouncing dictionary, from our table of trade words, or estimated.

The first pronunciation of the CMU Pronouncing Dictionary decides. About one word in eighty has another with fewer
("every", "different"), so a grade made from these counts errs on the strict side. What neither the dictionary nor the
table knows is cut by hyphenation patterns, which miss syllables; such words are named in the report.
"""

import gzip
import re
import tomllib
from dataclasses import dataclass
from functools import cache

import pyphen

from treadleaf.gate.rules import DATA

WORD = re.compile(r"[^\W\d_]+(?:['’-][^\W\d_]+)*|\d+(?:[.,]\d+)*|%|°")
"""A word as it is counted: letters with inner hyphens and apostrophes, a number, or a sign that is read as a word."""

_SIGNS = {"%": 2, "°": 2}
_DIGITS = (2, 1, 1, 1, 1, 1, 1, 2, 1, 1)
_TEENS = (1, 3, 1, 2, 2, 2, 2, 3, 2, 2)


@dataclass(frozen=True)
class Counted:
    """The syllables of one word, and whether they are estimated."""

    syllables: int
    estimated: bool = False


def words(text: str) -> list[str]:
    """The words of a text, as they are counted."""
    return WORD.findall(text)


def count(word: str) -> Counted:
    """The syllables of one word; parts that a hyphen joins are counted one by one."""
    if word in _SIGNS:
        return Counted(_SIGNS[word])
    if word[0].isdigit():
        return Counted(_spoken(word))
    parts = [_one(part) for part in word.lower().replace("’", "'").split("-")]
    return Counted(sum(part.syllables for part in parts), any(part.estimated for part in parts))


def _one(word: str) -> Counted:
    for form in (word, word.removesuffix("'s").rstrip("'")):
        for table in (_dictionary(), trade_words()):
            if form in table:
                return Counted(table[form])
    return Counted(len(_patterns().positions(word)) + 1, estimated=True)


def _spoken(number: str) -> int:
    """Syllables of a number read aloud, up to the thousands; digits after a point are read one by one."""
    whole, _, decimals = number.replace(",", "").partition(".")
    return _whole(int(whole)) + (1 + sum(_DIGITS[int(digit)] for digit in decimals) if decimals else 0)


def _whole(number: int) -> int:
    if number < 10:
        return _DIGITS[number]
    if number < 20:
        return _TEENS[number - 10]
    size, own = next(row for row in ((1_000_000, 2), (1000, 2), (100, 2), (10, 1)) if number >= row[0])
    high, rest = divmod(number, size)
    tens = 3 if high == 7 else 2  # seventy, and twenty like the others
    return (tens if size == 10 else _whole(high) + own) + (_whole(rest) if rest else 0)


@cache
def _dictionary() -> dict[str, int]:
    rows = gzip.decompress((DATA / "syllables.txt.gz").read_bytes()).decode("ascii").splitlines()
    split = (row.split(" ") for row in rows)
    return {word: int(number) for number, *found in split for word in found}


@cache
def trade_words() -> dict[str, int]:
    """The project's own trade words with their syllables; the spelling rule knows them too."""
    table: dict[str, int] = tomllib.loads((DATA / "trade_words.toml").read_text("utf-8"))["syllables"]
    return table


@cache
def _patterns() -> pyphen.Pyphen:
    return pyphen.Pyphen(lang="en_GB", left=1, right=1)
