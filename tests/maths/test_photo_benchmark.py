"""The benchmark of photographs with known truth: the pass marks, and whether the scorer itself can be trusted."""

import json

import numpy as np
import pytest
from prints import score
from prints.photographs import known, photographs
from prints.staging import stage


def _show(report, outcomes):
    for line in score.lines(outcomes):
        report(line)


@pytest.mark.slow
@pytest.mark.parametrize("part", ["seen", "unseen"])
def test_the_photographs_reach_the_pass_marks(report, part):
    outcomes = score.run([one for one in photographs() if one.unseen == (part == "unseen")])
    _show(report, outcomes)
    assert score.missed(score.table(outcomes)) == [], "\n".join(score.worst(outcomes))


# -- the list --------------------------------------------------------------------------------------------------------


def test_the_list_is_long_mixed_and_a_third_of_it_unseen():
    listed = photographs()
    measurable = [one for one in listed if one.kind != "spoilt"]
    assert len(measurable) >= 90
    assert len({one.name for one in listed}) == len({one.seed for one in listed}) == len(listed)
    for kind in ("easy", "hard", "extreme", "spoilt"):
        unseen = [one.unseen for one in listed if one.kind == kind]
        assert 0.25 < sum(unseen) / len(unseen) < 0.42, kind
        assert {foot["side"] for one in listed if one.kind == kind and one.unseen for foot in one.feet} == {
            "left",
            "right",
        }
    arches = [
        {foot["arch"] for one in measurable if one.unseen == unseen for foot in one.feet} for unseen in (False, True)
    ]
    assert len(arches[0] & arches[1]) > 12, "the same spread of arches in both sets"
    assert {foot["side"] for one in measurable for foot in one.feet} == {"left", "right"}
    assert {one.sheet for one in measurable} == {"a4", "letter", "a3", "card", "none"}
    assert max(one.tilt for one in measurable if one.sheet != "none") > 24
    assert [one for one in measurable if one.kind == "easy" and one.tilt > 10] == []


# -- the scorer, given answers that are the truth, bent on purpose -----------------------------------------------------


def _answer(photograph, true, bend):
    """An answer of the shape that the door gives, from the truth; `bend` changes each print."""
    if photograph.refused:
        return {"ok": False, "refusal": {"key": photograph.refused[0], "where": "pixels"}}
    found = []
    for its in true["prints"]:
        indices = {
            key: {"value": its[key], "low": its[key] - wide, "high": its[key] + wide, "largest_cause": "threshold"}
            for key, wide in (("arch_index", 0.01), ("chippaux_smirak_index", 1.5), ("staheli_index", 0.02))
        }
        lengths = {key: its[key] for key in ("toeless_mm", "ball_mm", "middle_mm", "heel_mm")}
        one = {
            "foot": its["side"],
            "indices": indices,
            "lengths": None if photograph.sheet == "none" else lengths,
            "warnings": [],
        }
        found.append(bend(photograph, one))
    result = found[0] if len(found) == 1 else {"prints": found}
    return json.loads(json.dumps({"ok": True, "result": result}))


@pytest.fixture(scope="module")
def some():
    return [(one, known(stage(one))) for one in photographs()[::4]]


def _table(some, bend=lambda photograph, one: one):
    return score.table([score.outcome(one, true, _answer(one, true, bend)) for one, true in some])


def test_the_truth_itself_passes_without_an_error(some):
    numbers = _table(some)
    assert score.missed(numbers) == []
    assert numbers["arch_index"] == numbers["length_mm"] == numbers["width_mm"] == 0
    assert numbers["measured"] == numbers["refused"] == numbers["refused_rightly"] == 100
    assert numbers["half_width"] == pytest.approx(0.01)


def test_noise_on_the_truth_is_found_in_its_own_size(some):
    rng = np.random.default_rng(4)

    def bend(photograph, one):
        one["indices"]["arch_index"]["value"] += float(rng.choice([-0.003, 0.003]))
        if one["lengths"]:
            one["lengths"]["toeless_mm"] -= 0.7
            one["lengths"]["heel_mm"] += 0.6
        return one

    numbers = _table(some, bend)
    assert numbers["arch_index"] == pytest.approx(0.003)
    assert numbers["length_mm"] == pytest.approx(0.7)
    assert numbers["width_mm"] == pytest.approx(0.2)
    assert score.missed(numbers) == []


def test_each_fault_misses_its_own_mark(some):
    def off(photograph, one):
        one["indices"]["arch_index"]["value"] += 0.021
        return one

    def warned(photograph, one):
        return {**off(photograph, one), "warnings": ["uneven"]}

    def mirrored(photograph, one):
        return {**one, "foot": {"left": "right", "right": "left"}[one["foot"]]}

    def narrow(photograph, one):
        one["indices"]["staheli_index"]["low"] = one["indices"]["staheli_index"]["high"]
        return one

    def bare(photograph, one):
        return {**one, "lengths": None}

    def missed(bend):
        numbers = _table(some, bend)
        return {
            key for key, row in score.ROWS.items() for line in score.missed(numbers) if line.startswith(row[0] + ":")
        }

    assert missed(off) == {"unwarned_wrong", "arch_index"}
    assert missed(warned) == {"easy_warned", "arch_index"}
    assert missed(mirrored) == {"sides_wrong"}
    assert missed(narrow) == {"covered_staheli_index"}
    assert missed(bare) == {"measured", "length_mm", "width_mm"}
    assert _table(some, lambda photograph, one: {**one, "foot": "unknown"})["sides_wrong"] == 0


def test_a_refusal_counts_as_not_measured_and_a_wrong_key_is_seen(some):
    answers = [
        score.outcome(one, true, {"ok": False, "refusal": {"key": "internal", "where": ""}}) for one, true in some
    ]
    numbers = score.table(answers)
    assert numbers["measured"] == numbers["refused_rightly"] == 0
    assert numbers["refused"] == 100
    assert len(score.missed(numbers)) >= 10, "what could not be counted passes no mark"
    shown = "\n".join(score.worst(answers, number=100))
    assert all((one.name in shown) == (not one.unseen) for one, _ in some)
    assert all(one.name in "\n".join(score.worst(answers, reveal=True)) for one, _ in some)
