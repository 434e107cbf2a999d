"""The scale sheet in drawn photographs: its discs are found where they lie, and a print on it gets its size."""

import json
import math

import numpy as np
import pytest
from prints import scale_sheet
from prints.resized import buffer, measured, request
from prints.scale_sheet import Taken
from prints.score import judge

from calculators.api import call
from calculators.footprint import sheet_marks
from calculators.footprint.picture import lightness, reduced
from calculators.footprint.rectify import SHEETS, rectify

SMALL = (900, 1200)
SHADOW = {"shadow": 0.65, "shadow_deg": 20.0, "shadow_at": 10.0, "penumbra_mm": 12.0}
ASKED = {"sheet": "scale"}
# How far a middle may be off, in pixels, and a length and a width, in mm.
NEAR_PX, NEAR_MM = 0.25, 0.6

CASES = {
    "from straight above": Taken(tilt=0, roll=0, height=480),
    "tilted by 25 degrees": Taken(seed=2, tilt=25, toward=200, roll=170, height=560),
    "lying across": Taken(seed=3, tilt=10, roll=95, ground="wood", height=560),
    "on paper of the other size": Taken(seed=4, paper="letter", ground="tile", height=480),
    "on a floor as white as paper": Taken(seed=5, ground="light floor", tilt=12, height=480),
    "on brown paper": Taken(seed=8, look="kraft card", height=480),
    "far away": Taken(seed=6, height=900, pixels=(1500, 2000)),
    "across a shadow's edge": Taken(seed=7, light=SHADOW, height=520),
}


@pytest.mark.parametrize("case", CASES)
def test_a_print_on_the_sheet_gets_its_size(case):
    taken = CASES[case]
    pixels = taken.pixels if case == "far away" else SMALL
    rgb, true = scale_sheet.photograph(Taken(**{**taken.__dict__, "pixels": pixels}))
    result = measured(rgb, ASKED)
    assert scale_sheet.off_px(result["corners"], true["marks"]) < NEAR_PX
    assert result["scale"]["from"] == "sheet"
    errors = judge(result, true["prints"][0]).errors
    assert {key: off for key, off in errors.items() if key.endswith("_mm") and abs(off) > NEAR_MM} == {}
    assert abs(errors["arch_index"]) < 0.005
    assert result["warnings"] == []


@pytest.mark.parametrize("missing", [(0,), (2,), (4,)], ids=["a corner", "another corner", "the fifth"])
def test_a_disc_that_is_covered_is_told_and_nothing_is_guessed(missing):
    rgb, _ = scale_sheet.photograph(Taken(pixels=SMALL, height=480, missing=missing))
    result = measured(rgb, ASKED)
    assert result["corners"] is None
    assert result["lengths"] is None
    assert "sheet_not_found" in result["warnings"]


def test_a_mirrored_photograph_of_the_sheet_is_no_sheet():
    rgb, _ = scale_sheet.photograph(Taken(pixels=SMALL, height=480))
    result = measured(np.ascontiguousarray(rgb[:, ::-1]), ASKED)
    assert "sheet_not_found" in result["warnings"]


def test_middles_set_by_hand_count_as_those_that_are_found():
    rgb, true = scale_sheet.photograph(Taken(pixels=SMALL, height=480, missing=(4,)))
    result = measured(rgb, {**ASKED, "corners": true["marks"]})
    errors = judge(result, true["prints"][0]).errors
    assert abs(errors["toeless_mm"]) < NEAR_MM


def test_a_picture_without_the_sheet_has_no_discs():
    rgb, _ = scale_sheet.photograph(Taken(pixels=SMALL, height=480, missing=(0, 1, 2, 3, 4)))
    answer = json.loads(call(request(rgb, ASKED), buffer(rgb)))
    assert "sheet_not_found" in answer["result"]["warnings"]


def test_the_free_place_lies_between_the_discs_whichever_way_the_sheet_lies():
    across, along = SHEETS["scale"].size_mm
    inwards, outwards = sheet_marks.INWARDS_MM, sheet_marks.OUTWARDS_MM
    area = (across - 2 * inwards) * (along + 2 * outwards)
    for corners in ([(0, 250), (180, 250), (180, 0), (0, 0)], [(0, 180), (250, 180), (250, 0), (0, 0)]):
        free = sheet_marks.free_place(rectify(corners, SHEETS["scale"].size_mm, (300, 300)))
        found = sum(x0 * y1 - x1 * y0 for (x0, y0), (x1, y1) in zip(free, free[1:] + free[:1], strict=True)) / 2
        assert math.isclose(abs(found), area, rel_tol=1e-6)
        long = max(math.dist(one, other) for one, other in zip(free, free[1:] + free[:1], strict=True))
        assert math.isclose(long, along + 2 * outwards, rel_tol=1e-6)


def test_a_picture_full_of_dots_is_no_sheet_and_takes_no_longer(monkeypatch):
    """Dots in rows, the size and the distances of those of a sheet: each four of them would have to be asked about."""
    high, wide = np.mgrid[0:900, 0:700]
    rgb = np.where(np.hypot(wide % 36 - 18, high % 36 - 18) < 7, 20, 235).astype(np.uint8)
    discs = list(sheet_marks._discs(grey_of(rgb)))
    assert len(discs) > 100
    looked_at = discs[: sheet_marks._MOST_LOOKED_AT]
    assert len(list(sheet_marks._sheets(looked_at))) < 20 * sheet_marks._MOST_ASKED
    asked, off = [], sheet_marks._off
    monkeypatch.setattr(sheet_marks, "_off", lambda *given: asked.append(1) or off(*given))
    answer = json.loads(call(request(np.dstack([rgb] * 3), ASKED), buffer(np.dstack([rgb] * 3))))
    assert 0 < len(asked) <= sheet_marks._MOST_ASKED
    assert not answer["ok"] or "sheet_not_found" in answer["result"]["warnings"]


def grey_of(rgb):
    pixels = buffer(np.dstack([rgb] * 3))
    return lightness(*reduced(pixels, rgb.shape[1], rgb.shape[0]))
