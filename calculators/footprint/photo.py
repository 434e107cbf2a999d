"""From a photograph's lightness to the parts that are print: a field whose zero is the print's edge."""

import math
from typing import NamedTuple

from calculators.footprint import ground
from calculators.footprint.mask import RUN, Mask, Part, from_bytes, from_parts, parts
from calculators.footprint.shadow import shadow

TYPE_CHECKING = False
if TYPE_CHECKING:
    from calculators.footprint.ground import Light, Tiles
    from calculators.footprint.picture import Grey

# Where the ground itself stands on a scale of bytes; a print stands below it, or above.
_GROUND = 150
_FIRST_GUESSES = (0.94, 0.88, 0.80, 0.68)
_TURNS = 5
_PARTS_TRIED = 3
_LEAST_SHARE, _LARGEST_SHARE = 0.012, 0.55
_LEAST_CONTRAST = 0.03


class Candidate(NamedTuple):
    """What may be a print: its level and the ground's beside it, where 1 is the ground as modelled.

    `contrast` is the difference of the two over the spread of both, `clarity` weighs in that a print is in one piece.
    """

    level: float
    around: float
    contrast: float
    clarity: float
    found: Part


class Relief(NamedTuple):
    """Brightness over ground, cell by cell, 1 where nothing lies on the ground."""

    width: int
    height: int
    rows: list[list[float]]
    codes: bytes
    tiles: list[list[float | None]]
    side: int


def relief(grey: "Grey", place: Mask, seen: "Tiles", light: "Light") -> Relief:
    """Divide the picture by its ground, and smooth what is rough with grain."""
    smooth, over = ground.levels(seen, light)
    spread = _Spread(grey.width, grey.height, len(smooth[0]), len(smooth), seen.side)
    under = [spread.row(smooth, y) for y in range(grey.height)]
    for step in light.steps:
        edge = shadow(grey, under, place, step, seen.side)
        if edge is None:
            continue
        for y, line in enumerate(under):
            under[y] = [a * b for a, b in zip(line, edge.row(y, grey.width), strict=True)]
    values, width = grey.values, grey.width
    rows = [
        [value / level for value, level in zip(values[y * width : (y + 1) * width], line, strict=True)]
        for y, line in enumerate(under)
    ]
    for _ in range(_smoothings(rows)):
        rows = _smoothed_once(rows)
    codes = b"".join([bytes([int(_GROUND * ratio) if ratio < 1.7 else 255 for ratio in row]) for row in rows])
    return Relief(grey.width, grey.height, rows, codes, over, seen.side)


def _smoothings(rows: list[list[float]]) -> int:
    """How often to smooth: by the median difference between cells two apart, on a sample."""
    sample = sorted(abs(row[at + 2] - row[at]) for row in rows[5::11] for at in range(0, len(row) - 2, 7))
    rough = sample[len(sample) // 2] if sample else 0.0
    return next((times for times, limit in ((0, 0.022), (1, 0.045)) if rough < limit), 2)


def _smoothed_once(rows: list[list[float]]) -> list[list[float]]:
    """Mean of 3 x 3 cells; the rim repeats itself."""
    across = []
    for row in rows:
        wide = [row[0], *row, row[-1]]
        across.append([a + b + c for a, b, c in zip(wide[:-2], row, wide[2:], strict=True)])
    tall = [across[0], *across, across[-1]]
    return [
        [(a + b + c) / 9 for a, b, c in zip(*lines, strict=True)]
        for lines in zip(tall[:-2], across, tall[2:], strict=True)
    ]


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
    """Find what stands out from the ground, darker or lighter, what stands out the most clearly first."""
    made: list[Candidate] = []
    least = int(_LEAST_SHARE * place.size())
    for darker in (True, False):
        for guess in _FIRST_GUESSES:
            threshold = guess if darker else 2 - guess
            inside = masked(seen.codes, seen.width, threshold, darker) & place
            for part in parts(inside.opened(2), least)[:_PARTS_TRIED]:
                found = _settled(seen, place, threshold, part)
                if found and not any(_same(found, other) for other in made):
                    made.append(found)
    return sorted(made, key=lambda found: -found.clarity)


def _same(one: Candidate, other: Candidate) -> bool:
    (left, top, right, bottom), (first, upper, last, lower) = one.found.box, other.found.box
    apart = abs(left - first) + abs(top - upper) + abs(right - last) + abs(bottom - lower)
    return abs(one.level - other.level) < 0.03 and apart < 0.1 * (right - left + bottom - top)


def _settled(seen: Relief, place: Mask, threshold: float, part: Part) -> Candidate | None:
    """Move the threshold half-way between the ground and one part, until both agree."""
    darker = threshold < 1
    level = around = contrast = spread = 0.0
    whole = place.size()
    inside = masked(seen.codes, seen.width, threshold, darker) & place
    for _ in range(_TURNS):
        if part.cells > _LARGEST_SHARE * whole:
            return None
        this = from_parts(seen.width, seen.height, [part])
        near = (this.wider(24) & place).without(inside.wider(3))
        middle, beside = _quartiles(seen, this.narrower(2)), _quartiles(seen, near)
        if middle is None or beside is None:
            return None
        level, around = middle[1], beside[1]
        contrast = abs(level - around)
        spread = middle[2] - middle[0] + beside[2] - beside[0] + 0.01
        if contrast < _LEAST_CONTRAST or (level < around) != darker:
            return None
        moved = (level + around) / 2
        if abs(moved - threshold) < 0.004:
            break
        threshold = moved
        inside = masked(seen.codes, seen.width, threshold, darker) & place
        overlapping = [other for other in parts(inside.opened(2), int(_LEAST_SHARE * whole)) if _overlap(other, part)]
        if not overlapping:
            return None
        part = overlapping[0]
    reach = max(2, round(0.06 * math.sqrt(part.cells)))
    kept = from_parts(seen.width, seen.height, [part]).opened(reach).size() / part.cells
    return Candidate(level, around, contrast / spread, contrast / spread * kept * part.cells**0.25, part)


def _overlap(one: Part, other: Part) -> bool:
    rows = {row: (first, after) for row, first, after in other.runs}
    for row, first, after in one.runs:
        held = rows.get(row)
        if held and first < held[1] and after > held[0]:
            return True
    return False


def masked(codes: bytes, width: int, threshold: float, darker: bool) -> Mask:
    """The cells on the print's side of a threshold."""
    limit = min(255, max(0, round(_GROUND * threshold)))
    table = (b"1" * limit + b"0" * (256 - limit)) if darker else (b"0" * limit + b"1" * (256 - limit))
    return from_bytes(width, codes.translate(table))


def _quartiles(seen: Relief, place: Mask) -> tuple[float, float, float] | None:
    """Give the quartiles of the relief on some cells."""
    counts = [0] * 256
    width = seen.width
    for row, text in enumerate(place.rows()):
        for found in RUN.finditer(text):
            for code in seen.codes[row * width + found.start() : row * width + found.end()]:
                counts[code] += 1
    total = math.fsum(counts)
    if total == 0:
        return None
    made, passed, code = [], 0, 0
    for share in (0.25, 0.5, 0.75):
        while passed + counts[code] <= share * total:
            passed += counts[code]
            code += 1
        made.append((code + (share * total - passed) / counts[code]) / _GROUND)
    return made[0], made[1], made[2]


_REACH = 4  # tiles to either side that tell of a tile's ground and print: own choice
_PRIOR = 2.0  # how many tiles the levels of the whole print count for


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
