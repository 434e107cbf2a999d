"""Sets of cells as one whole number, a bit a cell: widening, narrowing and counting cost next to nothing."""

import re
from functools import lru_cache
from typing import NamedTuple

TYPE_CHECKING = False
if TYPE_CHECKING:
    from collections.abc import Iterable

Run = tuple[int, int, int]  # row, first column, column after the last
Box = tuple[int, int, int, int]  # first column and row, column and row after the last
RUN = re.compile("1+")


class Mask(NamedTuple):
    """A set of cells. Each row has a guard column at its right, always empty, so that no row runs into the next."""

    width: int
    height: int
    bits: int

    def __and__(self, other: "Mask") -> "Mask":
        return self._replace(bits=self.bits & other.bits)

    def __or__(self, other: "Mask") -> "Mask":
        return self._replace(bits=self.bits | other.bits)

    def without(self, other: "Mask") -> "Mask":
        """The cells of this set that the other lacks."""
        return self._replace(bits=self.bits & ~other.bits)

    def size(self) -> int:
        """How many cells there are."""
        return self.bits.bit_count()

    def rows(self) -> list[str]:
        """One text a row, of 0 and 1."""
        stride = self.width + 1
        text = format(self.bits, f"0{stride * self.height}b")
        return [text[at : at + self.width] for at in range(0, len(text), stride)]

    def wider(self, cells: int) -> "Mask":
        """Grow by so many cells in all directions, nearly round: by a cross and by a square in turn."""
        return self._grown(cells, self.bits, (1 << (self.width + 1) * self.height) - 1)

    def narrower(self, cells: int) -> "Mask":
        """Shrink by so many cells; what lies outside the picture counts as empty."""
        whole = full(self.width, self.height).bits
        around = Mask(self.width, self.height, whole & ~self.bits)
        shrunk = whole & ~around._grown(cells, around.bits, whole).bits
        return self._replace(bits=shrunk & ~_rim(self.width, self.height, cells))

    def _grown(self, cells: int, bits: int, whole: int) -> "Mask":
        stride = self.width + 1
        inside = full(self.width, self.height).bits & whole
        for step in range(cells):
            line = (bits | bits << 1 | bits >> 1) & inside
            tall = line if step % 2 else bits
            bits = (line | tall << stride | tall >> stride) & inside
        return self._replace(bits=bits)

    def doubled(self) -> "Mask":
        """The same set with four cells in place of each."""
        rows = [row.replace("1", "11").replace("0", "00") for row in self.rows()]
        return from_rows(2 * self.width, [row for row in rows for _ in (0, 1)])

    def part(self, left: int, top: int, width: int, height: int) -> "Mask":
        """Cut out a part; what lies beyond this one is empty."""
        rows = [row[left : left + width].ljust(width, "0") for row in self.rows()[top : top + height]]
        return from_rows(width, rows + ["0" * width] * (height - len(rows)))

    def box(self, beside: int) -> Box:
        """The upright box of the cells, so many wider to all sides within the picture; there has to be a cell."""
        filled = [(row, text) for row, text in enumerate(self.rows()) if "1" in text]
        left = min(text.index("1") for _, text in filled) - beside
        right = max(text.rindex("1") for _, text in filled) + 1 + beside
        top, bottom = filled[0][0] - beside, filled[-1][0] + 1 + beside
        return max(0, left), max(0, top), min(self.width, right), min(self.height, bottom)

    def opened(self, cells: int) -> "Mask":
        """What is left of every part that is wider than about twice the cells."""
        return self.narrower(cells).wider(cells)

    def spread_from(self, seeds: "Mask", cells: int) -> "Mask":
        """The cells of this set within so many steps of the seeds, going through cells of this set only."""
        grown = seeds & self
        for _ in range(cells):
            last, grown = grown, self._step_from(grown)
            if grown == last:
                break
        return grown

    def _step_from(self, seeds: "Mask") -> "Mask":
        stride, bits = self.width + 1, seeds.bits
        line = bits | bits << 1 | bits >> 1
        return self._replace(bits=(line | line << stride | line >> stride) & self.bits)

    def ways_between(self, one: "Mask", other: "Mask", most: int, detour: int) -> "Mask":
        """The cells of this set on ways from one part of it to another, no longer than the shortest and a detour.

        None at all where even the shortest way has more cells than `most`.
        """
        near, far = [one], [other]
        while not (near[-1] & far[-1]).bits:
            if len(near) + len(far) > most:
                return self._replace(bits=0)
            near.append(self._step_from(near[-1]))
            far.append(self._step_from(far[-1]))
        longest = len(near) + len(far) - 2 + detour
        while len(near) <= longest:
            near.append(self._step_from(near[-1]))
            far.append(self._step_from(far[-1]))
        bits = 0
        for steps in range(longest + 1):
            bits |= near[steps].bits & far[longest - steps].bits
        return self._replace(bits=bits)


@lru_cache(maxsize=8)
def full(width: int, height: int) -> Mask:
    """Every cell."""
    return Mask(width, height, int(("1" * width + "0") * height, 2))


def _rim(width: int, height: int, cells: int) -> int:
    inner, outer = "0" * cells + "1" * max(0, width - 2 * cells) + "0" * min(cells, width - cells), "0" * width
    rows = [outer if row < cells or row >= height - cells else inner for row in range(height)]
    return full(width, height).bits & ~from_rows(width, rows).bits


def from_rows(width: int, rows: "Iterable[str]") -> Mask:
    """Make a mask from one text a row, of 0 and 1."""
    kept = list(rows)
    return Mask(width, len(kept), int("0".join(kept) + "0", 2) if kept else 0)


def from_bytes(width: int, cells: bytes) -> Mask:
    """Make a mask from one byte a cell, b"0" or b"1"."""
    text = cells.decode("ascii")
    return from_rows(width, [text[at : at + width] for at in range(0, len(text), width)])


class Part(NamedTuple):
    """One connected part: its runs, its count of cells, and the corners of its upright box (first, after the last)."""

    runs: list[Run]
    cells: int
    box: Box


def parts(mask: Mask, least: int = 1) -> list[Part]:
    """Split a mask into its connected parts (corners touch), the largest first, without those of fewer cells."""
    runs: list[Run] = []
    leader: list[int] = []

    def root(at: int) -> int:
        while leader[at] != at:
            leader[at] = leader[leader[at]]
            at = leader[at]
        return at

    above: list[int] = []
    for row, text in enumerate(mask.rows()):
        if "1" not in text:
            above = []
            continue
        here: list[int] = []
        first = 0
        for found in RUN.finditer(text):
            left, right = found.span()
            this = len(runs)
            runs.append((row, left, right))
            leader.append(this)
            here.append(this)
            while first < len(above) and runs[above[first]][2] < left:
                first += 1
            at = first
            while at < len(above) and runs[above[at]][1] <= right:
                one, other = root(above[at]), root(this)
                if one != other:
                    leader[max(one, other)] = min(one, other)
                at += 1
        above = here
    grouped: dict[int, list[Run]] = {}
    for at, run in enumerate(runs):
        grouped.setdefault(root(at), []).append(run)
    made = [_part(group) for group in grouped.values()]
    return sorted((part for part in made if part.cells >= least), key=lambda part: (-part.cells, part.runs[0]))


def _part(runs: list[Run]) -> Part:
    cells = 0
    left, right = runs[0][1], runs[0][2]
    for _, first, after in runs:
        cells += after - first
        left, right = min(left, first), max(right, after)
    return Part(runs, cells, (left, runs[0][0], right, runs[-1][0] + 1))


def from_parts(width: int, height: int, chosen: "Iterable[Part]") -> Mask:
    """The cells of some parts."""
    bits, stride = 0, width + 1
    last = stride * height
    for part in chosen:
        for row, first, after in part.runs:
            bits |= ((1 << (after - first)) - 1) << (last - row * stride - after)
    return Mask(width, height, bits)
