"""The footprint engine beside scikit-image on the same photographs of 3 megapixels, here and in a browser's Python.

The yardstick is one pass of scikit-image over the grey picture: a local threshold (`threshold_local`, mean, blocks of
51), an opening with a disk of 2, labels, the area of every region, the contour of the largest. It finds neither sheet
nor toes and gives no index; making the picture grey is left out of its time. The engine's one pass is its whole answer
without the ranges (`one_picture.py`).

Rounds alternate: yardstick and engine here, picture by picture, then Chromium, started afresh. Each time is
divided by the yardstick's of the same round on the same picture, and the middle one of these ratios counts: a machine
whose speed swings slows both. No time is held to a number of seconds.
"""

from __future__ import annotations

import json
import statistics
from collections.abc import Iterator
from pathlib import Path
from typing import Any, NamedTuple

import numpy as np
import pytest
from bench import one_picture
from bench.track import Timekeeper, chromium_at, laid_out
from prints.resized import buffer, request, resized
from skimage.color import rgb2gray
from skimage.filters import threshold_local
from skimage.measure import find_contours, label, regionprops
from skimage.morphology import disk, opening

pytestmark = pytest.mark.bench

ROUNDS = 5
PATIENCE_S = 300
MEGAPIXELS = 3.0
# Of the set that everybody may look at: an easy one on a sheet, an easy one without, a hard one.
CHOSEN = ("easy-15-wood-letter", "easy-31-kraft-card-none", "hard-24-wood-none")
# What is held to what: label, pass mark, target.
MARKS = {
    "native": ("one pass / yardstick", 2.0, 1.0),
    "browser": ("one pass in Chromium / yardstick", 4.0, 2.0),
    "native_ranges": ("with ranges / one pass", 3.0, None),
    "browser_ranges": ("with ranges / one pass, in Chromium", 3.0, None),
}
HEAP_MB = 200


class Picture(NamedTuple):
    """One photograph: its name, what the door is asked, its pixels as RGBA bytes and in grey."""

    name: str
    text: str
    pixels: bytes
    grey: np.ndarray


def photograph(name: str) -> Picture:
    """A photograph of the list, taken with a camera of 3 megapixels."""
    options, rgb, _ = resized(name, MEGAPIXELS)
    return Picture(name, request(rgb, options), buffer(rgb), rgb2gray(rgb))


def yardstick(grey: np.ndarray) -> float:
    """Seconds of the one pass of scikit-image."""
    began = one_picture.time.perf_counter()
    opened = opening(grey < threshold_local(grey, method="mean", block_size=51), disk(2))
    labels = label(opened)
    areas = {region.label: region.area for region in regionprops(labels)}
    find_contours(labels == max(areas, key=areas.__getitem__), 0.5)
    return one_picture.time.perf_counter() - began


@pytest.fixture(scope="module")
def pictures() -> list[Picture]:
    return [photograph(name) for name in CHOSEN]


@pytest.fixture(scope="module")
def host(demo_site: Path, pictures: list[Picture], tmp_path_factory: pytest.TempPathFactory) -> Iterator[Timekeeper]:
    folder = laid_out(demo_site, tmp_path_factory.mktemp("bench"))
    listed = []
    for one in pictures:
        (folder / "stock" / f"{one.name}.bin").write_bytes(one.pixels)
        listed.append({"name": f"{one.name}.bin", "text": one.text})
    (folder / "stock" / "pictures.json").write_text(json.dumps(listed), "utf-8")
    with Timekeeper(folder) as opened:
        yield opened


def here(picture: Picture) -> dict[str, Any]:
    return json.loads(one_picture.timed(picture.text, picture.pixels))


@pytest.fixture(scope="module")
def taken(pictures, host, chromium, tmp_path_factory):
    """All rounds: seconds by picture and kind, the answers of both Pythons, and the largest heap in MB."""
    for one in pictures:
        yardstick(one.grey)
        here(one)
    seconds: dict[str, dict[str, list[float]]] = {one.name: {} for one in pictures}
    answers: dict[str, list[Any]] = {one.name: [] for one in pictures}
    heaps = []

    def note(name: str, where: str, told: dict[str, Any]) -> None:
        answers[name].append(told["answer"])
        for kind in ("one", "whole"):
            seconds[name].setdefault(f"{where}_{kind}", []).append(told[f"{kind}_s"])

    for _ in range(ROUNDS):
        for one in pictures:
            seconds[one.name].setdefault("yardstick", []).append(yardstick(one.grey))
            note(one.name, "native", here(one))
        with chromium_at(chromium, tmp_path_factory.mktemp("home"), host.url("pictures.html")):
            said = host.times.get(timeout=PATIENCE_S)
        assert "error" not in said, said
        for one, told in zip(pictures, said["told"], strict=True):
            note(one.name, "browser", told)
        heaps.append(said["heap"] / 1e6)
    return seconds, answers, max(heaps)


def ratios(seconds: dict[str, list[float]]) -> dict[str, float]:
    """The four ratios of one picture: the median of those of each round, whose times lie next to one another."""

    def middle(above: str, below: str) -> float:
        return statistics.median(one / other for one, other in zip(seconds[above], seconds[below], strict=True))

    return {
        "native": middle("native_one", "yardstick"),
        "browser": middle("browser_one", "yardstick"),
        "native_ranges": middle("native_whole", "native_one"),
        "browser_ranges": middle("browser_whole", "browser_one"),
    }


def test_the_table_of_times_and_every_picture_is_measured_in_both_pythons(taken, report):
    seconds, answers, heap = taken
    report(f"photographs of {MEGAPIXELS:g} MP, medians of {ROUNDS} rounds in seconds (least to most)")
    for name, times in seconds.items():
        report(f"  {name}")
        for kind, each in times.items():
            report(f"    {kind:14} {statistics.median(each):6.3f}   {min(each):.3f} to {max(each):.3f}")
        for kind, ratio in ratios(times).items():
            said, mark, target = MARKS[kind]
            report(f"    {said:36} {ratio:5.2f}   <= {mark:g}" + (f" [{target:g}]" if target else ""))
    report(f"  heap of the browser's Python {heap:.0f} MB   < {HEAP_MB}")
    for name, each in answers.items():
        assert each[0]["ok"], (name, each[0])
        assert all(answer == each[0] for answer in each), name


@pytest.mark.parametrize("kind", MARKS)
@pytest.mark.parametrize("name", CHOSEN)
def test_the_engine_is_held_to_scikit_image(taken, name, kind):
    seconds, _, _ = taken
    assert ratios(seconds[name])[kind] <= MARKS[kind][1]


def test_the_heap_of_the_browsers_python_stays_small(taken):
    assert taken[2] < HEAP_MB
