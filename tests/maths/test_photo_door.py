"""A photograph at the calculators' door: its size, its bytes, and what is asked of it."""

from __future__ import annotations

import json
import sys
from types import ModuleType

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from calculators.api import call
from calculators.refusals import REFUSAL_KEYS

PHOTO = {"action": "footprint_photo", "input": {"width": 3, "height": 2}}


@pytest.mark.parametrize(
    "pixels",
    [b"", bytes(23), bytes(25), bytes(6), "x" * 24, [0] * 24, memoryview(bytes(48))[::2], memoryview(bytes(23))],
    ids=[
        "none",
        "one byte short",
        "one too many",
        "one for each pixel",
        "text",
        "a list",
        "every other byte",
        "a view",
    ],
)
def test_a_picture_of_another_size_than_it_says_is_refused(pixels):
    answer = json.loads(call(json.dumps(PHOTO), pixels))
    assert answer["refusal"] == {"key": "pixels_wrong_size", "where": "pixels"}


@pytest.mark.parametrize(
    "pixels",
    [
        bytes(24),
        bytearray(24),
        memoryview(bytes(24)),
        memoryview(bytes(24)).cast("I"),
        memoryview(bytes(24)).cast("B", (2, 3, 4)),
    ],
    ids=["bytes", "bytearray", "a view", "a view by pixel", "a view by row and pixel"],
)
def test_the_calculator_is_handed_the_bytes_of_a_picture_and_what_was_asked(monkeypatch, pixels):
    seen = []
    stand_in = ModuleType("calculators.footprint.photograph")
    stand_in.footprint_photo = lambda values, given: seen.append((values, given)) or {}
    monkeypatch.setitem(sys.modules, stand_in.__name__, stand_in)
    given = {
        **PHOTO["input"],
        "axis": [[1, 2], [3, 4.5]],
        "corners": None,
        "sheet_width_mm": 100,
        "sheet_height_mm": 150,
    }
    assert json.loads(call(json.dumps({**PHOTO, "input": given}), pixels)) == {"schema": 1, "ok": True, "result": {}}
    ((values, view),) = seen
    assert values == {
        "": {
            "width": 3, "height": 2, "feet": 1, "foot": "auto", "view": "floor", "sheet_width_mm": 100.0,
            "sheet_height_mm": 150.0, "axis": ((1.0, 2.0), (3.0, 4.5)), "threshold_percent": 50,
        }
    }  # fmt: skip
    assert (type(view), view.format, view.shape, bytes(view)) == (memoryview, "B", (24,), bytes(24))


numbers = st.integers(-1, 9) | st.floats(-1, 9) | st.none() | st.text(max_size=3)
pairs = st.lists(st.floats(-50, 700) | numbers, max_size=3)
near_photo = st.dictionaries(
    st.sampled_from(
        [
            "width",
            "height",
            "feet",
            "foot",
            "view",
            "sheet",
            "sheet_width_mm",
            "sheet_height_mm",
            "corners",
            "axis",
            "toe_line",
        ]
    ),
    numbers | st.sampled_from(["left", "auto", "floor", "sole", "a4", "none"]) | st.lists(pairs, max_size=5),
    max_size=6,
)


@settings(derandomize=True, deadline=None, max_examples=300)
@given(near_photo)
def test_anything_like_an_input_gets_an_answer_and_without_a_picture_a_refusal(asked):
    answer = json.loads(call(json.dumps({"action": "footprint_photo", "input": asked})))
    assert answer["ok"] is False
    assert answer["refusal"]["key"] in set(REFUSAL_KEYS) - {"internal"}
