"""An SVG drawing, read element by element and written again with nothing in it but what draws.

What is published is made from the lists below, so it holds no script, link, animation, stylesheet of elsewhere or
picture of elsewhere, whatever the file held.
"""

import re
from xml.etree import ElementTree
from xml.parsers import expat

_SVG = "http://www.w3.org/2000/svg"
_XLINK = "http://www.w3.org/1999/xlink"
_MOST_ELEMENTS = 5_000
_DEEPEST = 100
# A copy of copies of copies grows without end.
_MOST_COPIES = 20

_SHAPES = frozenset(("path", "rect", "circle", "ellipse", "line", "polyline", "polygon", "text", "use"))
_ELEMENTS = _SHAPES | frozenset(
    (
        *("svg", "g", "switch", "tspan", "title", "desc", "style"),
        *("defs", "symbol", "clipPath", "mask", "pattern", "linearGradient", "radialGradient", "stop"),
    )
)
_TEXTS = frozenset(("text", "tspan", "title", "desc"))
_PLACES = frozenset(
    (
        *("id", "class", "viewBox", "preserveAspectRatio", "version", "transform", "d", "points", "pathLength"),
        *("x", "y", "x1", "y1", "x2", "y2", "cx", "cy", "r", "rx", "ry", "fx", "fy", "fr", "dx", "dy", "rotate"),
        *("width", "height", "offset", "gradientUnits", "gradientTransform", "spreadMethod", "textLength"),
        *("clipPathUnits", "maskUnits", "maskContentUnits", "patternUnits", "patternContentUnits", "patternTransform"),
    )
)
_LOOKS = frozenset(
    (
        *("fill", "fill-opacity", "fill-rule", "clip-rule", "clip-path", "mask", "opacity", "color", "display"),
        *("stroke", "stroke-width", "stroke-linecap", "stroke-linejoin", "stroke-miterlimit", "stroke-opacity"),
        *("stroke-dasharray", "stroke-dashoffset", "vector-effect", "visibility", "overflow", "paint-order"),
        *("stop-color", "stop-opacity", "font-family", "font-size", "font-style", "font-weight", "text-anchor"),
        *("letter-spacing", "word-spacing", "dominant-baseline", "mix-blend-mode", "isolation", "shape-rendering"),
    )
)
# Letters, numbers and the marks of paths, colours and lists. No backslash: it can hide what a style says.
_VALUE = re.compile(r"[\w\s.,;:#%()+\-'\"/*!]*\Z")
_POINTS_INSIDE = re.compile(r"url\(\s*(['\"]?)#[\w.-]+\1\s*\)", re.IGNORECASE)
_CALLS = re.compile(r"[\w-]+\s*\(")
_HARMLESS_CALLS = re.compile(r"(?:rgba?|hsla?|matrix|translate|scale|rotate|skew[XY]|calc)\s*\(", re.IGNORECASE)
_RULE = re.compile(r"([^{}]*)\{([^{}]*)\}")
_SELECTOR = re.compile(r"\s*[.#]?[\w-]+(?:\s*,\s*[.#]?[\w-]+)*\s*\Z")
_COMMENT = re.compile(r"/\*.*?\*/|<!--|-->", re.DOTALL)
_LOADING_RULE = re.compile(r"@(?:import|charset|namespace)[^;{}]*;?", re.IGNORECASE)
# What drawing programs write beside a drawing; nobody needs to hear that it is gone.
_NOISE = re.compile(r"data-|aria-|role\Z|space\Z|lang\Z|baseProfile\Z|enable-background\Z|focusable\Z")


def clean(data: bytes) -> tuple[bytes, tuple[str, ...]]:
    """The drawing rewritten, and the names of what was left out because a drawing does not need it.

    Raises ValueError with a reason for what is not well-formed, declares entities, is no drawing, is too intricate, or
    holds a picture whose loss would show.
    """
    reader = _Reader()
    root = reader.read(data)
    if root is None or not any(element.tag in _SHAPES for element in root.iter()):
        raise ValueError("there is nothing in it that draws")
    root.set("xmlns", _SVG)
    return ElementTree.tostring(root, "utf-8"), tuple(sorted(reader.left_out))


class _Reader:
    """Builds the clean drawing while the file is parsed: what is not on the lists never gets into it."""

    def __init__(self) -> None:
        self.left_out: set[str] = set()
        self._tree = ElementTree.TreeBuilder()
        self._root: ElementTree.Element | None = None
        self._open: list[str] = []
        self._skipped = 0
        self._styles: list[str] = []
        self._counts = {"all": 0, "use": 0}

    def read(self, data: bytes) -> ElementTree.Element | None:
        parser = expat.ParserCreate(namespace_separator=" ")
        parser.buffer_text = True
        parser.StartElementHandler = self._start
        parser.EndElementHandler = self._end
        parser.CharacterDataHandler = self._text
        parser.EntityDeclHandler = self._entity
        parser.ProcessingInstructionHandler = lambda name, _: self.left_out.add(f"?{name}")
        try:
            parser.Parse(data, True)
        except expat.ExpatError as failure:
            raise ValueError(f"it is not well-formed ({failure})") from None
        return self._root

    def _entity(self, *_: object) -> None:
        raise ValueError("it declares entities")

    def _start(self, name: str, attributes: dict[str, str]) -> None:
        space, _, tag = name.rpartition(" ")
        self._counts["all"] += 1
        if self._counts["all"] > _MOST_ELEMENTS:
            raise ValueError(f"it has more than {_MOST_ELEMENTS:,} parts")
        if len(self._open) > _DEEPEST:
            raise ValueError(f"its parts stand in one another more than {_DEEPEST} deep")
        if self._root is None and (space, tag) != (_SVG, "svg"):
            raise ValueError("it does not start with an svg element")
        if (space, tag) == (_SVG, "a") and not self._skipped:
            self.left_out.add(tag)
            tag = "g"  # what it draws stays
        if self._skipped or space != _SVG or tag not in _ELEMENTS:
            self._skip(space, tag)
            return
        if tag == "use":
            self._counts["use"] += 1
            if self._counts["use"] > _MOST_COPIES:
                raise ValueError(f"it copies its parts more than {_MOST_COPIES} times")
        element = self._tree.start(tag, self._attributes(attributes))
        self._root = element if self._root is None else self._root
        self._open.append(tag)

    def _skip(self, space: str, tag: str) -> None:
        if not self._skipped and space == _SVG:
            if tag in ("image", "feImage"):
                raise ValueError("it holds a photo or another picture, not only a drawing")
            self.left_out.add(tag)
        elif not self._skipped and space == "http://www.w3.org/1999/xhtml":
            self.left_out.add(tag)
        self._skipped += 1

    def _end(self, _: str) -> None:
        if self._skipped:
            self._skipped -= 1
            return
        tag = self._open.pop()
        if tag == "style":
            self._tree.data(self._sheet("".join(self._styles)))
            self._styles.clear()
        self._tree.end(tag)

    def _text(self, text: str) -> None:
        if self._skipped or not self._open:
            return
        if self._open[-1] == "style":
            self._styles.append(text)
        elif self._open[-1] in _TEXTS:
            self._tree.data(text)

    def _attributes(self, given: dict[str, str]) -> dict[str, str]:
        kept: dict[str, str] = {}
        for name, value in given.items():
            space, _, plain = name.rpartition(" ")
            if plain == "href" and space in ("", _XLINK) and re.fullmatch(r"#[\w.-]+", value.strip()):
                kept["href"] = value.strip()
            elif plain == "style" and not space:
                kept["style"] = self._declarations(value)
            elif not space and plain in _PLACES | _LOOKS and _is_harmless(value):
                kept[plain] = value
            elif space in ("", _XLINK) and not _NOISE.match(plain):
                self.left_out.add(plain)
        return kept

    def _declarations(self, text: str) -> str:
        kept = []
        for row in filter(str.strip, _COMMENT.sub(" ", text).split(";")):
            name, _, value = (part.strip() for part in row.partition(":"))
            if name.lower() in _LOOKS and value and _is_harmless(value):
                kept.append(f"{name.lower()}:{value}")
            else:
                self.left_out.add(f"style {name}"[:40])
        return ";".join(kept)

    def _sheet(self, text: str) -> str:
        plain = _COMMENT.sub(" ", text)
        if _LOADING_RULE.search(plain):
            self.left_out.add("style @import")
            plain = _LOADING_RULE.sub(" ", plain)
        if "@" in plain:
            raise ValueError("its styles change with the screen or the device")
        kept = []
        for selector, row in _RULE.findall(plain):
            if _SELECTOR.match(selector):
                kept.append(f"{selector.strip()}{{{self._declarations(row)}}}")
            else:
                self.left_out.add(f"style {selector.strip()}"[:40])
        return "".join(kept)


def _is_harmless(value: str) -> bool:
    """Whether a value only draws: no hidden letters, no call but those of colours and shifts, no address but inside."""
    inside = _POINTS_INSIDE.sub("", value)
    return bool(_VALUE.match(inside)) and not _CALLS.search(_HARMLESS_CALLS.sub("", inside))
