"""The floor seen from above: in mm by the corners of a sheet, or in pixels without one."""

from typing import NamedTuple

from calculators.footprint.sheet_lens import scale_error

TYPE_CHECKING = False
if TYPE_CHECKING:
    from calculators.footprint.outline import Point, Ring
    from calculators.footprint.rectify import Rectified


# A thing this small lies beside a print, never under it.
SMALL_MM = 150.0


class Flat(NamedTuple):
    """How points of the picture become points of a right-handed plane (y up).

    sheet:       where a sheet is seen and its size is known.
    mirrored:    a sole photographed from below shows the print the other way round.
    picture_px:  width and height of the picture.
    corners_off: one deviation of a corner of the sheet, in pixels.
    by_lens:     whether the corners were found, and moved to what a lens can show; not those of a hand.
    odd:         whether corners were found and not moved so: no lens shows them of a sheet of that size, or the pixels
                 along its sides tell too little.
    """

    sheet: "Rectified | None"
    mirrored: bool
    picture_px: "Point"
    corners_off: float = 0.0
    by_lens: bool = False
    odd: bool = False

    @property
    def card(self) -> bool:
        """Whether the scale comes from a thing so small that it lies beside a print, never under it."""
        return self.sheet is not None and min(self.sheet.size_mm) <= SMALL_MM

    def scale_unsure(self, point: "Point") -> float:
        """Two deviations of the scale at a point of the picture, in parts of it; 0 without a scale."""
        if self.sheet is None:
            return 0.0
        return 2 * scale_error(
            self.sheet.corners, self.sheet.size_mm, self.picture_px, point, self.corners_off, by_lens=self.by_lens
        )

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
