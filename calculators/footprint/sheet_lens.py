"""What a lens without distortion says about a sheet's corners, and how sure the scale is that they give.

Four corners fit any map of eight numbers, but a camera that looks at a rectangle of known size has only seven: sides
square to one another, in the known proportion, and a focal length that is about a phone's usual one. For a card, small
and far from the print, that is worth much: what its corners tell of the perspective is carried over several times its
own length.
"""

import math

from calculators.footprint.rectify import USUAL_FOCAL, columns, rectify

TYPE_CHECKING = False
if TYPE_CHECKING:
    from collections.abc import Callable, Sequence

    from calculators.footprint.rectify import Point, Ring

    Row = list[float]

# Own choices: by how much, as a deviation of its logarithm, a phone's focal length differs from the usual one, and how
# many deviations in all a sheet's corners may be moved.
_FOCAL_OFF = 0.35
_MOST_OFF = 4.0
_ASTRAY = 2.0  # so many times that, on the way, leads nowhere
_LARGE = 0.1  # of a side: such a deviation says nothing
_ROUNDS = 30
_CLOSE = 1e-4
_STEP = 0.01
_FOCAL_STEP = 0.5


class _Seen:
    """Corners as measured; moves are in deviations: x and y of each corner, then the logarithm of the focal length."""

    def __init__(self, corners: "Sequence[Point]", size_mm: "Point", picture_px: "Point", off_px: float) -> None:
        laid = rectify(corners, size_mm, picture_px)
        self.corners, self.size_mm = laid.corners, laid.size_mm
        self.picture_px, self.off_px = picture_px, off_px

    def moved(self, moves: "Row") -> "Ring":
        return [
            (x + self.off_px * moves[2 * at], y + self.off_px * moves[2 * at + 1])
            for at, (x, y) in enumerate(self.corners)
        ]

    def against_a_lens(self, moves: "Row") -> "Row":
        """The sides' cosine, and how far their proportion is from the known one: 0 and 0 for what a lens can show."""
        (width, height), long = self.picture_px, max(self.picture_px)
        flat = [((x - width / 2) / long, (height / 2 - y) / long) for x, y in self.moved(moves)]
        _, (p_x, p_y), (q_x, q_y), (g, h) = columns(flat)
        focal_squared = USUAL_FOCAL**2 * math.exp(2 * _FOCAL_OFF * moves[8])
        ratio = self.size_mm[1] / self.size_mm[0]
        square_p, square_q = p_x * p_x + p_y * p_y, q_x * q_x + q_y * q_y
        by = 1.0 / math.sqrt(square_p * square_q)
        cosine = (p_x * q_x + p_y * q_y + focal_squared * g * h) * by
        first, second = square_p + focal_squared * g * g, square_q + focal_squared * h * h
        return [cosine, (first * ratio - second / ratio) * by / 2]

    def slopes(self, moves: "Row") -> "tuple[Row, Row]":
        one, other = zip(*(_slope(self.against_a_lens, moves, at) for at in range(9)), strict=True)
        return list(one), list(other)


def likeliest_corners(
    corners: "Sequence[Point]", size_mm: "Point", picture_px: "Point", off_px: float
) -> "Ring | None":
    """Move measured corners, as little as their error asks, to where a lens can show a sheet of the known size.

    Least squares in the corners' and the focal length's own deviations, under the two conditions of a rectangle (Gauss
    and Newton's method with Lagrange multipliers).

    Args:
        corners: four, in pixels, in any order.
        size_mm: both sides, in either order.
        picture_px: width and height of the picture, whose middle is taken for the lens's own.
        off_px: deviation of a corner, along x and along y.

    Returns:
        Corners in the turn of `rectify.in_turn`; None where more than four deviations would be needed, which is another
        sheet, another lens or no sheet, and where a deviation is a tenth of a side, which says nothing.

    Raises:
        Refused: as `rectify`.
    """
    seen = _Seen(corners, size_mm, picture_px, off_px)
    if min(math.dist(seen.corners[at - 1], seen.corners[at]) for at in range(4)) < off_px / _LARGE:
        return None
    moves = [0.0] * 9
    for number in range(_ROUNDS):
        one, other = seen.slopes(moves)
        still = seen.against_a_lens(moves)
        wanted = [dot(one, moves) - still[0], dot(other, moves) - still[1]]
        first, second = _solved(one, other, wanted)
        new = [first * a + second * b for a, b in zip(one, other, strict=True)]
        if math.hypot(*new[:8]) > _ASTRAY * _MOST_OFF:
            return None
        # The focal length enters as a power: a long step along it is cut short, and one that swings to and fro as well.
        part = min(1.0, _FOCAL_STEP / max(abs(new[8] - moves[8]), _CLOSE)) / (2 if number > _ROUNDS / 3 else 1)
        change = [part * (b - a) for a, b in zip(moves, new, strict=True)]
        moves = [a + b for a, b in zip(moves, change, strict=True)]
        if math.hypot(*change) < _CLOSE:
            break
    else:
        return None
    return seen.moved(moves) if math.hypot(*moves) <= _MOST_OFF else None


def scale_error(
    corners: "Sequence[Point]", size_mm: "Point", picture_px: "Point", point: "Point", off_px: float, *, by_lens: bool
) -> float:
    """Tell the relative error (one deviation) of the millimetres of a pixel at a point.

    The error of the corners is carried to the point by the slopes of the scale there, so that it holds to first order.

    Args:
        corners: four, in pixels, in any order.
        size_mm: both sides, in either order.
        picture_px: width and height of the picture.
        point: where, in pixels: the middle of a print.
        off_px: deviation of a corner, along x and along y.
        by_lens: whether the corners are those of `likeliest_corners`, which leave less error; not those of a hand.

    Raises:
        Refused: as `rectify`, and where the point lies beyond the horizon.
    """
    seen = _Seen(corners, size_mm, picture_px, off_px)

    def scale(moves: "Row") -> "Row":
        return [math.log(rectify(seen.moved(moves), size_mm, picture_px).homography.mm_per_px(point))]

    here = [0.0] * 9
    rise = [_slope(scale, here, at)[0] for at in range(8)] + [0.0]
    squared = dot(rise, rise)
    if by_lens:
        one, other = seen.slopes(here)
        along = [dot(one, rise), dot(other, rise)]
        squared -= dot(along, list(_solved(one, other, along)))
    return math.sqrt(max(0.0, squared))


def _slope(of: "Callable[[Row], Row]", moves: "Row", at: int) -> "Row":
    more, less = moves.copy(), moves.copy()
    more[at] += _STEP
    less[at] -= _STEP
    return [(b - a) / (2 * _STEP) for a, b in zip(of(less), of(more), strict=True)]


def dot(one: "Sequence[float]", other: "Sequence[float]") -> float:
    """The sum of the products of two rows."""
    return math.fsum(a * b for a, b in zip(one, other, strict=True))


def _solved(one: "Row", other: "Row", wanted: "Row") -> "Point":
    """The two multipliers of two conditions, whose slopes are known."""
    a, b, c = dot(one, one), dot(one, other), dot(other, other)
    span = a * c - b * b
    return (wanted[0] * c - wanted[1] * b) / span, (wanted[1] * a - wanted[0] * b) / span
