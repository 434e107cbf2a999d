"""From the pixels of a photograph to everything that tracing a print needs, found once and kept.

A caller that moves a toe line or an axis does not look again.
"""

import math
from typing import NamedTuple

from calculators.footprint import ground, outline, photo
from calculators.footprint.mask import Mask, from_rows, full
from calculators.footprint.picture import Grey, lightness, reduced

TYPE_CHECKING = False
if TYPE_CHECKING:
    from collections.abc import Iterator, Sequence

    from calculators.footprint.flat import Flat
    from calculators.footprint.outline import Point, Ring
    from calculators.footprint.picture import Box
    from calculators.footprint.rectify import Rectified

# Where the sheet's own edge may still show: this part of its shorter side is left out all around (own choice).
_INSET = 0.012
# Cells: nothing narrower than about twice this is taken for a part of a print, so that joints and grain fall away. The
# second is for a ground with stronger lines; it costs small toes.
THIN = (2, 4)
# So many cells around a sheet belong to it where a print is looked for beside it.
_BESIDE = 3
_FEWEST_PIXELS = 32
# A print within so many cells of the rim, with more points of its outline than this, is taken to go on beyond it.
_RIM, _MOMENT = 1, 6
_TRIED = 4


class Seen(NamedTuple):
    """One thing on the ground that may be a print, ready to be traced."""

    grey: Grey
    relief: photo.Relief
    place: Mask
    candidate: photo.Candidate
    grounds: list[list[float]]
    prints: list[list[float]]

    def traced(self, part: float, thin: int = THIN[0]) -> "list[Ring]":
        """Outlines in pixels of the picture, y down, where `part` of the contrast is reached; outer ones positive.

        What is narrower than about twice `thin` cells is left out.
        """
        field = photo.field(self.relief, self.grounds, self.prints, part)
        signs = ["".join(["1" if value > 0 else "0" for value in row]) for row in field]
        cells = from_rows(self.grey.width, signs) & self.place
        inside = cells.spread_from(cells.opened(thin), thin + 1)
        side, left, top = self.grey.scale, self.grey.left, self.grey.top
        return [[(left + side * x, top + side * y) for x, y in ring] for ring in outline.rings(field, inside)]

    def rim_touched(self, flat: "Flat", rings: "list[Ring]") -> bool:
        """Whether a ring of the plane comes to the rim of the place that was looked at, for more than a moment."""
        side, left, top = self.grey.scale, self.grey.left, self.grey.top
        inner = self.place.narrower(_RIM).rows()
        outside = 0
        for ring in rings:
            for x, y in flat.back(ring):
                column, row = int((x - left) / side), int((y - top) / side)
                within = 0 <= row < self.grey.height and 0 <= column < self.grey.width
                if not within or inner[row][column] == "0":
                    outside += 1
        return outside > _MOMENT


class Ground(NamedTuple):
    """A place where prints are looked for."""

    grey: Grey
    place: Mask
    tiles: ground.Tiles

    def accounts(self) -> "Iterator[Iterator[Seen]]":
        """Give what stands out from the ground, the clearest first, under one account of the light after another."""
        for light in ground.accounts(self.tiles):
            relief = photo.relief(self.grey, self.place, self.tiles, light)
            yield self._under(relief)

    def _under(self, relief: photo.Relief) -> "Iterator[Seen]":
        for candidate in photo.candidates(relief, self.place)[:_TRIED]:
            grounds, prints = photo.levels(relief, self.place, candidate)
            yield Seen(self.grey, relief, self.place, candidate, grounds, prints)


def on_the_sheet(pixels: "bytes | memoryview", width: int, height: int, sheet: "Rectified") -> Ground | None:
    """Look inside a sheet; None where too little of it lies in the picture."""
    box = _box(sheet.corners, width, height)
    if min(box[2] - box[0], box[3] - box[1]) < _FEWEST_PIXELS:
        return None
    grey = lightness(*reduced(pixels, width, height, box))
    inset = math.ceil(_INSET * min(grey.width, grey.height))
    return _looked(grey, polygon(grey, sheet.corners).narrower(inset))


def beside_the_sheet(grey: Grey, corners: "Sequence[Point] | None") -> Ground:
    """Look at the whole picture but the sheet."""
    # Without its outermost cells, so that the outline of what is cut off by the edge is closed there.
    place = full(grey.width, grey.height).narrower(1)
    if corners:
        place = place.without(polygon(grey, corners).wider(_BESIDE))
    return _looked(grey, place)


def _looked(grey: Grey, place: Mask) -> Ground:
    return Ground(grey, place, ground.tiles(grey, place))


def _box(points: "Sequence[Point]", width: int, height: int) -> "Box":
    return (
        max(0, math.floor(min(x for x, _ in points))),
        max(0, math.floor(min(y for _, y in points))),
        min(width, math.ceil(max(x for x, _ in points))),
        min(height, math.ceil(max(y for _, y in points))),
    )


def polygon(grey: Grey, corners: "Sequence[Point]") -> Mask:
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
