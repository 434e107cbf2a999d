"""What stands out from the ground of a photograph, and the levels of ground and print near each place."""

import math
from bisect import bisect_left, bisect_right
from typing import NamedTuple

from calculators.footprint.mask import RUN, Mask, Part, from_bytes, from_parts, parts

TYPE_CHECKING = False
if TYPE_CHECKING:
    from calculators.footprint.surface import Tiles

# Where the ground itself stands on a scale of bytes; a print stands below it, or above.
_GROUND = 150
_FIRST_GUESSES = (0.94, 0.88, 0.80, 0.68)
_TURNS = 5
_PARTS_TRIED = 3
_LEAST_SHARE, _LARGEST_SHARE = 0.007, 0.55
_LEAST_CONTRAST = 0.03
# In cells: what is narrower than twice the first is no part of a print; between the second and the third from its
# edge lies the ground that a print is held against.
_NARROW, _EDGE, _BESIDE = 1, 2, 12


Quartiles = tuple[float, float, float]
Levels = tuple[Quartiles, Quartiles]  # of a part, and of the ground beside it


class Candidate(NamedTuple):
    """What may be a print: its level and the ground's beside it, where 1 is the ground as modelled.

    `contrast` is the difference of the two over the spread of both, `clarity` weighs in that a print is in one piece.
    """

    level: float
    around: float
    contrast: float
    clarity: float
    found: Part

    @property
    def darker(self) -> bool:
        """Whether it is darker than the ground beside it."""
        return self.level < self.around


class Codes(NamedTuple):
    """The relief of a place, a byte a cell."""

    place: Mask
    cells: bytes

    def inside(self, threshold: float, *, darker: bool) -> Mask:
        """The cells of the place that are on the print's side of a threshold."""
        limit = _limit(threshold)
        table = (b"1" * limit + b"0" * (256 - limit)) if darker else (b"0" * limit + b"1" * (256 - limit))
        return from_bytes(self.place.width, self.cells.translate(table)) & self.place

    def quartiles(self, on: Mask) -> Quartiles | None:
        """The quartiles of the relief on some cells."""
        width = self.place.width
        runs = [
            self.cells[row * width + found.start() : row * width + found.end()]
            for row, text in enumerate(on.rows())
            for found in RUN.finditer(text)
        ]
        ordered = sorted(b"".join(runs))
        if not ordered:
            return None
        first, second, third = (_quantile(ordered, share) for share in (0.25, 0.5, 0.75))
        return first, second, third


def _limit(threshold: float) -> int:
    return min(255, max(0, round(_GROUND * threshold)))


def _quantile(ordered: list[int], share: float) -> float:
    """A quantile of codes, each of which stands for a stretch of one code's width."""
    at = share * len(ordered)
    code = ordered[min(int(at), len(ordered) - 1)]
    below, upto = bisect_left(ordered, code), bisect_right(ordered, code)
    return (code + (at - below) / (upto - below)) / _GROUND


def codes(rows: list[list[float]], place: Mask) -> Codes:
    """Write a relief as bytes."""
    made = [bytes([int(_GROUND * ratio) if ratio < 1.7 else 255 for ratio in row]) for row in rows]
    return Codes(place, b"".join(made))


def candidates(seen: Codes) -> list[Candidate]:
    """Find what stands out from the ground, darker or lighter, what stands out the most clearly first."""
    made: list[Candidate] = []
    for darker in (True, False):
        slices = _Slices(seen, darker=darker)
        for guess in _FIRST_GUESSES:
            threshold = guess if darker else 2 - guess
            for part in slices.at(threshold)[1][:_PARTS_TRIED]:
                found = _settled(slices, threshold, part)
                if found and not any(_same(found, other) for other in made):
                    made.append(found)
    return sorted(made, key=lambda found: -found.clarity)


class _Slices:
    """A relief cut at thresholds, each looked at once: many settle where others have been."""

    def __init__(self, seen: Codes, *, darker: bool) -> None:
        self.seen, self.darker = seen, darker
        self._least = int(_LEAST_SHARE * seen.place.size())
        self._known: dict[int, tuple[Mask, list[Part]]] = {}
        self._levels: dict[int, Levels | None] = {}

    def at(self, threshold: float) -> tuple[Mask, list[Part]]:
        """The cells on the print's side of a threshold, and the large parts of what is not narrow there."""
        limit = _limit(threshold)
        if limit not in self._known:
            inside = self.seen.inside(threshold, darker=self.darker)
            self._known[limit] = inside, parts(inside.opened(_NARROW), self._least)
        return self._known[limit]

    def levels(self, inside: Mask, part: Part) -> "Levels | None":
        """The quartiles on one of those parts and on the ground beside it, where both have cells."""
        if id(part) not in self._levels:
            place = self.seen.place
            this = from_parts(place.width, place.height, [part])
            near = (this.wider(_BESIDE) & place).without(inside.wider(_EDGE))
            middle, beside = self.seen.quartiles(this.narrower(_NARROW)), self.seen.quartiles(near)
            self._levels[id(part)] = (middle, beside) if middle and beside else None
        return self._levels[id(part)]


def _same(one: Candidate, other: Candidate) -> bool:
    (left, top, right, bottom), (first, upper, last, lower) = one.found.box, other.found.box
    apart = abs(left - first) + abs(top - upper) + abs(right - last) + abs(bottom - lower)
    return abs(one.level - other.level) < 0.03 and apart < 0.1 * (right - left + bottom - top)


def _settled(slices: _Slices, threshold: float, part: Part) -> Candidate | None:
    """Move the threshold half-way between the ground and one part, until both agree."""
    place = slices.seen.place
    inside, _ = slices.at(threshold)
    level = around = contrast = spread = 0.0
    whole = place.size()
    for _ in range(_TURNS):
        levels = slices.levels(inside, part) if part.cells <= _LARGEST_SHARE * whole else None
        if levels is None:
            return None
        middle, beside = levels
        level, around = middle[1], beside[1]
        contrast = abs(level - around)
        spread = middle[2] - middle[0] + beside[2] - beside[0] + 0.01
        if contrast < _LEAST_CONTRAST or (level < around) != slices.darker:
            return None
        moved = (level + around) / 2
        if abs(moved - threshold) < 0.004:
            break
        threshold = moved
        inside, large = slices.at(threshold)
        overlapping = [other for other in large if _overlap(other, part)]
        if not overlapping:
            return None
        part = overlapping[0]
    reach = max(1, round(0.06 * math.sqrt(part.cells)))
    kept = from_parts(place.width, place.height, [part]).opened(reach).size() / part.cells
    return Candidate(level, around, contrast / spread, contrast / spread * kept * part.cells**0.25, part)


def _overlap(one: Part, other: Part) -> bool:
    rows = {row: (first, after) for row, first, after in other.runs}
    for row, first, after in one.runs:
        held = rows.get(row)
        if held and first < held[1] and after > held[0]:
            return True
    return False


_REACH = 4  # tiles to either side that tell of a tile's ground and print: own choice
_PRIOR = 2.0  # how many tiles the levels of the whole print count for


def levels(
    seen: Codes, tiles: "Tiles", over: "list[list[float | None]]", candidate: Candidate
) -> tuple[list[list[float]], list[list[float]]]:
    """Give the levels of the ground and of the print near each tile.

    Args:
        seen: the relief.
        tiles: their side in cells.
        over: each tile's brightness over its ground.
        candidate: the print.
    """
    inside = seen.inside((candidate.level + candidate.around) / 2, darker=candidate.darker)
    half = tiles.side // 2 + 1
    away = seen.place.narrower(half).without(inside.wider(half))
    return (
        _smoothed(_picked(over, away, tiles.side), candidate.around),
        _smoothed(_picked(over, inside.narrower(half), tiles.side), candidate.level),
    )


def _picked(over: "list[list[float | None]]", marked: Mask, side: int) -> "list[list[float | None]]":
    marks = marked.rows()
    made = []
    for row, line in enumerate(over):
        text = marks[row * side + side // 2]
        made.append([value if text[at * side + side // 2] == "1" else None for at, value in enumerate(line)])
    return made


def _smoothed(values: "list[list[float | None]]", prior: float) -> list[list[float]]:
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
