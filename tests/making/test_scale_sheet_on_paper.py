"""The scale sheet on paper: its discs lie where the calculators look, and nothing is printed where one steps."""

import pytest

from calculators.footprint import sheet_marks
from calculators.footprint.rectify import SHEETS
from treadleaf import scale_sheet

# What most printers leave out at the edge of a paper (common practice), and how high letters of 12 points stand.
LEFT_OUT_MM, LETTERS_MM = 4.2, 4.3


@pytest.fixture(params=["A4", "Letter"])
def laid(request):
    return scale_sheet.layout(request.param)


def test_the_discs_lie_as_the_calculators_have_them(laid):
    (left, low, _), (right, _, _), (_, high, _), _, (fifth_x, fifth_y, fifth) = laid.discs
    assert (right - left, low - high) == pytest.approx(SHEETS["scale"].size_mm)
    assert (fifth_x - left, low - fifth_y) == pytest.approx(sheet_marks.FIFTH_MM)
    assert [radius for _, _, radius in laid.discs] == [sheet_marks.RADIUS_MM] * 4 + [fifth]
    assert fifth == sheet_marks.FIFTH_RADIUS_MM


def test_all_that_is_printed_stands_within_what_printers_print(laid):
    for x, y, radius in laid.discs:
        assert min(x, y) - radius >= LEFT_OUT_MM
        assert x + radius <= laid.width - LEFT_OUT_MM
        assert y + radius <= laid.height - LEFT_OUT_MM
    # Letters rise to the left of the line that they stand on, on either side of the sheet.
    assert laid.left[1] - 0.75 * LETTERS_MM >= LEFT_OUT_MM
    assert laid.right[1] + 0.25 * LETTERS_MM <= laid.width - LEFT_OUT_MM


def test_no_word_stands_where_one_steps(laid):
    (left, low, _), (right, _, _), (_, high, _), _, _ = laid.discs
    start, end = left + sheet_marks.INWARDS_MM, right - sheet_marks.INWARDS_MM
    assert max(laid.left) + 0.25 * LETTERS_MM < start
    assert min(laid.right) - 0.75 * LETTERS_MM > end
    assert high - sheet_marks.OUTWARDS_MM > 0
    assert low + sheet_marks.OUTWARDS_MM < laid.height


def test_the_line_to_check_by_is_as_long_as_its_words_say(laid):
    assert abs(laid.bar[0] - laid.bar[1]) == laid.bar_mm
