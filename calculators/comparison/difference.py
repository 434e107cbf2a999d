"""Left against right."""

from calculators.bands import shares
from calculators.comparison.limit import Taken, held
from calculators.comparison.repeat import OwnError


def difference(measure: str, left: Taken, right: Taken, own: OwnError | None = None) -> dict[str, object]:
    """Left less right of one index of two prints, and whether that is larger than measuring error.

    Left and right of a healthy person may well differ by more (smahel_1981); `how_common` lists published counts, where
    there are any. For the rest see `calculators.comparison.limit.held`.
    """
    return held(measure, left, right, own) | {"how_common": list(shares(measure))}
