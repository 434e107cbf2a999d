"""A picture for every reason for which a photograph of a print is refused, each made by spoiling one good picture."""

from __future__ import annotations

import json

import numpy as np
import pytest
from PIL import Image, ImageChops, ImageDraw, ImageFilter
from prints import score
from prints.photographs import fresh

from calculators.api import call
from calculators.footprint.steps import Accounts

GROUND, WET = (214, 206, 190), (120, 108, 92)
SHARPER = 4
"""A picture is painted so many times larger and then made smaller: its edges are as soft as a camera's."""

# A right foot on the floor, seen from above: mm from the back of the heel, and from the middle to either side.
_ALONG = [0, 4, 14, 32, 55, 80, 105, 130, 150, 170, 185, 194]
_OUTER = [0, 14, 25, 30, 29, 28, 29, 33, 37, 38, 30, 8]
_INNER = [0, 14, 25, 29, 22, 2, -4, 12, 34, 44, 40, 18]
_TOES = [(222, -33, 19, 13), (230, -9, 14, 9), (223, 8, 12, 8), (212, 22, 11, 8), (198, 34, 10, 8)]


def foot(pen, at, per_mm, *, side="right", turn=0.0, fill=WET):
    """Paint a print whose middle lies at a place of the picture, toes up unless it is turned (degrees)."""
    mirrored = -1 if side == "left" else 1
    cos, sin = np.cos(np.radians(turn)), np.sin(np.radians(turn))

    def to(points):
        along, across = np.array(points, float).T
        x, y = mirrored * across * per_mm, (115 - along) * per_mm
        return [
            (SHARPER * (at[0] + a), SHARPER * (at[1] + b))
            for a, b in zip(cos * x - sin * y, sin * x + cos * y, strict=True)
        ]

    fine = np.linspace(0, 194, 200)
    outer, inner = (_rounded(np.interp(fine, _ALONG, side)) for side in (_OUTER, _INNER))
    inner = -inner
    pen.polygon(to([*zip(fine, outer, strict=True), *zip(fine[::-1], inner[::-1], strict=True)]), fill=fill)
    angles = np.linspace(0, 2 * np.pi, 60)
    for u, v, long, wide in _TOES:
        pen.polygon(to(np.stack([u + long * np.sin(angles), v + wide * np.cos(angles)], 1)), fill=fill)


def _rounded(edge):
    """An edge without the corners that its table gives it; the ends stay."""
    soft = np.convolve(np.pad(edge, 8, "edge"), np.ones(17) / 17, "valid")
    return np.concatenate([edge[:6], soft[6:-6], edge[-6:]])


def picture(paint, width=480, height=640, ground=GROUND):
    """A picture of a plain ground with something on it, and a little noise."""
    large = Image.new("RGB", (width * SHARPER, height * SHARPER), ground)
    paint(ImageDraw.Draw(large))
    small = large.reduce(SHARPER)
    noise = np.random.default_rng(7).normal(0, 2, (height, width, 1))
    return Image.fromarray((np.asarray(small, float) + noise).clip(0, 255).astype(np.uint8))


def ask(made, **asked):
    given = {"width": made.width, "height": made.height, **asked}
    text = json.dumps({"action": "footprint_photo", "input": given})
    answer = json.loads(call(text, made.convert("RGBA").tobytes()))
    return answer, None if answer["ok"] else answer["refusal"]["key"]


def one(at=(240, 320), per_mm=2.0, **how):
    return picture(lambda pen: foot(pen, at, per_mm, **how))


def two():
    def paint(pen):
        foot(pen, (130, 320), 1.8, side="left")
        foot(pen, (350, 320), 1.8)

    return picture(paint)


def two_ways():
    """One print darker than the ground and one lighter: a foot leaves one or the other, so one of them is no print."""

    def paint(pen):
        foot(pen, (130, 320), 1.8, side="left", fill=(110, 105, 95))
        foot(pen, (350, 320), 1.8, fill=(250, 245, 240))

    return picture(paint, ground=(178, 172, 160))


def on_a_sheet(at):
    """A print on a white sheet of A4 on a dark floor, at 1.5 pixels a millimetre."""

    def paint(pen):
        pen.rectangle([SHARPER * edge for edge in (80, 100, 80 + 315, 100 + 445.5)], fill=(243, 243, 240))
        foot(pen, at, 1.5, fill=(150, 150, 148))

    return picture(paint, ground=(92, 84, 76))


CORNERS = [[80, 545.5], [395, 545.5], [395, 100], [80, 100]]
REFUSED = {
    "no_print": (lambda: picture(lambda pen: None), {}),
    "more_prints": (two, {}),
    "two_candidates": (two_ways, {}),
    "cut_by_edge": (lambda: one(at=(240, 520)), {}),
    "print_too_small": (lambda: one(per_mm=0.65), {}),
    "blurred": (lambda: one().filter(ImageFilter.GaussianBlur(14)), {}),
    "too_faint": (lambda: one(fill=tuple(part - 15 for part in GROUND)), {}),
    "over_sheet_edge": (lambda: on_a_sheet((237, 205)), {"sheet": "a4", "corners": CORNERS}),
    "sheet_not_possible": (one, {"sheet": "a4", "corners": [[10, 10], [470, 10], [240, 60], [240, 630]]}),
}


def test_the_good_picture_is_measured():
    answer, _ = ask(one())
    assert answer["ok"], answer
    assert answer["result"]["foot"] == "right"
    assert ask(two(), feet=2)[0]["result"].keys() == {"prints"}
    assert ask(on_a_sheet((237, 322)), sheet="a4", corners=CORNERS)[0]["ok"]


@pytest.mark.parametrize("key", REFUSED)
def test_a_spoilt_picture_is_refused_with_its_reason(key):
    made, asked = REFUSED[key]
    assert ask(made(), **asked)[1] == key


def test_a_print_that_is_too_small_says_how_large_it_must_be():
    answer, _ = ask(one(per_mm=0.65))
    assert answer["refusal"]["low"]["unit"] == "pixels"
    assert answer["refusal"]["low"]["value"] > 0.65 * 241


@pytest.mark.parametrize(("part", "measured"), [(1.0, True), (0.75, True), (0.25, False)])
def test_two_pieces_are_one_print_where_they_are_about_as_wet(part, measured):
    """A high arch leaves a heel and a ball; a dark blot and a faint one are no foot."""

    def paint(pen):
        foot(pen, (240, 320), 2.0)
        pen.rectangle([SHARPER * 100, SHARPER * 340, SHARPER * 400, SHARPER * 600], fill=GROUND)
        fill = tuple(round(dry + part * (wet - dry)) for dry, wet in zip(GROUND, WET, strict=True))
        pen.ellipse([SHARPER * side for side in (184, 420, 296, 550)], fill=fill)

    assert ask(picture(paint))[0]["ok"] is measured


@pytest.mark.parametrize("wide", [8, 14, 20])
def test_a_joint_that_runs_from_a_print_to_the_edge_of_the_picture_is_no_part_of_it(wide):
    def paint(pen):
        foot(pen, (240, 320), 2.0)
        pen.rectangle([SHARPER * side for side in (0, 440 - wide / 2, 220, 440 + wide / 2)], fill=WET)

    plain, joined = (ask(made)[0]["result"]["indices"]["arch_index"]["value"] for made in (one(), picture(paint)))
    assert joined == pytest.approx(plain, abs=0.006)


def test_a_print_that_only_a_second_best_account_of_the_light_shows_is_measured_and_said_to_be_uneven(monkeypatch):
    likeliest = Accounts.likeliest
    monkeypatch.setattr(Accounts, "likeliest", lambda self: iter(()))
    assert ask(one())[1] == "no_print"
    monkeypatch.setattr(Accounts, "second", lambda self: (light._replace(second=True) for light in likeliest(self)))
    assert ask(one())[0]["result"]["warnings"] == ["uneven_print"]


def test_blotches_with_soft_edges_are_no_pieces_of_a_print():
    """A print that makes up less than a third of all that is as dark, but has the only edge."""
    stains = Image.new("L", (480, 640), 255)
    for x, y in ((90, 110), (390, 130), (80, 540), (400, 530), (240, 70)):
        ImageDraw.Draw(stains).ellipse([x - 85, y - 75, x + 85, y + 75], fill=165)
    under = ImageChops.multiply(one(per_mm=1.2), stains.filter(ImageFilter.GaussianBlur(24)).convert("RGB"))
    answer, refused = ask(under)
    assert answer["ok"], refused
    plain = ask(one(per_mm=1.2))[0]["result"]["indices"]["arch_index"]["value"]
    assert answer["result"]["indices"]["arch_index"]["value"] == pytest.approx(plain, abs=0.01)


def test_the_pieces_of_a_print_may_each_be_a_hundredth_of_the_picture():
    def paint(pen):
        foot(pen, (700, 850), 2.0)
        pen.rectangle([SHARPER * side for side in (500, 870, 900, 1150)], fill=GROUND)
        pen.ellipse([SHARPER * side for side in (644, 950, 756, 1080)], fill=WET)

    assert ask(picture(paint, 1400, 1700))[0]["ok"]


# One whose best account of the light draws a shadow's edge wrongly, through the print; one that falls apart in fine
# cells under the best account, and holds together under the next.
@pytest.mark.parametrize("name", ["fresh3-hard-3030-tile-a4", "fresh2-extreme-2016-concrete-a4"])
def test_a_print_is_looked_for_again_where_it_is_ragged_or_falls_apart(name):
    found = score.run_one(next(drawn for pool in (2, 3) for drawn in fresh(pool) if drawn.name == name))
    assert found.refusal is None
    assert abs(found.prints[0].errors["arch_index"]) < 0.025  # more than without a warning
    assert "uneven_print" in found.prints[0].warnings


# -- a sheet that is not the one that was named ------------------------------------------------------------------------


def _on_a_sheet(width_mm, height_mm):
    """A print on a white sheet of some size, seen from above at two pixels to the millimetre."""

    def paint(pen):
        middle, half = np.array([270, 340]), np.array([width_mm, height_mm])
        pen.rectangle([*(SHARPER * (middle - half)), *(SHARPER * (middle + half))], fill=(236, 236, 232))
        foot(pen, middle, 2.0)

    return picture(paint, 540, 680, ground=(120, 92, 66))


@pytest.mark.parametrize(("height_mm", "told"), [(297, []), (308, ["sheet_odd_shape"]), (286, ["sheet_odd_shape"])])
def test_a_sheet_that_no_lens_shows_of_the_size_that_was_named_is_told(height_mm, told):
    answer, _ = ask(_on_a_sheet(210, height_mm), sheet="a4")
    assert answer["ok"]
    assert answer["result"]["scale"]["from"] == "sheet"
    assert answer["result"]["warnings"] == told
