"""The marks that were set on a picture: which lines can be measured, and how far the clicks may be off."""

import math

from calculators.heel.angle import Line, rearfoot_angle_deg
from calculators.results import Refusal, Refused, quantity

LARGEST_ANGLE_DEG = 45  # the limit of the form for an angle from a protractor, for the same reason

# A line must be this many click errors long, and a pixel at least. At five, one line alone is unsure by 16 degrees and
# the rule of `click_error_deg` still holds within a tenth; below, it does not, and the line says nothing (own rule).
_CLICK_ERRORS_LONG = 5
_SHORTEST_PX = 1.0


def length(line: Line) -> float:
    """Length of a line, in pixels."""
    return math.dist(*line)


def click_error_deg(leg: Line, heel: Line, click_error: float) -> float:
    """Standard error of the angle between two lines that comes from setting their four points, in degrees.

    `click_error` is the standard error of a point along each axis, in pixels. In full: (180 / pi) x click_error x
    sqrt(2 / leg^2 + 2 / heel^2), the law of propagation for independent points (jcgm_100_2008, 5.1.2) with the two
    partial derivatives of each line's angle, 1 / length across the line and 0 along it.
    """
    return math.degrees(click_error * math.sqrt(2 / length(leg) ** 2 + 2 / length(heel) ** 2))


def refuse_unclear(side: str, leg: Line, heel: Line, click_error: float) -> None:
    """Refuse lines that cannot be what they are meant to be.

    Raises:
        Refused: line_too_short (also for two points in one place), upside_down (a top point that is not above its
            bottom point), heel_above_leg (lines that have changed places, which would turn the sign round) or
            angle_too_large.
    """
    shortest = max(_CLICK_ERRORS_LONG * click_error, _SHORTEST_PX)
    for name, line in (("leg", leg), ("heel", heel)):
        if length(line) < shortest:
            raise Refused(Refusal("line_too_short", f"{side}.{name}", low=quantity(shortest, "pixels")))
        if line[0][1] >= line[1][1]:
            raise Refused(Refusal("upside_down", f"{side}.{name}"))
    if _middle_height(heel) <= _middle_height(leg):
        raise Refused(Refusal("heel_above_leg", f"{side}.heel"))
    if abs(rearfoot_angle_deg(side, leg, heel)) > LARGEST_ANGLE_DEG:
        raise Refused(Refusal("angle_too_large", f"{side}.heel", high=quantity(LARGEST_ANGLE_DEG, "degrees")))


def _middle_height(line: Line) -> float:
    return (line[0][1] + line[1][1]) / 2
