"""Real prints as photographs: the open mean walking prints of 104 adults (pataky_2011), drawn on a sheet and measured.

What is expected was counted on the cells themselves, with the toes cut by hand and the axis upright. So the axis is
given to the engine, and the toes are cut as they were counted: already in the drawing, or by the given line.
"""

import json

import numpy as np
import pytest
from prints import mun104
from prints.truth import measure

from calculators.api import call

TILTS = {0: 5.0, 10: 10.0, 20: 15.0, 30: 20.0}
TOLERANCE = (0.01, 2.0, 0.03)
INDICES = ("arch_index", "chippaux_smirak_index", "staheli_index")


@pytest.fixture(autouse=True)
def _data():
    if (why := mun104.missing()) is not None:
        pytest.skip(why)


@pytest.mark.parametrize(("side", "above"), mun104.COUNTED)
def test_the_drawn_outline_has_the_indices_that_were_counted_on_cells(side, above):
    true = measure(mun104.foot(side, above, toes=False), given=mun104.axis(side))
    counted = mun104.COUNTED[side, above]
    # Bilinear corners take a little off each cell that sticks out.
    assert true.arch_index == pytest.approx(counted[0], abs=0.001)
    assert true.chippaux_smirak_index == pytest.approx(counted[1], abs=0.1)
    assert true.staheli_index == pytest.approx(counted[2], abs=0.002)


@pytest.mark.parametrize(("side", "above"), mun104.TOES_ADD)
def test_toes_left_in_raise_the_arch_index_of_the_outline_as_counted(side, above):
    kept, cut = (measure(mun104.foot(side, above, toes=toes), given=mun104.axis(side)) for toes in (True, False))
    assert kept.arch_index - cut.arch_index == pytest.approx(mun104.TOES_ADD[side, above], abs=0.002)


def _measured(picture, side, toe_line):
    height, width = picture.rgb.shape[:2]
    pixels = np.dstack([picture.rgb, np.full((height, width), 255, np.uint8)]).tobytes()
    asked = {"width": width, "height": height, "foot": side, "sheet": "a4", "feet": 1, "view": "floor"}
    marked = {"axis": picture.axis, "toe_line": toe_line}
    answer = json.loads(call(json.dumps({"action": "footprint_photo", "input": {**asked, **marked}}), pixels))
    assert answer["ok"], answer
    return {key: answer["result"]["indices"][key]["value"] for key in INDICES}


def _near(found, expected):
    for key, value, tolerance in zip(INDICES, expected, TOLERANCE, strict=True):
        assert found[key] == pytest.approx(value, abs=tolerance), key


@pytest.mark.parametrize(("side", "above"), mun104.COUNTED)
def test_a_photographed_real_print_gives_the_indices_that_were_counted(side, above):
    picture = mun104.picture(side, above, TILTS[above], toes=False)
    _near(_measured(picture, side, picture.beyond), mun104.COUNTED[side, above])


@pytest.mark.parametrize(("side", "above"), mun104.TOES_ADD)
def test_a_given_toe_line_cuts_a_photographed_real_print_where_it_lies(side, above):
    picture = mun104.picture(side, above, TILTS[above], toes=True)
    true = measure(mun104.cut_by_line(side, above), given=mun104.axis(side))
    _near(_measured(picture, side, picture.toe_line), [getattr(true, key) for key in INDICES])


@pytest.mark.parametrize(("side", "above"), mun104.TOES_ADD)
def test_toes_left_in_raise_the_arch_index_of_a_photographed_real_print(side, above):
    pictures = [mun104.picture(side, above, TILTS[above], toes=toes) for toes in (True, False)]
    kept, cut = (_measured(picture, side, picture.beyond)["arch_index"] for picture in pictures)
    assert kept - cut == pytest.approx(mun104.TOES_ADD[side, above], abs=0.01)
