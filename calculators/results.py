"""What comes out of a calculator: readings, differences and refusals, as plain data."""

from typing import NamedTuple

TYPE_CHECKING = False
if TYPE_CHECKING:
    from typing import Any


class Places(NamedTuple):
    """Decimal places of one measure: in an answer and in its sum, and wherever else a page shows it.

    A page shows a ratio as a percentage.
    """

    answer: int
    page: int


# Decimal places of each measure, here and nowhere else.
DIGITS: dict[str, Places] = {
    # Finer digits would claim more than a ruler can see: with the reading error alone, CSI moves by about 0.6 points
    # and SI by about 0.010 (own arithmetic on widths 90, 36 and 60 mm).
    "chippaux_smirak_index": Places(1, 1),
    "staheli_index": Places(3, 1),
    "gap": Places(1, 1),
    # From a photograph: finer than a second print of the same foot would repeat, so that rounding adds nothing to see.
    "arch_index": Places(3, 3),
    "staheli_index_tangent": Places(3, 1),
    "clarke_angle_deg": Places(1, 1),
    "clarke_angle_tangent_deg": Places(1, 1),
    "ky_index": Places(3, 2),
    "gamma_deg": Places(1, 1),
    "hallux_angle_deg": Places(1, 1),
    "toeless_mm": Places(1, 0),
    "ball_mm": Places(1, 0),
    "middle_mm": Places(1, 0),
    "heel_mm": Places(1, 0),
    "forefoot_mm2": Places(0, 0),
    "midfoot_mm2": Places(0, 0),
    "heel_mm2": Places(0, 0),
    # Finer than anybody can read a heel; as fine as the limit of 5.54 degrees that differences are held against, so
    # that a reader can check the comparison with the sum.
    "rearfoot_angle_deg": Places(2, 1),
    # From one week to the next.
    "change_percent": Places(1, 1),
}


def rounded(measure: str, number: float) -> float:
    """Round a number to the decimal places that its measure has in an answer; never gives a negative zero.

    Raises:
        LookupError: the measure is not in `DIGITS`.
    """
    if measure not in DIGITS:
        raise LookupError(f"no decimal places are set for {measure!r}; add it to DIGITS")
    return round(number, DIGITS[measure].answer) + 0.0


def quantity(value: float, unit: str) -> dict[str, object]:
    """Give a bare number the unit that it needs to stand in a result."""
    return {"value": value, "unit": unit}


class Reading(NamedTuple):
    """One measured value with its low-high range.

    `range_of` says what the range holds for. `this_print_only`: what the ruler and the wet edge may have done to this
    one print, not how much a second print of the same foot would differ. `one_measurement`: 1.96 standard errors of one
    whole measurement to either side.
    """

    value: float
    low: float
    high: float
    unit: str
    sources: tuple[str, ...]
    bands: tuple[dict[str, str | None], ...] = ()
    range_of: str = "this_print_only"

    def plain(self) -> dict[str, object]:
        """Give back JSON data."""
        return {
            "value": self.value,
            "unit": self.unit,
            "low": self.low,
            "high": self.high,
            "range_of": self.range_of,
            "bands": list(self.bands),
            "sources": list(self.sources),
        }


class Difference(NamedTuple):
    """Left minus right of one measure, with its low-high range."""

    value: float
    low: float
    high: float
    unit: str

    def plain(self) -> dict[str, object]:
        """Give back JSON data."""
        return {"value": self.value, "unit": self.unit, "low": self.low, "high": self.high}


class Refusal(NamedTuple):
    """Why an input was not calculated: a key from data/errors.toml and the path of the field, cut to 80 characters."""

    key: str
    where: str = ""
    low: "dict[str, object] | None" = None
    high: "dict[str, object] | None" = None

    def plain(self) -> "dict[str, Any]":
        """Give back JSON data, with limits only where there are any."""
        limits = {"low": self.low, "high": self.high}
        return {
            "key": self.key,
            "where": self.where[:80],
            **{name: limit for name, limit in limits.items() if limit is not None},
        }


class Refused(Exception):
    """Raised on the first thing that is wrong with an input; `call` turns it into an answer."""

    def __init__(self, refusal: Refusal) -> None:
        super().__init__(refusal.key, refusal.where)
        self.refusal = refusal
