"""From a photograph's lightness to the parts that are print: a field whose zero is the print's edge."""

import math
from array import array
from typing import NamedTuple

from calculators.footprint.ground import ground
from calculators.footprint.mask import Mask, Part, from_bytes, from_parts, parts

TYPE_CHECKING = False
if TYPE_CHECKING:
    from calculators.footprint.picture import Grey

# Where the ground itself stands on a scale of bytes; a print stands below it, or above.
_GROUND = 150
_FIRST_GUESSES = (0.94, 0.88, 0.80, 0.68)
_TURNS = 5
_LEAST_SHARE, _LARGEST_SHARE = 0.012, 0.55
_LEAST_CONTRAST = 0.05


class Candidate(NamedTuple):
    """What may be a print: its level and its ground's (1 is the ground's model), and the parts of its mask."""

    level: float
    around: float
    noise: float
    found: list[Part]


class Relief(NamedTuple):
    """Brightness over ground, cell by cell, 1 where nothing lies on the ground."""

    width: int
    height: int
    rows: list[list[float]]
    codes: bytes
    tiles: list[list[float | None]]
    side: int


def relief(grey: "Grey", place: Mask) -> Relief:
    """Divide the picture by its ground."""
    under, tiles, side = ground(grey, place)
    spread = _Spread(grey.width, grey.height, len(under[0]), len(under), side)
    rows = []
    codes = bytearray()
    values, width = grey.values, grey.width
    for y in range(grey.height):
        line = spread.row(under, y)
        row = [value / level for value, level in zip(values[y * width : (y + 1) * width], line, strict=True)]
        rows.append(row)
        codes += bytes([int(_GROUND * ratio) if ratio < 1.7 else 255 for ratio in row])
    return Relief(grey.width, grey.height, rows, bytes(codes), tiles, side)


class _Spread:
    """Numbers of tiles spread over cells, straight between the middles of tiles."""

    def __init__(self, width: int, height: int, across: int, down: int, side: int) -> None:
        self._columns = [_between(x, across, side) for x in range(width)]
        self._rows = [_between(y, down, side) for y in range(height)]

    def row(self, tiles: list[list[float]], y: int) -> list[float]:
        first, part = self._rows[y]
        upper = tiles[first]
        lower = tiles[min(first + 1, len(tiles) - 1)]
        line = [a + part * (b - a) for a, b in zip(upper, lower, strict=True)]
        line.append(line[-1])
        return [line[at] + rest * (line[at + 1] - line[at]) for at, rest in self._columns]


def _between(cell: int, tiles: int, side: int) -> tuple[int, float]:
    at = min(max((cell + 0.5) / side - 0.5, 0.0), tiles - 1.0)
    first = int(at)
    return first, at - first


def candidates(seen: Relief, place: Mask) -> list[Candidate]:
    """Find what stands out from the ground in one piece, darker or lighter, the largest first."""
    made: list[Candidate] = []
    for darker in (True, False):
        for guess in _FIRST_GUESSES:
            found = _settled(seen, place, guess if darker else 2 - guess)
            if found and not any(abs(found.level - other.level) < 0.03 for other in made):
                made.append(found)
    return sorted(made, key=lambda found: -found.found[0].cells)


def _settled(seen: Relief, place: Mask, level: float) -> Candidate | None:
    """Move the threshold half-way between the ground and the largest part, until both agree."""
    darker = level < 1
    around = 1.0
    found: list[Part] = []
    threshold = level
    noise = 0.0
    for _ in range(_TURNS):
        inside = masked(seen.codes, seen.width, threshold, darker) & place
        found = parts(inside.opened(2), int(_LEAST_SHARE * place.count()))
        if not found or found[0].cells > _LARGEST_SHARE * place.count():
            return None
        largest = from_parts(seen.width, seen.height, found[:1])
        middle = _median(seen, largest.narrower(2))
        near = (largest.wider(24) & place).without(inside.wider(3))
        beside = _median(seen, near)
        if middle is None or beside is None:
            return None
        level, around = middle, beside
        if abs(level - around) < _LEAST_CONTRAST or (level < around) != darker:
            return None
        moved = (level + around) / 2
        if abs(moved - threshold) < 0.004:
            break
        threshold = moved
    return Candidate(level, around, noise, found)


def masked(codes: bytes, width: int, threshold: float, darker: bool) -> Mask:
    """The cells on the print's side of a threshold."""
    limit = min(255, max(0, round(_GROUND * threshold)))
    table = (b"1" * limit + b"0" * (256 - limit)) if darker else (b"0" * limit + b"1" * (256 - limit))
    return from_bytes(width, codes.translate(table))


def _median(seen: Relief, place: Mask) -> float | None:
    counts = array("I", bytes(4 * 256))
    for row, text in enumerate(place.rows()):
        if "1" not in text:
            continue
        line = seen.codes[row * seen.width : (row + 1) * seen.width]
        for code, mark in zip(line, text, strict=True):
            if mark == "1":
                counts[code] += 1
    total, passed = sum(counts), 0
    if total == 0:
        return None
    for code, count in enumerate(counts):
        if passed + count > total / 2:
            return (code + 0.5 + (total / 2 - passed) / count - 0.5) / _GROUND
        passed += count
    return None


_REACH = 4  # tiles to either side that tell of a tile's ground and print: own choice
_PRIOR = 2.0  # how many tiles the levels of the whole print count for


class Edge(NamedTuple):
    """What is needed to trace a print's edge at any part of its contrast: the levels of ground and print by tile."""

    ground: list[list[float]]
    print: list[list[float]]
    inside: Mask  # where the print may be: its own parts, and what surrounds them


def levels(seen: Relief, place: Mask, candidate: Candidate) -> tuple[list[list[float]], list[list[float]]]:
    """Give the levels of the ground and of the print near each tile."""
    darker = candidate.level < candidate.around
    inside = masked(seen.codes, seen.width, (candidate.level + candidate.around) / 2, darker)
    half = seen.side // 2 + 1
    away = place.narrower(half).without(inside.wider(half)).rows()
    within = (inside & place).narrower(half).rows()
    return (
        _smoothed(_picked(seen, away), candidate.around),
        _smoothed(_picked(seen, within), candidate.level),
    )


def _picked(seen: Relief, marks: list[str]) -> list[list[float | None]]:
    made = []
    for row, line in enumerate(seen.tiles):
        text = marks[row * seen.side + seen.side // 2]
        made.append([value if text[at * seen.side + seen.side // 2] == "1" else None for at, value in enumerate(line)])
    return made


def _smoothed(values: list[list[float | None]], prior: float) -> list[list[float]]:
    totals = [[(0.0 if value is None else value - prior) for value in line] for line in values]
    counts = [[(0.0 if value is None else 1.0) for value in line] for line in values]
    for _ in range(2):
        totals, counts = _boxed(totals), _boxed(counts)
    return [
        [prior + total / (_PRIOR + count) for total, count in zip(line, number, strict=True)]
        for line, number in zip(totals, counts, strict=True)
    ]


def _boxed(rows: list[list[float]]) -> list[list[float]]:
    """Sum over a stretch of each row, and turn the table over; twice gives sums over squares, the right way up."""
    made = []
    for row in rows:
        made.append([math.fsum(row[max(0, at - _REACH) : at + _REACH + 1]) for at in range(len(row))])
    return [list(column) for column in zip(*made, strict=True)]


def field(seen: Relief, grounds: list[list[float]], prints: list[list[float]], part: float) -> list[list[float]]:
    """Give numbers above zero on the print and below on the ground; `part` of the contrast lies at zero."""
    tiles = [
        [a + part * (b - a) for a, b in zip(line, other, strict=True)]
        for line, other in zip(grounds, prints, strict=True)
    ]
    sign = 1 if prints[0][0] < grounds[0][0] else -1
    spread = _Spread(seen.width, seen.height, len(tiles[0]), len(tiles), seen.side)
    made = []
    for y, row in enumerate(seen.rows):
        line = spread.row(tiles, y)
        if sign > 0:
            made.append([limit - ratio for limit, ratio in zip(line, row, strict=True)])
        else:
            made.append([ratio - limit for limit, ratio in zip(line, row, strict=True)])
    return made
