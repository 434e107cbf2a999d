"""A measured print as a drawing: outlines and lines redrawn from the answer, toes up, to scale; never the photograph.

With a sheet the picture is laid on the floor by the sheet's corners, as the calculators did. Without one it is turned.
"""

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


def alone(path: Path, answer: Mapping[str, Any], asked: Mapping[str, Any]) -> str:
    """One measured picture as an SVG file with its own style."""
    whole = picture(path, answer, asked, "print")
    assert not isinstance(whole.inside, str)  # noqa: S101 - a picture holds elements
    look = Element("style", {}, style())
    return svg.write(Element(whole.name, whole.attributes, (*whole.inside[:2], look, *whole.inside[2:]))) + "\n"


def style() -> str:
    """The look of all drawings, in the colour of the demo clinic."""
    return on_disk.style(colours.shades(clinic.load(site.DEMO).colour))


def picture(path: Path, answer: Mapping[str, Any], asked: Mapping[str, Any], key: str) -> Element:
    """One measured picture, both feet side by side where both were asked for. ``key`` is unique on its page."""
    said = readable.own()
    marks: Marks = []
    width = height = 0.0
    for one in readable.prints(answer):
        drawn, size = _drawn(one, answer["size"], asked)
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


def _drawn(one: Mapping[str, Any], size: Sequence[int], asked: Mapping[str, Any]) -> tuple[Marks, Point]:
    """One print with its lines and numbers, its upper left corner at the origin; and how large all of it is."""
    to, per_mm = _floor(one, size, asked)
    lines = one["lines"]
    widths = {name: _line(lines[name], to) for name in _WIDTHS if lines[name]}
    drawn: Marks = [Mark("wet", tuple(straight([to(at) for at in ring], closed=True) for ring in one["outline"]))]
    drawn += [mark("detail", straight([to(at) for at in ring], closed=True)) for ring in one["toes"]]
    drawn += [mark("unseen", _line(third, to)) for third in lines["thirds"]]
    drawn.append(mark("sight", _axis(one, to)))
    drawn += [mark("line", _line(line, to)) for line in (lines["medial_tangent"], one["toe_line"]) if line]
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


# -- from the picture to the floor -------------------------------------------------------------------------------------


def _floor(one: Mapping[str, Any], size: Sequence[int], asked: Mapping[str, Any]) -> tuple[To, float | None]:
    """From places in the picture to places in the drawing, toes up; and units for a millimetre, None without a size."""
    flat = _laid_flat(one, size, asked)
    # The sole itself is seen from below, a print from above.
    aside = -1.0 if asked["view"] == "sole" else 1.0
    heel, front = (Point(aside * at.x, at.y) for at in map(flat, _axis_ends(one)))
    ahead = front.minus(heel)
    per_mm = _PER_MM if _has_size(one) else None
    units = per_mm or _LENGTH_WITHOUT_MM / ahead.length()
    turn = math.atan2(ahead.x, -ahead.y)
    cos, sin = units * math.cos(turn), units * math.sin(turn)

    def to(at: Sequence[float]) -> Point:
        x, y = flat(at)
        return Point(cos * aside * x + sin * y, cos * y - sin * aside * x)

    return to, per_mm


def _laid_flat(one: Mapping[str, Any], size: Sequence[int], asked: Mapping[str, Any]) -> To:
    """From the picture to the floor in mm, y down, by the corners of what lies on it; without them as it is, in px."""
    if not _has_size(one):
        return lambda at: Point(at[0], at[1])
    from calculators.footprint import rectify  # noqa: PLC0415 - most pictures of a contact sheet have no corners

    if "sheet_width_mm" in asked:
        sides = asked["sheet_width_mm"], asked["sheet_height_mm"]
    else:
        sides = rectify.SHEETS[asked["sheet"]].size_mm
    plane = rectify.rectify([(x, y) for x, y in one["corners"]], sides, (size[0], size[1])).homography

    def flat(at: Sequence[float]) -> Point:
        x, y = plane.to_plane((at[0], at[1]))
        return Point(x, -y)

    return flat


def _has_size(one: Mapping[str, Any]) -> bool:
    """Whether something of a known size was found, and so its corners."""
    return one["scale"]["mm_per_px"] is not None


def _axis_ends(one: Mapping[str, Any]) -> tuple[Sequence[float], Sequence[float]]:
    """The middle of the heel and, where the second toe was not seen, the middle of the ball."""
    start, end = one["lines"]["ball"]
    middle = [(start[0] + end[0]) / 2, (start[1] + end[1]) / 2]
    return one["axis"]["heel"], one["axis"]["second_toe"] or middle


def _axis(one: Mapping[str, Any], to: To) -> Curve:
    return straight([to(at) for at in _axis_ends(one)])


def _line(places: Sequence[Sequence[float]], to: To) -> Curve:
    return straight([to(at) for at in places])
