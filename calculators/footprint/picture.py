"""A photograph made small enough to think about: the mean of every block of pixels."""

import sys
from array import array
from typing import NamedTuple

# The long side of a reduced picture, in cells: own choice. An A4 sheet that fills the picture then has cells of about
# 0.6 mm, and an edge is found to a small part of a cell.
_LONG_SIDE = 560

# A full cell. A byte has 255 steps; the mean of a block has more.
WHITE = 4080


Box = tuple[int, int, int, int]  # left, top, right, bottom in pixels; right and bottom lie outside


class Grey(NamedTuple):
    """One plane of a reduced picture: `values` row by row, top row first, from 0 to `WHITE`.

    `scale` is the side of a cell in pixels of the picture, `left` and `top` where the first cell begins in it. What is
    left over at the right and at the bottom is cut off.
    """

    width: int
    height: int
    scale: int
    values: "array[int]"
    left: int = 0
    top: int = 0


def reduced(
    pixels: "bytes | bytearray | memoryview", width: int, height: int, box: Box | None = None
) -> tuple[Grey, Grey, Grey]:
    """Reduce RGBA8 pixels, top row first, to the block means of red, green and blue.

    Args:
        pixels: `width` x `height` x 4 bytes.
        width: of the picture, in pixels.
        height: of the picture, in pixels.
        box: the part of the picture that is wanted; all of it where there is none.

    Two channels of every pixel are added at a time, a row as one whole number: a byte of each in the lower half of a
    16-bit lane. A block of 7 x 7 is the largest that a lane holds after the division; a buffer that the form allows
    needs 5 x 5 at most.
    """
    first, top, after, bottom = box or (0, 0, width, height)
    side = max(1, -(-max(after - first, bottom - top) // _LONG_SIDE))
    across, down = (after - first) // side, (bottom - top) // side
    row, used = across * side * 4, across * side * 2
    every_second_byte = int.from_bytes(b"\xff\x00" * (row // 2), "little")
    planes = [array("H"), array("H"), array("H")]
    whole = memoryview(pixels)
    for block in range(top, top + down * side, side):
        red_blue = green_alpha = 0
        for y in range(block, block + side):
            start = (y * width + first) * 4
            line = int.from_bytes(whole[start : start + row], "little")
            red_blue += line & every_second_byte
            green_alpha += (line >> 8) & every_second_byte
        even, odd = _neighbours_added(red_blue, side, row), _neighbours_added(green_alpha, side, row)
        planes[0].extend(even[0 : used : 2 * side])
        planes[1].extend(odd[0 : used : 2 * side])
        planes[2].extend(even[1 : used : 2 * side])
    if side * side * 255 != WHITE:  # where it is, a sum is its cell already
        means = [16 * total // (side * side) for total in range(255 * side * side + 1)].__getitem__
        planes = [array("H", map(means, plane)) for plane in planes]
    red, green, blue = (Grey(across, down, side, plane, first, top) for plane in planes)
    return red, green, blue


def _neighbours_added(lanes: int, side: int, row: int) -> "array[int]":
    total = lanes
    for step in range(1, side):
        total += lanes >> (32 * step)
    return array("H", total.to_bytes(row + 2, "little")[:row])


def lightness(red: Grey, green: Grey, blue: Grey) -> Grey:
    """Weigh the channels 2 : 5 : 1, near the weights of ITU-R BT.601 (0.299, 0.587, 0.114) in whole eighths."""
    # All cells at once, as one long number with 16 bits for each: eight times 4080 is less than 2 ** 15.
    r, g, b = (int.from_bytes(plane.values.tobytes(), sys.byteorder) for plane in (red, green, blue))
    size = 2 * len(red.values)
    lowest = int.from_bytes(array("H", [0x1FFF]).tobytes() * len(red.values), sys.byteorder)
    values = array("H")
    values.frombytes(((2 * r + 5 * g + b) >> 3 & lowest).to_bytes(size, sys.byteorder))
    return red._replace(values=values)


def halved(grey: Grey) -> Grey:
    """Give means of two by two cells, rounded down; an odd last row or column is left out.

    All cells are added at once, as one long number with 16 bits for each: four times 4080 is less than 2 ** 14.
    """
    width, height = grey.width // 2, grey.height // 2
    whole = 0
    for down in (0, 1):
        starts = range(down * grey.width, (down + 2 * height) * grey.width, 2 * grey.width)
        rows = [grey.values[start : start + 2 * width] for start in starts]
        for right in (0, 1):
            whole += int.from_bytes(b"".join([row[right::2].tobytes() for row in rows]), sys.byteorder)
    lowest = int.from_bytes(array("H", [0x3FFF]).tobytes() * (width * height), sys.byteorder)
    values = array("H")
    values.frombytes((whole >> 2 & lowest).to_bytes(2 * width * height, sys.byteorder))
    return grey._replace(width=width, height=height, scale=2 * grey.scale, values=values)


def cropped(grey: Grey, left: int, top: int, right: int, bottom: int) -> Grey:
    """Cut out a part, given in cells; what lies outside the picture is left out."""
    left, top, right, bottom = max(0, left), max(0, top), min(grey.width, right), min(grey.height, bottom)
    values = array("H")
    for row in range(top, bottom):
        values.extend(grey.values[row * grey.width + left : row * grey.width + right])
    return Grey(
        right - left,
        bottom - top,
        grey.scale,
        values,
        grey.left + left * grey.scale,
        grey.top + top * grey.scale,
    )
