"""A whole answer beside outside references: OpenCV lays it flat, shapely measures it, scikit-image sees the print.

What the door gives is taken as a picture of what it measured: its outline goes to the floor by OpenCV's own homography
of the corners, and areas, lengths, widths and the medial tangent are found again there by shapely. The print itself is
drawn once more in even light, where one threshold is enough for scikit-image.
"""

from __future__ import annotations

import math
from dataclasses import replace
from itertools import pairwise

import cv2
import numpy as np
import pytest
import shapely
from prints.photographs import photographs
from prints.raster import coverage
from prints.resized import measured, resized
from prints.scene import render
from prints.staging import stage
from shapely import affinity
from skimage.filters import threshold_otsu
from skimage.measure import find_contours, label, regionprops

MEGAPIXELS = 0.4
ON_A_SHEET = ("easy-06", "hard-03")
SHEETS_MM = {"a4": (210, 297)}
# Points are given to a hundredth of a pixel, of 0.8 mm here; lengths to a tenth of a mm, areas to one square mm.
MM, RATIO = 0.12, 0.0012


class OnTheFloor:
    """An answer's points in mm, upright: the heel's middle at the origin, the axis up; all by OpenCV and shapely."""

    def __init__(self, result, sheet_mm, true):
        corners = np.array(result["corners"], np.float32)
        # Which side of the sheet is the long one is known from the truth alone.
        to_floor = np.linalg.inv(np.array(true["homography"]))
        first, second = cv2.perspectiveTransform(corners[None, :2].astype(float), to_floor)[0]
        wide, high = sheet_mm if math.dist(first, second) < sum(sheet_mm) / 2 else sheet_mm[::-1]
        plane = np.array([(0, 0), (wide, 0), (wide, high), (0, high)], np.float32)
        self.matrix = cv2.getPerspectiveTransform(corners, plane)
        self.heel, toe = self._flat([result["axis"]["heel"], result["axis"]["second_toe"]])
        self.turn = math.degrees(math.atan2(*(toe - self.heel)))

    def _flat(self, points):
        return cv2.perspectiveTransform(np.array(points, float)[None], self.matrix)[0]

    def shape(self, rings):
        """A shape from rings of the picture, whichever way they run."""
        rings = sorted((shapely.Polygon(self._flat(ring)) for ring in rings), key=lambda ring: -ring.area)
        whole = shapely.Polygon()
        for ring in rings:
            whole = whole.symmetric_difference(ring)
        return self._upright(whole)

    def line(self, points):
        return self._upright(shapely.LineString(self._flat(points)))

    def _upright(self, shape):
        moved = affinity.translate(shape, *-self.heel)
        return affinity.rotate(moved, self.turn, origin=(0, 0))


@pytest.fixture(scope="module", params=ON_A_SHEET)
def on_a_sheet(request):
    options, rgb, true = resized(request.param, MEGAPIXELS)
    result = measured(rgb, options)
    assert result["axis"]["from"] == "toes"
    floor = OnTheFloor(result, SHEETS_MM[options["sheet"]], true)
    return result, floor, floor.shape(result["outline"])


def test_areas_and_the_arch_index_are_those_of_shapely_on_opencvs_floor(on_a_sheet):
    result, _, print_ = on_a_sheet
    left, low, right, high = print_.bounds
    assert result["lengths"]["toeless_mm"] == pytest.approx(high - low, abs=MM)
    edges = np.linspace(low, high, 4)
    heel, middle, ball = (print_.intersection(shapely.box(left, a, right, b)).area for a, b in pairwise(edges))
    areas = result["areas"]
    assert areas["unit"] == "mm2"
    found = [areas[key] for key in ("heel", "midfoot", "forefoot")]
    assert found == pytest.approx([heel, middle, ball], abs=MM * (right - left))
    assert sum(found) == pytest.approx(print_.area, rel=RATIO)
    assert result["indices"]["arch_index"]["value"] == pytest.approx(middle / print_.area, abs=RATIO)


def test_the_thirds_are_drawn_where_shapely_cuts(on_a_sheet):
    result, floor, print_ = on_a_sheet
    _, low, _, high = print_.bounds
    drawn = [shapely.get_coordinates(floor.line(line))[:, 1] for line in result["lines"]["thirds"]]
    for heights, part in zip(sorted(drawn, key=np.mean), (1 / 3, 2 / 3), strict=True):
        assert heights == pytest.approx([low + part * (high - low)] * 2, abs=MM)


def test_widths_are_those_of_shapelys_chords(on_a_sheet):
    result, floor, print_ = on_a_sheet
    left, low, right, high = print_.bounds

    def widths(start, end):
        heights = np.linspace(low + start * (high - low), low + end * (high - low), 400)[1:-1]
        chords = [print_.intersection(shapely.LineString([(left - 1, u), (right + 1, u)])).bounds for u in heights]
        return [chord[2] - chord[0] for chord in chords]

    ball, middle, heel = max(widths(0.6, 1)), min(widths(0.25, 0.75)), max(widths(0, 1 / 3))
    assert [result["lengths"][key] for key in ("ball_mm", "middle_mm", "heel_mm")] == pytest.approx(
        [ball, middle, heel], abs=MM
    )
    for key, width in (("ball", ball), ("middle", middle), ("heel", heel)):
        chord = floor.line(result["lines"][key])
        assert chord.length == pytest.approx(width, abs=MM)
        assert max(print_.exterior.distance(shapely.Point(end)) for end in chord.coords) < MM
    assert result["indices"]["chippaux_smirak_index"]["value"] == pytest.approx(100 * middle / ball, abs=0.2)
    assert result["indices"]["staheli_index"]["value"] == pytest.approx(middle / heel, abs=0.003)


def test_the_medial_tangent_is_a_side_of_shapelys_hull(on_a_sheet):
    result, floor, print_ = on_a_sheet
    tangent = floor.line(result["lines"]["medial_tangent"])
    assert max(print_.convex_hull.exterior.distance(shapely.Point(end)) for end in tangent.coords) < MM
    assert tangent.interpolate(0.5, normalized=True).distance(print_) > 1, "it spans the arch"


@pytest.fixture(scope="module")
def evenly_lit():
    """A print on paper without a sheet, in even light and without noise, and the door's answer to it."""
    (row,) = (one for one in photographs() if one.name == "easy-16-paper-none")
    row = replace(row, feet=({**row.feet[0], "arch": 0.5},))
    scene = stage(row)
    even = {"gradient": 0.0, "vignette": 0.0, "shadow": 1.0, "halo": 0.0, "uneven": 0.0, "noise": 0.0, "jpeg": None}
    bare = {"specks": 0, "drips": 0, "holes": 0}
    by = 0.6
    camera = scene.camera
    small = replace(
        camera, width=round(camera.width * by), height=round(camera.height * by), focal_px=camera.focal_px * by
    )
    rgb = render(replace(scene, camera=small, **even, **bare))
    return rgb, measured(rgb, {**row.options, "sheet": "none"})


def grey_and_level(rgb):
    """The picture in grey, and the level half-way between print and ground, which Otsu's threshold tells apart."""
    grey = rgb.astype(float) @ [0.25, 0.625, 0.125]
    apart = threshold_otsu(grey)
    return grey, (np.median(grey[grey < apart]) + np.median(grey[grey >= apart])) / 2


def test_the_mask_is_the_one_that_scikit_image_labels(evenly_lit):
    rgb, result = evenly_lit
    height, width = rgb.shape[:2]
    grey, level = grey_and_level(rgb)
    regions = sorted(regionprops(label(grey < level)), key=lambda region: -region.area)
    pieces = (*result["outline"], *result["toes"])
    covered = coverage([np.array(ring) for ring in pieces], width, height)
    ours = covered > 0.5
    theirs = np.isin(label(grey < level), [region.label for region in regions[: 1 + len(result["toes"])]])
    assert (ours & theirs).sum() / (ours | theirs).sum() > 0.985
    assert covered.sum() == pytest.approx(theirs.sum(), rel=0.006)


def test_the_outline_lies_on_scikit_images_contour(evenly_lit):
    rgb, result = evenly_lit
    grey, level = grey_and_level(rgb)
    longest = max(find_contours(grey, level), key=len)
    contour = shapely.LineString(longest[:, ::-1] + 0.5)
    long = max(contour.bounds[2] - contour.bounds[0], contour.bounds[3] - contour.bounds[1])
    (ring,) = result["outline"]
    away = [contour.distance(shapely.Point(point)) for point in ring]
    # To a part of the print's length: half a millimetre of a foot.
    assert np.percentile(away, 95) < 0.002 * long


def test_what_is_drawn_upright_is_the_print_on_the_floor(on_a_sheet):
    result, _, print_on_floor = on_a_sheet
    upright = result["upright"]
    drawn = shapely.Polygon()
    for ring in upright["outline"]:
        drawn = drawn.symmetric_difference(shapely.Polygon([(x, -y) for x, y in ring]))
    assert upright["unit"] == "mm"
    assert upright["axis"]["heel"] == [0, 0]
    assert drawn.area == pytest.approx(print_on_floor.area, rel=RATIO)
    assert drawn.bounds[1::2] == pytest.approx(print_on_floor.bounds[1::2], abs=2 * MM)
    assert upright["axis"]["second_toe"][0] == pytest.approx(0, abs=MM)
    for name in ("ball", "middle", "heel"):
        start, end = upright["lines"][name]
        assert math.dist(start, end) == pytest.approx(result["lengths"][f"{name}_mm"], abs=MM)
        assert start[1] == pytest.approx(end[1], abs=MM), "square to the axis, which stands upright"
    inner = upright["lines"]["medial_tangent"][0][0]
    assert (inner > 0) == (result["foot"] == "left"), "seen from above: the inner edge of a left foot is at the right"


def test_a_sole_from_below_is_drawn_as_the_print_that_it_makes():
    """A picture turned over is what a camera sees of the sole itself."""
    options, rgb, _ = resized("easy-31", MEGAPIXELS)
    print_seen = measured(rgb, options)
    sole_seen = measured(np.ascontiguousarray(rgb[:, ::-1]), {**options, "view": "sole"})
    for one, other in zip(print_seen["upright"]["lines"]["ball"], sole_seen["upright"]["lines"]["ball"], strict=True):
        assert one == pytest.approx(other, abs=1.5)
    assert print_seen["foot"] == sole_seen["foot"]
    assert print_seen["upright"]["unit"] == "px"
