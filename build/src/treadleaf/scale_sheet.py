"""The clinic's scale sheet on paper: where its discs, its free place and its printed lines lie."""

from __future__ import annotations

from dataclasses import dataclass

from calculators.footprint import sheet_marks
from calculators.footprint.rectify import SHEETS

_BAR_MM = 100
# How far from the free place the nearer and the farther line of words stand. They run up the paper on both sides, so
# that at the left they rise away from the place and at the right towards it; most printers leave out the last 4 mm.
_LEFT_MM, _RIGHT_MM = (1.5, 6.3), (4.7, 9.5)


@dataclass(frozen=True)
class Layout:
    """A scale sheet on one paper, in mm from its upper left corner.

    ``discs`` are x, y and radius; ``left`` and ``right`` where the nearer and the farther line of words stand, which
    run up the paper; ``bar`` the two ends of a line of ``bar_mm``, by which a printer is checked.
    """

    width: float
    height: float
    discs: tuple[tuple[float, float, float], ...]
    left: tuple[float, float]
    right: tuple[float, float]
    bar: tuple[float, float]
    bar_mm: int = _BAR_MM


def layout(paper: str) -> Layout:
    """Lay the sheet on the middle of a paper, A4 or Letter."""
    width, height = SHEETS[paper.lower()].size_mm
    left, top = (width - sheet_marks.ACROSS_MM) / 2, (height - sheet_marks.ALONG_MM) / 2
    right, bottom = left + sheet_marks.ACROSS_MM, top + sheet_marks.ALONG_MM
    four = [(left, bottom), (right, bottom), (right, top), (left, top)]
    fifth = (left + sheet_marks.FIFTH_MM[0], bottom - sheet_marks.FIFTH_MM[1])
    start, end = left + sheet_marks.INWARDS_MM, right - sheet_marks.INWARDS_MM
    return Layout(
        width,
        height,
        (
            *((x, y, sheet_marks.RADIUS_MM) for x, y in four),
            (*fifth, sheet_marks.FIFTH_RADIUS_MM),
        ),
        (start - _LEFT_MM[0], start - _LEFT_MM[1]),
        (end + _RIGHT_MM[0], end + _RIGHT_MM[1]),
        (bottom - 20.0, bottom - 20.0 - _BAR_MM),
    )
