"""From two lines or a protractor's angle a foot to a result: each side's angle and the difference between them."""

import math

from calculators.bands import shares
from calculators.forms import FORMS, SIDES
from calculators.heel.angle import SIGNS, direction, rearfoot_angle_deg
from calculators.heel.marks import click_error_deg, refuse_unclear
from calculators.results import Reading, quantity, rounded

TYPE_CHECKING = False
if TYPE_CHECKING:
    from calculators.forms_shapes import Values

_ANGLE = "rearfoot_angle_deg"
_Z_95 = 1.96  # standard errors either side of the mean that hold 95 % of a normal distribution

ANGLE_SOURCES = ("haight_2005",)
# Which sources stand behind each of the two errors; the size of the method's own is an assumption of ours.
LIMIT_SOURCES: dict[str, tuple[str, ...]] = {
    "method": ("weir_2005", "common_practice"),
    "click_error": ("jcgm_100_2008",),
}
_ASSUMED_SEM_DEG = next(field.default for field in FORMS["heel_angle"].groups[0].fields if field.key == "sem_deg")


def heel_angle(values: "dict[str, Values]") -> dict[str, object]:
    """Measure the angle of each heel against its leg.

    Args:
        values: the groups of the form `heel_angle`, already read and checked: key "" holds the two errors, "left" and
            "right" either two lines or an angle with its direction, where they were given.

    Returns:
        `left` and `right`, each an object with `rearfoot_angle_deg` and `notes`, or None; and `difference`, or None
        without both sides. Angles are in degrees, positive outward (valgus), and carry their direction as a word.

    Raises:
        Refused: for lines that cannot be measured (see `calculators.heel.marks.refuse_unclear`).
    """
    general = values[""]
    click_error, sem_deg = general["click_error"], general["sem_deg"]
    given = {side: values[side] for side in SIDES if side in values}
    for side, marks in given.items():
        if "leg" in marks:
            refuse_unclear(side, marks["leg"], marks["heel"], click_error)
    clicks_deg = {side: _clicks_deg(marks, click_error) for side, marks in given.items()}
    angles = {side: _angle_deg(side, marks) for side, marks in given.items()}
    notes = _notes(given)
    result: dict[str, object] = {
        side: _side(angles[side], clicks_deg[side], sem_deg, notes) if side in given else None for side in SIDES
    }
    both = len(given) == 2
    return result | {"difference": _difference(angles, clicks_deg, sem_deg) if both else None}


def _angle_deg(side: str, marks: "Values") -> float:
    if "leg" in marks:
        return rearfoot_angle_deg(side, marks["leg"], marks["heel"])
    # An angle of 0 needs no direction, and the word "straight" no angle.
    return float(SIGNS[marks.get("direction", "straight")] * marks.get("angle_deg", 0))


def _clicks_deg(marks: "Values", click_error: float) -> float | None:
    return click_error_deg(marks["leg"], marks["heel"], click_error) if "leg" in marks else None


def _notes(given: "dict[str, Values]") -> list[str]:
    """Say what looks odd without being wrong.

    A left heel at the right of the right one means a mirrored picture or two feet that have changed places, and then
    both directions are wrong. It stays a note: each foot may have its own picture.
    """
    ground_x = [marks["heel"][1][0] for marks in given.values() if "heel" in marks]
    return ["left_foot_at_the_right"] if len(ground_x) == 2 and ground_x[0] > ground_x[1] else []


def _side(angle_deg: float, clicks_deg: float | None, sem_deg: float, notes: list[str]) -> dict[str, object]:
    ruled_by, error_deg = _larger(sem_deg, clicks_deg)
    reading = Reading(
        rounded(_ANGLE, angle_deg),
        rounded(_ANGLE, angle_deg - _Z_95 * error_deg),
        rounded(_ANGLE, angle_deg + _Z_95 * error_deg),
        "degrees",
        ANGLE_SOURCES,
        range_of="one_measurement",
    )
    return {
        _ANGLE: reading.plain() | {"direction": direction(reading.value), "ruled_by": ruled_by},
        "notes": notes,
    }


def limit_95_deg(sem_deg: float) -> float:
    """Largest difference that two measurements of the same angle show in 95 of 100 pairs, in degrees.

    1.96 x sqrt(2) x the standard error of one measurement (weir_2005, minimal difference).
    """
    return _Z_95 * math.sqrt(2) * sem_deg


def click_limit_95_deg(clicks_deg: list[float]) -> float:
    """Give back the part of such a difference that the clicks alone may make, in degrees.

    1.96 x the root sum of squares of the sides' click errors. A side from a protractor was not clicked and adds none.
    """
    return _Z_95 * math.hypot(*clicks_deg)


def _larger(method_deg: float, clicks_deg: float | None) -> tuple[str, float]:
    """Choose between two errors and name the one that rules; the method's rules where they are equal."""
    if clicks_deg is not None and clicks_deg > method_deg:
        return "click_error", clicks_deg
    return "method", method_deg


def _difference(angles: dict[str, float], clicks_deg: dict[str, float | None], sem_deg: float) -> dict[str, object]:
    """Left minus right, in degrees, beside the limit that measuring error sets. Never a percentage: angles cross zero.

    `larger_than_limit` compares the numbers shown. It says that measuring alone seldom makes such a difference, not
    that the difference matters; `how_common` says how often a study found as much.
    """
    clicked = [error for error in clicks_deg.values() if error is not None]
    method = limit_95_deg(sem_deg)
    clicks = click_limit_95_deg(clicked) if clicked else None
    ruled_by, limit = _larger(method, clicks)
    value, shown_limit = rounded(_ANGLE, angles["left"] - angles["right"]), rounded(_ANGLE, limit)
    return quantity(value, "degrees") | {
        "limit_95_deg": {
            "value": shown_limit,
            "unit": "degrees",
            "ruled_by": ruled_by,
            "method": quantity(rounded(_ANGLE, method), "degrees"),
            "click_error": None if clicks is None else quantity(rounded(_ANGLE, clicks), "degrees"),
            "sem": quantity(sem_deg, "degrees")
            | {"basis": "assumed_for_home_use" if sem_deg == _ASSUMED_SEM_DEG else "given"},
            "sources": list(LIMIT_SOURCES[ruled_by]),
        },
        "larger_than_limit": abs(value) > shown_limit,
        "how_common": list(shares(_ANGLE)),
    }
