"""From a photograph of a footprint to its indices, each with its range, or to a refusal with a reason."""

import math
from typing import NamedTuple

from calculators.footprint.landmarks import Placed, place
from calculators.footprint.likeness import likeness, properties
from calculators.footprint.look import Ground, Seen, beside_the_sheet, on_the_sheet
from calculators.footprint.picture import lightness, reduced
from calculators.footprint.plane import areas_between
from calculators.footprint.rectify import SHEETS, Rectified, rectify
from calculators.footprint.shape import LEFTWARD, RIGHTWARD, Shape, from_rough, shaped, soles
from calculators.footprint.sheet import find_sheet
from calculators.footprint.sole import Sole, area_and_middle
from calculators.footprint.toes import cut
from calculators.results import Refusal, Refused, quantity

TYPE_CHECKING = False
if TYPE_CHECKING:
    from calculators.footprint.outline import Point, Ring


class Plane(NamedTuple):
    """The floor seen from above: mm by a sheet, or pixels turned upright (y up) without one."""

    sheet: Rectified | None
    mirrored: bool

    def ring(self, ring: "Ring") -> "Ring":
        """Take a ring of the picture to the plane; an outer ring of the picture stays positive."""
        points = self.sheet.homography.ring_to_plane(ring) if self.sheet else [(x, -y) for x, y in ring]
        if self.mirrored:
            return [(-x, y) for x, y in points]
        return points[::-1]

    def back(self, points: "list[Point]") -> "list[Point]":
        """Take points of the plane to the picture."""
        if self.mirrored:
            points = [(-x, y) for x, y in points]
        return self.sheet.homography.ring_to_picture(points) if self.sheet else [(x, -y) for x, y in points]


class Print(NamedTuple):
    """One print found: where it was seen, its shape, and how it lies."""

    seen: Seen
    shape: Shape
    placed: Placed


def measured(pixels: bytes, width: int, height: int, asked: dict) -> dict:
    """Prototype."""
    grey = lightness(*reduced(pixels, width, height))
    warnings: list[str] = []
    sheet = None
    corners = asked.get("corners")
    size = asked.get("size_mm")
    if size and not corners:
        found = find_sheet(grey, size)
        if found is None:
            warnings.append("sheet_not_found")
        else:
            corners = found.corners
    if corners and size:
        sheet = rectify(corners, size, (width, height))
        if sheet.aspect_off > 0.1:
            warnings.append("sheet_odd_shape")
    plane = Plane(sheet, asked.get("view") == "sole")
    best = None
    if sheet and min(size) > 150:
        best = _best(on_the_sheet(pixels, width, height, sheet), plane, asked, best)
    if best is None or best["like"] < 0.5:
        best = _best(beside_the_sheet(grey, corners), plane, asked, best)
    if best is None:
        raise Refused(Refusal("no_print", "pixels"))
    return {"plane": plane, "warnings": warnings, "sheet": sheet, **best}


def _best(ground: Ground, plane: Plane, asked, best):
    for seen in ground.candidates():
        if best and best["like"] > 0.9 and seen.steps == best["seen"].steps:
            continue
        rings = [plane.ring(ring) for ring in seen.traced(0.5)]
        for sole in soles(rings):
            base = shaped(sole, asked.get("toe_line"))
            if base is None:
                continue
            try:
                placed = place(base.rings, base.forward, second_toe=base.second_toe, medial=base.medial)
            except ValueError:
                continue
            like = likeness(base, placed, in_mm=plane.sheet is not None)
            if best is None or like > best["like"]:
                best = {"seen": seen, "shape": base, "placed": placed, "like": like, "props": properties(base, placed)}
    return best
