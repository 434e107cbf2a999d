"""What may stand in the HTML that Markdown makes from a page.

A page is read by two parsers: markdown-it-py, which knows lines, and Python-Markdown, which MkDocs publishes with. They
disagree about fences in lists and quotations, for example, so what is published is looked at too.
"""

import re
from collections.abc import Callable
from dataclasses import dataclass, field
from html.parser import HTMLParser

_HEADINGS = dict.fromkeys(("h2", "h3", "h4"), frozenset({"id"}))
_PLAIN = dict.fromkeys(
    (
        *("p", "ul", "ol", "li", "strong", "em", "code", "pre", "blockquote", "br", "hr"),
        *("table", "thead", "tbody", "tr", "th", "td"),
    ),
    frozenset[str](),
)
_ALLOWED = {**_HEADINGS, **_PLAIN, "a": frozenset({"href"}), "img": frozenset({"src", "alt"})}
_SCHEMES = frozenset({"https", "mailto", "tel"})
_SCHEME = re.compile(r"(?P<name>[a-z][a-z0-9+.\-]*):", re.IGNORECASE)
# Browsers read a backslash as a slash and skip control characters and blanks.
_ODD = re.compile(r"[\x00-\x20\x7f\\]")
_COMPONENT = re.compile(r" here: (?P<tag>[a-z]+(?:-[a-z]+)+) ")

Render = Callable[[str], str]
"""Makes HTML from a page's Markdown, in the way in which it will be published."""


@dataclass(frozen=True)
class Fault:
    """Something that a page may not hold, by the key of its rule. ``near`` is text by which its line may be found."""

    rule: str
    found: str
    mend: str
    near: str


@dataclass
class Reading:
    """A page's HTML as it was read: its faults, its sections, components and all headings, in order."""

    faults: list[Fault] = field(default_factory=list)
    sections: list[str] = field(default_factory=list)
    components: list[str] = field(default_factory=list)
    anchors: list[str] = field(default_factory=list)
    starts_with_section: bool = False


def read(html: str) -> Reading:
    """Look over the HTML of one page."""
    reader = _Reader()
    reader.reading.starts_with_section = html.lstrip().startswith("<h2")
    reader.feed(html)
    reader.close()
    return reader.reading


class _Reader(HTMLParser):
    def __init__(self) -> None:
        super().__init__()
        self.reading = Reading()

    def handle_starttag(self, tag: str, attrs: list[tuple[str, str | None]]) -> None:
        if tag not in _ALLOWED:
            self._html(f"<{tag}>", f"<{tag}")
            return
        for name, value in attrs:
            if name not in _ALLOWED[tag]:
                mend = "Take it out. Columns of a table cannot be aligned by colons, nor a fence name its language."
                self._fault("attribute", f"{tag} {name}", mend, name)
            elif name in ("href", "src") and not _may_point_to(value or "", picture=name == "src"):
                mend = "A link leads to another page of the handout, or to an https, mailto or tel address."
                self._fault("pointing", value or "", mend, value or "")
        if tag in _HEADINGS:
            self.reading.anchors.append(dict(attrs).get("id") or "")
        if tag == "h2":
            self.reading.sections.append(dict(attrs).get("id") or "")

    def handle_comment(self, data: str) -> None:
        placed = _COMPONENT.fullmatch(data)
        if placed:
            self.reading.components.append(placed["tag"])
        else:
            self._html(f"<!--{data}-->", "<!--")

    def handle_decl(self, decl: str) -> None:
        self._html(f"<!{decl}>", "<!")

    def handle_pi(self, data: str) -> None:
        self._html(f"<?{data}>", "<?")

    def unknown_decl(self, data: str) -> None:
        self._html(f"<![{data}]>", "<![")

    def _html(self, found: str, near: str) -> None:
        mend = "Use Markdown. It finds HTML in lists and quotations too, even between fences that are indented."
        self._fault("html", found, mend, near)

    def _fault(self, rule: str, found: str, mend: str, near: str) -> None:
        self.reading.faults.append(Fault(rule, found[:80], mend, near))


def _may_point_to(address: str, *, picture: bool) -> bool:
    if _ODD.search(address) or address.startswith("/"):
        return False
    scheme = _SCHEME.match(address)
    return scheme is None or (scheme["name"].lower() in _SCHEMES and not picture)
