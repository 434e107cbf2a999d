"""When to refuse a print, and what to warn of. All limits are own choices."""

import math
from typing import NamedTuple

from calculators.footprint.plane import area_of, mean
from calculators.footprint.search import Cut, Found, area_with_toes
from calculators.footprint.sole import Piece, contains
from calculators.results import Refusal, Refused, quantity

TYPE_CHECKING = False
if TYPE_CHECKING:
    from calculators.footprint.flat import Flat
    from calculators.footprint.outline import Point
    from calculators.footprint.ranges import Ranges

LEAST_LIKENESS = 0.63  # below, it is no print that could be measured
_PLAIN_LIKENESS = 0.86  # below, the print is measured and said to be uneven
_PLAIN = 0.76  # likeness by support: below, a second-best account of the light does not show a print
_RAGGED = 0.87  # support: below, a print is sought under second-best accounts as well, and said to be uneven
_WHOLE = 0.97  # with less than this of another print's area, one may have lost a part along a shadow
_LEAST_CELLS = 1500  # of a print without toes; an edge is then known to about a hundredth of its length
_ANOTHER = 0.55  # another print is one whose rank is at least this part of the best one's
_SAME = 0.3  # pieces whose middles are so near, in parts of a square's side as large, are one
_BLURRED_PART = 0.012  # the width over which the edge rises by a fifth, as a part of the toeless length
_FAINT = 0.08  # how much print and ground differ across the edge, where the ground is 1
_ODD_ASPECT = 0.08
_NEARLY_EMPTY = 0.08  # narrowest middle over ball
_EMPTY = 0.02  # an arch index that is no higher whatever is moved is steady: the middle third holds nothing to speak of
_SCALE_UNSURE = 0.02  # two deviations of the scale
TILTED_DEG = 12.0  # without a sheet
_UNSURE_CROSSED = 0.45  # of the ball's width: print that the toe line runs through
_STEADY_ARCH_INDEX = 0.03  # half the range
_PLAIN_CONTRAST = 1.9


class Prints(NamedTuple):
    """The best print, and others that do not lie on it."""

    best: Found
    others: list[Found]


def chosen(found: list[Found], cuts: list[Cut], flat: "Flat") -> Prints:
    """Take the likeliest print.

    Args:
        found: what may be prints, the likeliest first.
        cuts: what goes on beyond the rim of the places that were looked at.
        flat: how the picture becomes a plane.

    Raises:
        Refused: no_print, too_faint, print_too_small, cut_by_edge, over_sheet_edge.
    """
    best = found[0] if found else None
    if best and (best.seen.candidate.contrast > _PLAIN_CONTRAST or best.likeness > LEAST_LIKENESS):
        _refuse_cut(best.rim, flat)
    if best is None or best.likeness < LEAST_LIKENESS or _pixels(best, flat) < _least_pixels(best):
        # No print, or something small beside what may be one that is cut off; on a sheet rather than by the frame.
        for cut in sorted(cuts, key=lambda one: (one.rim != "sheet", -one.area)):
            if cut.contrast > _PLAIN_CONTRAST:
                _refuse_cut(cut.rim, flat)
    if best is None or best.likeness < LEAST_LIKENESS:
        raise Refused(Refusal("no_print", "pixels"))
    if _pixels(best, flat) < _least_pixels(best):
        raise Refused(Refusal("print_too_small", "pixels", low=quantity(_least_pixels(best), "pixels")))
    if best.contrast < _FAINT:
        raise Refused(Refusal("too_faint", "pixels"))
    others: list[Found] = []
    for one in found[1:]:
        if _another(one, best) and not any(overlap(one, other) for other in (best, *others)):
            others.append(one)
    return Prints(best, others)


def plain(found: Found) -> bool:
    """Whether a print is so like a sole, and its edge seen so far round, that a second-best account can show it."""
    return _plainness(found) > _PLAIN


def plainer(found: Found, other: Found | None) -> bool:
    """Whether a print is plainer than another, and no part of it."""
    if other is None or other.likeness < LEAST_LIKENESS:
        return True
    part = area_with_toes(found.shape) < _WHOLE * area_with_toes(other.shape)
    return not part and _plainness(found) > _plainness(other)


def _plainness(found: Found) -> float:
    return found.likeness * found.support


def clear(found: Found) -> bool:
    """Whether a print needs no second-best account of the light."""
    return found.likeness >= LEAST_LIKENESS and found.support > _RAGGED


def _refuse_cut(rim: str | None, flat: "Flat") -> None:
    if rim == "sheet" and not flat.card:
        raise Refused(Refusal("over_sheet_edge", "pixels"))
    if rim == "frame":
        raise Refused(Refusal("cut_by_edge", "pixels"))


def _least_pixels(found: Found) -> int:
    return _LEAST_CELLS * found.seen.grey.scale**2


def _another(one: Found, best: Found) -> bool:
    """Whether something else is a print too: as like a sole, about as clear, about as large."""
    size = area_with_toes(one.shape) / area_with_toes(best.shape)
    return one.likeness > _PLAIN_LIKENESS and one.rank > _ANOTHER * best.rank and 0.5 < size < 2


def _pixels(found: Found, flat: "Flat") -> float:
    """Area of the print without its toes, in pixels of the picture."""
    return abs(area_of([flat.back(ring) for ring in found.shape.rings]))


def overlap(one: Found, other: Found) -> bool:
    """Whether a piece of one lies on a piece of the other."""
    return any(_on(piece, held) for piece in one.shape.sole.body for held in other.shape.sole.body)


def _on(one: Piece, other: Piece) -> bool:
    apart = math.dist(one.middle, other.middle)
    return apart < _SAME * math.sqrt(other.area) or contains(one.ring, other.middle) or contains(other.ring, one.middle)


def refuse_blurred(found: Found, measured: "Ranges") -> None:
    """Refuse a print whose edge is too soft to say where it is.

    Raises:
        Refused: blurred.
    """
    if measured.edge > _BLURRED_PART * found.placed.length:
        raise Refused(Refusal("blurred", "pixels"))


def warnings(found: Found, measured: "Ranges", flat: "Flat", asked_foot: str, foot: str) -> list[str]:
    """Keys of what the reader should think over, from data/warnings.toml, in its order."""
    arch = measured.indices["arch_index"]
    middle = 0.0 if found.placed.middle is None else found.placed.middle.width
    ball = found.placed.ball.width
    none = arch is not None and arch.high <= _EMPTY
    tests = {
        "sheet_odd_shape": flat.odd or (flat.sheet is not None and flat.sheet.aspect_off > _ODD_ASPECT),
        "scale_from_card": flat.card and flat.scale_unsure(middle_of(found, flat)) > _SCALE_UNSURE,
        "other_foot": asked_foot != "auto" and foot not in ("unknown", asked_foot),
        "axis_by_fallback": found.placed.axis.comes_from == "fallback"
        and arch is not None
        and _wide(arch.low, arch.high),
        "toe_line_unsure": found.shape.crossed > _UNSURE_CROSSED * ball,
        "midfoot_nearly_empty": middle < _NEARLY_EMPTY * ball and not none,
        "uneven_print": found.seen.light.second
        or found.likeness < _PLAIN_LIKENESS
        or found.support < _RAGGED
        or found.seen.candidate.contrast < _PLAIN_CONTRAST,
    }
    return [key for key, holds in tests.items() if holds]


def _wide(low: float, high: float) -> bool:
    return (high - low) / 2 > _STEADY_ARCH_INDEX


def middle_of(found: Found, flat: "Flat") -> "Point":
    """The mean of a print's outline, in pixels of the picture."""
    return flat.back([mean([point for ring in found.shape.rings for point in ring])])[0]


def mean_scale(found: Found, flat: "Flat") -> float | None:
    """Millimetres of a pixel at the middle of the print."""
    return None if flat.sheet is None else flat.sheet.homography.mm_per_px(middle_of(found, flat))
