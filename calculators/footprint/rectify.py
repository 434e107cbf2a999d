"""From four corners of a sheet in a picture to millimetres on the floor.

Picture: x right, y down, in pixels of the buffer, left and top edge at 0. Plane: mm, right-handed as the floor is seen
from above, so x right and y up in a picture taken from above: a ring that turns anticlockwise before the eye has a
positive area in the plane, and a negative one in the picture's own numbers, because y runs down there.
"""

import math
from typing import NamedTuple

from calculators.results import Refusal, Refused

TYPE_CHECKING = False
if TYPE_CHECKING:
    from collections.abc import Sequence

Point = tuple[float, float]
Ring = list[Point]


class SheetSize(NamedTuple):
    """A size by name: short and long side in mm, and the source of the numbers."""

    size_mm: Point
    source: str


SHEETS: dict[str, SheetSize] = {
    "a4": SheetSize((210.0, 297.0), "iso_216"),
    "a3": SheetSize((297.0, 420.0), "iso_216"),
    "letter": SheetSize((215.9, 279.4), "ansi_y14_1"),
    # The corners of a card are round, with a radius near 3.2 mm; the four sides are extended to where they would meet.
    "card": SheetSize((85.60, 53.98), "iso_iec_7810"),
    # The discs of the clinic's own scale sheet, from middle to middle: `calculators.footprint.sheet_marks`.
    "scale": SheetSize((180.0, 250.0), "common_practice"),
}

# A quadrilateral one of whose corners spans less than this part of its area is nearly a triangle; no sheet in a
# photograph of a floor looks so, and the millimetres along its short side would be noise. Own choice.
_LEAST_CORNER = 0.05
_SHORTEST_SIDE_PX = 8.0

# What the two vanishing points cannot tell about the lens is taken from a phone's usual one: a focal length of 0.75 of
# the picture's long side (about 26 mm in the old film's measure; from memory). Its square may be off by as much
# as itself, and a corner by 0.0015 of the long side. Both own choices.
USUAL_FOCAL = 0.75
_USUAL_FOCAL_SQUARED = USUAL_FOCAL * USUAL_FOCAL
_SPREAD_OF_FOCAL_SQUARED = 1.0
_CORNERS_OFF = 0.0015
_FOCAL_SQUARED_TIMES = (0.2, 16.0)


class Homography(NamedTuple):
    """A picture plane against the floor's: rows of a 3 x 3 matrix, positive below the line on the side of the sheet.

    (xx x + xy y + x0, yx x + yy y + y0) / (wx x + wy y + w0) is the plane point in mm of a picture point (x, y) in
    pixels. Exact but for rounding.
    """

    xx: float
    xy: float
    x0: float
    yx: float
    yy: float
    y0: float
    wx: float
    wy: float
    w0: float

    def to_plane(self, point: Point) -> Point:
        """Take a picture point (px) to the plane (mm).

        Raises:
            Refused: the point lies on or beyond the horizon of the plane.
        """
        x, y = point
        below = self.wx * x + self.wy * y + self.w0
        if below <= 0:
            raise _not_possible()
        return (self.xx * x + self.xy * y + self.x0) / below, (self.yx * x + self.yy * y + self.y0) / below

    def to_picture(self, point: Point) -> Point:
        """Take a plane point (mm) to the picture (px)."""
        return self.turned_round().to_plane(point)

    def ring_to_plane(self, ring: "Sequence[Point]") -> Ring:
        """Take each point of a ring from the picture (px) to the plane (mm). The sign of its area changes."""
        return [self.to_plane(point) for point in ring]

    def ring_to_picture(self, ring: "Sequence[Point]") -> Ring:
        """Take each point of a ring from the plane (mm) to the picture (px). The sign of its area changes."""
        back = self.turned_round()
        return [back.to_plane(point) for point in ring]

    def mm_per_px(self, point: Point) -> float:
        """Tell the scale at a picture point: the square root of the plane's area (mm2) under one square pixel."""
        x, y = point
        below = self.wx * x + self.wy * y + self.w0
        if below <= 0:
            raise _not_possible()
        return math.sqrt(abs(self._determinant()) / below**3)

    def turned_round(self) -> "Homography":
        """Give the way back, from the plane (mm) to the picture (px)."""
        a, b, c, d, e, f, g, h, i = self
        by = 1.0 / self._determinant()
        first = (e * i - f * h, c * h - b * i, b * f - c * e)
        second = (f * g - d * i, a * i - c * g, c * d - a * f)
        third = (d * h - e * g, b * g - a * h, a * e - b * d)
        return Homography(*(by * value for value in first + second + third))

    def _determinant(self) -> float:
        a, b, c, d, e, f, g, h, i = self
        return a * (e * i - f * h) - b * (d * i - f * g) + c * (d * h - e * g)


class Rectified(NamedTuple):
    """A sheet in a picture.

    corners:    in pixels, anticlockwise as seen, the first at (0, 0) of the plane, the second at (size_mm[0], 0). Of
                the ways to lay the plane on the sheet this is the one whose x axis runs most to the right.
    size_mm:    the declared size, turned to portrait or landscape as the sheet lies along those axes.
    aspect:     width over height as the picture alone shows it, by a lens without distortion that looks through the
                middle of the picture, square pixels.
    aspect_off: how far the aspect is from the declared one, 0.1 for a tenth too long or too short.
    tilt_deg:   angle between the line of sight and the upright on the sheet, by the declared size.
    """

    homography: Homography
    corners: Ring
    size_mm: Point
    aspect: float
    aspect_off: float
    tilt_deg: float


def rectify(corners: "Sequence[Point]", size_mm: Point, picture_px: Point) -> Rectified:
    """Lay the plane on a sheet.

    Args:
        corners: the four corners in pixels, in any order.
        size_mm: the sheet's two sides, in either order.
        picture_px: width and height of the picture, whose middle is taken for the lens's own.

    Raises:
        Refused: `sheet_not_possible`, where the four corners are those of no sheet: a corner inside the triangle of the
            others, a side shorter than 8 pixels, a shape that is nearly a triangle, a number that is not finite.
    """
    turned = in_turn(corners)
    basis = _Basis.of(turned, picture_px)
    aspect = basis.aspect()
    width, height = size_mm
    if abs(math.log(aspect * height / width)) > abs(math.log(aspect * width / height)):
        width, height = height, width
    ratio = aspect * height / width
    return Rectified(
        _solved(turned, width, height),
        turned,
        (width, height),
        aspect,
        max(ratio, 1.0 / ratio) - 1.0,
        basis.tilt_deg((width, height)),
    )


def seen_aspect_and_tilt(
    corners: "Sequence[Point]", picture_px: Point, corners_off: float = _CORNERS_OFF
) -> tuple[float, float]:
    """Tell width over height, and the tilt in degrees, of a rectangle of unknown size from the picture alone.

    The lens is the usual one so far as the corners cannot tell it, so a tilt may be a quarter off. `corners_off`: how
    far a corner may be off, in parts of the picture's long side.
    """
    basis = _Basis.of(in_turn(corners), picture_px, corners_off)
    return basis.aspect(), basis.tilt_deg(None)


def in_turn(corners: "Sequence[Point]") -> Ring:
    """Sort four picture corners anticlockwise as seen, the lower left one of an upright sheet first.

    Raises:
        Refused: they are those of no sheet (see `rectify`).
    """
    if len(corners) != 4 or not all(math.isfinite(value) for corner in corners for value in corner):
        raise _not_possible()
    mid_x, mid_y = math.fsum(x for x, _ in corners) / 4, math.fsum(y for _, y in corners) / 4
    turned = sorted(corners, key=lambda corner: math.atan2(mid_y - corner[1], corner[0] - mid_x))
    spans = []
    for at in range(4):
        (ax, ay), (bx, by), (cx, cy) = turned[at - 1], turned[at], turned[(at + 1) % 4]
        if math.hypot(bx - ax, by - ay) < _SHORTEST_SIDE_PX:
            raise _not_possible()
        spans.append((cx - bx) * (by - ay) - (bx - ax) * (cy - by))
    # Each pair of opposite corners spans the whole area once. Asked so, what is not a number is refused too.
    if not min(spans) > _LEAST_CORNER * (spans[0] + spans[2]):
        raise _not_possible()
    return max((turned[at:] + turned[:at] for at in range(4)), key=_to_the_right)


def _to_the_right(corners: Ring) -> float:
    """Cosine between the plane's x axis, by the two sides along it, and the picture's."""
    (ax, ay), (bx, by), (cx, cy), (dx, dy) = corners
    right, up = bx - ax + cx - dx, by - ay + cy - dy
    return right / math.hypot(right, up)


def _not_possible() -> Refused:
    return Refused(Refusal("sheet_not_possible", "corners"))


def columns(corners: Ring) -> tuple[Point, Point, Point, Point]:
    """Solve the map of the unit square to four corners: the corner (0, 0), both columns' x and y, both columns' w."""
    (ax, ay), (bx, by), (cx, cy), (dx, dy) = corners
    # Against the parallelogram: how far the third corner is from where it would be.
    off_x, off_y = ax - bx + cx - dx, ay - by + cy - dy
    p_x, p_y, q_x, q_y = bx - cx, by - cy, dx - cx, dy - cy
    span = p_x * q_y - q_x * p_y
    g, h = (off_x * q_y - q_x * off_y) / span, (p_x * off_y - off_x * p_y) / span
    return (ax, ay), (bx - ax + g * bx, by - ay + g * by), (dx - ax + h * dx, dy - ay + h * dy), (g, h)


def _solved(corners: Ring, width: float, height: float) -> Homography:
    (ax, ay), (p_x, p_y), (q_x, q_y), (g, h) = columns(corners)
    rows = (p_x / width, q_x / height, ax, p_y / width, q_y / height, ay, g / width, h / height, 1.0)
    return Homography(*rows).turned_round()


class _Basis(NamedTuple):
    """Both sides of a rectangle in space: what the picture shows of each (x, y) and what the perspective tells (w).

    Lengths in the picture's long side, from its middle. With f the focal length, (x / f, y / f, w) is parallel to
    the side, up to one factor common to both. `unsure` is the error of the angle between them that corners leave.
    """

    p: Point
    q: Point
    w: Point
    unsure: float

    @classmethod
    def of(cls, corners: Ring, picture_px: Point, corners_off: float = _CORNERS_OFF) -> "_Basis":
        width, height = picture_px
        long = max(width, height)
        _, p, q, w = columns([((x - width / 2) / long, (height / 2 - y) / long) for x, y in corners])
        return cls(p, q, w, corners_off / min(math.hypot(*p), math.hypot(*q)))

    def aspect(self) -> float:
        """First side over second, where nothing is known but that they are square to one another."""
        square_p, square_q = self._squares(self._focal_squared(None))
        return math.sqrt(square_p / square_q)

    def tilt_deg(self, size_mm: Point | None) -> float:
        """Angle of the rectangle's upright to the line of sight."""
        squared = self._focal_squared(size_mm)
        focal = math.sqrt(squared)
        (p_x, p_y), (q_x, q_y), (g, h), _ = self
        aside = math.hypot(p_y * h - g * q_y, g * q_x - p_x * h) * focal
        return math.degrees(math.atan2(aside, abs(p_x * q_y - p_y * q_x)))

    def _squares(self, focal_squared: float) -> Point:
        (p_x, p_y), (q_x, q_y), (g, h), _ = self
        return p_x * p_x + p_y * p_y + focal_squared * g * g, q_x * q_x + q_y * q_y + focal_squared * h * h

    def _focal_squared(self, size_mm: Point | None) -> float:
        """Square of the focal length in long sides of the picture, from what right angles and a known aspect ask.

        Both conditions are linear in it: the sides are square to one another, and, where their lengths are
        known, in that proportion. The usual lens joins as one more condition with its spread, so that sides which run
        parallel in the picture (a vanishing point at infinity tells nothing) leave the usual lens, which
        then hardly matters.
        """
        (p_x, p_y), (q_x, q_y), (g, h), _ = self
        (square_p, square_q) = p_x * p_x + p_y * p_y, q_x * q_x + q_y * q_y
        by = 1.0 / math.sqrt(square_p * square_q)
        conditions = [((p_x * q_x + p_y * q_y) * by, g * h * by)]
        if size_mm is not None:
            ratio = size_mm[1] / size_mm[0]
            conditions.append(
                ((square_p * ratio - square_q / ratio) * by / 2, (g * g * ratio - h * h / ratio) * by / 2)
            )
        weight = (_SPREAD_OF_FOCAL_SQUARED / self.unsure) ** 2
        above = 1.0 - weight * math.fsum(still * moved * _USUAL_FOCAL_SQUARED for still, moved in conditions)
        below = 1.0 + weight * math.fsum((moved * _USUAL_FOCAL_SQUARED) ** 2 for _, moved in conditions)
        least, most = _FOCAL_SQUARED_TIMES
        return _USUAL_FOCAL_SQUARED * min(most, max(least, above / below))
