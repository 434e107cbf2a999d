"""From three widths a foot to a result: the indices of each side and the difference between the sides."""

import math

from calculators.bands import beside
from calculators.footprint.indices import INDICES
from calculators.footprint.widths import notes, width_error_mm
from calculators.results import Difference, Reading, quantity, rounded

# Three tries show a person's own repeatability, which one print a foot cannot: own rule, common practice in measuring.
PRINTS_NEEDED = 3


def footprint_widths(values: dict[str, dict[str, float]]) -> dict[str, object]:
    """Measure one print a foot from its widths.

    Args:
        values: the groups of the form `footprint_widths`, already read and checked: key "" holds the age and the two
            errors, "left" and "right" the widths in mm, where they were given.

    Returns:
        `left` and `right`, each an object of readings and notes, or None; and `difference`, or None without both sides.
    """
    general = values[""]
    error_mm = width_error_mm(general["reading_mm"], general["edge_mm"])
    age_years = general.get("age_years")
    left, right = values.get("left"), values.get("right")
    return {
        "left": None if left is None else _side(left, error_mm, age_years),
        "right": None if right is None else _side(right, error_mm, age_years),
        "difference": None if left is None or right is None else _difference(left, right, error_mm),
    }


def _side(widths: dict[str, float], error_mm: float, age_years: float | None) -> dict[str, object]:
    side: dict[str, object] = {}
    for key, index in INDICES.items():
        value, error = index.measure(widths, error_mm)
        low, high = rounded(key, max(0.0, value - error)), rounded(key, value + error)
        bands = beside(key, low, high, age_years)
        side[key] = Reading(rounded(key, value), low, high, index.unit, index.sources, bands).plain()
    if "gap_mm" in widths:
        side["gap"] = _gap(widths["gap_mm"], error_mm).plain()
    side["notes"] = notes(widths["ball_mm"], widths["heel_mm"])
    return side


def _gap(gap_mm: float, error_mm: float) -> Reading:
    """Give back the gap of an interrupted print. It lies between two wet edges, so it has the error of a width."""
    low, high = rounded("gap", max(0.0, gap_mm - error_mm)), rounded("gap", gap_mm + error_mm)
    return Reading(rounded("gap", gap_mm), low, high, "mm", ("wikilectures_plantography",))


def _difference(left: dict[str, float], right: dict[str, float], error_mm: float) -> dict[str, object]:
    """Left minus right, from unrounded values; errors of the two sides join as a root sum of squares.

    The verdict is always None: the range covers ruler and water only, so it cannot say whether two prints of the same
    foot would have differed as much.
    """
    difference: dict[str, object] = {}
    for key, index in INDICES.items():
        left_value, left_error = index.measure(left, error_mm)
        right_value, right_error = index.measure(right, error_mm)
        value = left_value - right_value
        error = math.sqrt(left_error * left_error + right_error * right_error)
        difference[key] = Difference(
            rounded(key, value), rounded(key, value - error), rounded(key, value + error), index.difference_unit
        ).plain()
    return difference | {
        "verdict": None,
        "reason": "one_print_a_foot",
        "prints_needed": quantity(PRINTS_NEEDED, "prints"),
    }
