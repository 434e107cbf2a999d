"""The clinic's own scale sheet in a photograph: four black discs at the corners of a rectangle, and a smaller fifth.

A sheet of plain paper is found by its edges, which a pale floor, a fold or a cut-off corner hides. Discs are found by
being round, black, and in their places to one another. They are printed at a known distance, however the paper is cut.
"""

import math
from itertools import islice, product
from typing import NamedTuple

from calculators.footprint.mask import from_rows, parts
from calculators.footprint.picture import lightness, reduced
from calculators.footprint.rectify import SHEETS, rectify
from calculators.results import Refused

TYPE_CHECKING = False
if TYPE_CHECKING:
    from collections.abc import Iterator

    from calculators.footprint.mask import Mask, Part
    from calculators.footprint.outline import Point, Ring
    from calculators.footprint.picture import Box, Grey
    from calculators.footprint.rectify import Rectified

SCALE = "scale"
# The sheet, in mm, own design: how far apart the middles of the discs lie, across and along, and where the fifth one's
# lies from the lower left one's; the radius of the four and of the fifth. It fits on A4 and on Letter.
ACROSS_MM, ALONG_MM = SHEETS[SCALE].size_mm
FIFTH_MM = (0.0, 215.0)
RADIUS_MM, FIFTH_RADIUS_MM = 5.0, 3.0
# What is left free for a print, from the rectangle's long sides inwards and from its short sides outwards, and how far
# beyond all sides there is paper on A4 and on Letter alike. Whatever else is printed lies in between.
INWARDS_MM, OUTWARDS_MM, PAPER_MM = 0.0, 8.0, 13.0

# All that follows are own choices. Ink has less than this part of the light of the paper around it; a wet print on
# paper has two thirds and more. The paper's light is the most in blocks of so many cells, and in those around.
_INK, _BLOCK = 0.5, 16
_LEAST_CELLS, _MOST_LOOKED_AT = 4, 40
# Of a round thing seen aslant: its area over that of the ellipse with its moments, and how narrow the ellipse may be.
_ROUND, _NARROW = (0.86, 1.14), 0.5
# How far from one disc to the fifth and to the other discs, in its diameters, and how much a tilt may change that.
_TILTED = (0.6, 1.7)
# How far a rectangle seen aslant is from a parallelogram, in parts of its side; and how many of those that look like it
# are asked about, in a picture full of dots.
_ASLANT, _MOST_ASKED = 0.4, 2000
# How far the fifth may be from its place, and the size of each from its own, in parts of the size.
_PLACE_MM, _SIZE = 2.5, 0.35
# A disc's middle is looked for in pixels within so many of its diameters.
_AROUND = 0.9
# One deviation of a middle, in pixels of the picture (own choice: what drawn pictures show, twice over).
MARK_OFF = 0.2


class Disc(NamedTuple):
    """A round dark thing: its middle and its diameter, in pixels of the picture."""

    x: float
    y: float
    diameter: float

    @property
    def middle(self) -> "Point":
        """Where its middle lies."""
        return self.x, self.y


def find_marks(pixels: "bytes | memoryview", picture: tuple[int, int], grey: "Grey") -> "Ring | None":
    """Find the middles of the four discs, in pixels; None where they are not seen in their places.

    Args:
        pixels: RGBA8, top row first.
        picture: its width and height.
        grey: the whole picture in cells.
    """
    discs = list(_discs(grey))[:_MOST_LOOKED_AT]
    best, least = None, _PLACE_MM
    for four, fifth in islice(_sheets(discs), _MOST_ASKED):
        off = _off(four, fifth, picture)
        if off < least:
            best, least = four, off
    return None if best is None else [_exactly(pixels, picture, disc) for disc in best]


def free_place(sheet: "Rectified") -> "Ring":
    """The part of the scale sheet that is free for a print, in pixels of the picture."""
    width, height = sheet.size_mm
    return _moved_out(sheet, *((-INWARDS_MM, OUTWARDS_MM) if width < height else (OUTWARDS_MM, -INWARDS_MM)))


def whole_place(sheet: "Rectified") -> "Ring":
    """The part of the scale sheet that is paper, however it was cut, in pixels; dots and words lie on it."""
    return _moved_out(sheet, PAPER_MM, PAPER_MM)


def _moved_out(sheet: "Rectified", by_x: float, by_y: float) -> "Ring":
    width, height = sheet.size_mm
    corners = [(-by_x, -by_y), (width + by_x, -by_y), (width + by_x, height + by_y), (-by_x, height + by_y)]
    return sheet.homography.ring_to_picture(corners)


def _discs(grey: "Grey") -> "Iterator[Disc]":
    """What is round and as black as ink on paper, the largest first."""
    for part in parts(_inked(grey), _LEAST_CELLS):
        disc = _disc(part)
        left, top, right, bottom = part.box
        if disc and left > 0 and top > 0 and right < grey.width and bottom < grey.height:
            yield Disc(grey.left + grey.scale * disc.x, grey.top + grey.scale * disc.y, grey.scale * disc.diameter)


def _inked(grey: "Grey") -> "Mask":
    """The cells that are much darker than the lightest around."""
    width, side = grey.width, _BLOCK
    lightest = [
        [
            max(max(grey.values[row * width + left : row * width + min(left + side, width)]) for row in rows)
            for left in range(0, width, side)
        ]
        for rows in (range(top, min(top + side, grey.height)) for top in range(0, grey.height, side))
    ]
    around = [
        [
            max(max(line[max(0, at - 1) : at + 2]) for line in lightest[max(0, row - 1) : row + 2])
            for at in range(len(lightest[0]))
        ]
        for row in range(len(lightest))
    ]
    made = []
    for row in range(grey.height):
        limits = [int(_INK * light) for light in around[row // side]]
        cells = grey.values[row * width : (row + 1) * width]
        made.append("".join(["1" if value < limits[at // side] else "0" for at, value in enumerate(cells)]))
    return from_rows(width, made)


def _disc(part: "Part") -> Disc | None:
    """The middle and the diameter of a part that is round, or an ellipse not too narrow; in cells."""
    count = part.cells
    x = math.fsum((first + after) * (after - first) for _, first, after in part.runs) / (2 * count)
    y = math.fsum((row + 0.5) * (after - first) for row, first, after in part.runs) / count
    xx = xy = yy = 0.0
    for row, first, after in part.runs:
        long, off, down = after - first, (first + after) / 2 - x, row + 0.5 - y
        xx += long * (off * off + long * long / 12)
        xy += long * off * down
        yy += long * (down * down + 1 / 12)
    xx, xy, yy = xx / count, xy / count, yy / count
    mean, apart = (xx + yy) / 2, math.hypot((xx - yy) / 2, xy)
    least, most = math.sqrt(max(0.0, mean - apart)), math.sqrt(mean + apart)
    low, high = _ROUND
    if least < _NARROW * most or not low * 4 * math.pi * least * most < count < high * 4 * math.pi * least * most:
        return None
    return Disc(x, y, 4 * math.sqrt(least * most))


def _sheets(discs: list[Disc]) -> "Iterator[tuple[list[Disc], Disc]]":
    """Each four discs that may be those of a sheet, the lower left one first, and the fifth."""
    along, across = ALONG_MM / (2 * RADIUS_MM), ACROSS_MM / (2 * RADIUS_MM)
    near = (ALONG_MM - FIFTH_MM[1]) / (2 * RADIUS_MM)
    for upper, fifth in product(discs, discs):
        if not _apart(upper, fifth, near) or not _as_large(fifth, upper, FIFTH_RADIUS_MM / RADIUS_MM):
            continue
        for lower in discs:
            if not _like(lower, upper, along) or not _ahead(upper, fifth, lower):
                continue
            rights = [disc for disc in discs if disc not in (upper, fifth, lower)]
            above = [disc for disc in rights if _like(disc, upper, across)]
            below = [disc for disc in rights if _like(disc, lower, across)]
            for far_above, far_below in product(above, below):
                if _square_like(lower, far_below, far_above, upper):
                    yield [lower, far_below, far_above, upper], fifth


def _square_like(origin: Disc, right: Disc, across: Disc, up: Disc) -> bool:
    """Whether four discs lie about as the corners of a rectangle seen aslant, and not mirrored."""
    side_x, side_y = right.x - origin.x, right.y - origin.y
    off = math.hypot(across.x - up.x - side_x, across.y - up.y - side_y)
    return off < _ASLANT * math.hypot(side_x, side_y) and side_x * (origin.y - up.y) - side_y * (origin.x - up.x) > 0


def _apart(one: Disc, other: Disc, diameters: float) -> bool:
    low, high = _TILTED
    return low * diameters < math.dist(one.middle, other.middle) / one.diameter < high * diameters


def _as_large(one: Disc, other: Disc, times: float) -> bool:
    low, high = _TILTED
    return low * times < one.diameter / other.diameter < high * times


def _like(one: Disc, other: Disc, diameters: float) -> bool:
    return one is not other and _apart(other, one, diameters) and _as_large(one, other, 1.0)


def _ahead(start: Disc, between: Disc, end: Disc) -> bool:
    """Whether one disc lies near the line from another to a third."""
    dx, dy = end.x - start.x, end.y - start.y
    aside = abs(dx * (between.y - start.y) - dy * (between.x - start.x)) / math.hypot(dx, dy)
    return aside < 0.5 * start.diameter and dx * (between.x - start.x) + dy * (between.y - start.y) > 0


def _off(four: list[Disc], fifth: Disc, picture: tuple[int, int]) -> float:
    """How far, in mm, the fifth disc lies from where the four would have it; infinite where they are no sheet's."""
    try:
        sheet = rectify([disc.middle for disc in four], (ACROSS_MM, ALONG_MM), picture)
        # Seen from above, the plane may lie on the sheet the one way round or the other.
        places = [sheet.homography.to_plane(disc.middle) for disc in (*four, fifth)]
        scales = [sheet.homography.mm_per_px(disc.middle) for disc in (*four, fifth)]
    except Refused:
        return math.inf
    origin, right, _, up = places[:4]
    if abs(math.dist(origin, right) - ACROSS_MM) > 1 or abs(math.dist(origin, up) - ALONG_MM) > 1:
        return math.inf
    for disc, scale, radius in zip((*four, fifth), scales, [RADIUS_MM] * 4 + [FIFTH_RADIUS_MM], strict=True):
        if abs(disc.diameter * scale / (2 * radius) - 1) > _SIZE:
            return math.inf
    part = FIFTH_MM[1] / ALONG_MM
    where = (origin[0] + part * (up[0] - origin[0]), origin[1] + part * (up[1] - origin[1]))
    return math.dist(where, places[4])


def _exactly(pixels: "bytes | memoryview", picture: tuple[int, int], disc: Disc) -> "Point":
    """The middle of a disc by the darkness of the pixels around it."""
    reach = _AROUND * disc.diameter
    box: Box = (
        max(0, math.floor(disc.x - reach)),
        max(0, math.floor(disc.y - reach)),
        min(picture[0], math.ceil(disc.x + reach)),
        min(picture[1], math.ceil(disc.y + reach)),
    )
    grey = lightness(*reduced(pixels, *picture, box))
    ordered = sorted(grey.values)
    paper, ink = ordered[len(ordered) * 7 // 8], ordered[len(ordered) // 8]
    low, high = ink + 0.2 * (paper - ink), ink + 0.8 * (paper - ink)
    total = x_moment = y_moment = 0.0
    for row in range(grey.height):
        for column, value in enumerate(grey.values[row * grey.width : (row + 1) * grey.width]):
            if value < high:
                dark = min(1.0, (high - value) / (high - low))
                total += dark
                x_moment += dark * (column + 0.5)
                y_moment += dark * (row + 0.5)
    if total == 0:
        return disc.middle
    return grey.left + grey.scale * x_moment / total, grey.top + grey.scale * y_moment / total
