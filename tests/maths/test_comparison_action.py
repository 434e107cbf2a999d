"""Prints held against one another through the door: two feet, now and before, and a person's own three prints."""

import json

import pytest

from calculators.api import call
from calculators.comparison.difference import difference
from calculators.comparison.limit import Taken
from calculators.comparison.repeat import own_error

THREE = (0.230, 0.242, 0.251)


def prints(*values, half=0.01):
    return [{"value": value, "low": value - half, "high": value + half} for value in values]


def compared(measure="arch_index", **given):
    answer = json.loads(call(json.dumps({"action": "footprint_comparison", "input": {"measure": measure, **given}})))
    assert answer["ok"], answer
    return answer["result"]


def numbers_of(data, path=""):
    """Every bare number of an answer, with where it stands."""
    if isinstance(data, dict):
        for key, value in data.items():
            yield from numbers_of(value, f"{path}.{key}")
    elif isinstance(data, list):
        for at, value in enumerate(data):
            yield from numbers_of(value, f"{path}.{at}")
    elif isinstance(data, (int, float)) and not isinstance(data, bool):
        yield path


def test_two_feet_are_held_against_one_another():
    result = compared(left={"now": prints(0.20)}, right={"now": prints(0.26)})
    assert result["difference"]["value"] == -0.06
    assert result["difference"]["larger_than_limit"] is True
    assert result["difference"]["limit_95"]["value"] == 0.04
    assert result["own"] is None
    assert result["change"] == {"left": None, "right": None}
    same = difference("arch_index", Taken(0.20, 0.19, 0.21, "photo"), Taken(0.26, 0.25, 0.27, "photo"))
    assert result["difference"] == json.loads(json.dumps(same))


def test_a_foot_is_held_against_its_own_earlier_print():
    result = compared(right={"now": prints(0.22), "before": prints(0.24)})
    assert result["left"] is None
    assert result["difference"] is None
    assert result["right"]["before"] == {"value": 0.24, "low": 0.23, "high": 0.25, "unit": "ratio"}
    assert result["change"]["right"]["value"] == -0.02
    assert result["change"]["right"]["larger_than_limit"] is False


def test_a_photograph_is_not_held_against_a_ruler():
    result = compared(left={"now": prints(0.22), "before": prints(0.34)}, way_before="ruler")
    assert result["change"]["left"]["reason"] == "taken_differently"
    assert result["change"]["left"]["larger_than_limit"] is None


@pytest.mark.parametrize(("values", "middle"), [((0.3, 0.1, 0.2), 0.2), ((0.3, 0.1), 0.1), ((0.3,), 0.3)])
def test_of_several_prints_the_middle_one_is_compared(values, middle):
    assert compared(left={"now": prints(*values)})["left"]["now"]["value"] == middle


def test_three_prints_of_a_foot_give_its_own_limit():
    result = compared(left={"now": prints(*THREE)}, right={"now": prints(0.30)})
    assert result["own"] == json.loads(json.dumps(own_error("arch_index", {"left": THREE}).plain()))
    assert result["difference"]["limit_95"]["ruled_by"] == "own"
    assert result["difference"]["limit_95"]["value"] == result["own"]["limit_95"]["value"]


def test_three_prints_of_each_foot_are_pooled():
    result = compared(left={"now": prints(*THREE)}, right={"now": prints(0.30, 0.31, 0.32)})
    assert result["own"]["degrees_of_freedom"]["value"] == 4
    assert set(result["own"]["prints"]) == {"left", "right"}


def test_every_number_of_the_answer_has_its_unit():
    result = compared(
        left={"now": prints(*THREE), "before": prints(0.2)},
        right={"now": prints(0.3, 0.31, 0.32), "before": prints(0.3)},
    )
    bare = [path for path in numbers_of(result) if path.rsplit(".", 1)[-1] not in ("value", "low", "high")]
    assert bare == []
