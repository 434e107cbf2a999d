"""Heel angles: known answers, and what must hold for every picture."""

import json
import math
import tomllib
from pathlib import Path

import pytest
from hypothesis import assume, given, settings
from hypothesis import strategies as st
from maths.door import Door, at

from calculators.api import call
from calculators.heel.angle import rearfoot_angle_deg, tilt_deg
from calculators.heel.measure import limit_95_deg

DATA = tomllib.loads((Path(__file__).parents[1] / "cases" / "heel.toml").read_text("utf-8"))
CASES = DATA["case"]

DOOR = Door("heel_angle")
ask, result = DOOR.ask, DOOR.result

steady = settings(derandomize=True, deadline=None, max_examples=150)
LAST_DIGIT = 0.0101  # rounding may tip by one in the second decimal place


@st.composite
def feet(draw):
    """Lines as a person would set them: the leg above the heel, neither leaning by more than 20 degrees."""
    x, y = draw(st.floats(100, 500)), draw(st.floats(50, 150))
    lines = {}
    for name, low, high in (("leg", 200, 400), ("heel", 60, 150)):
        length, lean = draw(st.floats(low, high)), math.radians(draw(st.floats(-20, 20)))
        bottom = (x + length * math.sin(lean), y + length * math.cos(lean))
        lines[name] = [[x, y], list(bottom)]
        x, y = bottom[0] + draw(st.floats(-10, 10)), bottom[1] + draw(st.floats(20, 60))
    return lines


def moved(foot, change):
    return {name: [list(change(*point)) for point in line] for name, line in foot.items()}


def mirrored(foot, width=1000):
    return moved(foot, lambda x, y: (width - x, y))


def rolled(foot, angle):
    a = math.radians(angle)
    return moved(
        foot,
        lambda x, y: (
            300 + (x - 300) * math.cos(a) - (y - 300) * math.sin(a),
            300 + (x - 300) * math.sin(a) + (y - 300) * math.cos(a),
        ),
    )


def angle(side, foot):
    return result({side: foot})[side]["rearfoot_angle_deg"]["value"]


@pytest.mark.parametrize("case", CASES, ids=[case["name"] for case in CASES])
def test_a_known_heel_gives_its_known_answer(case):
    found = result(case["input"])
    for wanted in case["expect"]:
        value = at(found, wanted["at"])
        if wanted.get("is_null"):
            assert value is None, wanted
        elif "within" in wanted:
            assert abs(value - wanted["is"]) <= wanted["within"], (wanted, value)
        else:
            assert value == wanted["is"], (wanted, value)


def test_angles_are_right_far_beyond_the_digits_that_are_shown():
    # The rows of the case table with points, to a thousandth of a degree and before rounding.
    seen = 0
    for case in CASES:
        for side in ("left", "right"):
            lines = case["input"].get(side, {})
            for wanted in case["expect"]:
                if "leg" in lines and wanted["at"] == f"{side}.rearfoot_angle_deg.value":
                    leg, heel = (tuple(map(tuple, lines[name])) for name in ("leg", "heel"))
                    assert rearfoot_angle_deg(side, leg, heel) == pytest.approx(wanted["is"], abs=0.001)
                    seen += 1
    assert seen >= 10


def test_an_angle_to_the_vertical_would_take_the_camera_for_an_asymmetry():
    # Computed: rolled by 0, 1 and 2 degrees, the difference of the heel lines alone moves by 2 degrees for each.
    left = {"leg": [[180, 90], [192, 392]], "heel": [[196, 448], [187, 560]]}
    right = {"leg": [[420, 95], [411, 390]], "heel": [[408, 450], [421, 566]]}
    for roll, to_vertical in ((0, -1.8001), (1, 0.1999), (2, 2.1999)):
        one, two = rolled(left, roll), rolled(right, roll)
        assert -tilt_deg(one["heel"]) - tilt_deg(two["heel"]) == pytest.approx(to_vertical, abs=0.0001)
        assert result({"left": one, "right": two})["difference"]["value"] == pytest.approx(-1.2722, abs=0.006)


@pytest.mark.parametrize("row", DATA["limit"], ids=[str(row["sem_deg"]) for row in DATA["limit"]])
def test_a_standard_error_gives_its_limit(row):
    assert limit_95_deg(row["sem_deg"]) == pytest.approx(row["is"], abs=0.0001)
    foot = {"angle_deg": 1, "direction": "outward"}
    found = result({"sem_deg": row["sem_deg"], "left": foot, "right": foot})["difference"]["limit_95_deg"]
    assert found["value"] == pytest.approx(row["is"], abs=0.006)


@steady
@given(feet())
def test_the_mirror_image_of_a_foot_is_the_other_foot_with_the_same_angle(foot):
    assume(ask({"left": foot})["ok"])
    assert angle("right", mirrored(foot)) == pytest.approx(angle("left", foot), abs=LAST_DIGIT)


@steady
@given(feet(), feet())
def test_the_mirror_image_of_a_picture_changes_the_sign_of_the_difference(left, right):
    answer = ask({"left": left, "right": right})
    assume(answer["ok"])
    other = result({"left": mirrored(right), "right": mirrored(left)})["difference"]
    assert other["value"] == pytest.approx(-answer["result"]["difference"]["value"], abs=LAST_DIGIT)


@steady
@given(feet())
def test_the_wrong_foot_has_the_opposite_angle(foot):
    assume(ask({"left": foot})["ok"])
    assert angle("left", foot) == -angle("right", foot)


@steady
@given(feet(), st.floats(-30, 30))
def test_rolling_the_camera_changes_no_angle(foot, roll):
    turned = rolled(foot, roll)
    assume(ask({"right": foot})["ok"])
    assume(ask({"right": turned})["ok"])
    assert angle("right", turned) == pytest.approx(angle("right", foot), abs=LAST_DIGIT)


@steady
@given(feet(), st.floats(-300, 3000), st.floats(-300, 3000))
def test_shifting_the_picture_changes_no_angle(foot, dx, dy):
    assume(ask({"left": foot})["ok"])
    shifted = moved(foot, lambda x, y: (x + dx, y + dy))
    assert angle("left", shifted) == pytest.approx(angle("left", foot), abs=LAST_DIGIT)


@steady
@given(feet(), st.floats(0.3, 5))
def test_scaling_the_picture_and_its_click_error_changes_nothing(foot, factor):
    answer = ask({"left": foot, "click_error": 2, "sem_deg": 0})
    assume(answer["ok"])
    scaled = moved(foot, lambda x, y: (x * factor, y * factor))
    other = result({"left": scaled, "click_error": 2 * factor, "sem_deg": 0})["left"]["rearfoot_angle_deg"]
    for part in ("value", "low", "high"):
        assert other[part] == pytest.approx(answer["result"]["left"]["rearfoot_angle_deg"][part], abs=LAST_DIGIT)


@steady
@given(st.floats(0, 45), st.sampled_from(["outward", "inward"]), st.floats(0, 15))
def test_a_protractors_angle_keeps_its_size_and_gets_its_sign(size, direction, sem):
    found = result({"sem_deg": sem, "right": {"angle_deg": size, "direction": direction}})["right"][
        "rearfoot_angle_deg"
    ]
    assert found["low"] <= found["value"] <= found["high"]
    assert abs(found["value"]) == pytest.approx(size, abs=0.00501)
    if found["value"]:
        assert found["direction"] == direction
        assert (found["value"] > 0) is (direction == "outward")
    else:
        assert found["direction"] == "straight"


@steady
@given(feet(), feet(), st.floats(0, 5), st.floats(0, 5))
def test_the_limit_is_the_larger_of_its_two_parts_and_the_comparison_can_be_checked(left, right, click, sem):
    answer = ask({"click_error": click, "sem_deg": sem, "left": left, "right": right})
    assume(answer["ok"])
    difference = answer["result"]["difference"]
    limit = difference["limit_95_deg"]
    assert limit["value"] == max(limit["method"]["value"], limit["click_error"]["value"])
    assert limit["value"] == limit[limit["ruled_by"]]["value"]
    assert difference["larger_than_limit"] is (abs(difference["value"]) > limit["value"])


@steady
@given(feet(), feet())
def test_every_number_stands_with_its_unit_and_no_angle_is_a_percentage(left, right):
    answer = ask({"left": left, "right": right})
    assume(answer["ok"])

    def look(data, owner, key):
        if isinstance(data, dict):
            for name, value in data.items():
                look(value, data, name)
        elif isinstance(data, list):
            for value in data:
                look(value, owner, key)
        elif isinstance(data, str):
            assert data.replace("_", "").isalnum(), data
            assert data != "percent"
        elif data is not None and not isinstance(data, bool):
            assert key in ("value", "low", "high")
            assert {"value", "unit"} <= owner.keys()

    look(answer["result"], None, "")


def test_a_negative_zero_never_comes_back():
    text = call('{"action":"heel_angle","input":{"sem_deg":-0.0,"left":{"angle_deg":-0.0,"direction":"inward"}}}')
    assert json.loads(text)["ok"]
    assert "-0" not in text


def test_leaving_the_options_out_means_their_defaults():
    foot = {"angle_deg": 3, "direction": "outward"}
    full = {"click_error": 2, "sem_deg": 2.0, "left": foot, "right": foot}
    assert json.dumps(ask({"left": foot, "right": foot})) == json.dumps(ask(full))
