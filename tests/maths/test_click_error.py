"""How sure an angle from clicked points is: the formula against rows, against chance, and against an outside judge.

The judge is the law of propagation of uncertainty by numerical derivatives, written here. It is itself held against the
published example H.2 of jcgm_100_2008 before it judges anything.
"""

import json
import math
import random
import tomllib
from pathlib import Path

import pytest

from calculators.api import call
from calculators.heel.angle import rearfoot_angle_deg
from calculators.heel.marks import click_error_deg
from calculators.heel.measure import click_limit_95_deg

ROWS = tomllib.loads((Path(__file__).parents[1] / "cases" / "heel.toml").read_text("utf-8"))["click"]


def propagate(functions, means, errors, correlations=None):
    """Standard errors of several functions of the same inputs, and the correlations of the results."""

    def slope(function, at):
        step = errors[at] / 1000 or 1e-9
        up, down = list(means), list(means)
        up[at] += step
        down[at] -= step
        return (function(*up) - function(*down)) / (2 * step)

    slopes = [[slope(function, at) for at in range(len(means))] for function in functions]

    def covariance(one, two):
        return math.fsum(
            one[i] * two[j] * errors[i] * errors[j] * (1 if i == j else (correlations or {}).get(frozenset((i, j)), 0))
            for i in range(len(means))
            for j in range(len(means))
        )

    standard = [math.sqrt(covariance(one, one)) for one in slopes]
    joint = {
        (a, b): covariance(slopes[a], slopes[b]) / (standard[a] * standard[b])
        for a in range(len(functions))
        for b in range(a)
    }
    return standard, joint


def test_the_judge_gives_the_published_example_of_the_guide():
    # jcgm_100_2008, example H.2, published: R 127.732(70), X 219.85(30), |Z| 254.26(24); correlations of -0.59, -0.49
    # and +0.99. Means, errors and correlations of the inputs as published there.
    def resistance(v, i, phi):
        return v * math.cos(phi) / i

    def reactance(v, i, phi):
        return v * math.sin(phi) / i

    def impedance(v, i, phi):
        return v / i

    means, errors = (4.999, 0.019661, 1.04446), (0.0032, 9.5e-6, 7.5e-4)
    correlations = {frozenset((0, 1)): -0.36, frozenset((0, 2)): 0.86, frozenset((1, 2)): -0.65}
    functions = (resistance, reactance, impedance)
    standard, joint = propagate(functions, means, errors, correlations)
    published = ((127.732, 3, 0.070), (219.85, 2, 0.30), (254.26, 2, 0.24))
    for function, error, (value, digits, uncertainty) in zip(functions, standard, published, strict=True):
        assert round(function(*means), digits) == value
        assert error == pytest.approx(uncertainty, abs=0.005)
    assert joint[1, 0] == pytest.approx(-0.59, abs=0.005)
    assert joint[2, 0] == pytest.approx(-0.49, abs=0.005)
    assert joint[2, 1] == pytest.approx(0.99, abs=0.005)


def angle_of(*numbers):
    points = list(zip(numbers[::2], numbers[1::2], strict=True))
    return rearfoot_angle_deg("right", (points[0], points[1]), (points[2], points[3]))


@pytest.mark.parametrize(
    "numbers",
    [
        (400, 100, 400, 400, 400, 450, 410, 570),
        (410, 100, 394, 400, 396, 450, 404, 570),
        (420, 95, 411, 390, 408, 450, 421, 566),
        (100, 100, 300, 250, 290, 300, 320, 330),
    ],
)
@pytest.mark.parametrize("sigma", [0.5, 2, 5])
def test_the_formula_agrees_with_the_judge_wherever_the_points_lie(numbers, sigma):
    (standard,), _ = propagate((angle_of,), numbers, [sigma] * 8)
    leg, heel = ((numbers[0:2], numbers[2:4]), (numbers[4:6], numbers[6:8]))
    assert click_error_deg(leg, heel, sigma) == pytest.approx(standard, rel=1e-5)


@pytest.mark.parametrize("row", ROWS, ids=[f"{row['sigma']} on {row['leg']} and {row['heel']}" for row in ROWS])
def test_lines_of_these_lengths_have_this_click_error(row):
    leg, heel = ((0, 0), (0, row["leg"])), ((0, 500), (0, 500 + row["heel"]))
    one = click_error_deg(leg, heel, row["sigma"])
    assert one == pytest.approx(row["angle"], abs=0.0001)
    assert math.hypot(one, one) == pytest.approx(row["difference"], abs=0.0001)
    assert click_limit_95_deg([one, one]) == pytest.approx(row["limit"], abs=0.001)


@pytest.mark.parametrize("sigma", [2, 3, 5])
def test_clicking_at_random_scatters_the_angle_as_the_formula_says(sigma):
    # Lines of 300 and 120.4 pixels; computed: 1.4502, 2.1753 and 3.6254 degrees. 20,000 draws know a spread to 0.5 %.
    numbers = (400, 100, 400, 400, 400, 450, 410, 570)
    chance = random.Random(20_250_102)
    angles = [angle_of(*(number + chance.gauss(0, sigma) for number in numbers)) for _ in range(20_000)]
    mean = math.fsum(angles) / len(angles)
    spread = math.sqrt(math.fsum((angle - mean) ** 2 for angle in angles) / (len(angles) - 1))
    formula = click_error_deg((numbers[0:2], numbers[2:4]), (numbers[4:6], numbers[6:8]), sigma)
    assert formula == pytest.approx({2: 1.4502, 3: 2.1753, 5: 3.6254}[sigma], abs=0.0001)
    assert spread == pytest.approx(formula, rel=0.02)


def test_the_formula_still_holds_within_a_tenth_on_the_shortest_line_that_is_taken():
    # The heel line is five click errors long: any shorter one is refused.
    leg, heel, sigma = ((0.0, 0.0), (0.0, 300.0)), ((0.0, 350.0), (0.0, 360.0)), 2
    chance = random.Random(20_250_103)
    numbers = (*leg[0], *leg[1], *heel[0], *heel[1])
    angles = [angle_of(*(number + chance.gauss(0, sigma) for number in numbers)) for _ in range(20_000)]
    spread = math.sqrt(math.fsum(angle**2 for angle in angles) / len(angles))
    assert spread == pytest.approx(click_error_deg(leg, heel, sigma), rel=0.1)
    request = {"action": "heel_angle", "input": {"click_error": sigma, "left": {"leg": leg, "heel": heel}}}
    assert json.loads(call(json.dumps(request)))["ok"]
    request["input"]["click_error"] = 2.001
    refusal = json.loads(call(json.dumps(request)))["refusal"]
    assert (refusal["key"], refusal["where"]) == ("line_too_short", "left.heel")
