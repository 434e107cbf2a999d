"""The range beside an index: it holds the truth, grows with the softness of the edge, and names what moved it."""

import pytest
import shapely
from maths.outlines import rough, sole
from maths.standing import FLAT, Drawn, stand
from prints.feet import make
from prints.truth import measure

from calculators.footprint.edge import as_measured
from calculators.footprint.ranges import ranges

SOFT = 0.15


def ranged(foot, soft=SOFT):
    return ranges(as_measured(stand(Drawn(foot.printed, soft)), FLAT), FLAT)


@pytest.mark.parametrize("side", ["left", "right"])
@pytest.mark.parametrize("arch", [-0.3, 0.05, 0.3, 0.6, 1.0])
def test_a_clean_print_is_measured_truly_and_its_range_holds_the_truth(side, arch):
    foot = make(3, side, length=250, arch=arch)
    true, found = measure(foot), ranged(foot).indices
    marks = {"arch_index": 5e-4, "chippaux_smirak_index": 0.2, "staheli_index": 2e-3, "gamma_deg": 0.1}
    marks |= {"toeless_mm": 0.2, "ball_mm": 0.2, "middle_mm": 0.1, "heel_mm": 0.1}
    for key, off in marks.items():
        index = found[key]
        assert index.value == pytest.approx(getattr(true, key), abs=off), key
        assert index.low <= getattr(true, key) <= index.high, key


def test_a_softer_edge_makes_wider_ranges():
    foot = make(3, "right", length=250, arch=0.5)
    hard, soft = ranged(foot, 0.05), ranged(foot, 0.4)
    assert hard.edge == pytest.approx(0.1, rel=0.02)
    assert soft.edge == pytest.approx(0.8, rel=0.02)
    for key in ("staheli_index", "gamma_deg", "ky_index"):
        one, other = hard.indices[key], soft.indices[key]
        assert other.high - other.low > 2 * (one.high - one.low), key
        assert other.largest_cause == "threshold", key


def test_the_middle_may_err_one_way_and_the_heel_the_other():
    true = measure(foot := make(3, "right", length=250, arch=0.5))
    index = ranged(foot).indices["staheli_index"]
    both = 2 * SOFT
    assert index.high == pytest.approx((true.middle_mm + both) / (true.heel_mm - both), abs=1.5e-3)
    assert index.low == pytest.approx((true.middle_mm - both) / (true.heel_mm + both), abs=1.5e-3)


def test_the_axis_and_the_toe_line_are_named_where_they_move_most():
    found = ranged(make(3, "right", length=250, arch=0.5), 0.05).indices
    assert found["chippaux_smirak_index"].largest_cause == "axis"
    assert found["toeless_mm"].largest_cause == "toe_line"
    # Without a scale the line moves by a fiftieth of the length; only backwards does it cut anything off.
    length = found["toeless_mm"]
    assert 0.2 * 0.02 * length.value < length.value - length.low < 1.1 * 0.02 * length.value


def test_what_nothing_moves_has_no_cause():
    found = ranged(make(3, "right", length=250, arch=-0.5)).indices["chippaux_smirak_index"]
    assert (found.value, found.low, found.high, found.largest_cause) == (0, 0, 0, None)


def test_a_rough_edge_makes_the_ratios_less_sure_and_leaves_the_level_to_itself():
    smooth, torn = (shapely.Polygon(ring) for ring in (sole(), rough(sole(), 0.3, 2)))
    one, other = (ranges(as_measured(stand(Drawn(shape, SOFT)), FLAT), FLAT) for shape in (smooth, torn))
    for key in ("chippaux_smirak_index", "staheli_index"):
        assert other.indices[key].high - other.indices[key].low > 1.2 * (one.indices[key].high - one.indices[key].low)
    assert other.edge < 1.5 * one.edge
