"""Published ranges and lines, and where a reading lies beside them."""

import math
from typing import NamedTuple

from calculators.data import table
from calculators.results import quantity

ADULT_FROM_YEARS = 18


class Band(NamedTuple):
    """One published statement about one measure; either `low` and `high`, or `line`. `ages` are completed years.

    See data/bands.toml for what each key means and for what was left out.
    """

    measure: str
    key: str
    unit: str
    ages: tuple[int, int]
    population: str
    method: str
    source: str
    label: str
    validity: str
    low: float | None = None
    high: float | None = None
    line: float | None = None
    line_at: str | None = None

    @property
    def adult(self) -> bool:
        """Whether the statement is about adults."""
        return self.ages[0] >= ADULT_FROM_YEARS


class Share(NamedTuple):
    """How many of the people in one study had at least, or more than, so large a difference between left and right."""

    measure: str
    key: str
    line: float
    line_at: str
    unit: str
    people: int
    of: int
    with_knee_pain: int
    population: str
    source: str
    label: str


_TABLE = table("bands")
BANDS: tuple[Band, ...] = tuple(Band(**{**row, "ages": tuple(row["ages"])}) for row in _TABLE["band"])
SHARES: tuple[Share, ...] = tuple(Share(**row) for row in _TABLE["share"])


def beside(measure: str, low: float, high: float, age_years: float | None) -> tuple[dict[str, str | None], ...]:
    """Every published statement that may stand beside a reading of `measure`, as keys, in the order of the table.

    Args:
        measure: as named in a result.
        low: lower end of the reading's range, as shown.
        high: upper end of the reading's range, as shown.
        age_years: the person's age; None when it was not given.

    Adults get the adult rows, each with a position. Without an age the adult rows stand there uncompared. A child gets
    the rows whose ages hold the completed years, uncompared, or none.
    """
    if age_years is None:
        return tuple(_mark(band, None, "no_age") for band in BANDS if band.measure == measure and band.adult)
    if age_years >= ADULT_FROM_YEARS:
        return tuple(
            _mark(band, position(band, low, high), "adult") for band in BANDS if band.measure == measure and band.adult
        )
    completed = math.floor(age_years)
    return tuple(
        _mark(band, None, "child")
        for band in BANDS
        if band.measure == measure and not band.adult and band.ages[0] <= completed <= band.ages[1]
    )


def shares(measure: str) -> tuple[dict[str, object], ...]:
    """Every published count of how common a left-right difference of `measure` is, in the order of the table.

    People are counted, never put as a percentage, so that nobody takes it for a percentage of the measure.
    """
    return tuple(
        {
            "key": share.key,
            "line": quantity(share.line, share.unit),
            "line_at": share.line_at,
            "people": quantity(share.people, "people"),
            "of": quantity(share.of, "people"),
            "with_knee_pain": quantity(share.with_knee_pain, "people"),
            "population": share.population,
            "source": share.source,
            "label": share.label,
        }
        for share in SHARES
        if share.measure == measure
    )


def position(band: Band, low: float, high: float) -> str:
    """Say where a reading's range lies: below, inside, above, or straddles when it crosses an edge of the band.

    A range that only touches an edge from inside is inside. Compare the range as shown, so that a reader can check it.

    Raises:
        LookupError: the band is a line and has no edges to compare with.
    """
    if band.low is None or band.high is None:
        raise LookupError(f"band {band.key!r} is a line, not a range")
    if high < band.low:
        return "below"
    if low > band.high:
        return "above"
    if band.low <= low and high <= band.high:
        return "inside"
    return "straddles"


def _mark(band: Band, where: str | None, compared: str) -> dict[str, str | None]:
    return {
        "key": band.key,
        "source": band.source,
        "label": band.label,
        "population": band.population,
        "position": where,
        "compared": compared,
    }
