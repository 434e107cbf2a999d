"""A picture's file becomes bare pixels, upright, small enough, with the way back; whatever is no picture is refused."""

from __future__ import annotations

import struct

import pytest
from making import photographs
from making.photographs import png, saved
from PIL import Image

from calculators.forms import LONGEST_SIDE_PIXELS, MOST_PIXELS
from treadleaf.measuring import decode, limits

EXIF_ORIENTATION = 0x0112


def read(path, data):
    path.write_bytes(data)
    return decode.picture(path)


def box(picture):
    """The box of what is dark, in the picture's own pixels."""
    left, top, right, bottom = photographs.found_box(picture.width, picture.height, memoryview(picture.pixels))
    return [*picture.frame.to_own([left, top]), *picture.frame.to_own([right, bottom])]


def pixel(picture, x, y):
    at = 4 * (y * picture.width + x)
    return tuple(picture.pixels[at : at + 4])


# -- what is read ------------------------------------------------------------------------------------------------------


@pytest.mark.parametrize("name", ["spot.jpg", "spot.png", "spot.webp", "spot.txt", "spot"])
@pytest.mark.parametrize("kind", ["JPEG", "PNG", "WEBP"])
def test_the_content_decides_and_not_the_name(tmp_path, kind, name):
    found = read(tmp_path / name, saved(photographs.spot(), kind, quality=95))
    assert (found.width, found.height) == (240, 360)
    assert len(found.pixels) == 4 * 240 * 360
    assert box(found) == pytest.approx([60, 40, 161, 321], abs=2)
    assert pixel(found, 110, 180) == pytest.approx((0x40, 0x37, 0x2C, 255), abs=3)


def test_of_several_jpegs_in_one_file_the_first_is_read(tmp_path):
    light = Image.new("RGB", (240, 360), "white")
    found = read(tmp_path / "two.mpo", saved(photographs.spot(), "MPO", save_all=True, append_images=[light, light]))
    assert box(found) == pytest.approx([60, 40, 161, 321], abs=2)


MODES = {
    "grey": ("L", "PNG", 3),
    "a palette": ("P", "PNG", 20),
    "grey JPEG": ("L", "JPEG", 5),
    "printing inks": ("CMYK", "JPEG", 12),
}


@pytest.mark.parametrize(("mode", "kind", "off"), MODES.values(), ids=MODES)
def test_every_kind_of_colour_is_read_as_the_eye_sees_it(tmp_path, mode, kind, off):
    found = read(tmp_path / "spot", saved(photographs.spot().convert(mode), kind))
    dark, light = (sum(pixel(found, x, y)[:3]) / 3 for x, y in ((110, 180), (10, 10)))
    assert dark == pytest.approx(0x37, abs=off)
    assert light == pytest.approx(0xD6, abs=max(off, 20) if mode == "P" else off)


def test_sixteen_bits_are_scaled_and_not_cut_off(tmp_path):
    row = b"\0" + struct.pack(">HH", 0x4000, 0xC000) * 32
    found = read(tmp_path / "deep.png", png(64, 64, 16, 0, row * 64))
    assert (pixel(found, 0, 5), pixel(found, 1, 5)) == ((0x40, 0x40, 0x40, 255), (0xC0, 0xC0, 0xC0, 255))
    # A larger one goes through strips and blocks.
    row = b"\0" + struct.pack(">HH", 0x4000, 0xC000) * 1500
    assert set(read(tmp_path / "large.png", png(3000, 3000, 16, 0, row * 3000)).pixels[::4]) == {0x80}


def test_sixteen_bits_of_each_colour_are_read_too(tmp_path):
    row = b"\0" + struct.pack(">HHH", 0x4000, 0x8000, 0xC000) * 30
    found = read(tmp_path / "deep.png", png(30, 30, 16, 2, row * 30))
    assert pixel(found, 5, 5) == (0x40, 0x80, 0xC0, 255)


@pytest.mark.parametrize("kind", ["PNG", "WEBP"])
def test_what_is_clear_lies_on_white(tmp_path, kind):
    clear = Image.new("RGBA", (64, 64), (0, 0, 0, 0))
    clear.paste((0, 0, 0, 128), (32, 0, 64, 64))
    found = read(tmp_path / "clear", saved(clear, kind, **({"lossless": True} if kind == "WEBP" else {})))
    assert pixel(found, 5, 5) == (255, 255, 255, 255)
    assert pixel(found, 60, 5) == pytest.approx((127, 127, 127, 255), abs=1)


def test_a_clear_colour_of_a_palette_lies_on_white(tmp_path):
    flat = Image.new("P", (40, 40), 0)
    flat.putpalette([0, 0, 0, 200, 0, 0])
    found = read(tmp_path / "clear.png", saved(flat, "PNG", transparency=0))
    assert pixel(found, 5, 5) == (255, 255, 255, 255)


# -- how the camera was held, and how small it becomes -----------------------------------------------------------------

STORED = {
    2: Image.Transpose.FLIP_LEFT_RIGHT,
    3: Image.Transpose.ROTATE_180,
    4: Image.Transpose.FLIP_TOP_BOTTOM,
    5: Image.Transpose.TRANSPOSE,
    6: Image.Transpose.ROTATE_90,
    7: Image.Transpose.TRANSVERSE,
    8: Image.Transpose.ROTATE_270,
}
"""How an upright picture is stored by a camera that was held so: each undoes the turn of its number."""


SIZES = {"as it is": (240, 360), "halved": (2401, 2703), "by a fraction": (1803, 2501)}
TURNED = [("JPEG", turn, size) for turn in range(1, 9) for size in SIZES] + [
    (kind, turn, size) for kind in ("PNG", "WEBP") for turn, size in ((6, "as it is"), (3, "halved"))
]


@pytest.mark.parametrize(("kind", "turn", "size"), TURNED)
def test_a_picture_is_turned_as_the_camera_says_and_places_come_back(tmp_path, kind, turn, size):
    width, height = SIZES[size]
    where = (width // 8, height // 9, width // 2, height // 3)
    upright = photographs.spot(width, height, where)
    exif = Image.Exif()
    exif[EXIF_ORIENTATION] = turn
    stored = upright.transpose(STORED[turn]) if turn in STORED else upright
    found = read(tmp_path / "turned", saved(stored, kind, exif=exif, quality=90))
    assert (found.frame.across.own, found.frame.down.own) == (width, height)
    each = found.frame.each
    assert box(found) == pytest.approx([*where[:2], where[2] + 1, where[3] + 1], abs=max(2, 1.2 * each))
    for at in ([0.0, 0.0], [123.0, 45.0], [float(width), float(height)]):
        assert found.frame.to_own(found.frame.to_measured(at)) == pytest.approx(at, abs=0.01)


def test_a_turn_that_no_camera_knows_turns_nothing(tmp_path):
    exif = Image.Exif()
    exif[EXIF_ORIENTATION] = 77
    assert box(read(tmp_path / "odd.jpg", saved(photographs.spot(), "JPEG", exif=exif)))[:2] == pytest.approx(
        [60, 40], abs=2
    )
    broken = saved(photographs.spot(), "JPEG", exif=b"Exif\0\0nonsense")
    assert box(read(tmp_path / "broken.jpg", broken))[:2] == pytest.approx([60, 40], abs=2)


@pytest.mark.parametrize("kind", ["JPEG", "PNG"])
@pytest.mark.parametrize(
    ("size", "becomes"),
    [
        ((4032, 3024), (2016, 1512)),  # whole blocks of two
        ((6000, 4000), (2000, 1334)),  # of three; the last row reaches over the edge
        ((8064, 6048), (2016, 1512)),
        ((4608, 3456), (2048, 1536)),  # blocks of two, then to the size
        ((7000, 100), (2334, 34)),  # a long side
        ((2048, 1536), (2048, 1536)),
        ((2049, 1537), (2047, 1536)),
    ],
)
def test_a_picture_becomes_small_enough_for_the_calculator(tmp_path, kind, size, becomes):
    found = read(tmp_path / "large", saved(Image.new("RGB", size, "#808080"), kind))
    assert (found.width, found.height) == becomes
    assert found.width * found.height <= limits.KEPT_PIXELS < MOST_PIXELS
    assert max(found.width, found.height) <= LONGEST_SIDE_PIXELS
    assert found.frame.to_own([found.width, found.height]) == pytest.approx(size, abs=found.frame.each)
    assert set(found.pixels[::4]) == {0x80}, "the edges are no darker"


def test_a_smaller_picture_is_the_mean_and_not_a_choice_of_pixels(tmp_path):
    fine = Image.new("L", (4000, 3000), 0)
    fine.putdata([255 * ((x + y) % 2) for y in range(3000) for x in range(4000)])
    found = read(tmp_path / "fine.png", saved(fine, "PNG"))
    assert set(found.pixels[::4]) <= {127, 128}
