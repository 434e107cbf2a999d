"""A person's own repeatability, from three prints of one foot or of both."""

import math
from typing import NamedTuple

from calculators.comparison.measuring_error import measuring_error
from calculators.footprint.measure import PRINTS_NEEDED
from calculators.footprint.photo_indices import PHOTO_INDICES
from calculators.results import DIGITS, quantity, rounded

# Student's t that 95 of 100 lie within, by degrees of freedom: three prints of one foot leave 2, of both feet 4.
# The usual table; the closed forms of both distributions give the same (tests/maths/test_comparison.py).
STUDENT_T_95: dict[int, float] = {2: 4.303, 4: 2.776}

SOURCES = ("weir_2005", "common_practice")


class OwnError(NamedTuple):
    """How far two prints of this person's foot may differ by measuring alone, or why that is not known.

    `limit` is the larger of `own` and of what was published or derived for the measure; `ruled_by` says which, own or
    method. `reason` is three_prints_a_foot or no_spread where there is no limit. `prints` are the values by side.
    """

    measure: str
    prints: dict[str, tuple[float, ...]]
    degrees_of_freedom: int | None = None
    deviation: float | None = None
    own: float | None = None
    limit: float | None = None
    ruled_by: str | None = None
    reason: str | None = None

    def plain(self) -> dict[str, object]:
        """Give back JSON data, rounded as the measure is; the standard deviation one place finer."""
        unit = PHOTO_INDICES[self.measure].difference_unit
        degrees, method = self.degrees_of_freedom, measuring_error(self.measure)

        def of(value: float | None) -> dict[str, object] | None:
            return None if value is None else quantity(rounded(self.measure, value), unit)

        return {
            "prints": {side: [of(value) for value in values] for side, values in self.prints.items()},
            "prints_needed": quantity(PRINTS_NEEDED, "prints"),
            "standard_deviation": None
            if self.deviation is None
            else quantity(round(self.deviation, DIGITS[self.measure].answer + 1), unit),
            "degrees_of_freedom": None if degrees is None else quantity(degrees, "degrees_of_freedom"),
            "student_t": None if degrees is None else quantity(STUDENT_T_95[degrees], "ratio"),
            "own": of(self.own),
            "method": None if method is None else of(method.limit),
            "limit_95": of(self.limit),
            "ruled_by": self.ruled_by,
            "reason": self.reason,
            "sources": list(SOURCES),
        }


def own_error(measure: str, prints: dict[str, tuple[float, ...]]) -> OwnError:
    """Work out a person's own limit from three prints of one foot, or three of each.

    Args:
        measure: a key of `PHOTO_INDICES`.
        prints: the values by side, unrounded; a side without prints is left out.

    The limit is t x SD x sqrt(2): the minimal detectable change of weir_2005 with the standard deviation of the repeats
    as standard error of measurement, and Student's t in place of 1.96, since three or six prints tell the deviation
    poorly (common practice). Two feet are pooled: squares about each foot's own mean over 4 degrees of freedom. It is
    never below the published or derived limit: three prints that happen to agree prove little.

    Prints that agree entirely have no spread to go by. Then the limit is the method's, or there is none.

    Raises:
        LookupError: the measure is not in `PHOTO_INDICES`.
    """
    if measure not in PHOTO_INDICES:
        raise LookupError(f"no index called {measure!r}; the indices are the keys of PHOTO_INDICES")
    counts = {len(values) for values in prints.values()}
    if counts != {PRINTS_NEEDED} or not set(prints) <= {"left", "right"}:
        return OwnError(measure, prints, reason="three_prints_a_foot")
    degrees = len(prints) * (PRINTS_NEEDED - 1)
    deviation = math.sqrt(math.fsum(_squares(values) for values in prints.values()) / degrees)
    own, method = STUDENT_T_95[degrees] * deviation * math.sqrt(2), measuring_error(measure)
    found = OwnError(measure, prints, degrees, deviation, own)
    if method is not None and method.limit >= own:
        return found._replace(limit=method.limit, ruled_by="method")
    if rounded(measure, own) == 0:
        return found._replace(reason="no_spread")
    return found._replace(limit=own, ruled_by="own")


def _squares(values: tuple[float, ...]) -> float:
    mean = math.fsum(values) / len(values)
    return math.fsum((value - mean) ** 2 for value in values)
