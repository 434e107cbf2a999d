"""The floor seen from above: in mm by the corners of a sheet, or in pixels without one."""

from typing import NamedTuple

TYPE_CHECKING = False
if TYPE_CHECKING:
    from calculators.footprint.outline import Point, Ring
    from calculators.footprint.rectify import Rectified


# A thing this small lies beside a print, never under it.
SMALL_MM = 150.0


class Flat(NamedTuple):
    """How points of the picture become points of a right-handed plane (y up).

    `mirrored` is for a sole photographed from below, which shows the print the other way round.
    """

    sheet: "Rectified | None"
    mirrored: bool

    @property
    def card(self) -> bool:
        """Whether the scale comes from a thing so small that it lies beside a print, never under it."""
        return self.sheet is not None and min(self.sheet.size_mm) <= SMALL_MM

    def points(self, points: "list[Point]") -> "list[Point]":
        """Take points of the picture to the plane."""
        made = self.sheet.homography.ring_to_plane(points) if self.sheet else [(x, -y) for x, y in points]
        return [(-x, y) for x, y in made] if self.mirrored else made

    def ring(self, ring: "Ring") -> "Ring":
        """Take a ring of the picture to the plane; one with a positive area keeps it."""
        points = self.points(ring)
        return points if self.mirrored else points[::-1]

    def back(self, points: "list[Point]") -> "list[Point]":
        """Take points of the plane to the picture."""
        if self.mirrored:
            points = [(-x, y) for x, y in points]
        return self.sheet.homography.ring_to_picture(points) if self.sheet else [(x, -y) for x, y in points]
