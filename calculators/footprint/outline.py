"""From a field of numbers to smooth outlines: where the field crosses zero, to a part of a cell."""

import re

from calculators.footprint.mask import full

TYPE_CHECKING = False
if TYPE_CHECKING:
    from collections.abc import Sequence

    from calculators.footprint.mask import Mask

Point = tuple[float, float]
Ring = list[Point]

_ONE = re.compile("1")
_TOP, _RIGHT, _BOTTOM, _LEFT = range(4)

# Marching squares. The key adds up the corners that are inside: top left 1, top right 2, bottom right 4, bottom left 8.
# Each pair leads from one side of the square to another, with the inside always on the same hand.
_WAYS: dict[int, tuple[tuple[int, int], ...]] = {
    1: ((_TOP, _LEFT),),
    2: ((_RIGHT, _TOP),),
    3: ((_RIGHT, _LEFT),),
    4: ((_BOTTOM, _RIGHT),),
    6: ((_BOTTOM, _TOP),),
    7: ((_BOTTOM, _LEFT),),
    8: ((_LEFT, _BOTTOM),),
    9: ((_TOP, _BOTTOM),),
    11: ((_RIGHT, _BOTTOM),),
    12: ((_LEFT, _RIGHT),),
    13: ((_TOP, _RIGHT),),
    14: ((_LEFT, _TOP),),
}
# Two corners across from each other: joined in the middle where the mean of the four is inside, else apart.
_JOINED = {5: ((_TOP, _RIGHT), (_BOTTOM, _LEFT)), 10: ((_LEFT, _TOP), (_RIGHT, _BOTTOM))}
_APART = {5: ((_TOP, _LEFT), (_BOTTOM, _RIGHT)), 10: ((_RIGHT, _TOP), (_LEFT, _BOTTOM))}


def rings(field: "Sequence[Sequence[float]]", inside: "Mask") -> list[Ring]:
    """Trace the edge of what is inside.

    Args:
        field: rows of numbers, one a cell; above zero is inside, below it outside.
        inside: the cells that count as inside. Where it goes against the field (a part that was left out, a speck
            that was filled), the edge runs half-way between two cells.

    Returns:
        Closed rings in cells, the middle of the first cell at (0.5, 0.5). Outer rings have a positive area by the
        shoelace formula, y down taken as it stands, and rings of holes a negative one.
    """
    width, bits, stride = inside.width, inside.bits, inside.width + 1
    text = inside.rows()
    right, below = bits << 1, bits << stride
    both = below << 1
    mixed = (bits | right | below | both) & ~(bits & right & below & both) & full(width, inside.height).bits
    follows: dict[int, int] = {}
    for y, row in enumerate(inside._replace(bits=mixed).rows()[:-1]):
        if "1" not in row:
            continue
        upper, lower = text[y], text[y + 1]
        for found in _ONE.finditer(row, 0, width - 1):
            x = found.start()
            key = _CORNERS[upper[x : x + 2] + lower[x : x + 2]]
            ways = _WAYS.get(key)
            if ways is None:
                middle = field[y][x] + field[y][x + 1] + field[y + 1][x] + field[y + 1][x + 1]
                ways = (_JOINED if middle > 0 else _APART)[key]
            base = 2 * (y * width + x)
            sides = (base, base + 3, base + 2 * width, base + 1)
            for start, end in ways:
                follows[sides[start]] = sides[end]
    return _closed(follows, field, width)


_CORNERS = {
    f"{key & 1}{key >> 1 & 1}{key >> 3 & 1}{key >> 2 & 1}": key for key in range(1, 15)
}  # as two rows are read: top left, top right, bottom left, bottom right


def _closed(follows: dict[int, int], field: "Sequence[Sequence[float]]", width: int) -> list[Ring]:
    made = []
    while follows:
        first = next(iter(follows))
        at, ring = first, []
        while at in follows:
            ring.append(_crossing(at, field, width))
            at = follows.pop(at)
        if at == first and len(ring) > 2:
            made.append(ring)
    return made


def _crossing(edge: int, field: "Sequence[Sequence[float]]", width: int) -> Point:
    y, x = divmod(edge >> 1, width)
    upright = edge & 1
    here = field[y][x]
    there = field[y + 1][x] if upright else field[y][x + 1]
    part = here / (here - there) if (here > 0) != (there > 0) else 0.5
    return (x + 0.5, y + 0.5 + part) if upright else (x + 0.5 + part, y + 0.5)
