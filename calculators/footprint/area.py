"""The part of a picture that is looked at, bounded by straight lines."""

import math
from typing import NamedTuple

from calculators.footprint.mask import Mask, from_rows
from calculators.footprint.plane import signed_area

TYPE_CHECKING = False
if TYPE_CHECKING:
    from calculators.footprint.outline import Point
    from calculators.footprint.picture import Grey


class Area(NamedTuple):
    """What of a picture is looked at, in pixels: all of it, what lies inside four corners, or what lies outside."""

    frame: "list[Point]"
    inside: "list[Point] | None"
    outside: "list[Point] | None"

    def mask(self, grey: "Grey") -> Mask:
        """The cells whose middles are looked at."""
        made = polygon(grey, self.frame)
        if self.inside:
            made &= polygon(grey, self.inside)
        return made.without(polygon(grey, self.outside)) if self.outside else made


def sides_moved_out(corners: "list[Point]", by: float) -> "list[Point]":
    """Move the sides of a convex polygon out by so much, or in."""
    turn = math.copysign(1.0, signed_area(corners))
    lines = []
    for (x0, y0), (x1, y1) in zip(corners, corners[1:] + corners[:1], strict=True):
        long = math.hypot(x1 - x0, y1 - y0)
        nx, ny = turn * (y1 - y0) / long, turn * (x0 - x1) / long
        lines.append((nx, ny, nx * x0 + ny * y0 + by))
    made = []
    for (a, b, c), (d, e, f) in zip(lines[-1:] + lines[:-1], lines, strict=True):
        span = a * e - b * d
        made.append(((c * e - b * f) / span, (a * f - c * d) / span))
    return made


def polygon(grey: "Grey", corners: "list[Point]") -> Mask:
    """The cells whose middles lie within a convex polygon given in pixels."""
    points = [((x - grey.left) / grey.scale, (y - grey.top) / grey.scale) for x, y in corners]
    rows = []
    for row in range(grey.height):
        y = row + 0.5
        crossing = []
        (x0, y0) = points[-1]
        for x1, y1 in points:
            if (y0 > y) != (y1 > y):
                crossing.append(x0 + (y - y0) * (x1 - x0) / (y1 - y0))
            x0, y0 = x1, y1
        if len(crossing) < 2:
            rows.append("0" * grey.width)
            continue
        first = min(max(math.ceil(min(crossing) - 0.5), 0), grey.width)
        after = min(max(math.floor(max(crossing) - 0.5) + 1, first), grey.width)
        rows.append("0" * first + "1" * (after - first) + "0" * (grey.width - after))
    return from_rows(grey.width, rows)
