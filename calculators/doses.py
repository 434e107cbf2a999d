"""Doses of each drill that trials used, and the usual ones that have no source.

Only pages and builders need this table. No row is a recommendation: no agreed dose exists.
"""

from dataclasses import dataclass

from calculators.data import table


@dataclass(frozen=True)
class Dose:
    """One dose of one drill. What a source does not say is None; `*_to` is the upper end where it gives a range.

    A counted dose has `reps` and whatever of up, hold and down is known, a timed one has `seconds` for one set.
    `every_days` stands in place of `days_per_week`. See data/doses.toml for what each key means.
    """

    drill: str
    key: str
    source: str
    label: str
    population: str
    sides: str
    sets: int | None = None
    reps: int | None = None
    reps_to: int | None = None
    seconds: float | None = None
    seconds_to: float | None = None
    up_s: float | None = None
    hold_s: float | None = None
    down_s: float | None = None
    rest_s: float | None = None
    days_per_week: int | None = None
    every_days: int | None = None
    weeks: int | None = None


DOSES: tuple[Dose, ...] = tuple(Dose(**row) for row in table("doses")["dose"])
DRILLS: tuple[str, ...] = tuple(dict.fromkeys(dose.drill for dose in DOSES))


def doses_of(drill: str) -> tuple[Dose, ...]:
    """Give back the doses of one drill, in the order of the table.

    Raises:
        LookupError: no dose of that drill is known.
    """
    found = tuple(dose for dose in DOSES if dose.drill == drill)
    if not found:
        raise LookupError(f"no dose of a drill called {drill!r}; the known drills are {', '.join(DRILLS)}")
    return found
