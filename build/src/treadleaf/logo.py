"""The clinic's logo: what may be published as one.

A picture in an `<img>` runs no script, but its file can also be opened by itself, so an SVG that could act is refused.
"""

import re
from collections.abc import Iterator
from pathlib import Path
from xml.etree import ElementTree

from treadleaf.errors import Problem

_LARGEST = 200_000
_PNG = b"\x89PNG\r\n\x1a\n"
_SVG = "http://www.w3.org/2000/svg"
# Notes that drawing programs leave in their files: names only, never fetched.
_EDITORS = frozenset(
    (
        "http://www.inkscape.org/namespaces/inkscape",
        "http://sodipodi.sourceforge.net/DTD/sodipodi-0.dtd",
        "http://www.w3.org/1999/02/22-rdf-syntax-ns#",
        "http://creativecommons.org/ns#",
        "http://purl.org/dc/elements/1.1/",
    )
)
_STYLE_LOAD = re.compile(r"\\|@import|url\(\s*['\"]?(?!#)|expression\(|javascript:", re.IGNORECASE)
_DRAWING = frozenset(
    # Shapes, text and paints; nothing that acts, links or loads.
    (
        *("svg", "g", "path", "rect", "circle", "ellipse", "line", "polyline", "polygon"),
        *("text", "tspan", "textPath", "title", "desc", "metadata", "style"),
        *("defs", "symbol", "use", "clipPath", "mask", "pattern"),
        *("linearGradient", "radialGradient", "stop"),
    )
)


def problems(clinic_file: Path, name: str, line: int | None) -> list[Problem]:
    """Everything that speaks against publishing the logo that a clinic file names; an empty list when nothing does."""

    def refuse(what: str, mend: str, found: str = name) -> list[Problem]:
        return [Problem(what, str(clinic_file), line, "logo", found, mend)]

    folder = clinic_file.resolve().parent
    path = (folder / name).resolve()
    if not path.is_relative_to(folder):
        return refuse("The logo must stand in the clinic file's own folder.", "Copy it there and name it alone.")
    if not path.is_file():
        return refuse("The logo was not found.", "Put it beside the clinic file, or take the key out.")
    data = path.read_bytes()
    if len(data) > _LARGEST:
        return refuse("The logo is too large.", f"Save it at {_LARGEST:,} bytes or less.", f"{len(data):,} bytes")
    if path.suffix.lower() == ".png":
        what = "The logo is named .png but is no PNG picture."
        return [] if data.startswith(_PNG) else refuse(what, "Save it as PNG again.")
    mend = "Export it again as a plain SVG drawing, or as PNG."
    return [problem for fault in _svg_faults(data) for problem in refuse(f"The logo is refused: {fault}.", mend)]


def _svg_faults(data: bytes) -> Iterator[str]:
    text = data.decode("utf-8", "replace")
    if re.search(r"<!(?:DOCTYPE[^>]*\[|ENTITY)|<\?xml-stylesheet", text, re.IGNORECASE):
        yield "it declares entities or names a style sheet"
        return
    try:
        root = ElementTree.fromstring(text.encode())  # noqa: S314 - entities are refused above, and the size is capped
    except ElementTree.ParseError as failure:
        yield f"it is not well-formed ({failure})"
        return
    if root.tag != f"{{{_SVG}}}svg":
        yield "it does not start with an svg element"
    for element in root.iter():
        yield from _element_faults(element)


def _element_faults(element: ElementTree.Element) -> Iterator[str]:
    space, _, tag = str(element.tag).lstrip("{").rpartition("}")
    if space in _EDITORS:
        return
    if space != _SVG or tag not in _DRAWING:
        yield f"it holds a {tag} element, which a drawing does not need"
    for name, value in element.attrib.items():
        plain = name.rsplit("}", 1)[-1].lower()
        if plain.startswith("on"):
            yield f"it holds an {plain} handler"
        if plain in ("href", "src") and not value.startswith("#"):
            yield "it points to another file"
    if any(_STYLE_LOAD.search(style) for style in (element.text or "", *element.attrib.values())):
        yield "its styles load something from elsewhere"
