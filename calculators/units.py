"""Lengths as people type them, and as the calculators take them: millimetres."""

# An inch is 25.4 mm exactly, by definition (agreement of 1959; from memory).
MM_PER: dict[str, float] = {"mm": 1.0, "inch": 25.4}


def to_mm(length: float, unit: str) -> float:
    """Turn a length in `unit` into millimetres.

    Raises:
        LookupError: the unit is not in the table.
    """
    return length * _mm_per(unit)


def from_mm(length_mm: float, unit: str) -> float:
    """Turn a length in millimetres into `unit`.

    Raises:
        LookupError: the unit is not in the table.
    """
    return length_mm / _mm_per(unit)


def _mm_per(unit: str) -> float:
    if unit not in MM_PER:
        raise LookupError(f"no length unit called {unit!r}; use one of {', '.join(MM_PER)}")
    return MM_PER[unit]
