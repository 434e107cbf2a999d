"""What a difference between two prints is held against."""

import math
from typing import NamedTuple

from calculators.comparison import repeat
from calculators.comparison.measuring_error import measuring_error
from calculators.comparison.repeat import OwnError
from calculators.footprint.photo_indices import PHOTO_INDICES
from calculators.results import quantity, rounded


class Taken(NamedTuple):
    """One value of one print with its range, unrounded, and the way it was taken, such as photo or ruler."""

    value: float
    low: float
    high: float
    way: str


def held(measure: str, one: Taken, other: Taken, own: OwnError | None) -> dict[str, object]:
    """Hold one value less another against the limit that measuring sets.

    Args:
        measure: a key of `PHOTO_INDICES`.
        one: what the other is taken from.
        other: what is taken from it.
        own: the person's own limit for this measure, where three prints gave one.

    Returns:
        The difference with its unit; `limit_95`, the largest of the method's limit, the person's own and what the two
        prints' ranges leave open towards no difference (a root sum of squares), with the one that rules by name;
        `larger_than_limit`; and `reason` where that is None: taken_differently, or no_error_known where neither the
        method's nor the person's own limit is known, since ranges of single prints do not say how far a second print
        would differ. It compares the numbers shown, and says that measuring alone seldom makes such a difference, not
        that the difference matters.

    Raises:
        LookupError: the measure is not in `PHOTO_INDICES`.
        ValueError: `own` is about another measure.
    """
    if measure not in PHOTO_INDICES:
        raise LookupError(f"no index called {measure!r}; the indices are the keys of PHOTO_INDICES")
    if own is not None and own.measure != measure:
        raise ValueError(f"the person's own limit is about {own.measure!r}, not about {measure!r}")
    unit = PHOTO_INDICES[measure].difference_unit
    value = rounded(measure, one.value - other.value)
    result: dict[str, object] = {**quantity(value, unit), "limit_95": None, "larger_than_limit": None, "reason": None}
    if one.way != other.way:
        return result | {"reason": "taken_differently"}
    limits = _limits(measure, one, other, own)
    if set(limits) == {"these_prints"}:
        return result | {"reason": "no_error_known"}
    ruled_by = max(limits, key=lambda name: limits[name])
    limit = rounded(measure, limits[ruled_by])
    shown = {name: quantity(rounded(measure, size), unit) for name, size in limits.items()}
    return result | {
        "limit_95": quantity(limit, unit) | {"ruled_by": ruled_by} | shown | _behind(measure, ruled_by),
        "larger_than_limit": abs(value) > limit,
    }


def _limits(measure: str, one: Taken, other: Taken, own: OwnError | None) -> dict[str, float]:
    """Give back what is known, the method's first, so that it rules where another is no larger."""
    limits = {}
    method = measuring_error(measure)
    if method is not None:
        limits["method"] = method.limit
    if own is not None and own.limit is not None and own.own is not None:
        limits["own"] = own.own
    upper, lower = (one, other) if one.value >= other.value else (other, one)
    limits["these_prints"] = math.hypot(upper.value - upper.low, lower.high - lower.value)
    return limits


def _behind(measure: str, ruled_by: str) -> dict[str, object]:
    """Say what kind of number rules and where it comes from."""
    method = measuring_error(measure)
    if ruled_by == "method" and method is not None:
        return {"label": method.label, "holds_for": method.holds_for, "sources": list(method.sources)}
    if ruled_by == "own":
        return {"label": "measured", "holds_for": "this_person", "sources": list(repeat.SOURCES)}
    return {"label": "measured", "holds_for": "these_prints", "sources": ["common_practice"]}
