"""What the tests of the clinic file share."""

from __future__ import annotations

from pathlib import Path

import pytest

from treadleaf import clinic
from treadleaf.errors import InputProblems, Problem


def problems(path: Path) -> tuple[Problem, ...]:
    """Everything that is wrong in a clinic file, of which something must be."""
    with pytest.raises(InputProblems) as caught:
        clinic.load(path)
    return caught.value.problems
