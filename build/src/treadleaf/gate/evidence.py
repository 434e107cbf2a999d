"""Rules on claims and numbers: what somebody must have found out carries its strength and its source."""

import re
import tomllib
from collections.abc import Iterator
from functools import cache

from treadleaf.gate.draft import Draft
from treadleaf.gate.facts import Facts
from treadleaf.gate.finding import Finding
from treadleaf.gate.marks import STRENGTHS, marks
from treadleaf.gate.reading import Sentence
from treadleaf.gate.rules import DATA

_NOBODY_KNOWS = "unknown"
"""The section whose heading already says that nothing is known."""

_MONTHS = "January|February|March|April|May|June|July|August|September|October|November|December"
_CITATION = re.compile(
    rf"\b(?!(?:{_MONTHS})\b)[A-Z][\w’'-]+(?: (?:and others|et al\.?|and [A-Z]\w+))?,? ?[(:]?(?:19|20)\d\d\b"
)
_SHARE = re.compile(r"\b\d+ in \d+\b")
_UNLESS = re.compile(r"\b(?:if|when|whenever|whether|until|unless)\b", re.IGNORECASE)
_INVENTED = re.compile(r"(?:Say|Suppose|Imagine|For example)\b")
_UNITS = {
    "percent": r"%|per ?cent\b|percent\b",
    "degrees": r"°|degrees?\b",
    "mm": r"mm\b|millimet(?:re|er)s?\b",
    "metres": r"m\b|met(?:re|er)s?\b",
    "cm": r"cm\b|centimet(?:re|er)s?\b",
    "inches": r"in\.|inch(?:es)?\b",
    "kg": r"kg\b|kilos?\b|kilograms?\b",
    "seconds": r"s\b|secs?\b|seconds?\b",
    "minutes": r"mins?\b|minutes?\b",
    "repetitions": r"reps?\b|repetitions?\b",
    "sets": r"sets?\b|[×x]\s?\d+",
    "days a week": r"(?:days?|times|sessions) (?:a|per) week\b",
    "weeks": r"weeks?\b",
}
_NUMBER = re.compile(
    r"(?<![\w.])(?P<number>\d+(?:\.\d+)?)(?:[\s-]*(?:to|-|–|or)[\s-]*(?P<to>\d+(?:\.\d+)?))?[\s-]*(?:"
    + "|".join(f"(?P<{unit.replace(' ', '_')}>{pattern})" for unit, pattern in _UNITS.items())
    + ")"
)


def findings(page: Draft, facts: Facts) -> Iterator[Finding]:
    """Marks that cannot be read, claims without one, sources and numbers that are typed by hand."""
    for heading in page.reading.headings:
        for mark in marks(heading.text):
            yield Finding(
                "claim-mark", heading.line, mark.text, "A heading carries no mark.", "Put it below, in a sentence."
            )
    for sentence in page.reading.sentences:
        yield from _marks(sentence)
        yield from _claims(sentence)
        yield from _numbers(sentence, facts)


def _marks(sentence: Sentence) -> Iterator[Finding]:
    for mark in sentence.marks:
        if mark.fault:
            what = f"{mark.fault} The strengths: {', '.join(STRENGTHS)}."
            yield Finding("claim-mark", sentence.line, mark.text, what)


def _claims(sentence: Sentence) -> Iterator[Finding]:
    typed = _CITATION.search(sentence.text)
    if typed:
        yield Finding("typed-citation", sentence.line, typed[0])
    exempt = sentence.text.endswith("?") or sentence.kind == "quote" or sentence.section == _NOBODY_KNOWS
    if sentence.marks or exempt or typed:
        return
    claim = _claiming().search(sentence.text) or _SHARE.search(sentence.text)
    unless = _UNLESS.search(sentence.text)
    if claim and not (unless and unless.start() < claim.start()):
        yield Finding("claim", sentence.line, claim[0])


def _numbers(sentence: Sentence, facts: Facts) -> Iterator[Finding]:
    """A number with a unit needs a mark; one that our tables hold for the marked source needs the table itself."""
    if sentence.kind == "quote" or _INVENTED.match(sentence.text) or _CITATION.search(sentence.text):
        return
    tabled = {row for mark in sentence.marks for key in mark.sources for row in facts.table_numbers.get(key, ())}
    for found in _NUMBER.finditer(sentence.text):
        unit = str(found.lastgroup).replace("_", " ")
        values = [float(found[name]) for name in ("number", "to") if found[name]]
        if not sentence.marks or any((unit, value) in tabled for value in values):
            yield Finding("typed-number", sentence.line, found[0])


@cache
def _claiming() -> re.Pattern[str]:
    table = tomllib.loads((DATA / "claims.toml").read_text("utf-8"))
    words = "|".join(re.escape(word) for row in table.values() for word in row)
    return re.compile(rf"(?<![\w-])(?:{words})(?![\w-])", re.IGNORECASE)
