"""A picture's file becomes bare pixels, small enough to measure; whatever is no still photograph is refused.

What a file says of itself is believed only within limits: its kind comes from its content, its size from its header and
before anything is decoded, and only a regular file is opened at all.
"""

from __future__ import annotations

import math
import os
import stat
import warnings
from collections.abc import Iterator
from contextlib import contextmanager
from pathlib import Path
from typing import BinaryIO, NamedTuple, NoReturn

from PIL import Image, JpegImagePlugin, PngImagePlugin, UnidentifiedImageError, WebPImagePlugin
from PIL.ExifTags import Base

from calculators.forms import LONGEST_SIDE_PIXELS
from calculators.results import Refusal, Refused, quantity
from treadleaf.measuring.frame import Axis, Frame
from treadleaf.measuring.limits import KEPT_PIXELS, MOST_MEGABYTES, MOST_MEGAPIXELS

FORMATS = (
    JpegImagePlugin.JpegImageFile.format,
    PngImagePlugin.PngImageFile.format,
    WebPImagePlugin.WebPImageFile.format,
)
"""An MPO, several JPEGs in one file, is opened as its first. Nothing else is even tried."""
_BLUNTED = 1.25
"""How much smaller than it may be a picture may become, so that each of its pixels is the mean of a whole block."""
_STRIP = 256  # rows that are turned into plain colours at once

_TURNS = {
    2: Image.Transpose.FLIP_LEFT_RIGHT,
    3: Image.Transpose.ROTATE_180,
    4: Image.Transpose.FLIP_TOP_BOTTOM,
    5: Image.Transpose.TRANSPOSE,
    6: Image.Transpose.ROTATE_270,
    7: Image.Transpose.TRANSVERSE,
    8: Image.Transpose.ROTATE_90,
}
"""What makes a picture upright, by the number that the camera wrote into it (Exif 2.3, tag 0x0112)."""
_LYING = (5, 6, 7, 8)
_FROM_THE_RIGHT, _FROM_BELOW = (2, 3, 6, 7), (3, 4, 7, 8)
"""Where the upright picture begins at what was stored last: from there blocks were counted, so the first may be cut."""


class Picture(NamedTuple):
    """Bare pixels to measure, RGBA8 from the top row down, and the way back to the picture's own pixels."""

    width: int
    height: int
    pixels: bytes
    frame: Frame


class Smaller(NamedTuple):
    """How a picture becomes smaller: ``drafted`` while it is unpacked, in blocks, and perhaps to a size in the end."""

    own: tuple[int, int]
    drafted: int
    blocks: int
    size: tuple[int, int] | None


def picture(path: Path) -> Picture:
    """Read a picture, upright as the camera says, over white where it is clear, and no larger than `KEPT_PIXELS`.

    Only a JPEG, a PNG or a WebP counts, whatever its name ends with; of an MPO (several JPEGs in one) the first. Colour
    profiles are not looked at. A picture that moves is refused: nobody said which of its frames is meant.

    Raises:
        Refused: with a key of the words' table `picture_files`; a limit stands in `high`.
    """
    with _opened(path) as file:
        found, turn, way = _unpacked(file)
    return _measurable(found, turn, way)


def _unpacked(file: BinaryIO) -> tuple[Image.Image, int, Smaller]:
    """A picture with its pixels, how the camera was held, and how it is to become smaller."""
    try:
        with _only_our_limit():
            found = Image.open(file, formats=FORMATS)
            if found.width * found.height > MOST_MEGAPIXELS * 1_000_000:
                _refuse_large()
            if found.format in ("PNG", "WEBP") and getattr(found, "n_frames", 1) > 1:
                _refuse("picture_moving")
            turn = _turn(found)
            way = _way(found)
            found.load()
    except (Refused, MemoryError):
        raise
    except Image.DecompressionBombError:
        _refuse_large()
    except UnidentifiedImageError:
        raise Refused(Refusal("picture_not_a_picture")) from None
    except Exception:  # a reader of damaged files raises whatever it stumbles over
        raise Refused(Refusal("picture_damaged")) from None
    return found, turn, way


@contextmanager
def _opened(path: Path) -> Iterator[BinaryIO]:
    """Open a regular file of a size that a picture can have, and nothing that could keep us waiting."""
    try:
        if not stat.S_ISREG(path.stat().st_mode):
            raise Refused(Refusal("picture_not_a_file"))
        # Whoever puts a pipe in its place meanwhile does not keep us waiting either.
        number = os.open(path, os.O_RDONLY | getattr(os, "O_NONBLOCK", 0) | getattr(os, "O_BINARY", 0))
    except (FileNotFoundError, NotADirectoryError):
        raise Refused(Refusal("picture_missing")) from None
    except OSError:
        raise Refused(Refusal("picture_unreadable")) from None
    with os.fdopen(number, "rb") as file:
        told = os.fstat(number)
        if not stat.S_ISREG(told.st_mode):
            raise Refused(Refusal("picture_not_a_file"))
        if not told.st_size:
            raise Refused(Refusal("picture_empty"))
        if told.st_size > MOST_MEGABYTES * 1_000_000:
            raise Refused(Refusal("picture_file_too_large", high=quantity(MOST_MEGABYTES, "megabytes")))
        yield file


@contextmanager
def _only_our_limit() -> Iterator[None]:
    """Let Pillow refuse a header at our limit, also where it makes room before it answers; be deaf to its warnings.

    It refuses twice what it warns of. Both are set for the whole process, which measures one picture at a time.
    """
    before = Image.MAX_IMAGE_PIXELS
    Image.MAX_IMAGE_PIXELS = MOST_MEGAPIXELS * 500_000
    try:
        with warnings.catch_warnings():
            warnings.simplefilter("ignore")
            yield
    finally:
        Image.MAX_IMAGE_PIXELS = before


def _refuse(key: str) -> NoReturn:
    raise Refused(Refusal(key))


def _refuse_large() -> NoReturn:
    raise Refused(Refusal("picture_too_large", high=quantity(MOST_MEGAPIXELS, "megapixels")))


def _measurable(found: Image.Image, turn: int, way: Smaller) -> Picture:
    plain = _gathered(found, way.blocks)
    # In whole blocks, the last of which may reach over the edge.
    held = [one * way.drafted * way.blocks for one in plain.size]
    if way.size:
        # As sharp as a box, without a box's jumps where a pixel falls between two.
        plain = plain.resize(way.size, Image.Resampling.HAMMING)
    lying = turn in _LYING
    axes = (
        Axis(way.own[0], plain.width, held[0] / plain.width, turn in (_FROM_BELOW if lying else _FROM_THE_RIGHT)),
        Axis(way.own[1], plain.height, held[1] / plain.height, turn in (_FROM_THE_RIGHT if lying else _FROM_BELOW)),
    )
    if turn in _TURNS:
        plain = plain.transpose(_TURNS[turn])
    frame = Frame(*(reversed(axes) if lying else axes))
    return Picture(plain.width, plain.height, plain.convert("RGBA").tobytes(), frame)


def _turn(found: Image.Image) -> int:
    """How the camera was held; 1, upright, where a picture does not say so in a way that can be read."""
    try:
        said = found.getexif().get(Base.Orientation, 1)
    except Exception:  # what viewers do, too: damaged facts about a picture are no facts
        return 1
    return said if isinstance(said, int) else 1


def _way(found: Image.Image) -> Smaller:
    """How a picture becomes small enough: by whole blocks alone where that costs little sharpness.

    Half of a picture of 12 megapixels, for one, has just 3.
    """
    width, height = found.size
    factor = max(1.0, math.sqrt(width * height / KEPT_PIXELS), max(width, height) / LONGEST_SIDE_PIXELS)
    blocks, size = math.ceil(factor), None
    if blocks > _BLUNTED * factor:
        blocks, size = int(factor), (max(1, int(width / factor)), max(1, int(height / factor)))
    drafted = _drafted(found, blocks)
    return Smaller((width, height), drafted, blocks // drafted, size)


def _drafted(found: Image.Image, blocks: int) -> int:
    """Have a JPEG unpacked at a half, a quarter or an eighth: it is stored in blocks, and gives their means at once."""
    if not isinstance(found, JpegImagePlugin.JpegImageFile):
        return 1
    width = found.width
    for part in (8, 4, 2):
        if blocks % part == 0 and min(found.size) >= part * part:
            told = found.draft(None, (width // part, found.height // part))
            return round(width / told[1][2]) if told else 1
    return 1


def _gathered(found: Image.Image, blocks: int) -> Image.Image:
    """The picture in plain colours, each pixel the mean of a block; strip by strip, so that no second copy is made."""
    if blocks == 1:
        return _plain(found)
    gathered = Image.new("RGB", (-(-found.width // blocks), -(-found.height // blocks)))
    rows = blocks * max(1, _STRIP // blocks)
    for top in range(0, found.height, rows):
        strip = found.crop((0, top, found.width, min(top + rows, found.height)))
        gathered.paste(_plain(strip).reduce(blocks), (0, top // blocks))
    return gathered


def _plain(found: Image.Image) -> Image.Image:
    """Red, green and blue of eight bits each, on white where the picture is clear."""
    if found.mode.startswith("I"):
        # Sixteen bits: Pillow itself would cut off what is above eight.
        return found.point(lambda value: value / 256).convert("L").convert("RGB")
    if found.has_transparency_data:
        clear = found.convert("RGBA")
        return Image.alpha_composite(Image.new("RGBA", found.size, "white"), clear).convert("RGB")
    return found.convert("RGB")
