"""A measured print as a drawing: outlines and lines of the answer, toes up, to scale; never the photograph."""

from __future__ import annotations

import math
from collections.abc import Callable, Iterator, Mapping, Sequence
from pathlib import Path
from typing import Any

from treadleaf import clinic, colours, site
from treadleaf.drawings import on_disk, svg
from treadleaf.drawings.geometry import Curve, Point, shift, straight
from treadleaf.drawings.strokes import LETTER_HEIGHT, Label, Mark, Marks, mark, moved
from treadleaf.drawings.svg import Element
from treadleaf.measuring import readable

_PER_MM = 1.7
"""Units of a drawing for a millimetre: a long foot is as high as a telephone's screen."""
_LENGTH_WITHOUT_MM = 340
"""How long a print without toes is drawn where no size is known."""
_MARGIN, _ROW, _BAR_MM = 14.0, 22.0, 50
_FIRST = ("arch_index", "chippaux_smirak_index", "staheli_index")
"""The indices that a drawing names; the others stand in the list."""
_WIDTHS = ("ball", "middle", "heel")

To = Callable[[Sequence[float]], Point]


def alone(path: Path, answer: Mapping[str, Any]) -> str:
    """One measured picture as an SVG file with its own style."""
    whole = picture(path, answer, "print")
    assert not isinstance(whole.inside, str)  # noqa: S101 - a picture holds elements
    look = Element("style", {}, style())
    return svg.write(Element(whole.name, whole.attributes, (*whole.inside[:2], look, *whole.inside[2:]))) + "\n"


def style() -> str:
    """The look of all drawings, in the colour of the demo clinic."""
    return on_disk.style(colours.shades(clinic.load(site.DEMO).colour))


def picture(path: Path, answer: Mapping[str, Any], key: str) -> Element:
    """One measured picture, both feet side by side where both were asked for. ``key`` is unique on its page."""
    said = readable.own()
    marks: Marks = []
    width = height = 0.0
    for one in readable.prints(answer):
        drawn, size = _drawn(one)
        marks += moved(drawn, shift(width, 0))
        width, height = width + size.x, max(height, size.y)
    feet = " / ".join(said["foot"][one["foot"]] for one in readable.prints(answer))
    numbers = " ".join(row for one in readable.prints(answer) for row in _numbers(one, "number"))
    return svg.picture(
        width,
        height,
        [one.element() for one in marks],
        key=key,
        title=said["title"].format(foot=feet, picture=path.name),
        description=said["description"].format(numbers=numbers),
        kind="drawing",
    )


def _drawn(one: Mapping[str, Any]) -> tuple[Marks, Point]:
    """One print with its lines and numbers, its upper left corner at the origin; and how large all of it is."""
    upright = one["upright"]
    to, per_mm = _to(upright)
    lines = upright["lines"]
    widths = {name: _line(lines[name], to) for name in _WIDTHS if lines[name]}
    drawn: Marks = [Mark("wet", tuple(straight([to(at) for at in ring], closed=True) for ring in upright["outline"]))]
    drawn += [mark("detail", straight([to(at) for at in ring], closed=True)) for ring in upright["toes"]]
    drawn += [mark("unseen", _line(third, to)) for third in lines["thirds"]]
    drawn.append(mark("sight", _line(_axis_ends(upright), to)))
    drawn += [mark("line", _line(line, to)) for line in (lines["medial_tangent"], upright["toe_line"]) if line]
    drawn += [mark("measured", line) for line in widths.values()]
    box = [point for shape in drawn for point in shape.every_point()]
    left, top = min(point.x for point in box), min(point.y for point in box)
    right, bottom = max(point.x for point in box), max(point.y for point in box)
    drawn += [_name(one, name, line, right) for name, line in widths.items()]
    rows = [readable.own()["foot"][one["foot"]], *_numbers(one, "label")]
    drawn += [
        Label(row, Point(left, bottom + _ROW * (number + 2.6)), anchor="start") for number, row in enumerate(rows)
    ]
    drawn += _scale_bar(per_mm, Point(left, bottom + _ROW))
    edge = max(point.x for shape in drawn for point in shape.every_point())
    whole = Point(edge - left + 2 * _MARGIN, bottom - top + _ROW * (len(rows) + 2) + 2 * _MARGIN)
    return moved(drawn, shift(_MARGIN - left, _MARGIN - top)), whole


def _name(one: Mapping[str, Any], name: str, line: Curve, right: float) -> Label:
    """What a width is called and, where the size is known, how wide it is; beside the print, clear of its edge."""
    said, length = readable.own(), (one["lengths"] or {}).get(f"{name}_mm")
    text = said["lines"][name]
    if length is not None:
        text = said["line"].format(name=text, value=said["unit"]["mm"].format(value=length))
    ends = line.every_point()
    return Label(text, Point(right + 8, max(ends, key=lambda end: end.x).y + LETTER_HEIGHT * 0.3), anchor="start")


def _numbers(one: Mapping[str, Any], words: str) -> Iterator[str]:
    """The first indices in words, each with its range."""
    said = readable.own()
    for key in _FIRST:
        index = one["indices"].get(key)
        if index:
            ends = {name: readable.value(index, name) for name in ("value", "low", "high")}
            yield said[words].format(name=said["indices"][key], **ends)


def _scale_bar(per_mm: float | None, at: Point) -> Marks:
    said = readable.own()
    if per_mm is None:
        return [Label(said["no_bar"], Point(at.x, at.y + 5), anchor="start")]
    end = Point(at.x + _BAR_MM * per_mm, at.y)
    ticks = [straight([Point(x, at.y - 4), Point(x, at.y + 4)]) for x in (at.x, end.x)]
    bar = mark("line", straight([at, end]), *ticks)
    return [bar, Label(said["bar"], Point(end.x + 8, at.y + 5), anchor="start")]


def _to(upright: Mapping[str, Any]) -> tuple[To, float | None]:
    """From places on the floor to places in the drawing; and units for a millimetre, None without a size."""
    per_mm = _PER_MM if upright["unit"] == "mm" else None
    units = per_mm or _LENGTH_WITHOUT_MM / math.dist(*_axis_ends(upright))
    return (lambda at: Point(units * at[0], units * at[1])), per_mm


def _axis_ends(upright: Mapping[str, Any]) -> tuple[Sequence[float], Sequence[float]]:
    """The middle of the heel and the tip of the second toe or, where that was not seen, the front of the ball."""
    return upright["axis"]["heel"], upright["axis"]["second_toe"] or upright["lines"]["axis"][1]


def _line(places: Sequence[Sequence[float]], to: To) -> Curve:
    return straight([to(at) for at in places])
