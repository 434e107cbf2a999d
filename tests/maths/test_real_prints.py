"""Widths and areas counted afresh on real prints: mean walking prints of 104 adults (pataky_2011, MIT licence).

The files are looked for in the folder named by TREADLEAF_PRINTS, else in ../shared/data/mun104 beside the repository.
"""

import csv
import json
import os
from pathlib import Path

import pytest
from maths.outlines import round_cells

from calculators.api import call
from calculators.footprint.landmarks import LEFTWARD, place
from calculators.footprint.photo_indices import measured, shape

FOLDER = Path(os.environ.get("TREADLEAF_PRINTS") or Path(__file__).parents[2] / ".." / "shared" / "data" / "mun104")
CELL_MM = 5  # taken, not known; the ratios do not depend on it

# The first row of each column that belongs to a toe, chosen by hand; it defines the check, not the anatomy.
TOES_FROM = [48] * 9 + [49] + [50] * 6 + [48, 47, 46, 45] + [44] * 7

# Side, cells above, then the cells kept, the widths in cells, and both indices: own count.
PRINTS = [
    ("R", 0, 523, (19, 7, 13), 36.84, 0.5385),
    ("R", 10, 440, (19, 5, 11), 26.32, 0.4545),
    ("R", 20, 406, (18, 4, 11), 22.22, 0.3636),
    ("R", 30, 376, (17, 2, 11), 11.76, 0.1818),
    ("L", 0, 519, (20, 7, 13), 35.00, 0.5385),
    ("L", 10, 433, (18, 5, 11), 27.78, 0.4545),
]

# The areas of the thirds of the same prints in cells, ball first, and the arch index: own count.
THIRDS = [
    ("R", 0, (227.667, 126.000, 169.333), 0.2409),
    ("R", 10, (200.000, 94.000, 146.000), 0.2136),
    ("R", 20, (192.333, 76.000, 137.667), 0.1872),
    ("R", 30, (181.333, 59.000, 135.667), 0.1569),
    ("L", 0, (225.333, 124.333, 169.333), 0.2396),
    ("L", 10, (194.000, 92.000, 147.000), 0.2125),
]
# How far the toes, left in, raise the arch index, at cells above 0, 10, 20 and 30: own count.
TOES_RAISE = {"R": (0.036, 0.042, 0.065, 0.058), "L": (0.032, 0.039, 0.055, 0.085)}


def rows(side, above, toes_from=TOES_FROM):
    """The columns of each row that touch the ground, heel first, toes cut; the left print is mirrored."""
    if not (FOLDER / f"MUN104{side}.csv").is_file():
        pytest.skip(f"MUN104{side}.csv is not in {FOLDER}; set TREADLEAF_PRINTS to its folder")
    with (FOLDER / f"MUN104{side}.csv").open(encoding="utf-8", newline="") as file:
        grid = [[float(cell) for cell in row] for row in csv.reader(file)]
    if side == "L":
        grid = [row[::-1] for row in grid]
    return [[x for x, cell in enumerate(row) if cell > above and y < toes_from[x]] for y, row in enumerate(grid)]


def outline_indices(print_rows):
    """All indices of the rings round the cells, measured along the columns."""
    rings = round_cells({(x, y) for y, columns in enumerate(print_rows) for x in columns})
    # As stored the big toe is at the left of the right foot; the left print has been mirrored to match.
    return measured(shape(place(rings, (0.0, 1.0), given_axis=((13.5, 0.0), (13.5, 1.0)), medial=LEFTWARD)))


def widths(print_rows):
    """Widest of the front third, narrowest of the middle one, widest of the heel third, as outer extent in cells."""
    touched = [y for y, columns in enumerate(print_rows) if columns]
    first, end = touched[0], touched[-1] + 1
    third = (end - first) / 3

    def extents(low, high):
        return [print_rows[y][-1] - print_rows[y][0] + 1 for y in touched if y + 1 > low and y < high]

    heel, middle, front = (extents(first + part * third, first + (part + 1) * third) for part in range(3))
    return max(front), min(middle), max(heel)


@pytest.mark.parametrize(("side", "above", "cells", "counted", "csi", "si"), PRINTS)
def test_a_real_print_gives_the_widths_and_indices_counted_by_hand(side, above, cells, counted, csi, si):
    found = rows(side, above)
    assert sum(map(len, found)) == cells
    assert widths(found) == counted
    ball, middle, heel = (CELL_MM * width for width in counted)
    request = {"action": "footprint_widths", "input": {"left": {"ball_mm": ball, "middle_mm": middle, "heel_mm": heel}}}
    left = json.loads(call(json.dumps(request)))["result"]["left"]
    # Half of the last digit of the result, and half of the last digit of the row.
    assert left["chippaux_smirak_index"]["value"] == pytest.approx(csi, abs=0.05 + 0.005)
    assert left["staheli_index"]["value"] == pytest.approx(si, abs=0.0005 + 0.00005)


@pytest.mark.parametrize(("side", "above", "cells", "counted", "csi", "si"), PRINTS)
def test_the_outline_round_the_cells_has_the_widths_counted_by_hand(side, above, cells, counted, csi, si):
    found = outline_indices(rows(side, above))
    assert (found["ball_mm"], found["middle_mm"], found["heel_mm"]) == pytest.approx(counted, abs=1e-9)
    assert found["forefoot_mm2"] + found["midfoot_mm2"] + found["heel_mm2"] == pytest.approx(cells, abs=1e-9)
    assert found["chippaux_smirak_index"] == pytest.approx(csi, abs=0.005)
    assert found["staheli_index"] == pytest.approx(si, abs=0.00005)


@pytest.mark.parametrize(("side", "above", "areas", "arch_index"), THIRDS)
def test_the_thirds_of_the_outline_hold_the_cells_counted_by_hand(side, above, areas, arch_index):
    found = outline_indices(rows(side, above))
    assert (found["forefoot_mm2"], found["midfoot_mm2"], found["heel_mm2"]) == pytest.approx(areas, abs=0.0005)
    assert found["arch_index"] == pytest.approx(arch_index, abs=0.00005)


@pytest.mark.parametrize("side", ["R", "L"])
def test_toes_left_in_raise_the_arch_index_as_counted(side):
    for above, raised in zip((0, 10, 20, 30), TOES_RAISE[side], strict=True):
        kept, cut = outline_indices(rows(side, above, [99] * 27)), outline_indices(rows(side, above))
        assert kept["arch_index"] - cut["arch_index"] == pytest.approx(raised, abs=0.0005)
