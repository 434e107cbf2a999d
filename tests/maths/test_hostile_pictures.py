"""No picture breaks the calculator, keeps it busy for ever or fills the memory; what is no footprint gets no index."""

from __future__ import annotations

import pytest
from maths import looking, non_prints

from calculators.refusals import REFUSAL_KEYS

MOST_MB = 500
"""With NumPy and Pillow, which make the pictures, in it: about 100 MB before the first."""
MOST_MEASURED = 1 / 1000
ALL = 5000


def looked_at(count, folder, report):
    seen = looking.look(looking.numbered(count), folder)
    report(looking.line(seen))
    assert seen.broken == [], "what the door answers when something unforeseen happens"
    assert seen.counted.total() == count
    assert set(seen.counted) - {"measured"} <= set(REFUSAL_KEYS)
    assert seen.most_mb < MOST_MB
    return seen


def test_the_pictures_are_the_same_each_time_and_all_different():
    for kind in non_prints.KINDS:
        first = non_prints.picture(kind, 0)
        assert first.mode == "RGB"
        assert first.tobytes() == non_prints.picture(kind, 0).tobytes()
        assert first.tobytes() != non_prints.picture(kind, 1).tobytes(), kind


@pytest.mark.slow
def test_a_hundred_pictures_without_a_print_are_refused(tmp_path, report):
    seen = looked_at(5 * len(non_prints.KINDS), tmp_path, report)
    assert seen.measured == []
    assert seen.counted["no_print"] > 0


@pytest.mark.fuzz
def test_of_five_thousand_pictures_without_a_print_at_most_five_are_measured(tmp_path, report):
    seen = looked_at(ALL, tmp_path, report)
    assert len(seen.measured) <= MOST_MEASURED * ALL, seen.measured
