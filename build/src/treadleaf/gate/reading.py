"""A page's Markdown as the gate reads it: sentences, headings, links, pictures, components, each with its line.

The words of a component come from `strings/` and are not the page's own, so they are not among its sentences.
"""

import re
from collections.abc import Iterator
from dataclasses import dataclass, field

from markdown_it import MarkdownIt
from markdown_it.token import Token

from treadleaf.gate import sentences
from treadleaf.gate.marks import Mark, marks

_HEADING = re.compile(r"^(?P<text>.*?)\s*\{#(?P<id>[a-z][a-z0-9-]*)\}$")
_COMPONENT = re.compile(r"^<!-- here: (?P<tag>[a-z]+(?:-[a-z]+)+) -->$")
_UNREAD = "\ufffc"
"""Stands for what is no prose inside a line: code, a picture, a line's own HTML."""

_CELLS = frozenset({"th_open", "td_open"})


@dataclass(frozen=True)
class Heading:
    """A heading: its level, words, the name in braces if it has one, and its line."""

    level: int
    text: str
    name: str
    line: int


@dataclass(frozen=True)
class Sentence:
    """One sentence without its marks.

    ``kind`` is paragraph, step (of a numbered list), item, quote or cell; ``section`` the name of the section it is in.
    """

    text: str
    line: int
    kind: str
    section: str
    marks: tuple[Mark, ...] = ()


@dataclass(frozen=True)
class Pointer:
    """A link or a picture: where it points, its words (of a picture, its text alternative), its line."""

    to: str
    words: str
    line: int


@dataclass(frozen=True)
class Piece:
    """A component by its tag, or a bit of HTML as it was found."""

    found: str
    line: int


@dataclass
class Reading:
    """All that was found in one page, in order."""

    headings: list[Heading] = field(default_factory=list)
    sentences: list[Sentence] = field(default_factory=list)
    links: list[Pointer] = field(default_factory=list)
    pictures: list[Pointer] = field(default_factory=list)
    components: list[Piece] = field(default_factory=list)
    html: list[Piece] = field(default_factory=list)
    paragraphs: int = 0

    @property
    def sections(self) -> tuple[str, ...]:
        """The names of the second-level headings; the words of one that has no name."""
        return tuple(heading.name or heading.text for heading in self.headings if heading.level == 2)

    @property
    def placed(self) -> tuple[str, ...]:
        """The tags of the components, in order."""
        return tuple(piece.found for piece in self.components)


def read(markdown: str, first_line: int = 0) -> Reading:
    """Read the Markdown of a page; ``first_line`` is the number of lines of its file that stand before it."""
    parser = MarkdownIt("commonmark", {"html": True}).enable("table")
    # The library leaves the address of a script standing as text; what builds the page would link it.
    parser.validateLink = lambda url: bool(url) or True  # type: ignore[method-assign]
    reader = _Reader(first_line)
    for token in parser.parse(markdown):
        reader.take(token)
    return reader.reading


class _Reader:
    def __init__(self, before: int) -> None:
        self.reading = Reading()
        self._before = before
        self._open: list[str] = []
        self._level = 0
        self._line = before + 1

    def take(self, token: Token) -> None:
        if token.map:
            self._line = self._before + token.map[0] + 1
        if token.type == "inline":
            self._inline(token)
        elif token.type == "html_block":
            self._block(token.content.strip())
        elif token.nesting:
            self._level = int(token.tag[1]) if token.type == "heading_open" else 0
            (self._open.append if token.nesting > 0 else self._close)(token.type)

    def _close(self, _: str) -> None:
        self._open.pop()

    def _block(self, content: str) -> None:
        found = _COMPONENT.match(content)
        if found:
            self.reading.components.append(Piece(found["tag"], self._line))
        else:
            self.reading.html.append(Piece(content, self._line))

    def _inline(self, token: Token) -> None:
        children = token.children or []
        text = "".join(map(_words, children))
        self._pointers(children)
        if self._level:
            named = _HEADING.match(text)
            words, name = (named["text"], named["id"]) if named else (text, "")
            self.reading.headings.append(Heading(self._level, words, name, self._line))
            return
        kind = self._kind()
        self.reading.paragraphs += kind == "paragraph"
        section = next((one.name or one.text for one in reversed(self.reading.headings) if one.level == 2), "")
        self.reading.sentences += _sentences(text, self._line, kind, section)

    def _kind(self) -> str:
        if not _CELLS.isdisjoint(self._open):
            return "cell"
        if "blockquote_open" in self._open:
            return "quote"
        lists = [name for name in self._open if name.endswith("_list_open")]
        return {"ordered_list_open": "step", "bullet_list_open": "item"}[lists[-1]] if lists else "paragraph"

    def _pointers(self, children: list[Token]) -> None:
        line = self._line
        for index, child in enumerate(children):
            if child.type in {"softbreak", "hardbreak"}:
                line += 1
            elif child.type == "image":
                self.reading.pictures.append(Pointer(str(child.attrGet("src") or ""), child.content.strip(), line))
            elif child.type == "html_inline" and (not self.reading.html or self.reading.html[-1].line != line):
                self.reading.html.append(Piece(child.content, line))
            elif child.type == "link_open":
                after = children[index + 1 :]
                close = next(at for at, one in enumerate(after) if one.type == "link_close")
                words = "".join(map(_words, after[:close]))
                self.reading.links.append(Pointer(str(child.attrGet("href")), words, line))


def _words(child: Token) -> str:
    if child.type in {"softbreak", "hardbreak"}:
        return "\n"
    if child.type in {"code_inline", "image", "html_inline"}:
        return _UNREAD
    return child.content


def _sentences(text: str, line: int, kind: str, section: str) -> Iterator[Sentence]:
    for start, sentence in sentences.split(text):
        found = tuple(marks(sentence))
        bare = sentence
        for mark in found:
            bare = bare.replace(mark.text, "")
        bare = re.sub(r"\s+(?=[.!?,;:]|$)", "", re.sub(r"\s+", " ", bare)).strip()
        yield Sentence(bare, line + text.count("\n", 0, start), kind, section, found)
