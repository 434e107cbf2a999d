"""A picture that is asked about once more: with another edge, toe line or axis, the print is not looked for again."""

import json

import numpy as np
import pytest
from prints import resized

from calculators.api import call
from calculators.footprint import photograph


@pytest.fixture(scope="module")
def taken():
    """One drawn photograph with a sheet, of about a megapixel: its pixels and what is asked of it."""
    found = resized.resized("easy-15", 0.9)
    return found.rgb, found.options


@pytest.fixture
def looks(monkeypatch):
    """How often a picture is looked over from now on."""
    seen = []
    look = photograph.look
    monkeypatch.setattr(photograph, "look", lambda *given: seen.append(1) or look(*given))
    return seen


def asked(taken, **more):
    rgb, options = taken
    answer = json.loads(call(resized.request(rgb, {**options, **more}), resized.buffer(rgb)))
    assert answer["ok"], answer
    return answer["result"]


def forgotten():
    photograph._LAST.clear()


def test_what_a_person_moves_is_answered_without_another_look(taken, looks):
    forgotten()
    first = asked(taken)
    assert len(looks) == 1
    heel, toe = first["axis"]["heel"], first["axis"]["second_toe"] or first["axis"]["heel"]
    aside = [toe[0] + 20, toe[1] - 200]
    again = [
        {"toe_line": first["toe_line"][::5]},
        {"axis": [heel, aside]},
        {"threshold_percent": 40},
        {"foot": "left"},
        {"age_years": 40},
    ]
    quick = [asked(taken, **more) for more in again]
    assert len(looks) == 1
    slow = []
    for more in again:
        forgotten()
        slow.append(asked(taken, **more))
    assert quick == slow
    assert asked(taken) == first


@pytest.mark.parametrize("more", [{"sheet": "none"}, {"view": "sole"}])
def test_what_changes_the_plane_is_looked_at_again(taken, looks, more):
    asked(taken)
    before = len(looks)
    asked(taken, **more)
    assert len(looks) == before + 1


def test_another_picture_is_another_picture(taken, looks):
    rgb, options = taken
    asked(taken)
    before = len(looks)
    other = np.clip(rgb.astype(int) + 1, 0, 255).astype(np.uint8)
    asked((other, options))
    assert len(looks) == before + 1
    asked(taken)
    assert len(looks) == before + 2, "only the last picture is known"


def test_an_edge_drawn_nearer_to_the_print_makes_it_smaller(taken):
    areas = []
    for percent in (30, 40, 50, 60, 70):
        found = asked(taken, threshold_percent=percent)
        areas.append(sum(found["areas"][part] for part in ("forefoot", "midfoot", "heel")))
    assert areas == sorted(areas, reverse=True)
    assert areas[0] > areas[-1] * 1.002


def test_the_range_is_about_the_edge_as_it_is_drawn(taken):
    for percent in (35, 65):
        found = asked(taken, threshold_percent=percent)
        index = found["indices"]["chippaux_smirak_index"]
        assert index["low"] < index["value"] < index["high"]
    assert asked(taken, threshold_percent=35)["lengths"]["ball_mm"] > found["lengths"]["ball_mm"]


@pytest.mark.parametrize("percent", [24.9, 75.1])
def test_an_edge_is_drawn_neither_on_the_ground_nor_on_the_print(taken, percent):
    rgb, options = taken
    answer = json.loads(call(resized.request(rgb, {**options, "threshold_percent": percent}), resized.buffer(rgb)))
    assert answer["refusal"]["key"] == "out_of_limits"
    assert answer["refusal"]["where"] == "threshold_percent"
