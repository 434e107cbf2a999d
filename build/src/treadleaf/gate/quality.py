"""What a program can see of two published checklists for health leaflets; the rest of their items is for a person."""

import re
import tomllib
from collections import Counter
from collections.abc import Callable
from dataclasses import dataclass
from functools import cache

from treadleaf.gate import words
from treadleaf.gate.draft import Draft
from treadleaf.gate.rules import DATA

_LONG_SECTION = 150  # words (common practice, our own line: the instrument gives no number)
_SHEETS = frozenset({"look-sheet", "reach-sheet", "footprint-widths", "heel-angle", "programme-volume"})
_YOU = re.compile(r"\byou(?:r|rs|rself)?\b", re.IGNORECASE)
_NUMBER = re.compile(r"\d+(?P<decimals>[.,]\d+)?")
_BOLD = re.compile(r"\*\*[^*]+\*\*")


@dataclass(frozen=True)
class Item:
    """One item of an instrument in our words; ``check`` names what a program sees of it."""

    instrument: str
    number: str
    says: str
    check: str = ""


@dataclass(frozen=True)
class Seen:
    """What was seen of an item on one page: whether it agrees (None: nothing to judge), and the reason in words."""

    agrees: bool | None
    reason: str


@cache
def items() -> tuple[Item, ...]:
    """The table of items, ``data/quality.toml``."""
    return tuple(Item(**row) for row in tomllib.loads((DATA / "quality.toml").read_text("utf-8"))["item"])


def seen(item: Item, page: Draft) -> Seen:
    """Look for one item on one page. Raises KeyError for an item that is for a person."""
    return _CHECKS[item.check](page)


def _everyday_words(page: Draft) -> Seen:
    counted = words.measured(page.reading, page.front)
    return Seen(counted.grade <= words.HARDEST, f"school grade {counted.grade:.1f}; the words themselves: a person")


def _easy_numbers(page: Draft) -> Seen:
    found = [number for one in page.reading.sentences for number in _NUMBER.finditer(one.text)]
    broken = [number[0] for number in found if number["decimals"]]
    if not found:
        return Seen(None, "no numbers")
    return Seen(not broken, f"{len(found)} numbers, with decimals: {', '.join(broken) or 'none'}")


def _short_sections(page: Draft) -> Seen:
    lengths: Counter[str] = Counter()
    for one in words.prose(page.reading):
        lengths[one.section] += len(one.text.split())
    name, longest = max(lengths.items(), key=lambda row: row[1], default=("", 0))
    return Seen(
        longest <= _LONG_SECTION, f"{len(page.reading.sections)} sections, the longest ({name}) {longest} words"
    )


def _headings(page: Draft) -> Seen:
    names = [heading.text for heading in page.reading.headings]
    return Seen(bool(names), "; ".join(names))


def _summary(page: Draft) -> Seen:
    return Seen(True, page.front.summary)


def _visual_cues(page: Draft) -> Seen:
    listed = sum(one.kind in {"step", "item"} for one in page.reading.sentences)
    bold = len(_BOLD.findall(page.markdown))
    return Seen(bool(listed or bold), f"{listed} sentences in lists, {bold} bold phrases")


def _captions(page: Draft) -> Seen:
    pictures = page.reading.pictures
    if not pictures:
        return Seen(None, "no pictures in the text; those of components: a person")
    return Seen(all(one.words for one in pictures), f"{len(pictures)} pictures")


def _tables(page: Draft) -> Seen:
    cells = sum(one.kind == "cell" for one in page.reading.sentences)
    return Seen(True, f"{cells} cells, each column with a heading") if cells else Seen(None, "no tables in the text")


def _something_to_do(page: Draft) -> Seen:
    steps = sum(one.kind == "step" for one in page.reading.sentences)
    return Seen(True, f"{steps} steps") if steps else Seen(None, "no numbered steps: a person must look")


def _spoken_to(page: Draft) -> Seen:
    said = sum(len(_YOU.findall(one.text)) for one in page.reading.sentences)
    return Seen(said > 0, f"you or your: {said} times")


def _steps(page: Draft) -> Seen:
    steps = sum(one.kind == "step" for one in page.reading.sentences)
    return Seen(steps > 1, f"{steps} sentences in numbered steps") if steps else Seen(None, "no numbered steps")


def _tool(page: Draft) -> Seen:
    sheets = [tag for tag in page.reading.placed if tag in _SHEETS]
    return Seen(bool(sheets), ", ".join(sheets) or "no sheet to fill in")


def _uncertainty(page: Draft) -> Seen:
    unsure = [mark.strength for one in page.reading.sentences for mark in one.marks if mark.strength != "strong"]
    section = "unknown" in page.reading.sections
    return Seen(bool(unsure) or section, f"{len(unsure)} claims marked as less than strong")


_CHECKS: dict[str, Callable[[Draft], Seen]] = {
    "everyday_words": _everyday_words,
    "easy_numbers": _easy_numbers,
    "short_sections": _short_sections,
    "headings": _headings,
    "summary": _summary,
    "visual_cues": _visual_cues,
    "captions": _captions,
    "tables": _tables,
    "something_to_do": _something_to_do,
    "spoken_to": _spoken_to,
    "steps": _steps,
    "tool": _tool,
    "uncertainty": _uncertainty,
}
