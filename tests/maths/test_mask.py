"""Sets of cells beside scikit-image: parts, growing, shrinking, opening, and spreading inside a set."""

from __future__ import annotations

import numpy as np
import pytest
from skimage.measure import label, regionprops
from skimage.morphology import dilation, erosion

from calculators.footprint.mask import Mask, from_parts, from_rows, full, parts

CROSS, SQUARE = np.array([[0, 1, 0], [1, 1, 1], [0, 1, 0]]), np.ones((3, 3), int)
SEEDS = range(6)


def cells(seed: int) -> np.ndarray:
    """Random cells, from a sprinkle to large parts that touch the edge of the picture."""
    draw = np.random.default_rng(seed)
    height, width = (int(side) for side in draw.integers(1, 70, 2))
    made = draw.random((height, width)) < draw.uniform(0.05, 0.7)
    for _ in range(seed % 3):
        made = dilation(made, SQUARE)
    return made


def mask(made: np.ndarray) -> Mask:
    return from_rows(made.shape[1], ["".join("01"[cell] for cell in row) for row in made.astype(int)])


def array(made: Mask) -> np.ndarray:
    return np.array([[cell == "1" for cell in row] for row in made.rows()])


def grown(made: np.ndarray, steps: int) -> np.ndarray:
    """By a cross and by a square in turn."""
    for step in range(steps):
        made = dilation(made, SQUARE if step % 2 else CROSS)
    return made


def shrunk(made: np.ndarray, steps: int) -> np.ndarray:
    """The same the other way; beyond the picture there is nothing."""
    around = np.pad(made, steps + 1)
    for step in range(steps):
        around = erosion(around, SQUARE if step % 2 else CROSS)
    return around[steps + 1 : -steps - 1, steps + 1 : -steps - 1]


@pytest.mark.parametrize("seed", SEEDS)
def test_parts_are_the_regions_that_scikit_image_labels(seed):
    made = cells(seed)
    regions = {
        (region.area, (region.bbox[1], region.bbox[0], region.bbox[3], region.bbox[2])): region
        for region in regionprops(label(made, connectivity=2))
    }
    found = parts(mask(made))
    assert sorted((part.cells, part.box) for part in found) == sorted(
        (int(region.area), (region.bbox[1], region.bbox[0], region.bbox[3], region.bbox[2]))
        for region in regionprops(label(made, connectivity=2))
    )
    assert [part.cells for part in found] == sorted((part.cells for part in found), reverse=True)
    for part in found[:5]:
        region = regions[part.cells, part.box]
        alone = array(from_parts(made.shape[1], made.shape[0], [part]))
        assert alone.sum() == region.area
    assert np.array_equal(array(from_parts(made.shape[1], made.shape[0], found)), made)
    least = 4
    assert parts(mask(made), least) == [part for part in found if part.cells >= least]


@pytest.mark.parametrize("seed", SEEDS)
@pytest.mark.parametrize("steps", [1, 2, 3, 5])
def test_wider_narrower_and_opened_are_those_of_scikit_image(seed, steps):
    made = cells(seed)
    assert np.array_equal(array(mask(made).wider(steps)), grown(made, steps))
    assert np.array_equal(array(mask(made).narrower(steps)), shrunk(made, steps))
    assert np.array_equal(array(mask(made).opened(steps)), grown(shrunk(made, steps), steps))


@pytest.mark.parametrize("seed", SEEDS)
@pytest.mark.parametrize("steps", [1, 4, 60])
def test_what_spreads_stays_inside_and_takes_as_many_steps_as_it_may(seed, steps):
    made = cells(seed)
    seeds = np.random.default_rng(seed).random(made.shape) < 0.02
    spread = made & seeds
    for _ in range(steps):
        spread = dilation(spread, SQUARE) & made
    assert np.array_equal(array(mask(made).spread_from(mask(seeds), steps)), spread)


def test_counting_and_joining_are_those_of_arrays():
    one, other = cells(3), np.roll(cells(3), 2, 1)
    a, b = mask(one), mask(other)
    assert a.size() == one.sum()
    assert np.array_equal(array(a & b), one & other)
    assert np.array_equal(array(a | b), one | other)
    assert np.array_equal(array(a.without(b)), one & ~other)
    assert full(*one.shape[::-1]).size() == one.size
