"""A programme week by week: what each week holds, and by how much it differs from the week before.

A plain record without a verdict. No limit on weekly change is built in: the rule of 10 % a week comes from running,
made no difference to injuries in a trial (buist_2008), and nothing of the kind was found for foot exercises.
"""

from dataclasses import dataclass

from calculators.programme.timeline import Step
from calculators.programme.volume import MEASURES, amounts_of, measured, plain, shown, times
from calculators.results import quantity, rounded

TYPE_CHECKING = False
if TYPE_CHECKING:
    from calculators.programme.volume import Amounts


@dataclass(frozen=True)
class Phase:
    """The same session for some weeks."""

    weeks: int
    steps: tuple[Step, ...]


def weeks_of(phases: tuple[Phase, ...], days_per_week: int, numbered: bool) -> list[dict[str, object]]:
    """Give back one JSON object a week, counted from 1.

    Args:
        phases: in their order.
        days_per_week: sessions in every week.
        numbered: whether the phases were given as such; otherwise a week names none.
    """
    weeks: list[dict[str, object]] = []
    before: Amounts | None = None
    for at, phase in enumerate(phases):
        now = times(amounts_of(phase.steps), days_per_week)
        for _ in range(phase.weeks):
            week = {
                "week": quantity(len(weeks) + 1, "week"),
                "phase": quantity(at + 1, "phase") if numbered else None,
                "sessions": quantity(days_per_week, "sessions"),
            }
            weeks.append(week | plain(now) | _against(before, now))
            before = now
    return weeks


def _against(before: "Amounts | None", now: "Amounts") -> dict[str, object]:
    if before is None:
        return {"change": None, "reason": "no_earlier_week"}
    change = {
        name: measured(name, {side: _change(name, before[name, side], now[name, side]) for side in measure.sides})
        for name, measure in MEASURES.items()
    }
    return {"change": change, "reason": None}


def _change(name: str, before: int | None, now: int | None) -> dict[str, object] | None:
    """Say by how much an amount changed, and in percent of the week before where that week had any of it.

    None where neither week had any. An amount that one of the two weeks did not have counts as none of it there.
    """
    if before is None and now is None:
        return None
    amount = (now or 0) - (before or 0)
    percent = quantity(rounded("change_percent", 100 * amount / before), "percent") if before else None
    return {
        "amount": shown(name, amount),
        "percent": percent,
        "reason": None if before else "nothing_before",
    }
