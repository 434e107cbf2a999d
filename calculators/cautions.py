"""Which cautions there are, how soon each asks for help, and which pages must carry it."""

from dataclasses import dataclass

from calculators.data import table

# How soon: from call now, through the same day, to book a visit; `care` is what to mind while doing a check.
TIERS: tuple[str, ...] = ("now", "same_day", "book", "care")


@dataclass(frozen=True)
class Caution:
    """One caution. `basis` are source keys; `applies` are the page tags that call for it."""

    key: str
    tier: str
    basis: tuple[str, ...]
    applies: tuple[str, ...]


CAUTIONS: dict[str, Caution] = {
    key: Caution(key, row["tier"], tuple(row["basis"]), tuple(row["applies"])) for key, row in table("cautions").items()
}

# The signs on the page on when to get help, in the order of the table.
HELP_SIGNS: tuple[str, ...] = tuple(key for key, caution in CAUTIONS.items() if "help" in caution.applies)
