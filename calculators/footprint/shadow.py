"""The edge of a shadow, cell by cell: where it runs, and how the brightness falls across it."""

import math
from typing import NamedTuple

TYPE_CHECKING = False
if TYPE_CHECKING:
    from calculators.footprint.mask import Mask
    from calculators.footprint.picture import Grey
    from calculators.footprint.surface import Step

# Own choices: how far to either side is looked (in tiles), in how many pieces the line is cut, the
# fewest cells of a piece at each distance from it, and the fewest pieces.
_REACH_TILES, _PIECES, _FEWEST, _FEWEST_PIECES = 3.0, 12, 4, 3


class Shadow(NamedTuple):
    """A straight edge in cells. `fall` holds the factor of brightness at each whole distance from -reach to reach."""

    nx: float
    ny: float
    offset: float
    reach: int
    fall: list[float]

    def row(self, left: float, y: float, step: float, count: int) -> list[float]:
        """The factor in the middles of so many cells of a row: 1 on the bright side.

        Args:
            left: where the first cell begins, in the cells of this shadow.
            y: of the row's middle.
            step: the side of a cell.
            count: how many cells.
        """
        at = self.nx * (left + 0.5 * step) + self.ny * y - self.offset + self.reach
        last, fall, by = len(self.fall) - 1, self.fall, self.nx * step
        made = []
        for _ in range(count):
            if at <= 0:
                made.append(fall[0])
            elif at >= last:
                made.append(1.0)
            else:
                first = int(at)
                made.append(fall[first] + (at - first) * (fall[first + 1] - fall[first]))
            at += by
        return made


def shadow(grey: "Grey", under: list[list[float]], place: "Mask", step: "Step", height: float, side: int) -> Shadow:
    """Move a step found on tiles to where it is on cells; as it was on tiles where the cells do not tell.

    Args:
        grey: the picture.
        under: rows of the ground's brightness without this step, a cell each.
        place: the cells looked at.
        step: in tiles.
        height: of the step, in logarithms of brightness.
        side: of a tile, in cells.
    """
    nx, ny = step.nx, step.ny
    offset = (step.offset + 0.5 * (nx + ny)) * side
    reach = max(6, round(_REACH_TILES * side))
    soft = step.softness * side
    fall = [math.exp(height * (0.5 * math.tanh(at / soft) - 0.5)) for at in range(-reach, reach + 1)]
    coarse = Shadow(nx, ny, offset, reach, fall)
    for _ in range(2):
        moved = _moved(_near(grey, under, place, nx, ny, offset, reach), reach)
        if moved is None:
            return coarse
        slope, shift = moved
        turn = math.atan(slope)
        # Distances along the line are measured from the origin's foot on it.
        nx, ny = nx * math.cos(turn) + ny * math.sin(turn), ny * math.cos(turn) - nx * math.sin(turn)
        offset = (offset + shift) * math.cos(turn)
    falls = [_from_bright(profile) for _, profile in _profiles(_near(grey, under, place, nx, ny, offset, reach), reach)]
    if len(falls) < _FEWEST_PIECES:
        return coarse
    # Print and ground fall by the same part across the edge of a shadow, so each piece is held against its own end.
    return Shadow(nx, ny, offset, reach, [math.exp(_median(list(values))) for values in zip(*falls, strict=True)])


def _from_bright(profile: list[float]) -> list[float]:
    bright = _mean(profile[-max(3, len(profile) // 8) :])
    return [value - bright for value in profile]


def _near(
    grey: "Grey", under: list[list[float]], place: "Mask", nx: float, ny: float, offset: float, reach: int
) -> list[tuple[float, int, float]]:
    """Along, across (whole cells) and logarithm of brightness over ground, of all cells near the line."""
    made = []
    text = place.rows()
    width = grey.width
    for y in range(grey.height):
        base = ny * (y + 0.5) - offset
        if abs(nx) > 1e-9:
            one, other = sorted(((-reach - base) / nx, (reach - base) / nx))
        elif abs(base) <= reach:
            one, other = 0.0, float(width)
        else:
            continue
        first, after = max(0, math.floor(one - 0.5)), min(width, math.ceil(other))
        row, below = text[y], under[y]
        for x in range(first, after):
            across = base + nx * (x + 0.5)
            if row[x] == "1" and -reach <= across <= reach:
                value = grey.values[y * width + x]
                made.append((ny * (x + 0.5) - nx * (y + 0.5), round(across), math.log((value + 1) / below[x])))
    return made


def _profile(near: list[tuple[int, float]], reach: int) -> list[float] | None:
    bins: list[list[float]] = [[] for _ in range(2 * reach + 1)]
    for across, value in near:
        bins[across + reach].append(value)
    profile = []
    for values in bins:
        if len(values) < _FEWEST:
            return None
        values.sort()
        profile.append(values[len(values) // 2])
    return profile


def _profiles(near: list[tuple[float, int, float]], reach: int) -> list[tuple[float, list[float]]]:
    """The profile across the line of each piece of it that has one, with where along the line the piece lies."""
    if not near:
        return []
    low, high = min(along for along, _, _ in near), max(along for along, _, _ in near)
    size = (high - low) / _PIECES + 1e-9
    pieces: list[list[tuple[int, float]]] = [[] for _ in range(_PIECES)]
    for along, across, value in near:
        pieces[int((along - low) / size)].append((across, value))
    made = [(low + (number + 0.5) * size, _profile(piece, reach)) for number, piece in enumerate(pieces)]
    return [(along, profile) for along, profile in made if profile is not None]


def _moved(near: list[tuple[float, int, float]], reach: int) -> tuple[float, float] | None:
    """Slope and shift of the line through the places where each piece of it falls half-way; by repeated medians."""
    points = []
    for along, profile in _profiles(near, reach):
        at = _half_way(profile, reach)
        if at is not None:
            points.append((along, at))
    if len(points) < _FEWEST_PIECES:
        return None
    slopes = sorted(_median([(b - v) / (a - u) for a, b in points if a != u]) for u, v in points)
    slope = slopes[len(slopes) // 2]
    return slope, _median([v - slope * u for u, v in points])


def _half_way(profile: list[float], reach: int) -> float | None:
    end = max(3, reach // 3)
    dark, bright = _mean(profile[:end]), _mean(profile[-end:])
    if bright - dark < 0.05:
        return None
    half = (dark + bright) / 2
    crossing = [
        at + (half - profile[at]) / (profile[at + 1] - profile[at])
        for at in range(len(profile) - 1)
        if profile[at] <= half < profile[at + 1]
    ]
    return _median(crossing) - reach if crossing else None


def _mean(values: list[float]) -> float:
    return math.fsum(values) / len(values)


def _median(values: list[float]) -> float:
    ordered = sorted(values)
    return ordered[len(ordered) // 2]
