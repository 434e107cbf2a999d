"""Indices of a footprint from its widths: one function an index, one table.

All widths are of one unit, toes left out, across the foot's long axis: the widest place of the ball, the narrowest of
the middle, the widest of the heel. Sources differ in the direction of the widths (square to the axis, or to a tangent),
so values from another construction are near to these and not equal to them. The same functions serve widths from a
ruler and widths from a photograph.
"""

import math
from typing import NamedTuple

TYPE_CHECKING = False
if TYPE_CHECKING:
    from collections.abc import Callable


def chippaux_smirak_index(middle: float, ball: float, width_error: float = 0.0) -> tuple[float, float]:
    """Narrowest middle width over widest ball width, in percent, and its error in the same unit.

    0 where the print is interrupted, 100 where the middle is as wide as the ball. Source: paecharoen_2023
    (b / a x 100). wikilectures_plantography gives the same ratio with the two letters swapped.
    """
    ratio, error = _ratio(middle, ball, width_error)
    return 100 * ratio, 100 * error


def staheli_index(middle: float, heel: float, width_error: float = 0.0) -> tuple[float, float]:
    """Narrowest middle width over widest heel width, a ratio, and its error.

    This is the simple construction (paecharoen_2023, b / c). hernandez_2007 measures both widths square to the inner
    tangent instead, which is not equal.
    """
    return _ratio(middle, heel, width_error)


def _ratio(top: float, bottom: float, width_error: float) -> tuple[float, float]:
    """Divide two widths; the error is the root sum of squares of |partial derivative| times the error of a width.

    In full: sqrt((1 / bottom x error)^2 + (top / bottom^2 x error)^2). Common practice for independent errors.
    """
    by_top = width_error / bottom
    by_bottom = width_error * top / (bottom * bottom)
    return top / bottom, math.sqrt(by_top * by_top + by_bottom * by_bottom)


class Index(NamedTuple):
    """How an index is calculated and what its numbers mean. A difference of percentages is in percentage points.

    `widths` names the two widths that `of` divides, as they are called where a ruler's widths come in.
    """

    of: "Callable[[float, float, float], tuple[float, float]]"
    widths: tuple[str, str]
    unit: str
    difference_unit: str
    sources: tuple[str, ...]

    def measure(self, values: dict[str, float], width_error_mm: float) -> tuple[float, float]:
        """Calculate the index from the widths of one print, and its error from that of one width."""
        top, bottom = self.widths
        return self.of(values[top], values[bottom], width_error_mm)


INDICES: dict[str, Index] = {
    "chippaux_smirak_index": Index(
        chippaux_smirak_index,
        ("middle_mm", "ball_mm"),
        "percent",
        "percentage_points",
        ("paecharoen_2023", "wikilectures_plantography"),
    ),
    "staheli_index": Index(staheli_index, ("middle_mm", "heel_mm"), "ratio", "ratio", ("paecharoen_2023",)),
}
