"""A page's HTML cut into sections and pieces for the templates, and what is left of it for the search."""

import re
from collections.abc import Collection, Iterator, Mapping
from typing import Any

from markupsafe import Markup, escape

from treadleaf.gate.marks import Mark, marks

_SECTION = re.compile(r'<h2 id="(?P<id>[a-z0-9-]+)">(?P<heading>.*?)</h2>', re.DOTALL)
_STOPS = frozenset(".,;:!?")
_COMPONENT = re.compile(r"<!-- here: (?P<tag>[a-z-]+) -->")

_ON_SIGHT = {
    "dose-table": ("title",),
    "footprint-widths": ("fields",),
    "heel-angle": ("lead", "how_outward", "how_inward", "fields"),
    "look-sheet": ("gap", "narrow", "wide", "same"),
    "reach-sheet": ("lead", "depths", "same"),
    "programme-volume": ("lead", "lead_sets", "fields"),
}
"""Words of a component that stand on its page before anybody types, and can be searched for."""


def parts(html: str, listed: Collection[str], drawn: Collection[str]) -> list[dict[str, Any]]:
    """The sections of a page, each cut at its components and at the marks of its claims.

    ``listed`` are the sources of the page, ``drawn`` the components that are drawings.
    """
    cuts = list(_SECTION.finditer(html))
    found = []
    for cut, following in zip(cuts, [*cuts[1:], None], strict=True):
        text = html[cut.end() : following.start() if following else len(html)]
        pieces: list[dict[str, Any]] = []
        for index, piece in enumerate(_COMPONENT.split(text)):
            if index % 2:
                _place(pieces, piece, drawn)
            elif piece.strip():
                pieces += [_piece(html, mark) for html, mark in cut_at_marks(piece, listed)]
        found.append({"id": cut["id"], "heading": made(cut["heading"]), "pieces": pieces})
    return found


def searched(html: str, sheet: Mapping[str, Any], extra: Mapping[str, Any]) -> str:
    """What the search index takes of a page: its summary, its text with the words of its components, other words."""
    plain = "".join(_plain(piece, mark, extra["words"]) for piece, mark in cut_at_marks(html, sheet["sources"]))
    spoken = _COMPONENT.sub(lambda placed: _spoken(placed["tag"], extra), plain)
    also = f"<p>{escape(', '.join(sheet['also']))}</p>" if sheet["also"] else ""
    return f"<p>{escape(sheet['summary'])}</p>{spoken}{also}"


def _place(pieces: list[dict[str, Any]], tag: str, drawn: Collection[str]) -> None:
    """Add a component to the pieces of a section; drawings that follow one another go side by side."""
    if tag not in drawn:
        pieces.append({"component": tag})
    elif pieces and "drawings" in pieces[-1]:
        pieces[-1]["drawings"].append(tag)
    else:
        pieces.append({"drawings": [tag]})


def _plain(html: str, mark: Mark | None, words: Mapping[str, Any]) -> str:
    """A piece of a page for the search index: of a mark, its words and stop without the numbers of its sources."""
    return f"({escape(words['strengths'][mark.key])}){html.removeprefix(mark.text)}" if mark else html


def _piece(html: str, mark: Mark | None) -> dict[str, Any]:
    return {"mark": mark, "stop": html.removeprefix(mark.text)} if mark else {"html": made(html)}


def cut_at_marks(html: str, listed: Collection[str]) -> Iterator[tuple[str, Mark | None]]:
    """HTML cut before and after the mark of each claim, whose sources stand among those listed.

    The stop or comma after a mark goes with it. Other brackets stay as they are, and so do those in code and in the
    attributes of an element.
    """
    start = 0
    for mark in marks(html):
        before = html[: mark.start]
        in_words = before.rfind("<") <= before.rfind(">") and before.count("<code") == before.count("</code")
        if in_words and not mark.fault and set(mark.sources) <= set(listed):
            yield html[start : mark.start], None
            start = mark.end + (html[mark.end : mark.end + 1] in _STOPS)
            yield html[mark.start : start], mark
    yield html[start:], None


def _spoken(tag: str, extra: Mapping[str, Any]) -> str:
    """The words of a component, for the search index: none that wait for an answer or stand in for a picture."""
    words = extra["words"]
    own = words.get(tag.replace("-", "_"), {})
    signs = [words["cautions"][key] for key in extra["help_signs"]] if tag == "help-signs" else []
    said = [*_sentences([own[key] for key in _ON_SIGHT.get(tag, ())]), *_sentences(signs)]
    return "".join(f"<p>{escape(sentence)}</p>" for sentence in said if "{" not in sentence)


def _sentences(words: Any) -> list[str]:
    if isinstance(words, str):
        return [words]
    return [
        sentence for inner in (words.values() if isinstance(words, dict) else words) for sentence in _sentences(inner)
    ]


def made(html: str) -> Markup:
    """HTML of our own, or that Markdown made from a page that passed the checks: it holds no markup of a stranger's."""
    return Markup(html)  # noqa: S704
