"""Points, movements and smooth curves of a drawing. The page's own axes: x to the right, y down; angles in degrees.

A positive angle turns against the clock, as the eye sees it: the toes of a foot that points to the right go up.
"""

from __future__ import annotations

import math
from collections.abc import Iterable, Sequence
from typing import NamedTuple


class Point(NamedTuple):
    """A place on the page, or the way from one place to another."""

    x: float
    y: float

    def plus(self, other: Point, times: float = 1.0) -> Point:
        return Point(self.x + other.x * times, self.y + other.y * times)

    def minus(self, other: Point) -> Point:
        return Point(self.x - other.x, self.y - other.y)

    def length(self) -> float:
        return math.hypot(self.x, self.y)

    def unit(self) -> Point:
        """The same way, one long."""
        return Point(self.x / self.length(), self.y / self.length())

    def aside(self) -> Point:
        """One to the left of somebody who walks this way."""
        ahead = self.unit()
        return Point(ahead.y, -ahead.x)


class Move(NamedTuple):
    """A movement of the page: ``x' = a x + c y + e`` and ``y' = b x + d y + f``."""

    a: float = 1.0
    b: float = 0.0
    c: float = 0.0
    d: float = 1.0
    e: float = 0.0
    f: float = 0.0

    def __call__(self, point: Point) -> Point:
        return Point(
            self.a * point.x + self.c * point.y + self.e,
            self.b * point.x + self.d * point.y + self.f,
        )

    def then(self, after: Move) -> Move:
        """First this movement, then the other."""
        start, across, down = (after(self(Point(*at))) for at in ((0, 0), (1, 0), (0, 1)))
        return Move(across.x - start.x, across.y - start.y, down.x - start.x, down.y - start.y, start.x, start.y)


def shift(across: float, down: float) -> Move:
    return Move(e=across, f=down)


def scale(across: float, down: float | None = None) -> Move:
    return Move(a=across, d=across if down is None else down)


def mirror(middle: float = 0.0) -> Move:
    """Left and right change places about an upright line."""
    return Move(a=-1.0, e=2 * middle)


def turn(degrees: float, about: Point | None = None) -> Move:
    """A turn against the clock about a point, or about the origin."""
    cos, sin = math.cos(math.radians(degrees)), math.sin(math.radians(degrees))
    x, y = about or Point(0, 0)
    return Move(cos, -sin, sin, cos, x - cos * x - sin * y, y + sin * x - cos * y)


def points(*numbers: float) -> list[Point]:
    """Points from numbers in pairs, as they stand in a table."""
    return [Point(x, y) for x, y in zip(numbers[::2], numbers[1::2], strict=True)]


def moved(run: Iterable[Point], move: Move) -> list[Point]:
    return [move(point) for point in run]


Piece = tuple[Point, ...]
"""What follows a point: one point for a straight line, three for a cubic Bézier curve."""


class Curve(NamedTuple):
    """One stroke of the pen."""

    start: Point
    pieces: tuple[Piece, ...]
    closed: bool = False

    def moved(self, move: Move) -> Curve:
        pieces = tuple(tuple(move(point) for point in piece) for piece in self.pieces)
        return Curve(move(self.start), pieces, self.closed)

    def every_point(self) -> list[Point]:
        """The points that the curve is made from. It lies inside their hull."""
        return [self.start, *(point for piece in self.pieces for point in piece)]

    def with_the_clock(self) -> Curve:
        """The same curve, drawn the way a clock's hands go: filled together, such curves add and never cancel."""
        run = [self.start, *(piece[-1] for piece in self.pieces)]
        area = math.fsum(one.x * two.y - two.x * one.y for one, two in zip(run, [*run[1:], run[0]], strict=True))
        if area >= 0:
            return self
        everything = self.every_point()[::-1]
        pieces: list[Piece] = []
        at = 1
        for piece in reversed(self.pieces):
            pieces.append(tuple(everything[at : at + len(piece)]))
            at += len(piece)
        return Curve(everything[0], tuple(pieces), self.closed)


def straight(run: Sequence[Point], *, closed: bool = False) -> Curve:
    return Curve(run[0], tuple((point,) for point in run[1:]), closed)


def smooth(*runs: Sequence[Point], closed: bool = False) -> Curve:
    """A curve through all points, round within each run; a run starts where the one before it ended, with a corner.

    Centripetal Catmull-Rom (Barry and Goldman 1988, Yuksel and others 2011; from memory), written as cubic Bézier
    pieces: it makes no loops where points lie unevenly.
    """
    if closed and len(runs) == 1:
        return Curve(runs[0][0], tuple(_pieces([runs[0][-1], *runs[0], *runs[0][:2]])), True)
    pieces: list[Piece] = []
    here: Point | None = None
    for run in runs:
        inside = list(run) if here is None else [here, *run]
        here = inside[-1]
        pieces += _pieces([_beyond(inside[1], inside[0]), *inside, _beyond(inside[-2], inside[-1])])
    if closed and here is not None and here != runs[0][0]:
        pieces.append((runs[0][0],))
    return Curve(runs[0][0], tuple(pieces), closed)


def _beyond(inner: Point, end: Point) -> Point:
    return end.plus(end.minus(inner), 0.5)


def _pieces(run: Sequence[Point]) -> list[Piece]:
    made: list[Piece] = []
    for before, here, there, after in zip(run, run[1:], run[2:], run[3:], strict=False):
        one, two, three = (
            (to.minus(at).length() or 1e-9) ** 0.5 for at, to in ((before, here), (here, there), (there, after))
        )
        leave = _tangent(before, here, there, one, two)
        arrive = _tangent(after, there, here, three, two)
        made.append((here.plus(leave, two / 3), there.plus(arrive, two / 3), there))
    return made


def _tangent(before: Point, here: Point, there: Point, one: float, two: float) -> Point:
    """The way of the curve at ``here``, for each unit of the root of the distance to ``there``."""
    into = here.minus(before)
    across = there.minus(before)
    out = there.minus(here)
    return Point(
        into.x / one - across.x / (one + two) + out.x / two, into.y / one - across.y / (one + two) + out.y / two
    )


def round_about(centre: Point, across: float, down: float | None = None) -> Curve:
    """A circle, or an ellipse that stands upright."""
    down = across if down is None else down
    bend = 0.5523  # the usual share for a quarter of a circle
    x, y = centre
    pieces = (
        (Point(x + across, y + down * bend), Point(x + across * bend, y + down), Point(x, y + down)),
        (Point(x - across * bend, y + down), Point(x - across, y + down * bend), Point(x - across, y)),
        (Point(x - across, y - down * bend), Point(x - across * bend, y - down), Point(x, y - down)),
        (Point(x + across * bend, y - down), Point(x + across, y - down * bend), Point(x + across, y)),
    )
    return Curve(Point(x + across, y), pieces, True)
