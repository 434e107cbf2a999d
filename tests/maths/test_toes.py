"""The line that takes the toes off a print, on outlines drawn in millimetres."""

from __future__ import annotations

import math

import numpy as np
import pytest
import shapely

from calculators.footprint.likeness import WITH_TOES, WITHOUT, may_be
from calculators.footprint.sole import assembled, pieces
from calculators.footprint.toes import FINELY, edges_at, level, toe_line, widths_at

FRONT = 190.0


def body(bump: float = 0.0, at: float = 0.0):
    """A sole of 190 mm from heel to ball, 80 mm wide, anticlockwise; a bump of 5 mm stands on its front."""
    v = np.linspace(-40, 40, 161)
    front = FRONT - 60 + 60 * np.sqrt(1 - (v / 40) ** 2) + bump * (np.abs(v - at) < 2.5)
    rear = 30 - 30 * np.sqrt(np.clip(1 - (v / 27) ** 2, 0, 1))
    inside = np.abs(v) < 27
    return [*zip(rear[inside], v[inside], strict=True), *zip(front[::-1], v[::-1], strict=True)]


def toes():
    angles = np.linspace(0, 2 * np.pi, 40)[:-1]
    return [
        list(zip(u + wide * np.cos(angles), v + wide * np.sin(angles), strict=True))
        for u, v, wide in ((212, -26, 12), (212, -4, 8), (207, 13, 7), (198, 28, 6), (186, 40, 5))
    ]


@pytest.mark.parametrize(("at", "high"), [(-4.0, 4.0), (-4.0, 6.0), (12.0, 4.0)])
def test_what_stands_out_of_the_ball_like_a_joint_does_not_move_the_toe_line_forward(at, high):
    plain, _ = toe_line([body(), *toes()], FINELY)
    bumpy, crossed = toe_line([body(high, at), *toes()], FINELY)
    front = FRONT - 60 + 60 * np.sqrt(1 - (at / 40) ** 2)
    assert abs(level(plain, at) - front) < 1
    assert level(bumpy, at) < front + 3
    assert crossed < 12, "it runs through the bump and through nothing else"


def test_a_sole_may_be_one_either_with_or_without_its_toes_and_a_disc_may_not():
    angles = np.linspace(0, 2 * np.pi, 80)[:-1]
    disc = [list(zip(60 * np.cos(angles), 60 * np.sin(angles), strict=True))]
    strip = [[(0.0, 0.0), (300.0, 0.0), (300.0, 20.0), (0.0, 20.0)]]
    for limits in (WITH_TOES, WITHOUT):
        assert may_be([body()], (1.0, 0.0), limits)
        assert not may_be(disc, (1.0, 0.0), limits)
        assert not may_be(strip, (1.0, 0.0), limits)
    assert not may_be([body()], (0.0, 1.0), WITHOUT), "nor a sole that lies across"


def test_edges_across_are_those_that_shapely_finds():
    rings = [body(5.0, -4.0), *toes()]
    edges = shapely.MultiLineString([[*ring, ring[0]] for ring in rings])
    places = [-5.0, 0.3, 17.0, 64.25, 131.0, 188.5, 193.0, 205.0, 230.0]
    widths = widths_at(rings, places)
    for u, (least, most), width in zip(places, edges_at(rings, places), widths, strict=True):
        crossed = edges.intersection(shapely.LineString([(u, -100), (u, 100)]))
        if crossed.is_empty:
            assert (least, most, width) == (math.inf, -math.inf, 0.0)
        else:
            _, low, _, high = crossed.bounds
            assert (least, most, width) == pytest.approx((low, high, high - low), abs=1e-9)


def oval(u, v, long, wide):
    angles = np.linspace(0, 2 * np.pi, 60)[:-1]
    return list(zip(u + long * np.cos(angles), v + wide * np.sin(angles), strict=True))


@pytest.mark.parametrize(("big", "toes_seen"), [(0.15, 2), (0.25, 1)])
def test_a_big_toe_is_one_beside_a_ball_and_a_heel_that_stand_apart(big, toes_seen):
    """An empty midfoot leaves a small body, of which a big toe makes up more than of a whole sole."""
    heel, ball = oval(30, 0, 30, 26), oval(160, 0, 28, 42)
    wide = np.sqrt(big * (30 * 26 + 28 * 42) / 1.3)
    rings = [heel, ball, oval(205, 28, 1.3 * wide, wide), oval(200, -10, 9, 8)]
    soles = [sole for sole in assembled(pieces(rings, 10, 10)) if len(sole.body) == 2 and sole.forward[0] > 0]
    assert [len(sole.toes) for sole in soles] == [toes_seen]
