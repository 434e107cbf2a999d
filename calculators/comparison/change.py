"""Now against before."""

from calculators.comparison.limit import Taken, held
from calculators.comparison.repeat import OwnError


def change(measure: str, now: Taken, before: Taken, own: OwnError | None = None) -> dict[str, object]:
    """Now less before of one index of the same foot, and whether that is larger than measuring error.

    Both prints must have been taken the same way; a photograph against a ruler says nothing. For the rest see
    `calculators.comparison.limit.held`.
    """
    return held(measure, now, before, own)
