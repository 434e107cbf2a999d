"""One print in files of every kind, and hostile files among them, from the command down to the engine itself."""

from __future__ import annotations

import json
import os

import cv2
import numpy as np
import pytest
from click.testing import CliRunner
from making import photographs
from making.photographs import png, saved
from PIL import Image
from prints.resized import resized

from treadleaf.cli import main
from treadleaf.measuring import footprint

ORIENTATION = 0x0112
# A JPEG is not the same picture any more: own choice, a fifth of what an unwarned arch index may be off.
PACKED = {"arch_index": 0.004, "chippaux_smirak_index": 0.8, "staheli_index": 0.015}


@pytest.fixture(scope="module")
def the_print():
    options, rgb, true = resized("easy-06", 0.4)
    return Image.fromarray(rgb), options["sheet"], true


@pytest.fixture
def measure(monkeypatch):
    monkeypatch.setattr(footprint, "workers", lambda pictures: 1)

    def measured(*words):
        answer = CliRunner().invoke(main, ["measure", "footprint", *map(str, words), "--json"], prog_name="treadleaf")
        return answer.exit_code, [json.loads(row) for row in answer.stdout.splitlines()]

    return measured


def _turned(picture, number, back):
    """The picture as a camera stores it that was held so."""
    exif = Image.Exif()
    exif[ORIENTATION] = number
    return saved(picture.transpose(back), "PNG", exif=exif)


def _sixteen_bits(picture):
    deep = np.asarray(picture)[..., ::-1].astype(np.uint16) * 257
    return cv2.imencode(".png", deep)[1].tobytes()


KEPT = {
    "a wrong name.txt": lambda picture: saved(picture, "PNG"),
    "no name at all": lambda picture: saved(picture, "WEBP", lossless=True),
    "sixteen bits.png": _sixteen_bits,
    "held upright.png": lambda picture: _turned(picture, 6, Image.Transpose.ROTATE_90),
    "held upside down.png": lambda picture: _turned(picture, 3, Image.Transpose.ROTATE_180),
    "clear.png": lambda picture: saved(picture.convert("RGBA"), "PNG"),
}
LOSSY = {
    "inks.jpg": lambda picture: saved(picture.convert("CMYK"), "JPEG", quality=95),
    "a telephone's.jpg": lambda picture: saved(picture, "JPEG", quality=85),
}


def test_a_print_has_the_same_numbers_in_every_kind_of_file(measure, the_print, tmp_path):
    picture, sheet, true = the_print
    picture.save(tmp_path / "plain.png")
    for name, made in (KEPT | LOSSY).items():
        (tmp_path / name).write_bytes(made(picture))
    status, told = measure(*(tmp_path / name for name in ("plain.png", *KEPT, *LOSSY)), "--sheet", sheet)
    assert status == 0
    numbers = [{key: said for key, said in row.items() if key != "picture"} for row in told]
    plain = numbers[0]
    assert plain["foot"] == true["sides"][0]
    assert plain["lengths"]["toeless_mm"] == pytest.approx(true["prints"][0]["toeless_mm"], abs=2)
    for name, found in zip(KEPT, numbers[1:], strict=False):
        assert found == plain, name
    for name, found in zip(LOSSY, numbers[1 + len(KEPT) :], strict=True):
        for key, within in PACKED.items():
            assert found["indices"][key]["value"] == pytest.approx(plain["indices"][key]["value"], abs=within), name


def test_hostile_files_are_refused_each_with_its_key_and_lose_no_print(measure, the_print, tmp_path):
    picture, sheet, _ = the_print
    whole = saved(picture, "JPEG", quality=90)
    still = Image.new("RGB", picture.size, "white")
    hostile = {
        "huge.png": (png(30_000, 30_000, 8, 2, b""), "picture_too_large"),
        "half.jpg": (whole[: len(whole) // 2], "picture_damaged"),
        "half.png": (saved(picture, "PNG")[:90_000], "picture_damaged"),
        "moves.webp": (saved(picture, "WEBP", save_all=True, append_images=[still]), "picture_moving"),
        "nothing.jpg": (b"", "picture_empty"),
        "words.jpg": (b"a footprint, honestly", "picture_not_a_picture"),
        "white.png": (saved(still, "PNG"), "no_print"),
        "small.png": (saved(photographs.spot(3, 2, (0, 0, 1, 1)), "PNG"), "no_print"),
    }
    for name, (data, _) in hostile.items():
        (tmp_path / name).write_bytes(data)
    (tmp_path / "folder.jpg").mkdir()
    os.mkfifo(tmp_path / "pipe.jpg")
    (tmp_path / "whole.jpg").write_bytes(whole)
    wanted = {name: key for name, (_, key) in hostile.items()}
    wanted |= {"folder.jpg": "picture_not_a_file", "pipe.jpg": "picture_not_a_file", "whole.jpg": None}
    status, told = measure(*(tmp_path / name for name in wanted), "--sheet", sheet)
    assert status == 1
    found = {name: row.get("refusal", {}).get("key") for name, row in zip(wanted, told, strict=True)}
    assert found == wanted
