"""The scale sheet from the printer: photographed with a print on it, it is found and gives the print its size."""

from __future__ import annotations

import numpy as np
import pypdfium2
import pytest
from browser.hosts import Host
from browser.states import NO_IDLE
from prints import scale_sheet
from prints.resized import measured
from prints.score import judge
from skimage.measure import label, regionprops

from calculators.footprint import sheet_marks

PATH = "staff/scale-sheet.html"
PER_MM = 5
MM_PER_POINT = 25.4 / 72
TAKEN = {
    "from above": {"seed": 11, "tilt": 3.0, "height": 480.0},
    "tilted, from the other end": {"seed": 12, "tilt": 22.0, "toward": 120.0, "roll": 175.0, "height": 560.0},
    "in shade, on wood": {"seed": 13, "ground": "wood", "height": 520.0, "light": {"shadow": 0.7, "penumbra_mm": 20.0}},
}


@pytest.fixture
def leaf(visitor, paper: tuple[Host, str]) -> tuple[scale_sheet.Leaf, str]:
    """The second leaf that the page prints, and the name of its paper."""
    host, name = paper
    printed = visitor.open(host, PATH, first=NO_IDLE).pdf(prefer_css_page_size=True)
    document = pypdfium2.PdfDocument(printed)
    assert len(document) == 3, "what to do, the sheet, and the rest"
    drawn = document[1].render(scale=PER_MM * MM_PER_POINT).to_pil().convert("L")
    wide, high = (MM_PER_POINT * points for points in document[1].get_size())
    return scale_sheet.Leaf(np.asarray(drawn), (wide, high)), name


def test_it_prints_at_its_true_size_and_with_an_empty_middle(leaf):
    printed, name = leaf
    wide, high = scale_sheet.SHEETS_MM[name.lower()]
    assert printed.size_mm == pytest.approx((wide, high), abs=0.3)
    grey, per_mm = printed.light, printed.light.shape[1] / printed.size_mm[0]
    for at, (middle, radius) in zip(middles(grey < 128, per_mm), scale_sheet.discs(), strict=True):
        assert (at[0] - wide / 2, high / 2 - at[1]) == pytest.approx(middle, abs=0.12)
        assert at[2] == pytest.approx(radius, abs=0.1)
    inside = sheet_marks.ACROSS_MM / 2 - sheet_marks.RADIUS_MM - 1
    left, right = (round((wide / 2 + side * inside) * per_mm) for side in (-1, 1))
    assert grey[:, left:right].min() > 250


def middles(black: np.ndarray, per_mm: float) -> list[tuple[float, float, float]]:
    """Middle and radius in mm of the round black things of a leaf, in the order of `scale_sheet.discs`."""
    found = []
    for thing in regionprops(label(black)):
        round_one = thing.eccentricity < 0.2 and thing.solidity > 0.95 and thing.area > 20 * per_mm
        if round_one:
            row, column = thing.centroid
            radius = thing.equivalent_diameter_area / 2
            found.append(((column + 0.5) / per_mm, (row + 0.5) / per_mm, radius / per_mm))
    assert len(found) == 5
    *four, fifth = sorted(found, key=lambda disc: -disc[2])
    upper, lower = (
        sorted(sorted(four, key=lambda disc: disc[1])[:2]),
        sorted(sorted(four, key=lambda disc: disc[1])[2:]),
    )
    return [*lower, *reversed(upper), fifth]


@pytest.mark.parametrize("case", TAKEN)
def test_a_photograph_of_the_printed_sheet_with_a_print_on_it_is_measured(leaf, case):
    printed, name = leaf
    taken = scale_sheet.Taken(paper=name.lower(), pixels=(1050, 1400), **TAKEN[case])
    rgb, true = scale_sheet.photograph(taken, printed)
    result = measured(rgb, {"sheet": "scale"})
    assert scale_sheet.off_px(result["corners"], true["marks"]) < 0.4
    errors = judge(result, true["prints"][0]).errors
    assert {key: off for key, off in errors.items() if key.endswith("_mm") and abs(off) > 0.8} == {}
    assert abs(errors["arch_index"]) < 0.006
