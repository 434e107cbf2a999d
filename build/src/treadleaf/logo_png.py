"""A PNG picture, checked by its own sums and written again with nothing in it but the picture.

Chunks, their order and their sums: Portable Network Graphics (PNG) Specification (Third Edition), W3C 2025, clauses 5,
9 and 11 (from memory).
"""

import struct
import zlib
from collections.abc import Iterator

_SIGNATURE = b"\x89PNG\r\n\x1a\n"
_MOST_PIXELS = 4_000_000
_KEPT = (b"IHDR", b"sRGB", b"PLTE", b"tRNS", b"IDAT", b"IEND")
# Samples a pixel by colour type, and the bits a sample may have.
_SAMPLES = {0: (1, (1, 2, 4, 8, 16)), 2: (3, (8, 16)), 3: (1, (1, 2, 4, 8)), 4: (2, (8, 16)), 6: (4, (8, 16))}
# First column, first row, column step, row step of each pass of an interlaced picture.
_PASSES = ((0, 0, 8, 8), (4, 0, 8, 8), (0, 4, 4, 8), (2, 0, 4, 4), (0, 2, 2, 4), (1, 0, 2, 2), (0, 1, 1, 2))


def clean(data: bytes) -> tuple[bytes, tuple[str, ...]]:
    """The picture without texts, dates, places, profiles and further frames, and the names of what was left out.

    Raises ValueError with a reason for what is no PNG, is damaged, or has more than four million pixels.
    """
    if not data.startswith(_SIGNATURE):
        raise ValueError("it is named .png but is no PNG picture")
    chunks = list(_chunks(data))
    names = [name for name, _ in chunks]
    if names[:1] != [b"IHDR"] or names[-1:] != [b"IEND"] or names.count(b"IHDR") > 1 or b"IDAT" not in names:
        raise ValueError("parts of the picture are missing")
    expected = _size(chunks[0][1])
    if b"PLTE" not in names and chunks[0][1][9] == 3:
        raise ValueError("parts of the picture are missing")
    unpacked = zlib.decompressobj()
    try:
        pixels = unpacked.decompress(b"".join(body for name, body in chunks if name == b"IDAT"), expected + 1)
    except zlib.error:
        raise ValueError("the picture in it is damaged") from None
    if len(pixels) != expected:
        raise ValueError("the picture in it is not of the size that it states")
    left_out = sorted({name.decode("ascii", "replace") for name in names if name not in _KEPT})
    return _SIGNATURE + b"".join(_chunk(name, body) for name, body in chunks if name in _KEPT), tuple(left_out)


def _chunks(data: bytes) -> Iterator[tuple[bytes, bytes]]:
    at = len(_SIGNATURE)
    while at + 12 <= len(data):
        (length,) = struct.unpack_from(">I", data, at)
        name, body = data[at + 4 : at + 8], data[at + 8 : at + 8 + length]
        end = at + 8 + length
        if data[end : end + 4] != struct.pack(">I", zlib.crc32(name + body)):
            raise ValueError("the file is damaged or cut off")
        yield name, body
        if name == b"IEND":
            return
        at = end + 4
    raise ValueError("the file is damaged or cut off")


def _chunk(name: bytes, body: bytes) -> bytes:
    return struct.pack(">I", len(body)) + name + body + struct.pack(">I", zlib.crc32(name + body))


def _size(header: bytes) -> int:
    """How many bytes the picture has when it is unpacked: each row carries one byte more, for its filter."""
    try:
        width, height, depth, colour, compression, filtering, interlace = struct.unpack(">IIBBBBB", header)
        samples, depths = _SAMPLES[colour]
    except (struct.error, KeyError):
        raise ValueError("its header is damaged") from None
    if not width or not height or depth not in depths or compression or filtering or interlace > 1:
        raise ValueError("its header is damaged")
    if width * height > _MOST_PIXELS:
        raise ValueError(f"it has {width} x {height} pixels; at most {_MOST_PIXELS:,} are needed for a logo")
    total = 0
    for column, row, right, down in _PASSES if interlace else ((0, 0, 1, 1),):
        columns, rows = -(-(width - column) // right), -(-(height - row) // down)
        if columns > 0 and rows > 0:
            total += rows * (1 + -(-columns * samples * depth // 8))
    return total
