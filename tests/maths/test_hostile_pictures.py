"""No picture breaks the calculator, keeps it busy for ever or fills the memory; what is no footprint gets no index."""

from __future__ import annotations

import multiprocessing
import os
from collections import Counter
from pathlib import Path

import pytest
from maths import asking, non_prints

from calculators.refusals import REFUSAL_KEYS

HANGS_S = 120
"""No picture of this size takes a thousandth of that: whoever is not back then will not come back."""
MOST_MB = 500
"""With NumPy and Pillow, which make the pictures, in it: about 100 MB before the first."""
MOST_MEASURED = 1 / 1000
ALL = 5000


def numbered(count):
    """So many pictures, of each kind in turn."""
    kinds = list(non_prints.KINDS)
    return [(kinds[number % len(kinds)], number // len(kinds)) for number in range(count)]


def answers(which):
    """The answers to pictures, asked in processes of their own, so that one that hangs can be ended and named."""
    with multiprocessing.get_context("spawn").Pool(min(4, os.cpu_count() or 1)) as pool:
        coming = pool.imap(asking.ask, which)
        for one in which:
            try:
                yield coming.next(timeout=HANGS_S)
            except multiprocessing.TimeoutError:
                pytest.fail(f"no answer in {HANGS_S} s to {one}, or to one of the few asked beside it")


def look(which, folder: Path):
    """Ask about pictures: how often each answer came, the pictures that were measured, saved to look at; the memory."""
    counted, measured, broken, most = Counter(), [], [], 0.0
    for told in answers(which):
        answer = told["answer"]
        key = "measured" if answer["ok"] else answer["refusal"]["key"]
        counted[key] += 1
        most = max(most, told["held"] or 0)
        if answer["ok"] or key == "internal":
            kind, number = told["which"]
            file = folder / f"{key}-{kind}-{number}.png"
            non_prints.picture(kind, number).save(file)
            (measured if answer["ok"] else broken).append((str(file), told["asked"]))
    assert broken == [], "what the door answers when something unforeseen happens"
    assert set(counted) - {"measured"} <= set(REFUSAL_KEYS)
    assert most < MOST_MB
    return counted, measured, most


def test_the_pictures_are_the_same_each_time_and_all_different():
    for kind in non_prints.KINDS:
        first = non_prints.picture(kind, 0)
        assert first.mode == "RGB"
        assert first.tobytes() == non_prints.picture(kind, 0).tobytes()
        assert first.tobytes() != non_prints.picture(kind, 1).tobytes(), kind


@pytest.mark.slow
def test_a_hundred_pictures_without_a_print_are_refused(tmp_path, report):
    counted, measured, most = look(numbered(105), tmp_path)
    report(f"105 pictures without a print: {dict(counted.most_common())}, at most {most:.0f} MB held")
    assert measured == []
    assert counted["no_print"] > 0


@pytest.mark.fuzz
def test_of_five_thousand_pictures_without_a_print_at_most_five_are_measured(tmp_path, report):
    counted, measured, most = look(numbered(ALL), tmp_path)
    report(f"{ALL} pictures without a print: {dict(counted.most_common())}, at most {most:.0f} MB held")
    assert counted.total() == ALL
    assert len(measured) <= MOST_MEASURED * ALL, measured
