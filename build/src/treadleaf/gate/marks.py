"""How a claim is marked in Markdown: how strong the evidence is, and whose.

    Practised hands agree with themselves to about 2 degrees [some: haight_2005].
    Three tries are enough [common practice].

The mark stands at the end of its sentence, before or after the full stop.
"""

import re
from collections.abc import Iterator
from dataclasses import dataclass

STRENGTHS = ("strong", "some", "weak", "conflicting", "advice", "common practice", "none found")
SOURCELESS = frozenset({"common practice", "none found"})
"""Strengths that may stand without a source: there is none."""

_WORDS = "|".join(STRENGTHS)
SPAN = rf"\[(?:[a-z][a-z ]*(?::[^\[\]]*)?|(?:{_WORDS})\b[^\[\]]*)\]"
"""What may be a mark, as a pattern without groups of its own."""

# Anything in brackets that has a colon after small letters, or begins as a strength does, is meant as a mark.
PATTERN = re.compile(
    rf"\[(?P<strength>[a-z][a-z ]*?)(?::(?P<sources>[^\[\]]*))?\]|\[(?P<broken>(?:{_WORDS})\b[^\[\]]*)\]"
)


@dataclass(frozen=True)
class Mark:
    """One mark: its strength word and source keys as they were written, and where it stands in its text."""

    strength: str
    sources: tuple[str, ...]
    start: int
    end: int
    text: str

    @property
    def key(self) -> str:
        """The strength as a key of the words that readers see."""
        return self.strength.replace(" ", "_")

    @property
    def fault(self) -> str:
        """What is wrong with its form; empty where nothing is."""
        if self.strength not in STRENGTHS:
            return "This is no strength word."
        if not self.sources and self.strength not in SOURCELESS:
            return "This strength needs a source."
        return ""


def marks(text: str) -> Iterator[Mark]:
    """Every mark of a text, also those whose form is wrong. Plain words in brackets are no mark."""
    for found in PATTERN.finditer(text):
        strength = found["strength"] or found["broken"] or ""
        if found["sources"] is None and not found["broken"] and strength not in STRENGTHS:
            continue
        keys = tuple(key.strip() for key in (found["sources"] or "").split(",") if key.strip())
        yield Mark(strength, keys, *found.span(), found[0])
