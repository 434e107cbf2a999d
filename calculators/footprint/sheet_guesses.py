"""Coarse straight edges joined to quadrilaterals that may be a sheet."""

import math
from typing import NamedTuple

TYPE_CHECKING = False
if TYPE_CHECKING:
    from calculators.footprint.rectify import Point, Ring
    from calculators.footprint.sheet_lines import Line

# Own choices, by trial on drawn scenes. Lengths are in cells of the coarse grid.
SHORTEST = 7
_CORNER_STEPS, _CORNER_SEEN = 8, 0.1  # at a corner, this part of so many steps on either edge is seen at least
_OPPOSITE, _ACROSS = -math.cos(math.radians(35)), math.sin(math.radians(40))
_COARSELY_SEEN = (0.3, 0.55)  # of one side, of the outline
_PAST, _WEIGHT_PAST, _WEIGHT_OFF = 0.12, 0.6, 0.5
_ASPECT_OFF = 0.4  # a tilt shortens one side


class Guess(NamedTuple):
    """Corners in cells, anticlockwise before the eye; `lighter` is 1 for a sheet lighter than the floor, else -1."""

    rank: float
    corners: "Ring"
    lighter: int


def aspect_off(aspect: float, size_mm: "Point | None") -> float:
    """How far an aspect is from a size in either order; 0 for no size."""
    if size_mm is None:
        return 0.0
    ratio = abs(math.log(size_mm[0] / size_mm[1]))
    return math.exp(abs(abs(math.log(aspect)) - ratio)) - 1


def guesses_of(lines: "list[Line]", lighter: int, frame: "Point", size_mm: "Point | None") -> list[Guess]:
    """Join edges to quadrilaterals: four sides in turn, each pair meeting in a corner; one corner may not be seen."""
    after: list[dict[int, Point]] = [{} for _ in lines]
    unseen: list[dict[int, Point]] = [{} for _ in lines]
    for first, one in enumerate(lines):
        for second, two in enumerate(lines):
            # Along the outline, anticlockwise before the eye, the next side's inward normal has turned left too.
            if one.nx * two.ny - one.ny * two.nx < -_ACROSS:
                corner = _corner(one, two, frame)
                if corner is not None:
                    (after if _seen_at(one, two, lighter, corner) else unseen)[first][second] = corner
    found = []
    for a, from_a in enumerate(after):
        for b, ab in from_a.items():
            for c, bc in after[b].items():
                if _cosine(lines[a], lines[c]) > _OPPOSITE:
                    continue
                for d, cd in after[c].items():
                    # Of the four ways to begin at a corner, one will do where all are seen.
                    last = (after[d].get(a) if a < min(b, c, d) else None) or unseen[d].get(a)
                    if last is not None and _cosine(lines[b], lines[d]) <= _OPPOSITE:
                        corners = [ab, bc, cd, last]
                        guess = _guess([lines[b], lines[c], lines[d], lines[a]], corners, lighter, size_mm)
                        if guess is not None:
                            found.append(guess)
    return found


def _cosine(one: "Line", two: "Line") -> float:
    return one.nx * two.nx + one.ny * two.ny


def _corner(one: "Line", two: "Line", frame: "Point") -> "Point | None":
    """Cross two edges; None out of the picture."""
    span = one.nx * two.ny - one.ny * two.nx
    x, y = (one.at * two.ny - one.ny * two.at) / span, (one.nx * two.at - one.at * two.nx) / span
    return (x, y) if -1 <= x <= frame[0] + 1 and -1 <= y <= frame[1] + 1 else None


def _seen_at(one: "Line", two: "Line", lighter: int, corner: "Point") -> bool:
    """Whether either edge is seen on its way to a corner."""
    end, start = one.along(*corner), two.along(*corner)
    seen = one.seen(end - lighter * _CORNER_STEPS, end) + two.seen(start, start + lighter * _CORNER_STEPS)
    return seen >= _CORNER_SEEN * 2 * _CORNER_STEPS


def _guess(sides: "list[Line]", corners: "Ring", lighter: int, size_mm: "Point | None") -> Guess | None:
    """Rank a quadrilateral by how much of its outline is seen, less what goes on past its corners."""
    reaches = []
    seen: list[float] = []
    for at, side in enumerate(sides):
        start, end = side.along(*corners[at]), side.along(*corners[(at + 1) % 4])
        length = lighter * (end - start)
        if length < SHORTEST:
            return None
        seen.append(side.seen(start, end) / length)
        if seen[-1] < _COARSELY_SEEN[0]:
            return None
        reaches.append((side, start, end, max(3.0, _PAST * length)))
    if math.fsum(seen) < 4 * _COARSELY_SEEN[1]:
        return None
    (ax, ay), (bx, by), (cx, cy), (dx, dy) = corners
    # Coarse corners tell too little of the perspective, so that the picture's own proportion has to do.
    off = aspect_off(
        math.hypot(bx - ax + cx - dx, by - ay + cy - dy) / math.hypot(dx - ax + cx - bx, dy - ay + cy - by), size_mm
    )
    if off > _ASPECT_OFF:
        return None
    past = []
    for side, start, end, more in reaches:
        past.append(side.seen(start - lighter * more, start - lighter) / (more - 1))
        past.append(side.seen(end + lighter, end + lighter * more) / (more - 1))
    rank = math.fsum(seen) / 4 - _WEIGHT_PAST * math.fsum(past) / 8 - _WEIGHT_OFF * off
    return Guess(rank, corners, lighter)
