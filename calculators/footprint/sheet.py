"""Finding a sheet of paper or a card in a photograph of a floor.

Coarse straight edges (`sheet_lines`) are joined to quadrilaterals that are lighter, or darker, than what lies around
them (`sheet_guesses`); the likeliest are moved onto the edges finely (`sheet_sides`) and looked at. Rather nothing than
a wrong thing is found: beyond a joint between tiles the same floor goes on, and joints and shadows go on past the
corners.
"""

import math
from typing import NamedTuple

from calculators.footprint.picture import halved
from calculators.footprint.rectify import in_turn, seen_aspect_and_tilt
from calculators.footprint.sheet_guesses import SHORTEST, aspect_off, guesses_of
from calculators.footprint.sheet_lines import share, straight_edges
from calculators.footprint.sheet_sides import Side, exact, fitted, looked_at
from calculators.results import Refused

TYPE_CHECKING = False
if TYPE_CHECKING:
    from collections.abc import Iterable, Iterator

    from calculators.footprint.picture import Grey
    from calculators.footprint.rectify import Point, Ring
    from calculators.footprint.sheet_lines import Line

# Own choices, by trial on drawn scenes. The coarse grid has at most so many cells along; for a card, which is small
# beside a print, twice as many. Lengths of edges are in its cells.
COARSE_LONG_SIDE = 150
_SMALL_MM = 150.0
LINES = 60
_ASPECT_OFF = 0.12  # the lens may be another than the usual one
_LOOKED_AT = 5

# What a sheet's sides show at least; see `Side`. Of the eight ends of sides, so many may go on as an edge by chance.
_LEAST_HELD, _LEAST_DIFFERS, _LEAST_CONTRAST, _LEAST_LASTING = 0.5, 0.7, 0.025, 0.5
_LEAST_SUPPORT = 0.8
_MOST_GOING_ON = 2
_PLAIN = 0.9  # seen on so much of its outline, and past all other tests: no other guess is asked
_CLEAR_CONTRAST, _FAIR_CONTRAST = 0.2, 0.08  # the latter will do for a plain one
_ASIDE_MM = (5.0, 10.0)  # wider than a joint between tiles
_CELLS_OFF = 0.3  # of a cell, as far as a corner is off where the pixels have not been looked at
_USUAL_MM = (210.0, 297.0)  # for that, where no size is declared


class Found(NamedTuple):
    """A sheet or card in the picture.

    corners:    in pixels of the buffer, in the turn of `rectify.in_turn`.
    lighter:    whether it is lighter than the floor.
    support:    share of its outline on which its edge is seen.
    contrast:   the least of the four sides' difference to the floor, as a part of the lighter one.
    aspect_off: how far the aspect seen is from the declared one; 0 where none was declared.
    tilt_deg:   of the line of sight, by the picture alone.
    corners_off: deviation of a corner along x and along y, in pixels of the buffer.
    by_lens:    whether the corners were moved to what a lens can show of the declared size.
    """

    corners: "Ring"
    lighter: bool
    support: float
    contrast: float
    aspect_off: float
    tilt_deg: float
    corners_off: float
    by_lens: bool = False


class _Seen(NamedTuple):
    support: float
    contrast: float
    corners: "Ring"
    lighter: int


def find_sheet(grey: "Grey", size_mm: "Point | None") -> Found | None:
    """Find the one sheet of the declared size, or of any where that is None; None where there is none to be seen."""
    coarse = coarsened(grey, 2 * COARSE_LONG_SIDE if _is_small(size_mm) else COARSE_LONG_SIDE)
    return sheet_of_edges(grey, coarse, straight_edges(coarse, LINES, SHORTEST), size_mm)


def coarsened(grey: "Grey", long_side: int) -> "Grey":
    """Halve a grey picture until it has at most so many cells along."""
    while max(grey.width, grey.height) > long_side and min(grey.width, grey.height) > 1:
        grey = halved(grey)
    return grey


def sheet_of_edges(grey: "Grey", coarse: "Grey", lines: "list[Line]", size_mm: "Point | None") -> Found | None:
    """Find the sheet whose sides are among some edges of the coarse picture; as `find_sheet`."""
    times = coarse.scale // grey.scale
    frame = (float(coarse.width), float(coarse.height))
    guesses = [guess for lighter in (1, -1) for guess in guesses_of(lines, lighter, frame, size_mm)]
    guesses.sort(key=lambda guess: -guess.rank)
    best = None
    for guess in guesses[:_LOOKED_AT]:
        corners = [(x * times, y * times) for x, y in guess.corners]
        seen = _looked_over(grey, corners, guess.lighter, times + times // 2, size_mm)
        if seen is not None and (best is None or seen.support > best.support):
            best = seen
        if best is not None and best.support > _PLAIN:
            break
    return None if best is None else _found(grey, best, size_mm)


def find_sheet_among(greys: "Iterable[Grey]", size_mm: "Point | None") -> Found | None:
    """Find the sheet in several greys of one photograph: the find of the highest contrast.

    A card may be as bright as the floor and still of another colour; and in a colour's share of the brightness, light
    and shadow, grain and blotches of the floor are gone. Sheets are white, cards have colours: what is likelier to show
    it comes first, the next is only asked where no find stands out clearly, and colours as they are where there
    is none.

    Args:
        greys: brightness, then colours.
        size_mm: the declared size, or None for any.
    """
    best = None
    for grey in _asked(greys, _is_small(size_mm)):
        if grey is None and best is not None:
            break
        found = None if grey is None else find_sheet(grey, size_mm)
        if found is not None and (best is None or found.contrast > best.contrast):
            best = found
        if best is not None and _is_clear(best):
            break
    return best


def _asked(greys: "Iterable[Grey]", small: bool) -> "Iterator[Grey | None]":
    """What is looked at in turn; None before what is only for need."""
    rest = iter(greys)
    bright = next(rest)
    if not small:
        yield bright
    colours = list(rest)
    if colours:
        light = halved(bright)
        for colour in colours:
            yield share(halved(colour), light)
    if small:
        yield bright
    yield None
    yield from colours


def _is_clear(found: Found) -> bool:
    return found.contrast >= _CLEAR_CONTRAST or (found.contrast >= _FAIR_CONTRAST and found.support > _PLAIN)


def _is_small(size_mm: "Point | None") -> bool:
    return size_mm is not None and max(size_mm) < _SMALL_MM


def _looked_over(grey: "Grey", guess: "Ring", lighter: int, reach: int, size_mm: "Point | None") -> _Seen | None:
    """Move a guess onto the edges and look at its sides; None for no sheet."""
    corners = fitted(grey, guess, lighter, reach)
    if corners is None or not _inside(grey, corners) or shape_of(corners, (grey.width, grey.height), size_mm) is None:
        return None
    around = math.fsum(math.dist(corners[at - 1], corners[at]) for at in range(4))
    per_mm = around / (2 * math.fsum(size_mm or _USUAL_MM))
    aside = (_ASIDE_MM[0] * per_mm, _ASIDE_MM[1] * per_mm)
    sides = []
    for at in range(4):
        side = looked_at(grey, corners[at - 1], corners[at], lighter, aside)
        if not _is_side(side):
            return None
        sides.append(side)
    support = math.fsum(side.held for side in sides) / 4
    going_on = [end >= 0.5 for side in sides for end in side.goes_on if end is not None].count(True)
    if support < _LEAST_SUPPORT or going_on > _MOST_GOING_ON:
        return None
    return _Seen(support, min(side.contrast for side in sides), corners, lighter)


def _found(grey: "Grey", seen: _Seen, size_mm: "Point | None") -> Found | None:
    """Fit a sheet once more, exactly, and say what it is; None where that leads away from a sheet."""
    corners = exact(grey, seen.corners, seen.lighter)
    shape = (
        None if corners is None or not _inside(grey, corners) else shape_of(corners, (grey.width, grey.height), size_mm)
    )
    if corners is None or shape is None:
        return None
    turned = in_turn([(x * grey.scale, y * grey.scale) for x, y in corners])
    return Found(turned, seen.lighter > 0, seen.support, seen.contrast, *shape, _CELLS_OFF * grey.scale)


def _inside(grey: "Grey", corners: "Ring") -> bool:
    return all(-1 <= x <= grey.width + 1 and -1 <= y <= grey.height + 1 for x, y in corners)


def shape_of(corners: "Ring", picture: "Point", size_mm: "Point | None") -> "tuple[float, float] | None":
    """How far the aspect is off, and the tilt in degrees; None for a shape that the declared sheet cannot have."""
    try:
        aspect, tilt_deg = seen_aspect_and_tilt(corners, picture)
    except Refused:
        return None
    off = aspect_off(aspect, size_mm)
    return (off, tilt_deg) if off <= _ASPECT_OFF else None


def _is_side(side: Side) -> bool:
    return all(
        (
            side.held >= _LEAST_HELD,
            side.differs >= _LEAST_DIFFERS,
            side.contrast >= _LEAST_CONTRAST,
            side.lasting >= _LEAST_LASTING,
        )
    )
