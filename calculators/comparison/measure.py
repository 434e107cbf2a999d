"""From the prints of a foot or both, now and before, to what differs and whether it is larger than measuring error."""

from calculators.comparison.change import change
from calculators.comparison.difference import difference
from calculators.comparison.limit import Taken
from calculators.comparison.repeat import OwnError, own_error
from calculators.footprint.photo_indices import PHOTO_INDICES
from calculators.forms import SIDES
from calculators.results import Refusal, Refused, quantity, rounded

TYPE_CHECKING = False
if TYPE_CHECKING:
    from typing import Any

    Prints = list[dict[str, float]]


def footprint_comparison(values: "dict[str, dict[str, Any]]") -> dict[str, object]:
    """Hold one index of a foot's prints against the other foot's, and against earlier prints of the same foot.

    Args:
        values: the groups of the form `footprint_comparison`, read and checked: key "" holds the measure and the ways
            in which the prints were taken, "left" and "right" the prints of a foot, now and before.

    Returns:
        `left` and `right`, each the prints that are compared, `now` and `before`, or None; `own`, the person's own
        repeatability, None where no foot has three prints now; `difference`, left less right, or None without both;
        and `change`, now less before of each foot, or None. Of several prints of a foot the middle one is compared.

    Raises:
        Refused: unknown_choice where the measure is not in `PHOTO_INDICES`.
    """
    asked = values[""]
    measure = asked["measure"]
    if measure not in PHOTO_INDICES:
        raise Refused(Refusal("unknown_choice", "measure"))
    feet = {side: values[side] for side in SIDES if side in values}
    now = {side: _middle(foot["now"], asked["way"]) for side, foot in feet.items()}
    before = {side: _middle(foot["before"], asked["way_before"]) for side, foot in feet.items() if "before" in foot}
    own = _own(measure, {side: foot["now"] for side, foot in feet.items()})
    both = len(now) == len(SIDES)
    changes = {side: change(measure, now[side], before[side], own) for side in before}
    return {
        **{side: _shown(measure, side, now, before) for side in SIDES},
        "own": None if own is None else own.plain(),
        "difference": difference(measure, now["left"], now["right"], own) if both else None,
        "change": {side: changes.get(side) for side in SIDES},
    }


def _middle(prints: "Prints", way: str) -> Taken:
    """Give back the print whose value is the middle one; of two, the lower one."""
    ordered = sorted(prints, key=lambda one: (one["value"], one["low"], one["high"]))
    one = ordered[(len(ordered) - 1) // 2]
    return Taken(one["value"], one["low"], one["high"], way)


def _own(measure: str, feet: "dict[str, Prints]") -> OwnError | None:
    """Work out the person's own repeatability from the feet that have three prints, if any has."""
    found = own_error(measure, {side: tuple(one["value"] for one in prints) for side, prints in feet.items()})
    if found.reason != "three_prints_a_foot":
        return found
    for side, prints in feet.items():
        alone = own_error(measure, {side: tuple(one["value"] for one in prints)})
        if alone.reason != "three_prints_a_foot":
            return alone
    return None


def _shown(measure: str, side: str, now: dict[str, Taken], before: dict[str, Taken]) -> dict[str, object] | None:
    if side not in now:
        return None
    return {
        "now": _reading(measure, now[side]),
        "before": _reading(measure, before[side]) if side in before else None,
    }


def _reading(measure: str, taken: Taken) -> dict[str, object]:
    shown = quantity(rounded(measure, taken.value), PHOTO_INDICES[measure].unit)
    return shown | {"low": rounded(measure, taken.low), "high": rounded(measure, taken.high)}
