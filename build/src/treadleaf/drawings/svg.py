"""A small SVG writer: elements are objects, numbers are rounded, nothing is pasted."""

from __future__ import annotations

import re
from collections.abc import Iterable, Mapping
from dataclasses import dataclass, field
from xml.sax.saxutils import escape, quoteattr

from treadleaf.drawings.geometry import Curve, Point

_SPACE = "http://www.w3.org/2000/svg"
_DIGITS = 1
"""A tenth of a pixel: finer than any printer shows at the size of a handout."""


@dataclass(frozen=True)
class Element:
    """One element: its name, its attributes in order, and what is in it: elements, or one text."""

    name: str
    attributes: Mapping[str, str | float] = field(default_factory=dict)
    inside: tuple[Element, ...] | str = ()


def write(element: Element) -> str:
    """The element as text, without a blank more than needed. Same elements, same text."""
    attributes = "".join(f" {name}={quoteattr(_value(value))}" for name, value in element.attributes.items())
    if isinstance(element.inside, str):
        return f"<{element.name}{attributes}>{escape(element.inside)}</{element.name}>"
    if not element.inside:
        return f"<{element.name}{attributes}/>"
    return f"<{element.name}{attributes}>{''.join(map(write, element.inside))}</{element.name}>"


def picture(
    width: float, height: float, inside: Iterable[Element], *, key: str, title: str, description: str, kind: str
) -> Element:
    """The outermost element, with its text alternative. ``key`` makes the ids, so it is unique on a page."""
    names = f"{key}-title", f"{key}-desc"
    told = (Element("title", {"id": names[0]}, title), Element("desc", {"id": names[1]}, description))
    named = {"role": "img", "aria-labelledby": names[0], "aria-describedby": names[1]}
    return Element("svg", _frame(width, height, kind) | named, (*told, *inside))


def silent(width: float, height: float, inside: Iterable[Element], *, kind: str) -> Element:
    """The outermost element of a picture that says nothing beyond the words beside it: it is not read out."""
    return Element("svg", _frame(width, height, kind) | {"aria-hidden": "true"}, tuple(inside))


def _frame(width: float, height: float, kind: str) -> dict[str, str | float]:
    return {"xmlns": _SPACE, "class": kind, "viewBox": f"0 0 {number(width)} {number(height)}"}


def number(value: float) -> str:
    """A number as short as it can be written, to a tenth."""
    text = f"{round(value, _DIGITS):.{_DIGITS}f}".rstrip("0").rstrip(".")
    return "0" if text in ("-0", "") else text


def path_data(curves: Iterable[Curve]) -> str:
    """Curves as the ``d`` of a path: every stroke starts with its own place, what follows is told from there."""
    return "".join(_stroke(curve) for curve in curves)


def _stroke(curve: Curve) -> str:
    here = _rounded(curve.start)
    parts = [f"M{_pair(here)}"]
    last = ""
    for piece in curve.pieces:
        ends = [_rounded(point) for point in piece]
        letter = "l" if len(piece) == 1 else "c"
        steps = [_pair(end.minus(here)) for end in ends]
        parts.append(("" if letter == last else letter) + _joined(steps, after_number=letter == last))
        last, here = letter, ends[-1]
    return "".join(parts) + ("z" if curve.closed else "")


def _pair(point: Point) -> str:
    return _joined([number(point.x), number(point.y)], after_number=False)


def _joined(numbers: Iterable[str], *, after_number: bool) -> str:
    """Numbers side by side, with a blank only where two would run together."""
    text = ""
    for one in numbers:
        needs = (text or after_number) and not one.startswith("-")
        text += f" {one}" if needs else one
    return re.sub(r"(?<![\d.])(-?)0\.", r"\1.", text)


def _rounded(point: Point) -> Point:
    return Point(round(point.x, _DIGITS), round(point.y, _DIGITS))


def _value(value: str | float) -> str:
    return value if isinstance(value, str) else number(value)
