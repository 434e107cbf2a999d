"""Cutting a text into sentences: abbreviations, initials and decimals do not end one, a claim's mark belongs to it."""

import re
from collections.abc import Iterator

from treadleaf.gate import marks

_ABBREVIATIONS = frozenset({"e.g", "i.e", "vs", "cf", "approx", "figs", "dr", "mr", "mrs", "ms", "prof", "al", "eds"})
_BEFORE_NUMBER = frozenset({"no", "nos", "fig", "p", "pp", "vol", "ca"})
"""Abbreviations only where a number follows: "No." alone is an answer."""

_END = re.compile(rf"[.!?…]+[\"'”’)]*(?:\s*{marks.SPAN})*(?=\s|$)")
_NEXT = re.compile(r"\s+[\"'“‘(\[]*[A-Z0-9]")
_LAST_WORD = re.compile(r"[\w.]+$")


def split(text: str) -> Iterator[tuple[int, str]]:
    """The sentences of a text in order, each with the place of its first letter. What has no full stop is one too."""
    start = 0
    for found in _END.finditer(text):
        if found.end() < len(text) and not _ends(text, found):
            continue
        yield from _trimmed(text, start, found.end())
        start = found.end()
    yield from _trimmed(text, start, len(text))


def _ends(text: str, found: re.Match[str]) -> bool:
    if text[found.end() :].strip() and not _NEXT.match(text, found.end()):
        return False
    if found[0][0] != "." or found[0].startswith(".."):
        return True
    last = _LAST_WORD.search(text[: found.start()])
    word = last[0] if last else ""
    initial = len(word) == 1 and word.isupper() and word != "I"
    numbered = word.lower() in _BEFORE_NUMBER and text[found.end() :].lstrip()[:1].isdigit()
    return not initial and not numbered and word.lower() not in _ABBREVIATIONS


def _trimmed(text: str, start: int, end: int) -> Iterator[tuple[int, str]]:
    piece = text[start:end]
    bare = piece.strip()
    if bare:
        yield start + len(piece) - len(piece.lstrip()), bare
