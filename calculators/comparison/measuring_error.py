"""How far two measurements of the same foot may differ by measuring alone: what was published, or derived from it."""

from typing import NamedTuple

from calculators.data import table


class MeasuringError(NamedTuple):
    """One finding about one measure; see data/measuring_errors.toml for what each key means."""

    measure: str
    key: str
    limit: float
    unit: str
    label: str
    holds_for: str
    sources: tuple[str, ...]
    sem: float | None = None
    icc: float | None = None
    sd: tuple[float, ...] = ()


MEASURING_ERRORS: tuple[MeasuringError, ...] = tuple(
    MeasuringError(**{**row, "sources": tuple(row["sources"]), "sd": tuple(row.get("sd", ()))})
    for row in table("measuring_errors")["error"]
)


def measuring_error(measure: str) -> MeasuringError | None:
    """Give back the largest finding about a measure; None where nothing was found."""
    found = [error for error in MEASURING_ERRORS if error.measure == measure]
    return max(found, key=lambda error: error.limit, default=None)
