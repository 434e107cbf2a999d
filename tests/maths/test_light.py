"""Accounts of the light on a ground with a print and a shadow on it, drawn in numbers; the fit beside NumPy's."""

from __future__ import annotations

import math
from array import array

import numpy as np
import pytest

from calculators.footprint.line import Line
from calculators.footprint.mask import from_rows
from calculators.footprint.picture import Grey
from calculators.footprint.samples import DARKER, LIGHTER, Fit, Samples, Step
from calculators.footprint.shadow import Shadow, shadow
from calculators.footprint.steps import Accounts
from calculators.footprint.surface import Light, Surface, Tiles

ACROSS, DOWN, SIDE = 40, 30, 5
STEPS = {
    "level": Step(0.0, 1.0, 13.0, 0.6),
    "slanting": Step(math.cos(0.7), math.sin(0.7), 22.0, 1.0),
    "upright, dark on the right": Step(-1.0, 0.0, -17.0, 0.5),
}
HEIGHT = 0.4


def ground(step: Step | None, print_level: float, noise: float = 0.012) -> tuple[Tiles, np.ndarray]:
    """Tiles of a bent ground with a shadow and a print across it, and where the print is."""
    y, x = np.mgrid[0:DOWN, 0:ACROSS].astype(float)
    u, v = 2 * (x + 0.5) / ACROSS - 1, 2 * (y + 0.5) / DOWN - 1
    values = 6.5 + 0.1 * u - 0.05 * v - 0.12 * u * u - 0.08 * v * v
    if step:
        values += HEIGHT * np.vectorize(step.at)(x, y)
    # A print of a fifth of the place, as an oval that the shadow runs across.
    printed = ((x - 19) / 13) ** 2 + ((y - 14) / 5.5) ** 2 < 1
    values += print_level * printed + np.random.default_rng(7).normal(0, noise, values.shape)
    return Tiles(SIDE, ACROSS, DOWN, values.ravel().tolist()), printed


def likeliest(tiles: Tiles) -> list[Light]:
    return list(Accounts(tiles).likeliest())


def apart(one: Step, other: Step) -> tuple[float, float]:
    """Degrees between two lines, and tiles between them at the middle of the place."""
    x, y = (ACROSS - 1) / 2, (DOWN - 1) / 2
    turned = math.remainder(math.atan2(one.ny, one.nx) - math.atan2(other.ny, other.nx), 2 * math.pi)
    aside = (one.nx * x + one.ny * y - one.offset) - (other.nx * x + other.ny * y - other.offset)
    return abs(math.degrees(turned)), abs(aside)


@pytest.mark.parametrize("level", [-0.35, 0.25], ids=["darker", "lighter"])
@pytest.mark.parametrize("name", STEPS)
def test_the_first_account_has_the_shadow_and_tells_the_print_from_it(name, level):
    tiles, printed = ground(STEPS[name], level)
    light = likeliest(tiles)[0]
    assert len(light.steps) == 1
    turned, aside = apart(light.steps[0], STEPS[name])
    assert turned < 1.5
    assert aside < 0.5  # of a tile: the cells tell the rest
    assert light.heights[0] == pytest.approx(HEIGHT, abs=0.02)
    assert light.level == pytest.approx(level, abs=0.02)
    over = np.array(tiles.values) - np.array(light.surface)
    nearer_print = np.abs(over - level) < np.abs(over)
    assert (nearer_print == printed.ravel()).mean() > 0.97


def test_an_even_ground_is_accounted_for_without_a_shadow_first():
    tiles, _ = ground(None, -0.35)
    light = likeliest(tiles)[0]
    assert light.steps == []
    assert light.level == pytest.approx(-0.35, abs=0.02)


def test_no_account_puts_more_than_two_shadows_on_a_ground():
    tiles, _ = ground(STEPS["slanting"], -0.35, noise=0.05)
    assert max(len(light.steps) for light in likeliest(tiles)) <= 2


def test_a_place_of_a_few_tiles_has_no_account():
    for tiles in (Tiles(SIDE, 5, 5, [6.0] * 25), Tiles(SIDE, ACROSS, DOWN, [None] * (ACROSS * DOWN))):
        accounts = Accounts(tiles)
        assert [*accounts.likeliest(), *accounts.second()] == []


def test_second_best_accounts_have_another_line_than_the_best_and_say_that_they_are_second():
    """Two shadows, the deeper one first: the other comes again as the second best of the first round."""
    tiles, _ = ground(STEPS["level"], -0.35)
    other = STEPS["upright, dark on the right"]
    values = [value + 0.3 * other.at(at % ACROSS, at // ACROSS) for at, value in enumerate(tiles.values)]
    accounts = Accounts(tiles._replace(values=values))
    assert list(accounts.second()) == [], "nothing is second before there is a best"
    best = [light for light in accounts.likeliest() if light.steps]
    second = list(accounts.second())
    assert second
    assert all(light.second for light in second)
    assert not any(light.second for light in best)
    for light in second:
        alone = next(one for one in best if len(one.steps) == len(light.steps))
        turned, aside = apart(light.steps[-1], alone.steps[-1])
        assert turned > 2 or aside > 1


def test_where_no_line_explains_more_than_none_does_nothing_is_second_best():
    """A ground of blots: lines are begun with all along their edges, and none of them is a shadow's."""
    draw = np.random.default_rng(11)
    y, x = np.mgrid[0:DOWN, 0:ACROSS].astype(float)
    blots = sum(
        (x - a) ** 2 + (y - b) ** 2 < 9 for a, b in zip(draw.uniform(0, 40, 30), draw.uniform(0, 30, 30), strict=True)
    )
    values = 6.5 - 0.4 * np.minimum(1, blots) + draw.normal(0, 0.012, x.shape)
    accounts = Accounts(Tiles(SIDE, ACROSS, DOWN, values.ravel().tolist()))
    best = list(accounts.likeliest())
    assert len(best) > 1, "a line was tried, so there are others to try"
    assert list(accounts.second()) == []


def test_terms_are_fitted_as_numpy_fits_them():
    draw = np.random.default_rng(3)
    terms = draw.normal(size=(4, 60))
    values = draw.normal(size=60)
    samples = Samples(range(60), [0] * 60, values.tolist(), terms.tolist())
    fit = samples.first(samples.terms, DARKER.begins)
    wanted, *_ = np.linalg.lstsq(terms.T, values, rcond=None)
    assert fit.factors == pytest.approx(wanted.tolist(), abs=1e-7)
    assert fit.rest == pytest.approx((values - terms.T @ wanted).tolist(), abs=1e-7)


def test_a_place_of_print_costs_less_than_one_that_is_neither():
    ground_alone, printed, neither = (Fit([], [left], -0.3).misfit() for left in (0.0, -0.3, 0.4))
    assert ground_alone == 0 < printed < 0.2
    assert neither > 0.9


def test_a_print_is_held_to_the_side_that_a_fit_began_on():
    tiles, _ = ground(None, -0.35)
    values = [value for value in tiles.values if value is not None]
    samples = Samples(range(len(values)), [0] * len(values), values, [[1.0] * len(values)])
    assert samples.fitted(samples.terms, DARKER).level == pytest.approx(-0.35, abs=0.1)
    assert samples.fitted(samples.terms, LIGHTER).level >= LIGHTER.low


def test_a_line_moves_to_the_edge_from_some_way_off():
    tiles, _ = ground(STEPS["slanting"], -0.35)
    true = STEPS["slanting"]
    begun = Step(math.cos(0.75), math.sin(0.75), true.offset + 1.5, 1.5)
    line = Line(Surface(tiles), [], begun, DARKER)
    line.sharpen((0.25, 0.2, 0.12, 0.07, 0.05))
    before, after = apart(begun, true), apart(line.step, true)
    assert after[0] < before[0] / 3
    assert after[1] < 0.2 < before[1]


def test_the_edge_of_a_shadow_is_found_on_cells_as_it_falls():
    """A fall that is no curve of the model: straight over 12 cells, under a print on a third of the line."""
    width, height = ACROSS * SIDE, DOWN * SIDE
    y, x = np.mgrid[0:height, 0:width] + 0.5
    way = (math.cos(1.1), math.sin(1.1))
    from_edge = x * way[0] + y * way[1] - 130.0
    dark = 0.65
    values = 2000 * (1 - (1 - dark) * np.clip(0.5 - from_edge / 12, 0, 1))
    values[40:70, 60:140] *= 0.7
    values *= 1 + np.random.default_rng(5).normal(0, 0.01, values.shape)
    grey = Grey(width, height, 1, array("H", values.astype(int).ravel().tolist()))
    place = from_rows(width, ["1" * width] * height)
    on_tiles = Step(math.cos(1.12), math.sin(1.12), 130.0 / SIDE - 0.5 * sum(way) + 0.6, 0.8)
    found = shadow(grey, [[2000.0] * width] * height, place, on_tiles, -math.log(dark), -0.35, SIDE)
    assert abs(math.atan2(found.ny, found.nx) - 1.1) < math.radians(0.5)
    for row in (5, 75, 140):
        wanted = 1 - (1 - dark) * np.clip(0.5 - from_edge[row] / 12, 0, 1)
        off = np.array(found.row(0.0, row + 0.5, 1.0, width)) / wanted
        assert np.abs(off - 1).max() < 0.03


@pytest.mark.parametrize("turned", [-4, 4])
def test_the_edge_of_a_shadow_is_found_on_cells_from_four_degrees_and_four_cells_off(turned):
    """Between the true line and the one begun with, cells look like print: as deep as one, and as many."""
    width, height, across = ACROSS * SIDE, DOWN * SIDE, math.radians(90)
    y, _ = np.mgrid[0:height, 0:width] + 0.5
    values = 2000 * np.exp(-0.55 * np.clip(0.5 - (y - 70) / 6, 0, 1))
    values[:, 90:120] *= math.exp(-0.3)
    values *= 1 + np.random.default_rng(5).normal(0, 0.01, values.shape)
    grey = Grey(width, height, 1, array("H", values.astype(int).ravel().tolist()))
    place = from_rows(width, ["1" * width] * height)
    begun = across + math.radians(turned)
    nx, ny = math.cos(begun), math.sin(begun)
    offset = (nx * width / 2 + ny * 74) / SIDE - 0.5 * (nx + ny)
    found = shadow(grey, [[2000.0] * width] * height, place, Step(nx, ny, offset, 0.5), 0.55, -0.3, SIDE)
    assert abs(math.atan2(found.ny, found.nx) - across) < math.radians(0.3)
    assert abs(found.nx * width / 2 + found.ny * 70 - found.offset) < 0.5


@pytest.mark.parametrize("way", [(1.0, 0.0), (-1.0, 0.0), (0.0, 1.0), (0.0, -1.0), (0.6, 0.8)])
def test_a_row_of_a_shadow_is_what_its_fall_says(way):
    fall = [0.5, 0.5, 0.6, 0.8, 0.9, 1.0, 1.0]
    edge = Shadow(*way, 10.0 * sum(way), 3, fall)
    for y in (0.5, 9.7, 12.0, 30.0):
        at = way[0] * (np.arange(40) * 0.5 + 0.25 - 1.0) + way[1] * y - edge.offset + 3
        wanted = np.interp(at, range(7), fall)
        assert edge.row(-1.0, y, 0.5, 40) == pytest.approx(wanted.tolist(), abs=1e-9)
