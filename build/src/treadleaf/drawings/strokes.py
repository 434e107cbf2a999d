"""The language of lines that all drawings share. What each kind looks like stands in ``lines.css``.

| kind | says |
|---|---|
| skin | outline of a body, opaque |
| body | several outlines as one, opaque |
| far | the same, thinner: a leg behind the other |
| line | a part of an outline that stays open |
| detail | thin: nail, crease, hem, ankle bone |
| thing | outline of a thing, opaque |
| unseen | dashed: hidden behind something, or where it was before |
| work | filled and edged: the part that works |
| wet | filled: what touched the paper |
| arrow, tip | a movement |
| ground | the floor |
| sight, measured | a line of sight or a line to measure from; a line that is measured |
| solid, hair | filled with ink |
"""

from __future__ import annotations

import math
from collections.abc import Iterable
from dataclasses import dataclass, replace

from treadleaf.drawings.geometry import Curve, Move, Point, smooth, straight
from treadleaf.drawings.svg import Element, path_data


@dataclass(frozen=True)
class Mark:
    """Curves of one kind. ``minor`` as of a ``Label``: a leader or a bracket goes with its word."""

    kind: str
    curves: tuple[Curve, ...]
    minor: bool = False

    def moved(self, move: Move) -> Mark:
        return replace(self, curves=tuple(curve.moved(move) for curve in self.curves))

    def every_point(self) -> list[Point]:
        return [point for curve in self.curves for point in curve.every_point()]

    def element(self) -> Element:
        return Element("path", {"class": _classes(f"draw-{self.kind}", self.minor), "d": path_data(self.curves)})


@dataclass(frozen=True)
class Label:
    """A word in the picture. It moves with its place, but is never turned or mirrored.

    ``minor``: left out where a picture is printed small, for there letters are large and the text beside it says so.
    """

    text: str
    at: Point
    anchor: str = "middle"
    strong: bool = False
    minor: bool = False

    def moved(self, move: Move) -> Label:
        return replace(self, at=move(self.at))

    def every_point(self) -> list[Point]:
        return list(self.box(LETTER_HEIGHT))

    def box(self, high: float) -> tuple[Point, Point]:
        """Two corners of the word in letters of a height, guessed wide, as in the widest of the fonts."""
        wide = len(self.text) * high * (0.65 if self.strong else 0.6)
        left = self.at.x - {"start": 0.0, "middle": wide / 2, "end": wide}[self.anchor]
        return Point(left, self.at.y - high * 0.8), Point(left + wide, self.at.y + high * 0.25)

    def element(self) -> Element:
        kind = "draw-label draw-label--strong" if self.strong else "draw-label"
        attributes: dict[str, str | float] = {"class": _classes(kind, self.minor), "x": self.at.x, "y": self.at.y}
        return Element("text", attributes | {"text-anchor": self.anchor}, self.text)


LETTER_HEIGHT = 16
"""Height of a label's letters in a picture's units, as in ``lines.css``."""

Marks = list[Mark | Label]


def _classes(kind: str, minor: bool) -> str:
    return f"{kind} draw-minor" if minor else kind


def mark(kind: str, *curves: Curve, minor: bool = False) -> Mark:
    return Mark(kind, curves, minor)


def joined(*curves: Curve) -> Mark:
    """Several outlines as one body: only the outer edge of them all is seen, for they are filled after the stroke."""
    return Mark("body", tuple(curve.with_the_clock() for curve in curves))


def moved(marks: Iterable[Mark | Label], *moves: Move) -> Marks:
    """Marks after one movement and then the next."""
    whole = Move()
    for move in moves:
        whole = whole.then(move)
    return [one.moved(whole) for one in marks]


def arrow(*run: Point) -> Marks:
    """A movement along the points, with a head at the end."""
    before, end = run[-2], run[-1]
    way = end.minus(before)
    ahead, aside = way.unit(), way.aside()
    neck = end.plus(ahead, -_HEAD)
    head = straight([end, neck.plus(aside, -_HEAD * 0.52), neck.plus(aside, _HEAD * 0.52)], closed=True)
    shaft = [*run[:-1], neck.plus(ahead, 1)]
    return [mark("arrow", smooth(shaft) if len(shaft) > 2 else straight(shaft)), mark("tip", head)]


def arc_arrow(centre: Point, radius: float, start: float, end: float) -> Marks:
    """A turn about a point, from one angle to another; angles from the page's right, against the clock."""
    count = max(3, math.ceil(abs(end - start) / 20) + 1)
    angles = [math.radians(start + (end - start) * step / (count - 1)) for step in range(count)]
    run = [Point(centre.x + radius * math.cos(angle), centre.y - radius * math.sin(angle)) for angle in angles]
    # The head keeps to the curve: its base lies on it.
    base = math.radians(end) - math.copysign(_HEAD / radius, end - start)
    return arrow(*run[:-1], Point(centre.x + radius * math.cos(base), centre.y - radius * math.sin(base)), run[-1])


_HEAD = 11.0
"""Length of an arrow's head."""
