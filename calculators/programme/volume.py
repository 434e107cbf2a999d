"""What a list of steps adds up to: time, repetitions and load, for each foot and for each drill.

An amount is kept as a whole number of thousandths (or of ones, for counts), so that sums are exact.
"""

from dataclasses import dataclass

from calculators.programme.timeline import FEET
from calculators.results import quantity

TYPE_CHECKING = False
if TYPE_CHECKING:
    from collections.abc import Iterable

    from calculators.programme.timeline import Step

    # By measure and foot; the foot is "" for what has no side. None: nothing of the kind was done.
    Amounts = dict[tuple[str, str], int | None]


@dataclass(frozen=True)
class Measure:
    """One thing that is added up: its unit in a result, and how many of the kept whole numbers make one of it."""

    unit: str
    kept: int
    sides: tuple[str, ...]


_FEET = ("left", "right")
MEASURES: dict[str, Measure] = {
    # Time on the clock: of all steps for a session, of its own steps for a drill.
    "duration_s": Measure("seconds", 1000, ("",)),
    # Time a foot works. A step with both feet counts in full for either.
    "working_s": Measure("seconds", 1000, _FEET),
    # Hold of counted repetitions. What part of a timed drill is hold is not known, so it counts for nothing here.
    "hold_s": Measure("seconds", 1000, _FEET),
    "repetitions": Measure("repetitions", 1, _FEET),
    # Volume-load, repetitions x load (common practice). A repetition with both feet counts once, as one lift.
    "volume_load_kg": Measure("kg", 1000, ("",)),
}
_KEYS = tuple((name, side) for name, measure in MEASURES.items() for side in measure.sides)


def amounts_of(steps: "Iterable[Step]") -> "Amounts":
    """Add up steps. Hold, repetitions and load are None where no step has any."""
    total: Amounts = dict.fromkeys(_KEYS) | {("duration_s", ""): 0, ("working_s", "left"): 0, ("working_s", "right"): 0}
    for step in steps:
        total = plus(total, _of_step(step))
    return total


def _of_step(step: "Step") -> "Amounts":
    of_step: Amounts = dict.fromkeys(_KEYS)
    of_step["duration_s", ""] = step.duration_ms
    for foot in FEET[step.side]:
        of_step["working_s", foot] = step.duration_ms
        of_step["hold_s", foot] = step.hold_ms
        of_step["repetitions", foot] = step.repetitions
    if step.load_g is not None and step.repetitions is not None:
        of_step["volume_load_kg", ""] = step.repetitions * step.load_g
    return of_step


def by_drill(steps: "Iterable[Step]") -> "dict[str, Amounts]":
    """Add up each drill's own steps, in the order in which the drills first appear."""
    drills: dict[str, list[Step]] = {}
    for step in steps:
        if step.drill is not None:
            drills.setdefault(step.drill, []).append(step)
    return {drill: amounts_of(own) for drill, own in drills.items()}


def plus(one: "Amounts", other: "Amounts") -> "Amounts":
    """Add amounts; None and something is something, None and None stays None."""
    return {key: _plus(one[key], other[key]) for key in _KEYS}


def _plus(one: int | None, other: int | None) -> int | None:
    if one is None or other is None:
        return one if other is None else other
    return one + other


def times(amounts: "Amounts", count: int) -> "Amounts":
    """Do the same `count` times over."""
    return {key: None if amount is None else amount * count for key, amount in amounts.items()}


def plain(amounts: "Amounts") -> dict[str, object]:
    """Give back JSON data: an object a measure, with `left` and `right` inside where it has sides."""
    return {
        name: measured(name, {side: shown(name, amounts[name, side]) for side in measure.sides})
        for name, measure in MEASURES.items()
    }


def measured(name: str, by_side: dict[str, object]) -> object:
    """Put what was said of each side of a measure in its place: alone where the measure has no sides."""
    return by_side if MEASURES[name].sides == _FEET else by_side[""]


def shown(name: str, amount: int | None) -> dict[str, object] | None:
    """Give an amount of a measure its unit; whole numbers stay whole."""
    if amount is None:
        return None
    kept = MEASURES[name].kept
    return quantity(amount // kept if amount % kept == 0 else amount / kept, MEASURES[name].unit)
