"""The one door: what it refuses, in which order, and that it always answers in strict JSON."""

import json
import random
import string
import tomllib
from pathlib import Path

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from calculators import api
from calculators.api import call
from calculators.footprint import measure
from calculators.forms import FORMS
from calculators.refusals import REFUSAL_KEYS

ROOT = Path(__file__).parents[2]
CASES = tomllib.loads((ROOT / "tests" / "cases" / "refusals.toml").read_text("utf-8"))["case"]
GOOD = '{"action":"footprint_widths","input":{"left":{"ball_mm":90,"middle_mm":36,"heel_mm":60}}}'
GOOD_HEEL = '{"action":"heel_angle","input":{"left":{"leg":[[180,90],[192,392]],"heel":[[196,448],[187,560]]}}}'
GOOD_PROGRAMME = (
    '{"action":"programme_volume","input":{"days_per_week":5,"weeks":6,"blocks":[{"sets":4,"sides":"each","rest_s":30,'
    '"parts":[{"drill":"x","seconds":45},{"drill":"y","reps":10,"up_s":3,"hold_s":2,"down_s":3,"load_kg":5}]}]}}'
)
GOOD_COMPARISON = (
    '{"action":"footprint_comparison","input":{"measure":"arch_index",'
    '"left":{"now":[{"value":0.2,"low":0.19,"high":0.21}]}}}'
)
SIDES = {"left", "right", "difference"}
PRINT = {
    "foot", "scale", "corners", "axis", "toe_line", "areas", "indices", "lengths", "warnings", "outline", "toes",
    "lines",
}  # fmt: skip
ANSWERS = {
    "footprint_widths": SIDES,
    "footprint_photo": PRINT,
    "footprint_comparison": {"left", "right", "own", "difference", "change"},
    "heel_angle": SIDES,
    "programme_volume": {"session", "timeline", "phases", "weeks", "total"},
}

steady = settings(derandomize=True, deadline=None, max_examples=200)


def refuse_constant(name):
    raise AssertionError(f"{name} is not strict JSON")


def strict(text):
    assert isinstance(text, str)
    assert text.isascii()
    return json.loads(text, parse_constant=refuse_constant)


def written(case):
    if "text" in case:
        return case["text"]
    return case.get("before", "") + case["unit"] * case["times"] + case.get("after", "")


def is_an_answer(text):
    answer = strict(text)
    assert answer["schema"] == 1
    if answer["ok"]:
        assert answer.keys() == {"schema", "ok", "result"}
        assert answer["result"].keys() in ANSWERS.values()
    else:
        assert answer.keys() == {"schema", "ok", "refusal"}
        refusal = answer["refusal"]
        assert refusal["key"] in REFUSAL_KEYS
        assert refusal["key"] != "internal"
        assert len(refusal["where"]) <= 80
    return answer


@pytest.mark.parametrize("case", CASES, ids=[case["name"] for case in CASES])
def test_a_wrong_request_is_refused_with_its_key_and_place(case):
    answer = is_an_answer(call(written(case)))
    assert answer["ok"] is False
    assert (answer["refusal"]["key"], answer["refusal"]["where"]) == (case["key"], case["where"])


@pytest.mark.parametrize("thing", [None, b"{}", 1, 1.5, [], {}, object(), True])
def test_what_is_no_text_is_refused_as_such(thing):
    assert strict(call(thing))["refusal"] == {"key": "not_text", "where": ""}


@pytest.mark.parametrize("pixels", [b"", b"\x00" * 16, bytearray(4), memoryview(b"1234")])
def test_a_picture_for_an_action_without_one_is_refused(pixels):
    assert strict(call(GOOD, pixels))["refusal"] == {"key": "pixels_not_used", "where": "pixels"}
    assert strict(call(GOOD, None))["ok"]


def test_a_refusal_for_a_limit_carries_the_limits_with_their_units():
    refusal = strict(call(GOOD.replace("90", "9")))["refusal"]
    assert refusal["low"] == {"value": 40, "unit": "mm"}
    assert refusal["high"] == {"value": 150, "unit": "mm"}


def test_refusals_carry_exactly_the_limits_that_the_table_promises():
    table = tomllib.loads((ROOT / "calculators" / "data" / "errors.toml").read_text("utf-8"))
    for case in CASES:
        refusal = strict(call(written(case)))["refusal"]
        assert set(refusal) - {"key", "where"} == set(table[case["key"]].get("carries", [])), case["name"]


# What a photograph itself is refused for; tests/maths/test_photo_refusals.py has a picture for each.
OF_A_PHOTOGRAPH = {
    "no_print", "more_prints", "two_candidates", "cut_by_edge", "over_sheet_edge", "print_too_small", "blurred",
    "too_faint", "sheet_not_possible",
}  # fmt: skip


def test_every_refusal_of_the_table_can_happen():
    happened = {case["key"] for case in CASES} | {"not_text", "pixels_not_used", "pixels_wrong_size", "internal"}
    assert happened | OF_A_PHOTOGRAPH == set(REFUSAL_KEYS)
    assert not happened & OF_A_PHOTOGRAPH


def test_every_action_has_a_form_and_an_answer():
    assert set(api.ACTIONS) == set(FORMS) == set(ANSWERS)
    for text in (GOOD, GOOD_COMPARISON, GOOD_HEEL, GOOD_PROGRAMME):
        action = json.loads(text)["action"]
        assert strict(call(text))["result"].keys() == ANSWERS[action]


def test_brackets_inside_a_text_are_no_nesting():
    key = "[{" * 200
    assert strict(call(json.dumps({"action": "heel_angle", "input": {key: 1}})))["refusal"]["key"] == "unknown_key"


@pytest.mark.parametrize(
    ("text", "key"),
    [
        ('{"a":"\\"]]]]","b":' + "[" * 99 + "]" * 99 + "}", "unknown_key"),
        ('{"b":' + "[" * 100 + "]" * 100 + "}", "too_nested"),
        # Closing brackets inside texts do not make up for open ones.
        ('["]]]]",' * 8000, "too_nested"),
        ('"' + '\\"' * 30_000, "not_json"),
        ("[" * 100 + '"' + "\\", "not_json"),
    ],
    ids=["99 lists", "one too many", "hidden in texts", "a text without end", "a backslash at the end"],
)
def test_nesting_is_counted_as_a_parser_would_see_it(text, key):
    assert strict(call(text))["refusal"]["key"] == key


def test_the_unforeseen_becomes_an_answer(monkeypatch):
    def breaks(values):
        raise ZeroDivisionError

    monkeypatch.setattr(measure, "footprint_widths", breaks)
    assert strict(call(GOOD))["refusal"] == {"key": "internal", "where": ""}


def test_a_stack_that_is_nearly_full_becomes_an_answer():
    def deeper():
        try:
            return deeper()
        except RecursionError:
            return call(GOOD)

    answer = strict(deeper())
    assert answer["ok"] or answer["refusal"]["key"] == "internal"


def test_every_field_refuses_just_outside_its_limits_and_takes_the_limits():
    form = FORMS["footprint_widths"]
    foot = {"ball_mm": 150.0, "middle_mm": 0.0, "heel_mm": 60.0}
    for group in form.groups:
        for field in group.fields:
            where = f"{group.key}.{field.key}" if group.key else field.key
            for value, fine in (
                (field.low, True),
                (field.high, True),
                (field.low - 0.001, False),
                (field.high + 0.001, False),
            ):
                asked = {"left": dict(foot), "right": dict(foot)}
                (asked[group.key] if group.key else asked)[field.key] = value
                answer = strict(call(json.dumps({"action": form.action, "input": asked})))
                assert answer["ok"] is fine, (where, value, answer)
                if not fine:
                    assert answer["refusal"]["where"] == where
                    assert answer["refusal"]["key"] == ("negative" if value < 0 else "out_of_limits")


def test_an_optional_field_may_be_left_out_and_a_needed_one_may_not():
    form = FORMS["footprint_widths"]
    for group in form.groups:
        for field in group.fields:
            asked = {"left": {"ball_mm": 90, "middle_mm": 0, "heel_mm": 60, "gap_mm": 1}, "age_years": 40}
            asked["right"] = dict(asked["left"])
            (asked[group.key] if group.key else asked).pop(field.key, None)
            assert strict(call(json.dumps({"action": form.action, "input": asked})))["ok"] is not field.required


@steady
@given(st.text())
def test_any_text_gets_an_answer(text):
    is_an_answer(call(text))


json_values = st.recursive(
    st.none() | st.booleans() | st.integers() | st.floats() | st.text(max_size=10),
    lambda inner: st.lists(inner, max_size=3) | st.dictionaries(st.text(max_size=8), inner, max_size=3),
    max_leaves=8,
)
names = st.sampled_from(
    ["age_years", "reading_mm", "edge_mm", "left", "right", "ball_mm", "middle_mm", "heel_mm", "gap_mm", "x"]
)
lengths = st.floats(-10, 160) | json_values
near_input = st.dictionaries(names, lengths | st.dictionaries(names, lengths, max_size=5), max_size=5)

points = st.lists(st.lists(st.floats(-50, 700) | json_values, max_size=3), max_size=3)
near_heel = st.dictionaries(
    st.sampled_from(["left", "right", "click_error", "sem_deg", "x"]),
    lengths
    | st.dictionaries(
        st.sampled_from(["leg", "heel", "angle_deg", "direction", "x"]),
        points | lengths | st.sampled_from(["outward", "inward", "straight"]),
        max_size=3,
    ),
    max_size=4,
)

counts = st.integers(-1, 9) | st.floats(-1, 9) | json_values
near_part = st.dictionaries(
    st.sampled_from(["drill", "seconds", "reps", "up_s", "hold_s", "down_s", "load_kg"]),
    counts | st.just("x"),
    max_size=6,
)
near_block = st.dictionaries(
    st.sampled_from(["parts", "sets", "sides", "rest_s", "change_s", "first_side"]),
    st.lists(near_part, max_size=3) | counts | st.sampled_from(["both", "each", "alternate", "left"]),
    max_size=6,
)
near_programme = st.dictionaries(
    st.sampled_from(["blocks", "phases", "weeks", "days_per_week", "block_gap_s", "first_side"]),
    st.lists(near_block | st.dictionaries(st.just("blocks"), st.lists(near_block, max_size=2)), max_size=3) | counts,
    max_size=6,
)
readings = st.dictionaries(st.sampled_from(["value", "low", "high", "x"]), st.floats(-1, 1) | json_values, max_size=4)
near_foot = st.dictionaries(st.sampled_from(["now", "before", "x"]), st.lists(readings, max_size=4) | json_values)
near_comparison = st.dictionaries(
    st.sampled_from(["measure", "way", "way_before", "left", "right", "x"]),
    near_foot | st.sampled_from(["arch_index", "photo", "ruler", "x"]) | json_values,
    max_size=6,
)
near_requests = st.one_of(
    st.tuples(st.just("footprint_comparison"), near_comparison),
    st.tuples(st.just("footprint_widths"), near_input),
    st.tuples(st.just("heel_angle"), near_heel),
    st.tuples(st.just("programme_volume"), near_programme),
)


@steady
@given(json_values)
def test_any_json_gets_an_answer(data):
    is_an_answer(call(json.dumps(data)))


@steady
@given(near_requests)
def test_anything_like_an_input_gets_an_answer(request):
    action, data = request
    is_an_answer(call(json.dumps({"action": action, "input": data})))


@steady
@given(near_requests)
def test_the_same_request_gets_the_same_text(asked):
    action, data = asked
    request = json.dumps({"schema": 1, "action": action, "input": data})
    assert call(request) == call(request)


@pytest.mark.fuzz
def test_a_hundred_thousand_spoilt_requests_get_an_answer():
    seed = random.Random(20_250_101)
    alphabet = string.printable + '{}[]",:\\u0000\ud800é😀'
    for turn in range(100_000):
        text = list((GOOD, GOOD_COMPARISON, GOOD_HEEL, GOOD_PROGRAMME)[turn % 3])
        for _ in range(seed.randint(1, 6)):
            place = seed.randrange(len(text))
            what = seed.randrange(3)
            if what == 0:
                text[place] = seed.choice(alphabet)
            elif what == 1:
                text.insert(place, seed.choice(alphabet) * seed.randint(1, 5))
            elif len(text) > 1:
                del text[place]
        is_an_answer(call("".join(text)))
