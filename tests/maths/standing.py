"""A print found, without a picture: outlines in mm by shapely, and an edge that is as soft as is asked for."""

from __future__ import annotations

from dataclasses import dataclass

import shapely

from calculators.footprint.flat import Flat
from calculators.footprint.likeness import likeness
from calculators.footprint.look import Traced
from calculators.footprint.mask import Mask
from calculators.footprint.search import Found, placed_or_none
from calculators.footprint.shape import shaped, soles

FLAT = Flat(None, mirrored=False, picture_px=(400.0, 400.0))  # one pixel is one mm; y runs down in the picture
NO_CELLS = Mask(0, 0, 0)


@dataclass(frozen=True)
class Drawn:
    """Stands for `look.Seen`: the edge runs `soft_mm` further out for each tenth of contrast less.

    What is thinner than `strip_mm` is not traced, unless `thin` is 0.
    """

    shape: shapely.Geometry
    soft_mm: float
    strip_mm: float = 0.0

    def traced(self, part: float, thin: int = 1) -> Traced:
        moved = self.shape.buffer(10 * (0.5 - part) * self.soft_mm, quad_segs=24)
        if thin and self.strip_mm:
            opened = moved.buffer(-self.strip_mm / 2).buffer(self.strip_mm / 2, quad_segs=24)
            moved = shapely.MultiPolygon([one for one in shapely.get_parts(opened) if one.area > 1])
        made = []
        for piece in shapely.get_parts(moved):
            outer, *holes = (list(ring.coords) for ring in (piece.exterior, *piece.interiors))
            # In the picture y runs down, and an outer ring has a positive area by the shoelace formula as it stands.
            for ring, ccw in ((outer, True), *((hole, False) for hole in holes)):
                points = [(x, -y) for x, y in ring[:-1]]
                made.append(points if shapely.LinearRing(points).is_ccw is ccw else points[::-1])
        return Traced(made, NO_CELLS)


def stand(drawn: Drawn, thin: int = 1) -> Found:
    """The print in such a picture, as the search would find it; without toes, its rings run as in `Flat.ring`."""
    rings = [FLAT.ring(ring) for ring in drawn.traced(0.5, thin).rings]
    made = [one for one in (shaped(sole, None) for sole in soles(rings)) if one]
    likest = max(made, key=lambda one: likeness(one, placed_or_none(one), 1.0, in_mm=True))
    return Found(drawn, thin, NO_CELLS, likest, placed_or_none(likest), 1.0, 1.0, 1.0, 1.0, 1.0, None)
