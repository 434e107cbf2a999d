"""A found sheet, fitted once more in the picture's own pixels and colours.

A cell of the grey picture is about as wide as the thin shadow that a sheet throws on the floor, so that the two steps
behind one another are seen as one there. A card is small, and a long way is measured with it: half a millimetre
on its outline is two on a foot.

A shadow, and most of what a floor shows (grain, blotches), is one colour made brighter or darker. So each side is
looked for in that mixture of red, green and blue in which inside and outside differ most against how little a shadow
shows (a linear discriminant, common practice).
"""

import math
from operator import add
from statistics import median
from typing import NamedTuple

from calculators.footprint.rectify import in_turn
from calculators.footprint.sheet import Found, shape_of
from calculators.footprint.sheet_lens import dot, likeliest_corners
from calculators.footprint.sheet_sides import Straight, crossing, robust, steepest

TYPE_CHECKING = False
if TYPE_CHECKING:
    from calculators.footprint.rectify import Point, Ring

    Colour = tuple[float, float, float]

# Own choices, by trial on drawn scenes. Colours are in the buffer's 255 steps.
_REACH_MM = (1.8, 1.2)
_LEAST_REACH_PX = 4
_ENDS = 0.06  # left out at either end of a side: a card's corners are round, and two edges meet there
_STRETCHES = 24  # of a side, each of which says where the edge lies
_LINES = 12  # lines of pixels in a stretch that are read at most
_PLACES = 15  # along a side, at which its colours are taken
_ASIDE_MM = (5.0, 7.5, 10.0)
_NOISE = 4.0  # of a colour, against the difference between inside and outside
_SHADOW = 0.07  # of the floor's brightness, likewise
_THROWN = 0.2  # by how much the thin shadow darkens the floor
_NEARLY_AS_STEEP = 0.3
# How far a corner is off: the ends of a line through what the stretches say are known to twice their scatter over the
# root of their number; stretches of a picture packed as JPEG err together, which is worth a factor.
_ERR_TOGETHER = 1.5
_LEAST_OFF_PX = 0.1
_SCATTER = 1.4826  # deviation by the median of what is off, for a normal distribution


class _Pixels(NamedTuple):
    width: int
    height: int
    values: memoryview

    def at(self, x: float, y: float) -> "Colour | None":
        if not (0 <= x < self.width and 0 <= y < self.height):
            return None
        place = 4 * (int(y) * self.width + int(x))
        red, green, blue = self.values[place : place + 3]
        return red, green, blue


class _Mixture(NamedTuple):
    """Weights of the colours, and whether the sheet's shadow shows as a step that might be taken for the sheet's."""

    weights: "Colour"
    shadow_shows: bool


class _Fitted(NamedTuple):
    side: Straight
    off_px: float


def fitted_in_pixels(
    pixels: "bytes | bytearray | memoryview", width: int, height: int, found: Found, size_mm: "Point"
) -> Found:
    """Fit a found sheet in the pixels, each side in the colour in which it stands out; `found` where that leads away.

    The corners are those of `sheet_lens.likeliest_corners`, where there are such.

    Args:
        pixels: RGBA, 8 bits each, top row first.
        width: in pixels.
        height: in pixels.
        found: by `sheet.find_sheet`, in a grey of this whole picture.
        size_mm: the declared size.
    """
    picture = _Pixels(width, height, memoryview(pixels).cast("B"))
    around = math.fsum(math.dist(found.corners[at - 1], found.corners[at]) for at in range(4))
    per_mm = around / (2 * math.fsum(size_mm))
    corners: Ring = found.corners
    sides: list[_Fitted] = []
    for reach_mm in _REACH_MM:
        reach = max(_LEAST_REACH_PX, round(reach_mm * per_mm))
        fits = [_fit(picture, corners[at - 1], corners[at], reach, per_mm) for at in range(4)]
        sides = [fit for fit in fits if fit is not None]
        if len(sides) < 4:
            return found
        met = [crossing(sides[at].side, sides[(at + 1) % 4].side) for at in range(4)]
        moved = [point for point in met if point is not None]
        if len(moved) < 4 or any(math.dist(point, old) > 3 * reach for point, old in zip(moved, corners, strict=True)):
            return found
        corners = moved
    if shape_of(corners, (width, height), size_mm) is None:
        return found
    off = math.hypot(_LEAST_OFF_PX, *(side.off_px / 2 for side in sides))
    likely = likeliest_corners(corners, size_mm, (width, height), off)
    corners = likely or corners
    shape = shape_of(corners, (width, height), size_mm)
    if shape is None:
        return found
    return found._replace(
        corners=in_turn(corners),
        corners_off=off,
        aspect_off=shape[0],
        tilt_deg=shape[1],
        by_lens=likely is not None,
    )


def _fit(picture: _Pixels, start: "Point", end: "Point", reach: int, per_mm: float) -> _Fitted | None:
    """Fit one side to what its stretches say; None where most of them say nothing."""
    mixture = _mixture(picture, start, end, per_mm)
    if mixture is None:
        return None
    (ax, ay), (bx, by) = start, end
    lying = abs(bx - ax) > abs(by - ay)
    if lying:
        ax, ay, bx, by = ay, ax, by, bx
    # From here on a line of pixels runs along x, and y counts lines.
    slope, middle = (bx - ax) / (by - ay), (ay + by) / 2
    low, high = sorted((ay + _ENDS * (by - ay), by - _ENDS * (by - ay)))
    first, after = max(0, math.ceil(low - 0.5)), math.floor(high + 0.5)
    run = _Run(picture, lying, ax - ay * slope, slope, round(reach * math.hypot(1.0, slope)))
    seen: list[Point] = []
    for stretch in range(_STRETCHES):
        top, bottom = (first + (after - first) * part // _STRETCHES for part in (stretch, stretch + 1))
        edge = run.edge(top, bottom, mixture, inward=-1 if lying is (by > ay) else 1)
        if edge is not None:
            seen.append(edge)
    if len(seen) < _STRETCHES / 2:
        return None
    places, steps = [y - middle for y, _ in seen], [step for _, step in seen]
    off, turn = robust(places, steps)
    scatter = _SCATTER * median([abs(step - off - turn * place) for place, step in zip(places, steps, strict=True)])
    ax, bx = ax + off + turn * (ay - middle), bx + off + turn * (by - middle)
    if lying:
        ax, ay, bx, by = ay, ax, by, bx
    size = math.hypot(bx - ax, by - ay)
    across = ((by - ay) / size, (ax - bx) / size)
    return _Fitted((*across, across[0] * ax + across[1] * ay), _ERR_TOGETHER * scatter * 2 / math.sqrt(len(seen)))


class _Run(NamedTuple):
    """A side through the picture: x = at + slope y, where lines of pixels lie along x (columns, if it is lying)."""

    picture: _Pixels
    lying: bool
    at: float
    slope: float
    reach: int

    def edge(self, top: int, bottom: int, mixture: _Mixture, inward: int) -> "Point | None":
        """Add the lines of a stretch, each shifted by whole pixels to the side, and tell where the edge is there.

        Returns:
            The stretch's middle along the side, and how far the edge is off it.
        """
        step, line = 4, 4 * self.picture.width
        across, down = self.picture.width, self.picture.height
        if self.lying:
            step, line, across, down = line, step, down, across
        values, reach = self.picture.values, self.reach
        count = 2 * reach + 1
        reds = greens = blues = [0] * count
        rest: list[float] = []
        read: list[int] = []
        for y in range(top, min(bottom, down), max(1, -(-(bottom - top) // _LINES))):
            x = self.at + self.slope * (y + 0.5) - 0.5
            nearest = round(x)
            if reach <= nearest < across - reach:
                place = y * line + (nearest - reach) * step
                after = place + (count - 1) * step + 1
                reds = list(map(add, reds, values[place:after:step]))
                greens = list(map(add, greens, values[place + 1 : after + 1 : step]))
                blues = list(map(add, blues, values[place + 2 : after + 2 : step]))
                rest.append(x - nearest)
                read.append(y)
        if not read:
            return None
        red, green, blue = mixture.weights
        mixed = [red * r + green * g + blue * b for r, g, b in zip(reds, greens, blues, strict=True)]
        found = steepest(mixed[::inward], 1, mixture.shadow_shows)
        if found is None:
            return None
        return math.fsum(read) / len(read) + 0.5, inward * (found - reach) - math.fsum(rest) / len(rest)


def _mixture(picture: _Pixels, start: "Point", end: "Point", per_mm: float) -> _Mixture | None:
    """Mix the colours for a side: the discriminant of inside and outside, the floor's own brightness unsure."""
    inside, outside = _beside(picture, start, end, per_mm), _beside(picture, start, end, -per_mm)
    if inside is None or outside is None:
        return None
    differs = [a - b for a, b in zip(inside, outside, strict=True)]
    less = dot(differs, outside) / ((_NOISE / _SHADOW) ** 2 + dot(outside, outside))
    red, green, blue = (a - less * b for a, b in zip(differs, outside, strict=True))
    weights = (red, green, blue)
    return _Mixture(weights, -_THROWN * dot(weights, outside) > _NEARLY_AS_STEEP * dot(weights, differs))


def _beside(picture: _Pixels, start: "Point", end: "Point", per_mm: float) -> "list[float] | None":
    """The usual colour along a side, some millimetres inside; outside, where `per_mm` is negative."""
    (ax, ay), (bx, by) = start, end
    length = math.hypot(bx - ax, by - ay) / per_mm
    seen = []
    for at in range(_PLACES):
        part = _ENDS + (1 - 2 * _ENDS) * (at + 0.5) / _PLACES
        for aside in _ASIDE_MM:
            x, y = (
                ax + part * (bx - ax) + aside * (by - ay) / length,
                ay + part * (by - ay) - aside * (bx - ax) / length,
            )
            colour = picture.at(x, y)
            if colour is not None:
                seen.append(colour)
    return [median(values) for values in zip(*seen, strict=True)] if seen else None
