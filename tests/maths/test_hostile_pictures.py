"""No picture breaks the calculator, keeps it busy for ever or fills the memory; what is no footprint gets no index."""

from __future__ import annotations

import multiprocessing

import pytest
from maths import asking, looking, non_prints

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


def test_the_largest_picture_costs_its_own_pixels_and_little_more(report):
    """Sixteen megabytes of noise, of stones and of text, each in one process after the other."""
    with multiprocessing.get_context("spawn").Pool(1) as alone:
        told = [
            alone.apply_async(asking.ask_largest, (kind,)).get(looking.HANGS_S) for kind in ("noise", "stones", "text")
        ]
    assert [one["answer"]["ok"] for one in told] == [False] * 3
    assert {one["answer"]["refusal"]["key"] for one in told} <= set(REFUSAL_KEYS) - {"internal"}
    most = max(one["held"] or 0 for one in told)
    report(f"the largest pictures at the door: at most {most:.0f} MB held, {max(one['seconds'] for one in told):.1f} s")
    assert most < MOST_MB


@pytest.mark.parametrize("which", [("stains", 1)])
def test_what_once_broke_the_engine_is_answered(which):
    answer = asking.ask(which)["answer"]
    assert answer["ok"] or answer["refusal"]["key"] != "internal"


# A leaf's half, a bottle with its neck for a heel, two paws that overlap, two stones beside others.
ONCE_TAKEN = [("leaf", 502), ("bottles", 510), ("paws", 362), ("stones", 534), ("stones", 1007)]


@pytest.mark.parametrize("which", ONCE_TAKEN)
def test_what_was_once_taken_for_a_print_is_refused(which):
    assert not asking.ask(which)["answer"]["ok"]


@pytest.mark.slow
def test_a_hundred_pictures_without_a_print_are_refused(tmp_path, report):
    seen = looked_at(5 * len(non_prints.KINDS), tmp_path, report)
    assert seen.measured == []
    assert seen.counted["no_print"] > 0


@pytest.mark.fuzz
def test_of_five_thousand_pictures_without_a_print_at_most_five_are_measured(tmp_path, report):
    seen = looked_at(ALL, tmp_path, report)
    assert len(seen.measured) <= MOST_MEASURED * ALL, seen.measured
