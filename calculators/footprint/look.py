"""From the pixels of a photograph to everything that tracing a print needs.

A place is looked over coarsely, where what is sought is found in little time, and traced in fine cells. What was found
is kept: a caller that moves a toe line or an axis does not look again.
"""

import math
from typing import NamedTuple

from calculators.footprint import ground, outline, photo
from calculators.footprint.area import Area, polygon, sides_moved_out
from calculators.footprint.mask import Mask, from_parts, from_rows, parts
from calculators.footprint.picture import Grey, cropped, halved, lightness, reduced
from calculators.footprint.relief import Grid, Lit, Relief, Spread, field, lit, relief
from calculators.footprint.steps import Accounts
from calculators.footprint.surface import Light, Tiles

TYPE_CHECKING = False
if TYPE_CHECKING:
    from collections.abc import Iterator

    from calculators.footprint.outline import Point, Ring
    from calculators.footprint.picture import Box
    from calculators.footprint.rectify import Rectified

# Where the sheet's own edge may still show: this part of its shorter side is left out all around (own choice).
_INSET = 0.012
# So many fine cells around a sheet belong to it where a print is looked for beside it, and at the picture's own edge,
# so that the outline of what is cut off there is closed.
_BESIDE, _EDGE = 3.0, 2.0
# Coarse cells: nothing narrower than about twice this is taken for a part of a print, so that joints and grain fall
# away. The second and the third are for a ground with stronger lines; they cost small toes.
THIN = (1, 2, 3)
# What is left grows back by so many cells, for its corners; what was cut off at a joint grows no longer than that (own
# choice, like those below).
_ROUND_OFF = 1
_FEWEST_PIXELS = 32
# A print within so many cells of the rim, with more points of its outline than this, is taken to go on beyond it.
_RIM, _MOMENT = 1, 6
_TRIED = 4
# A print is traced again in its own box, this part of it wider to all sides, for its toes.
_AROUND = 0.3
# There it is looked for within so many fine cells of where the coarse ones show it, and its edge is looked at within so
# many coarse ones.
_NEAR, _MARGIN = 4, 5
# The edge is looked at in every so-manieth point of an outline, so many coarse cells to either side of it.
_APART, _ACROSS = 3, 2.0
# Two parts may be ball and heel where the smaller is this part of the larger; a way between them is this much longer
# than the side of a square of the larger at most, and so many coarse cells longer than the shortest.
_PARTNER, _LONGEST_WAY, _DETOUR = 0.12, 1.0, 4


class Traced(NamedTuple):
    """Outlines in pixels of the picture, y down, outer ones positive, and the cells that they go round."""

    rings: "list[Ring]"
    cells: Mask


class Standing(NamedTuple):
    """Numbers above zero where something stands out enough, a row of cells a list, and those cells."""

    values: list[list[float]]
    cells: Mask


class Seen(NamedTuple):
    """One thing on the ground that may be a print, ready to be traced.

    `fine` says how many cells make one of those in which it was found.
    """

    ground: "Ground"
    grey: Grey
    place: Mask
    relief: Relief
    light: Light
    under: Lit
    candidate: photo.Candidate
    grounds: list[list[float]]
    prints: list[list[float]]
    fine: int = 1

    def standing(self, part: float) -> Standing:
        """What stands out by `part` of the contrast at least."""
        values = field(self.relief, self.grounds, self.prints, part)
        signs = ["".join(["1" if value > 0 else "0" for value in row]) for row in values]
        return Standing(values, from_rows(self.grey.width, signs) & self.place)

    def inside(self, standing: Standing, thin: int) -> Mask:
        """The cells of what stands out, without what is narrower than about twice `thin` coarse cells."""
        cells = standing.cells
        inside = cells.spread_from(cells.opened(self.fine * thin), _ROUND_OFF)
        # What joins a heel to its ball may be as thin as a joint between tiles: the shortest way between them is kept.
        large = parts(inside)[:2]
        if len(large) < 2 or large[1].cells < _PARTNER * large[0].cells:
            return inside
        heel, ball = (from_parts(self.grey.width, self.grey.height, [part]) for part in large)
        most = round(_LONGEST_WAY * math.sqrt(large[0].cells))
        return inside | cells.ways_between(heel, ball, most, _DETOUR * self.fine)

    def outlined(self, standing: Standing, inside: Mask) -> Traced:
        """Draw the edge of some of the cells that stand out."""
        side, left, top = self.grey.scale, self.grey.left, self.grey.top
        rings = outline.rings(standing.values, inside)
        return Traced([[(left + side * x, top + side * y) for x, y in ring] for ring in rings], inside)

    def traced(self, part: float, thin: int = THIN[0]) -> Traced:
        """Trace what was seen where `part` of the contrast is reached, as `inside` tells it."""
        standing = self.standing(part)
        return self.outlined(standing, self.inside(standing, thin))

    def falls(self, ring: "Ring") -> list[float]:
        """How much the print differs from the ground across its edge, at places all along a ring of the picture.

        Positive where it differs the way the whole print does; in parts of the ground's brightness.
        """
        side, left, top = self.grey.scale, self.grey.left, self.grey.top
        cells = [((x - left) / side, (y - top) / side) for x, y in ring[::_APART]]
        rows, sign = self.relief.rows, 1 if self.candidate.darker else -1
        last, lowest = self.grey.width - 1, self.grey.height - 1
        made = []
        for (x0, y0), (x, y), (x1, y1) in zip(cells[-1:] + cells[:-1], cells, cells[1:] + cells[:1], strict=True):
            long = math.hypot(x1 - x0, y1 - y0)
            if long == 0:
                continue
            # The print lies on the left hand of a traced ring.
            by = _ACROSS * self.fine / long
            dx, dy = (y0 - y1) * by, (x1 - x0) * by
            within = rows[min(max(int(y + dy), 0), lowest)][min(max(int(x + dx), 0), last)]
            beside = rows[min(max(int(y - dy), 0), lowest)][min(max(int(x - dx), 0), last)]
            made.append(sign * (beside - within))
        return made

    def rim_of_part(self) -> str | None:
        """At which rim of the place the part as first found ends, as `rim` tells it of rings; coarsely."""
        part = from_parts(self.grey.width, self.grey.height, [self.candidate.found])
        for kind, place in self._places():
            if (part & place.without(place.narrower(_RIM + 1))).size() > _MOMENT:
                return kind
        return None

    def rim(self, rings: "list[Ring]") -> str | None:
        """At which rim of the place rings of the picture end for more than a moment: frame, sheet, or at none."""
        side, left, top = self.grey.scale, self.grey.left, self.grey.top
        points = [(int((x - left) / side), int((y - top) / side)) for ring in rings for x, y in ring]
        for kind, place in self._places():
            inner = place.narrower(_RIM).rows()
            outside = [
                (column, row)
                for column, row in points
                if not (0 <= row < self.grey.height and 0 <= column < self.grey.width) or inner[row][column] == "0"
            ]
            if len(outside) > _MOMENT:
                return kind
        return None

    def _places(self) -> "Iterator[tuple[str, Mask]]":
        """The cells that are bounded by the picture's frame, then those bounded by the sheet as well."""
        area = self.ground.area
        yield "frame", Area(area.frame, None, None).mask(self.grey)
        yield "sheet", area.mask(self.grey)

    def finely(self, rings: "list[Ring]", cells: Mask) -> "Seen":
        """The same thing in fine cells, in the box of some rings of the picture and a little around it.

        Args:
            rings: of the print.
            cells: the coarse ones that were seen. What was too thin for them stays away: only near them is anything
                found again.
        """
        left, top, right, bottom = _box([point for ring in rings for point in ring])
        more = _AROUND * max(right - left, bottom - top)
        corners = sides_moved_out([(left, top), (right, top), (right, bottom), (left, bottom)], more)
        known = cells & polygon(self.grey, corners)
        first, upper, last, lower = known.box(_MARGIN)
        grey = cropped(self.ground.grey, 2 * first, 2 * upper, 2 * last, 2 * lower)
        known = known.part(first, upper, last - first, lower - upper).doubled()
        spread = Spread(Grid(grey.width, grey.height, 0.5, first, upper), self.ground.tiles)
        return self._replace(
            grey=grey,
            place=self.ground.area.mask(grey) & known.part(0, 0, grey.width, grey.height).wider(_NEAR),
            relief=relief(grey, self.under.rows(spread), spread),
            fine=2,
        )


class Ground(NamedTuple):
    """A place where prints are looked for: the picture in fine and in coarse cells, and the coarse ones in tiles."""

    area: Area
    grey: Grey
    coarse: Grey
    place: Mask
    tiles: Tiles
    accounts: Accounts

    def under(self, light: Light) -> "Under":
        """What stands out from the ground under one account of the light."""
        spread = Spread(Grid(self.coarse.width, self.coarse.height), self.tiles)
        under, rows = lit(self.coarse, self.place, self.tiles, light, spread)
        seen = relief(self.coarse, rows, spread)
        codes = photo.codes(seen.rows, self.place)
        over = ground.over(self.tiles, light)
        return Under(self, light, under, seen, over, codes, photo.candidates(codes)[:_TRIED])


class Under(NamedTuple):
    """A ground under one account of the light, and what stands out from it there, the clearest first.

    `over` is each tile's brightness over the ground's.
    """

    ground: Ground
    light: Light
    lit: Lit
    relief: Relief
    over: "list[list[float | None]]"
    codes: photo.Codes
    candidates: list[photo.Candidate]

    def seen(self, candidate: photo.Candidate) -> Seen:
        """Make one of them ready to be traced."""
        on = self.ground
        levels = photo.levels(self.codes, on.tiles, self.over, candidate)
        return Seen(on, on.coarse, on.place, self.relief, self.light, self.lit, candidate, *levels)


def within_sides(sheet: "Rectified") -> "list[Point]":
    """The part of a sheet of plain paper that is free for a print: a little within its sides."""
    sides = [math.dist(sheet.corners[at - 1], sheet.corners[at]) for at in range(4)]
    return sides_moved_out(sheet.corners, -_INSET * min(sides))


def on_the_sheet(
    pixels: "bytes | memoryview", width: int, height: int, free: "list[Point]", lit_by: "list[Point]"
) -> Ground | None:
    """Look at the free part of a sheet; None where too little lies in the picture.

    Args:
        pixels: RGBA8, top row first.
        width: of the picture, in pixels.
        height: of the picture, in pixels.
        free: corners of the part where a print is looked for, in pixels.
        lit_by: corners of the part that tells of the light, with the free one in it.
    """
    left, top, right, bottom = _box(lit_by)
    box: Box = (
        max(0, math.floor(left)),
        max(0, math.floor(top)),
        min(width, math.ceil(right)),
        min(height, math.ceil(bottom)),
    )
    if min(box[2] - box[0], box[3] - box[1]) < _FEWEST_PIXELS:
        return None
    grey = lightness(*reduced(pixels, width, height, box))
    frame = _frame(width, height, grey.scale)
    return _looked(grey, Area(frame, free, None), Area(frame, lit_by, None))


def beside_the_sheet(grey: Grey, corners: "list[Point] | None") -> Ground:
    """Look at the whole picture but the sheet."""
    frame = _frame(grey.width * grey.scale, grey.height * grey.scale, grey.scale)
    area = Area(frame, None, sides_moved_out(corners, _BESIDE * grey.scale) if corners else None)
    return _looked(grey, area, area)


def _frame(width: int, height: int, cell: int) -> "list[Point]":
    by = _EDGE * cell
    return [(by, by), (width - by, by), (width - by, height - by), (by, height - by)]


def _looked(grey: Grey, area: Area, lit_by: Area) -> Ground:
    coarse = halved(grey)
    # Of the light the rim tells as well.
    tiles = ground.tiles(coarse, lit_by._replace(frame=sides_moved_out(area.frame, grey.scale)).mask(coarse))
    return Ground(area, grey, coarse, area.mask(coarse), tiles, Accounts(tiles))


def _box(points: "list[Point]") -> tuple[float, float, float, float]:
    across, along = [x for x, _ in points], [y for _, y in points]
    return min(across), min(along), max(across), max(along)
