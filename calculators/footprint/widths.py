"""The three widths of a footprint, taken with a ruler: how sure they are, and what looks odd about them."""

import math

# A heel wider than 11/10 of the ball is worth a second look: own rule. Kept as a fraction of whole numbers, because
# 1.1 has no exact double and a heel of exactly 1.1 times the ball would be flagged or passed by luck.
_BALL_PARTS, _HEEL_PARTS = 11, 10


def width_error_mm(reading_mm: float, edge_mm: float) -> float:
    """How far one width may be off: the root sum of squares of the ruler's reading error and the wet edge's.

    Args:
        reading_mm: reading error of the ruler, in mm.
        edge_mm: how far water may have carried the edge of the print, in mm.

    The rule treats the two as independent, and each width as independent of the others (common practice). For the
    wet edge that is the stated rule and not the whole truth: water that creeps widens every width of a print together.
    A ratio r of two widths then moves by |1 - r| parts where the rule says sqrt(1 + r * r), so the range is wider than
    the edge alone would make it, and the true movement goes one way only. No source for the size of a wet edge was
    found.
    """
    return math.sqrt(reading_mm * reading_mm + edge_mm * edge_mm)


def notes(ball_mm: float, heel_mm: float) -> list[str]:
    """Keys of what looks odd without being wrong: a heel wider than 1.1 times the ball may mean two swapped numbers."""
    return ["heel_wider_than_ball"] if _HEEL_PARTS * heel_mm > _BALL_PARTS * ball_mm else []
