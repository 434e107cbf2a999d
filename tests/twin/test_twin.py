"""The calculators answer the same in a browser's Python as in this one: the same requests, byte for byte."""

import json
import random
import tomllib
from pathlib import Path

import pytest
from prints.resized import buffer, request, resized

from calculators.api import call
from calculators.doses import DRILLS
from calculators.footprint.photo_indices import PHOTO_INDICES
from calculators.forms import FORMS, Choice, Field, Line, Rows, Word
from treadleaf import pyodide_package, runtime

CASES = Path(__file__).parents[1] / "cases"
STARTER = Path(runtime.__file__).with_name("start_calculators.mjs")
ACTION = "footprint_widths"
GOOD = {"schema": 1, "action": ACTION, "input": {"left": {"ball_mm": 90, "middle_mm": 36, "heel_mm": 60}}}


def table(name):
    return tomllib.loads((CASES / name).read_text("utf-8"))


def refused_text(case):
    return case.get(
        "text", case.get("before", "") + case.get("unit", "") * case.get("times", 0) + case.get("after", "")
    )


def from_the_tables():
    for case in table("refusals.toml")["case"]:
        yield f"refusal: {case['name']}", refused_text(case)
    for case in table("widths.toml")["case"]:
        given = case["input"] if "input" in case else json.loads(case["input_json"])
        yield f"widths: {case['name']}", json.dumps({"schema": 1, "action": ACTION, "input": given})
    for action in ("heel", "programme"):
        full = {"heel": "heel_angle", "programme": "programme_volume"}[action]
        for case in table(f"{action}.toml")["case"]:
            yield f"{action}: {case['name']}", json.dumps({"schema": 1, "action": full, "input": case["input"]})
    for case in table("bands.toml")["age"]:
        given = {"left": GOOD["input"]["left"]} | ({"age_years": case["years"]} if "years" in case else {})
        yield f"bands: {case['name']}", json.dumps({"action": ACTION, "input": given})


def drawn_number(draw, field):
    if field.kind == "reading":
        # Now and then a reading lies above its range, which is refused.
        return {"low": 0, "value": draw.uniform(0, 1.05), "high": 1}[field.key]
    if field.whole:
        # Near the lower limit: sets and repetitions at the upper one are more than a session may hold.
        return draw.randint(int(field.low), int(min(field.high, field.low + 5)))
    return draw.uniform(field.low, min(field.high, field.low + 600))


def drawn_line(draw, field):
    """A line that leans a little; heels lie below legs."""
    top, length = (100, 300) if field.key == "leg" else (450, 120)
    x = draw.uniform(100, 500)
    return [[x, top], [x + draw.uniform(-30, 30), top + draw.uniform(0.5, 1) * length]]


DRAWN = {
    Field: drawn_number,
    Choice: lambda draw, field: draw.choice(field.options),
    Word: lambda draw, field: draw.choice({"drill": DRILLS, "measure": list(PHOTO_INDICES)}[field.key]),
    Line: drawn_line,
    Rows: lambda draw, field: [drawn_group(draw, field.row) for _ in range(draw.randint(1, 3))],
}


def drawn_group(draw, group):
    """Every field of one of the group's ways, and some of those that may be left out."""
    passed_over = set()
    if group.ways:
        used = draw.choice(group.ways)
        passed_over = {key for way in group.ways if way != used for key in way}
    return {
        field.key: DRAWN[type(field)](draw, field)
        for field in group.fields
        if field.key not in passed_over and (field.required or draw.random() < (0.8 if group.ways else 0.3))
    }


def drawn_at_random():
    """Whole requests with every field somewhere between its limits, from one seed: the same on every machine."""
    draw = random.Random(20261125)
    for action, count in {ACTION: 400, "footprint_comparison": 100, "heel_angle": 300, "programme_volume": 100}.items():
        for number in range(count):
            given = {}
            for group in FORMS[action].groups:
                found = drawn_group(draw, group)
                given |= {group.key: found} if group.key else found
            yield f"drawn: {action} {number}", json.dumps({"action": action, "input": given})


REQUESTS = dict(from_the_tables()) | dict(drawn_at_random())


def in_the_browsers_python(site, requests):
    program = [pyodide_package.tool("node"), str(STARTER), str(site / "runtime")]
    return json.loads(pyodide_package.run(program, failed="no answers", mend="", given=requests))


@pytest.fixture(scope="session")
def far_answers(demo_site):
    return dict(zip(REQUESTS, in_the_browsers_python(demo_site, list(REQUESTS.values())), strict=True))


@pytest.mark.parametrize("kind", ["refusal", "widths", "heel", "programme", "bands", "drawn"])
def test_both_pythons_answer_alike(kind, far_answers):
    names = [name for name in REQUESTS if name.startswith(f"{kind}:")]
    assert names
    differ = {
        name: (call(REQUESTS[name]), far_answers[name]) for name in names if call(REQUESTS[name]) != far_answers[name]
    }
    assert not differ


def test_the_requests_hold_both_results_and_refusals(far_answers):
    oks = {json.loads(text)["ok"] for text in far_answers.values()}
    assert oks == {True, False}
    for action in (action for action, form in FORMS.items() if not form.pixels):
        drawn = [json.loads(far_answers[name])["ok"] for name in REQUESTS if name.startswith(f"drawn: {action} ")]
        assert 0.1 < sum(drawn) / len(drawn) < 0.95, action


def test_pixels_reach_both_doors(demo_site):
    text = json.dumps(GOOD)
    (far,) = in_the_browsers_python(demo_site, [{"text": text, "pixels": [0, 127, 255, 255]}])
    assert far == call(text, bytearray([0, 127, 255, 255]))
    assert json.loads(far)["refusal"]["key"] == "pixels_not_used"


def test_a_photograph_gets_the_same_answer_in_both_pythons(demo_site):
    """Two small pictures, one with a dark shape in it and one without, and a picture that is too short."""
    width, height = 60, 90
    plain = [220, 214, 200, 255] * (width * height)
    shape = list(plain)
    for y in range(15, 75):
        for x in range(20, 40 if y < 40 else 35):
            shape[4 * (y * width + x) : 4 * (y * width + x) + 3] = [64, 55, 44]
    text = json.dumps({"action": "footprint_photo", "input": {"width": width, "height": height}})
    asked = [{"text": text, "pixels": pixels} for pixels in (plain, shape, plain[:-4])]
    answers = in_the_browsers_python(demo_site, asked)
    assert answers == [call(text, bytes(one["pixels"])) for one in asked]
    assert json.loads(answers[0])["refusal"]["key"] == "no_print"
    assert json.loads(answers[2])["refusal"]["key"] == "pixels_wrong_size"


def test_a_drawn_photograph_of_a_print_gets_the_same_answer_to_the_last_digit(demo_site):
    """A print on a sheet, 900 x 1200. Sines may differ in their last bit; what is told is rounded far above that."""
    options, rgb, true = resized("easy-06", 1.08)
    assert rgb.shape[:2] == (1200, 900)
    text, pixels = request(rgb, options), buffer(rgb)
    here = call(text, pixels)
    (far,) = in_the_browsers_python(demo_site, [{"text": text, "pixels": list(pixels)}])
    found = json.loads(here)["result"]
    assert found["foot"] == true["sides"][0]
    assert found["lengths"]["toeless_mm"] == pytest.approx(true["prints"][0]["toeless_mm"], abs=2)
    assert json.loads(far)["result"] == found
    assert far == here
