"""A found sheet, fitted once more in the picture's own pixels.

A cell of the grey picture is about as wide as the thin shadow that a sheet throws on the floor, so that the two steps
behind one another are seen as one there. A card is small, and a long way is measured with it: half a millimetre on its
outline is two on a foot.
"""

import math
from typing import NamedTuple

from calculators.footprint.rectify import in_turn
from calculators.footprint.sheet import Found, shape_of
from calculators.footprint.sheet_sides import exact, looked_at

TYPE_CHECKING = False
if TYPE_CHECKING:
    from calculators.footprint.rectify import Point, Ring

# Own choices, by trial on drawn scenes.
_REACH_MM = (1.6, 1.2)
_LEAST_REACH_PX = 3
_ASIDE_MM = (5.0, 10.0)
# Where the sheet is lighter than the floor, its shadow cannot be taken for it: worth so much more contrast.
_LIGHTER_IS_WORTH = 2.0


class _Plane(NamedTuple):
    """One colour of all pixels, as they lie."""

    width: int
    height: int
    values: memoryview


def fitted_in_pixels(
    pixels: "bytes | bytearray | memoryview", width: int, height: int, found: Found, size_mm: "Point"
) -> Found:
    """Fit a found sheet in that colour of the pixels in which it stands out most; `found` where that leads away.

    Args:
        pixels: RGBA, 8 bits each, top row first.
        width: in pixels.
        height: in pixels.
        found: by `sheet.find_sheet`, in a grey of this whole picture.
        size_mm: the declared size.
    """
    whole = memoryview(pixels).cast("B")
    planes = [_Plane(width, height, whole[colour::4]) for colour in range(3)]
    around = math.fsum(math.dist(found.corners[at - 1], found.corners[at]) for at in range(4))
    per_mm = around / (2 * math.fsum(size_mm))
    _, contrast, plane, lighter = max(
        (option for plane in planes for option in _contrasts(plane, found.corners, per_mm)),
        key=lambda option: option[0],
    )
    if contrast <= 0:
        return found
    corners: Ring | None = found.corners
    for reach_mm in _REACH_MM:
        if corners is not None:
            corners = exact(plane, corners, lighter, max(_LEAST_REACH_PX, round(reach_mm * per_mm)))
    shape = None if corners is None else shape_of(corners, (width, height), size_mm)
    if corners is None or shape is None:
        return found
    return Found(in_turn(corners), lighter > 0, found.support, contrast, *shape)


def _contrasts(plane: _Plane, corners: "Ring", per_mm: float) -> list[tuple[float, float, _Plane, int]]:
    """The sheet taken as lighter, and as darker than the floor: worth, least contrast of the four sides."""
    aside = (_ASIDE_MM[0] * per_mm, _ASIDE_MM[1] * per_mm)
    found = [looked_at(plane, corners[at - 1], corners[at], 1, aside).contrast for at in range(4)]
    lighter, darker = min(found), -max(found)
    return [(_LIGHTER_IS_WORTH * lighter, lighter, plane, 1), (darker, darker, plane, -1)]
