"""One finished page as a browser reads it: which elements and attributes it holds, and what it points to.

Everything that our templates, the theme and Markdown produce is listed here; what is not listed is a fault. A template
that needs an element or an attribute more adds it here, after a thought about what it can load, run or send.
"""

import re
from collections.abc import Collection
from dataclasses import dataclass, field
from html.parser import HTMLParser
from typing import NamedTuple

_EVERYWHERE = frozenset({"class", "id", "hidden", "role", "tabindex", "title", "lang", "dir"})
_PREFIXES = ("aria-", "data-")
_TYPING = frozenset({"autocapitalize", "autocomplete", "autocorrect", "inputmode", "maxlength", "spellcheck"})
_PAINT = frozenset({"fill", "stroke", "stroke-width", "stroke-linecap", "stroke-linejoin", "transform"})
_BARE = (
    *("head", "body", "header", "footer", "main", "nav", "article", "aside", "section", "div", "span", "template"),
    *("h1", "h2", "h3", "h4", "p", "ul", "ol", "li", "dl", "dt", "dd", "blockquote", "pre", "code", "hr", "br"),
    *("strong", "em", "small", "sup", "sub", "figure", "figcaption", "details", "summary", "noscript", "title"),
    *("canvas", "table", "caption", "thead", "tbody", "tr", "fieldset", "legend", "desc"),
)
_ELEMENTS: dict[str, frozenset[str]] = {
    **dict.fromkeys(_BARE, frozenset[str]()),
    "html": frozenset(),
    "a": frozenset({"href", "rel"}),
    "button": frozenset({"type", "disabled"}),
    "form": frozenset({"name", "autocomplete", "novalidate"}),
    "img": frozenset({"src", "alt", "width", "height"}),
    "input": frozenset({"type", "name", "value", "placeholder", "required", "checked"})
    | frozenset({"accept", "min", "max", "step"})
    | _TYPING,
    "label": frozenset({"for"}),
    "link": frozenset({"rel", "href"}),
    "meta": frozenset({"charset", "name", "content", "http-equiv"}),
    "option": frozenset({"value", "selected"}),
    "progress": frozenset({"max", "value"}),
    "script": frozenset({"src", "type"}),
    "select": frozenset({"name", "autocomplete", "required"}),
    "textarea": frozenset({"name", "rows", "required"}) | _TYPING,
    "td": frozenset({"colspan"}),
    "th": frozenset({"scope", "colspan"}),
    "svg": frozenset({"viewbox", "xmlns"}) | _PAINT,
    "g": _PAINT,
    "path": frozenset({"d"}) | _PAINT,
    "ellipse": frozenset({"cx", "cy", "rx", "ry"}) | _PAINT,
    "circle": frozenset({"cx", "cy", "r"}) | _PAINT,
    "line": frozenset({"x1", "y1", "x2", "y2"}) | _PAINT,
    "rect": frozenset({"x", "y", "width", "height", "rx", "ry"}) | _PAINT,
    "text": frozenset({"x", "y", "text-anchor"}) | _PAINT,
}
_LOADING_PAINT = re.compile(r"\\|(?<!translate)(?<!rotate)(?<!scale)\(")
"""What could fetch something in place of a colour or a movement: any function but the three that move a shape."""

_VALUES = {
    ("button", "type"): {"button", "reset"},
    ("input", "type"): {"text", "checkbox", "radio", "number", "color", "file", "range"},
    ("link", "rel"): {"icon", "stylesheet", "canonical"},
    ("meta", "http-equiv"): {"Content-Security-Policy"},
    ("meta", "name"): {"viewport", "referrer", "color-scheme", "theme-color", "description", "robots"},
    ("script", "type"): {"module", "application/json"},
    ("a", "rel"): {"noreferrer"},
}
"""Where a value decides what an element does, the values that ours have."""

_ADDRESSES = {
    ("a", "href"): "link",
    ("link", "href"): "load",
    ("script", "src"): "load",
    ("img", "src"): "load",
    ("button", "data-bundle"): "later",
}
_VOID = frozenset({"br", "hr", "img", "input", "link", "meta"})
_UNSEEN = frozenset({"template", "noscript", "script", "title", "details", "head"})
_ONE_MEDIUM = frozenset({"screen-only", "print-only"})
_LOADING: dict[str, frozenset[object]] = {
    "element": frozenset(
        {"audio", "video", "source", "track", "picture", "iframe", "frame", "object", "embed", "base", "style"}
        | {"image", "use", "feimage"}
    ),
    "attribute": frozenset(
        {"src", "srcset", "imagesrcset", "poster", "background", "style", "data", "srcdoc", "href", "xlink:href"}
    ),
    "value": frozenset({("link", "rel")}),
}
"""What is on no list here and could fetch something: it breaks the rule on loading, the rest that on elements."""

_SENDING = frozenset({"action", "formaction", "method", "ping", "target", "formtarget", "download"})
"""Attributes by which something could be sent, or opened where the page's own rules do not hold."""

_SENDING_VALUES = frozenset({("button", "type", "submit"), ("input", "type", "submit"), ("input", "type", "image")})
_LANGUAGE = re.compile(r"[a-z]{2,3}(?:-[A-Za-z0-9]{2,8})*")
_DIRECTIONS = frozenset({"ltr", "rtl", "auto"})


class Fault(NamedTuple):
    """What is wrong in a page, by which rule, and what was found there."""

    rule: str
    what: str
    found: str = ""


class Address(NamedTuple):
    """Something that a page points to: by a link that somebody follows, or loaded for the page."""

    element: str
    value: str
    kind: str
    """``link`` to follow, ``load`` with the page, ``later`` when it is wanted, ``name`` for the page's own address."""


@dataclass
class Page:
    """What was read. ``shown`` has the text of each visible element by its class, for the classes asked for."""

    faults: list[Fault] = field(default_factory=list)
    policies: list[str] = field(default_factory=list)
    addresses: list[Address] = field(default_factory=list)
    ids: set[str] = field(default_factory=set)
    headings: int = 0
    shown: dict[str, list[str]] = field(default_factory=dict)


def read(html: str, components: Collection[str], classes: Collection[str]) -> Page:
    """Read a page. ``components`` are the tags of our own, ``classes`` those whose text the caller wants to see."""
    reader = _Reader(frozenset(components), frozenset(classes))
    reader.feed(html)
    reader.close()
    if reader.open:
        reader.fault("one-reading", "The page leaves elements open.", ", ".join(it.tag for it in reader.open))
    reader.finish()
    return reader.page


@dataclass
class _Open:
    """An element that has begun: whether it is seen on screen and on paper, and the class by which it was asked for."""

    tag: str
    seen: bool
    wanted: frozenset[str]
    text: list[str] = field(default_factory=list)
    drawing: bool = False
    named: bool = False


class _Reader(HTMLParser):
    def __init__(self, components: frozenset[str], classes: frozenset[str]) -> None:
        super().__init__()
        self.page = Page(shown={name: [] for name in classes})
        self.open: list[_Open] = []
        self._components = components
        self._classes = classes
        self._names: list[str] = []  # ids by which drawings are named

    def handle_starttag(self, tag: str, attrs: list[tuple[str, str | None]]) -> None:
        given = {name: value or "" for name, value in attrs}
        if len(given) != len(attrs):
            self.fault("one-reading", "An attribute stands twice.", tag)
        self._look(tag, given)
        self._note(tag, given)
        if tag not in _VOID:
            above = self.open[-1].seen if self.open else True
            classes = set(given.get("class", "").split())
            hidden = "hidden" in given or given.get("aria-hidden", "false") != "false" or tag in _UNSEEN
            seen = above and not hidden and not classes & _ONE_MEDIUM
            drawing, named = given.get("role") == "img", self._named(given)
            self.open.append(_Open(tag, seen, self._classes & classes if seen else frozenset(), [], drawing, named))

    def handle_startendtag(self, tag: str, attrs: list[tuple[str, str | None]]) -> None:
        self.handle_starttag(tag, attrs)
        if tag in _VOID:
            return
        if any(it.tag == "svg" for it in self.open):
            self.handle_endtag(tag)
        else:  # a browser would leave it open
            self.fault("one-reading", "An element is closed as if it were a drawing's.", f"<{tag}/>")

    def handle_endtag(self, tag: str) -> None:
        if not self.open or self.open[-1].tag != tag:
            self.fault("one-reading", "The page's elements do not nest.", f"</{tag}>")
            return
        done = self.open.pop()
        if tag == "title" and self.open and "".join(done.text).strip():
            self.open[-1].named = True
        if done.drawing and not done.named:
            self.fault("drawing-name", "A drawing has no name.", f"<{tag} role=img>")
        for name in done.wanted:
            self.page.shown[name].append(" ".join("".join(done.text).split()))

    def handle_data(self, data: str) -> None:
        if self.open and self.open[-1].tag == "title":
            self.open[-1].text.append(data)
        elif self.open and self.open[-1].seen:
            for element in self.open:
                element.text.append(data)

    def handle_comment(self, data: str) -> None:
        self.fault("one-reading", "The page holds a comment.", data)

    def handle_decl(self, decl: str) -> None:
        if decl.lower() != "doctype html" or self.open:
            self.fault("one-reading", "The page holds a declaration.", decl)

    def handle_pi(self, data: str) -> None:
        self.fault("one-reading", "The page holds a declaration.", data)

    def unknown_decl(self, data: str) -> None:
        self.fault("one-reading", "The page holds a declaration.", data)

    def finish(self) -> None:
        """Judge what only the whole page can tell."""
        if self.page.headings != 1:
            self.fault("heading", "The page has no heading of the first level, or several.", f"{self.page.headings} h1")
        for name in self._names:
            if name not in self.page.ids:
                self.fault("drawing-name", "A drawing is named by something that is not there.", name)

    def _named(self, given: dict[str, str]) -> bool:
        """Whether an element has a name by an attribute; what that points to is looked for at the end."""
        names = given.get("aria-labelledby", "").split() if given.get("role") == "img" else []
        self._names += names
        return bool(names or given.get("aria-label", "").strip())

    def _look(self, tag: str, given: dict[str, str]) -> None:
        """Compare one element with the lists."""
        if tag not in _ELEMENTS and tag not in self._components:
            self._unlisted("element", tag, f"<{tag}>")
            return
        for name, value in given.items():
            if name.startswith("on"):
                self.fault("handler", "The page runs code from an attribute.", f"{tag} {name}")
            elif name in _SENDING or (tag, name, value) in _SENDING_VALUES:
                self.fault("sends", "Something on the page could send, or open elsewhere.", f"{tag} {name}={value}")
            elif name not in _EVERYWHERE | _ELEMENTS.get(tag, frozenset()) and not name.startswith(_PREFIXES):
                self._unlisted("attribute", name, f"{tag} {name}={value}")
            elif name in _PAINT and _LOADING_PAINT.search(value):
                self.fault("outside", "A drawing is painted with something on no list.", f"{tag} {name}={value}")
            elif value not in _VALUES.get((tag, name), {value}):
                self._unlisted("value", (tag, name), f"{tag} {name}={value}")
        if tag in ("script", "link") and not self.page.policies:
            self.fault("policy", "The page loads something before its security policy.", f"<{tag}>")
        if tag == "script" and "src" not in given and given.get("type") == "module":
            self.fault("policy", "The page holds an inline script that no policy names.", "module")
        if tag == "img" and "alt" not in given:
            self.fault("alt", "A picture has no alt.", given.get("src", ""))
        self._language(tag, given)

    def _unlisted(self, kind: str, what: object, found: str) -> None:
        rule = "outside" if what in _LOADING[kind] else "elements"
        self.fault(rule, f"The page holds something that is on no list: this {kind}.", found)

    def _language(self, tag: str, given: dict[str, str]) -> None:
        if (tag == "html" or "lang" in given) and not _LANGUAGE.fullmatch(given.get("lang", "")):
            self.fault("language", "There is no language, or none that is one.", f"{tag} lang={given.get('lang', '')}")
        if "dir" in given and given["dir"] not in _DIRECTIONS:
            self.fault("language", "The direction of writing is none that there is.", f"{tag} dir={given['dir']}")

    def _note(self, tag: str, given: dict[str, str]) -> None:
        """Keep what the whole site is needed to judge."""
        self.page.headings += tag == "h1"
        if tag == "meta" and "http-equiv" in given:
            self.page.policies.append(given.get("content", ""))
        if given.get("id") in self.page.ids:
            self.fault("one-reading", "Two elements have the same id.", given["id"])
        self.page.ids |= {given["id"]} if "id" in given else set()
        for name, value in given.items():
            if (tag, name) in _ADDRESSES:
                kind = "name" if given.get("rel") == "canonical" else _ADDRESSES[tag, name]
                self.page.addresses.append(Address(tag, value, kind))

    def fault(self, rule: str, what: str, found: str = "") -> None:
        """Keep a fault of this page."""
        self.page.faults.append(Fault(rule, what, found))
