"""From a photograph of a footprint to its indices, each with its range, or to a refusal with a reason."""

import zlib
from typing import NamedTuple

from calculators.footprint import doubts
from calculators.footprint.drawn import drawn
from calculators.footprint.edge import as_measured
from calculators.footprint.flat import Flat
from calculators.footprint.landmarks import LEFTWARD, RIGHTWARD
from calculators.footprint.look import Ground, beside_the_sheet, on_the_sheet, within_sides
from calculators.footprint.photo_indices import PHOTO_INDICES
from calculators.footprint.picture import Grey, lightness, reduced
from calculators.footprint.ranges import Ranges, ranges
from calculators.footprint.rectify import SHEETS, rectify
from calculators.footprint.search import HALF, Cut, Found, drawn_at, finely, placed_or_none, search
from calculators.footprint.shape import shaped
from calculators.footprint.sheet import find_sheet_among
from calculators.footprint.sheet_marks import MARK_OFF, SCALE, find_marks, free_place, whole_place
from calculators.footprint.sheet_pixels import fitted_in_pixels
from calculators.footprint.tilt import tilt_reason
from calculators.results import Refusal, Refused, rounded

TYPE_CHECKING = False
if TYPE_CHECKING:
    from typing import Any

    from calculators.footprint.outline import Point

# A picture with fewer cells along its shorter side holds no print that could be measured.
_FEWEST_CELLS = 32
# Where a print falls apart in fine cells, so many others in its place are traced as well (own choice).
_AGAIN = 3
# One deviation of a corner that a person sets, in parts of the picture's long side (own choice).
_BY_HAND = 0.0015
_LENGTHS = ("toeless_mm", "ball_mm", "middle_mm", "heel_mm")
_AREAS = ("forefoot_mm2", "midfoot_mm2", "heel_mm2")
_SIDE_OF = {LEFTWARD: "right", RIGHTWARD: "left", None: "unknown"}


def footprint_photo(values: "dict[str, dict[str, Any]]", pixels: "bytes | memoryview") -> "dict[str, object]":
    """Measure the print, or both prints, in a photograph.

    Args:
        values: the group "" of the form `footprint_photo`, read and checked.
        pixels: RGBA8, top row first, width x height x 4 bytes.

    Returns:
        `foot`, `scale`, `corners`, `axis`, `toe_line`, `areas`, `indices`, `lengths`, `warnings`, `outline`, `toes` and
        `lines`; points in pixels of the buffer, lengths in mm, areas in mm2 or, without a scale, px2; and `upright`,
        what is drawn once more with the toes up. With `feet` 2 the object `prints` holds two of them, the left foot
        first where it is known.

    Raises:
        Refused: see data/errors.toml, under the picture's own keys.
    """
    asked = values[""]
    looked, prints = _found(asked, pixels)
    if asked["feet"] == 2:
        return {"prints": _both(prints, looked, asked)}
    if prints.others:
        if len({one.seen.candidate.darker for one in (prints.best, *prints.others)}) > 1:
            raise Refused(Refusal("two_candidates", "pixels"))
        raise Refused(Refusal("more_prints", "pixels"))
    return _answer(prints.best, looked, asked)


class Looked(NamedTuple):
    """A picture laid flat: in cells, on its plane, with what there is to warn of already."""

    grey: Grey
    flat: Flat
    warnings: list[str]


# What of a question decides which prints are found. The rest is asked of what was found: it may change in no time.
_FINDS = ("width", "height", "view", "sheet", "sheet_width_mm", "sheet_height_mm", "corners")
_LAST: "dict[tuple[object, ...], tuple[Looked, doubts.Prints]]" = {}


def _found(asked: "dict[str, Any]", pixels: "bytes | memoryview") -> tuple[Looked, doubts.Prints]:
    """Find the prints of a picture. Those of the last one are known still, with its cells; the pixels are not kept."""
    key = (zlib.crc32(pixels), zlib.adler32(pixels), *(asked.get(name) for name in _FINDS))
    if key not in _LAST:
        _LAST.clear()
        looked = look(asked, pixels)
        _LAST[key] = looked, find(looked, asked, pixels)
    return _LAST[key]


def look(asked: "dict[str, Any]", pixels: "bytes | memoryview") -> Looked:
    """Reduce a picture to cells and lay it flat.

    Raises:
        Refused: no_print where the picture is too small to hold one; sheet_not_possible.
    """
    width, height = asked["width"], asked["height"]
    planes = reduced(pixels, width, height)
    grey = lightness(*planes)
    if min(grey.width, grey.height) < _FEWEST_CELLS:
        raise Refused(Refusal("no_print", "pixels"))
    flat, found_none = _flat(asked, pixels, (grey, planes[0], planes[2]))
    told = ["sheet_not_found"] if found_none else []
    if flat.sheet is None and (tilt_reason(grey) or 0.0) > doubts.TILTED_DEG:
        told.append("tilted")
    return Looked(grey, flat, told)


def find(looked: Looked, asked: "dict[str, Any]", pixels: "bytes | memoryview") -> doubts.Prints:
    """Find the print, or the prints: on the sheet first, then beside it.

    Raises:
        Refused: as `doubts.chosen`.
    """
    flat = looked.flat
    places: list[Ground] = []
    found: list[Found] = []
    cuts: list[Cut] = []
    if flat.sheet and not flat.card:
        free = paper = within_sides(flat.sheet)
        if asked.get("sheet") == SCALE:
            free, paper = free_place(flat.sheet), whole_place(flat.sheet)
        ground = on_the_sheet(pixels, asked["width"], asked["height"], free, paper)
        if ground:
            places.append(ground)
            found, cuts = search(ground, flat, ground.accounts.likeliest())
    if not found or found[0].likeness < doubts.LEAST_LIKENESS:
        beside = beside_the_sheet(looked.grey, flat.sheet.corners if flat.sheet else None)
        places.append(beside)
        others, more = search(beside, flat, beside.accounts.likeliest())
        found, cuts = _by_rank(found + others), cuts + more
    prints = _traced(found, flat)
    if not prints or not doubts.clear(prints[0]):
        # What a second-best account shows counts where the best ones show no clear print, and only if it is plain.
        second = [one for place in places for one in search(place, flat, place.accounts.second())[0]]
        instead = _traced(_by_rank(second), flat)
        if instead and doubts.plain(instead[0]) and doubts.plainer(instead[0], prints[0] if prints else None):
            prints = instead
    return doubts.chosen(prints, cuts, flat)


def _by_rank(found: list[Found]) -> list[Found]:
    return sorted(found, key=lambda one: -one.rank)


def _traced(found: list[Found], flat: Flat) -> list[Found]:
    """Trace the likeliest of what was found in fine cells, and go on to the next where it falls apart there.

    What falls apart in fine cells is a print only if another account of the light, or thicker parts, show it plainly.
    """
    while found:
        finer = finely(found[0], flat)
        if finer:
            return [finer, *found[1:]]
        lying = [(one, doubts.overlap(one, found[0])) for one in found[1:]]
        for one in [one for one, there in lying if there and one.cells != found[0].cells][:_AGAIN]:
            finer = finely(one, flat)
            if finer and doubts.plain(finer):
                return [finer, *[other for other in found[1:] if other is not one]]
        found = [one for one, there in lying if not there]
    return []


def _size(asked: "dict[str, Any]") -> "Point | None":
    if "sheet_width_mm" in asked:
        return asked["sheet_width_mm"], asked["sheet_height_mm"]
    named = SHEETS.get(asked.get("sheet", "none"))
    return named.size_mm if named else None


def _flat(asked: "dict[str, Any]", pixels: "bytes | memoryview", greys: tuple[Grey, ...]) -> tuple[Flat, bool]:
    """How the picture is laid flat, and whether a sheet was asked for and not found."""
    size, mirrored = _size(asked), asked["view"] == "sole"
    picture, corners = (asked["width"], asked["height"]), asked.get("corners")
    if size is None:
        return Flat(None, mirrored, picture), False
    if corners is not None:
        return Flat(rectify(corners, size, picture), mirrored, picture, _BY_HAND * max(picture)), False
    if asked.get("sheet") == SCALE:
        marks = find_marks(pixels, picture, greys[0])
        laid = None if marks is None else rectify(marks, size, picture)
        return Flat(laid, mirrored, picture, MARK_OFF), laid is None
    sheet = find_sheet_among(greys, size)
    if sheet is None:
        return Flat(None, mirrored, picture), True
    sheet = fitted_in_pixels(pixels, *picture, sheet, size)
    laid = rectify(sheet.corners, size, picture)
    return Flat(laid, mirrored, picture, sheet.corners_off, by_lens=sheet.by_lens, odd=not sheet.by_lens), False


def _both(prints: doubts.Prints, looked: Looked, asked: "dict[str, Any]") -> list[dict[str, object]]:
    if len(prints.others) > 1:
        raise Refused(Refusal("more_prints", "pixels"))
    other = finely(prints.others[0], looked.flat) if prints.others else None
    if other is None:
        raise Refused(Refusal("no_print", "feet"))
    answers = [_answer(one, looked, asked) for one in (prints.best, other)]
    order = {"left": 0, "unknown": 1, "right": 2}
    return sorted(answers, key=lambda answer: order[str(answer["foot"])])


def _answer(found: Found, looked: Looked, asked: "dict[str, Any]") -> dict[str, object]:
    flat = looked.flat
    if asked["threshold_percent"] != 100 * HALF:
        moved = drawn_at(found, asked["threshold_percent"] / 100, flat)
        if moved is None:
            raise Refused(Refusal("no_print", "threshold_percent"))
        found = moved
    if "toe_line" in asked:
        found = _cut_by_hand(found, flat.points(asked["toe_line"]))
    even = as_measured(found, flat)
    if even is None:
        raise Refused(Refusal("no_print", "pixels"))
    found, seen_foot = even, _SIDE_OF[even.shape.medial]
    if asked["foot"] != "auto":
        medial = RIGHTWARD if asked["foot"] == "left" else LEFTWARD
        found = found._replace(shape=found.shape._replace(medial=medial))
    if "axis" in asked or asked["foot"] != "auto":
        axis = None
        if "axis" in asked:
            heel, toe = flat.points(asked["axis"])
            axis = heel, toe
        placed = placed_or_none(found.shape, axis)
        if placed is None:
            raise Refused(Refusal("no_print", "axis"))
        found = found._replace(placed=placed)
    known = ranges(found, flat)
    doubts.refuse_blurred(found, known)
    foot = asked["foot"] if asked["foot"] != "auto" else seen_foot
    told = looked.warnings + doubts.warnings(found, known, flat, asked["foot"], seen_foot)
    scale = doubts.mean_scale(found, flat)
    return {
        "foot": foot,
        "scale": {
            "mm_per_px": None if scale is None else round(scale, 5),
            "from": "none" if scale is None else "card" if flat.card else "sheet",
        },
        "areas": {
            **{key.removesuffix("_mm2"): _value(known, key) for key in _AREAS},
            "unit": "px2" if scale is None else "mm2",
        },
        "indices": {key: _ranged(known, key) for key, index in PHOTO_INDICES.items() if not index.needs_scale},
        "lengths": None if scale is None else {key: _value(known, key) for key in _LENGTHS},
        "warnings": told,
        **drawn(found, flat),
    }


def _cut_by_hand(found: Found, line: "list[Point]") -> Found:
    """Take the toes off where a person drew the line; the side stays as it was told with the line that was found."""
    shape = shaped(found.shape.sole, line)
    if shape is None:
        raise Refused(Refusal("no_print", "toe_line"))
    return found._replace(shape=shape._replace(medial=found.shape.medial))


def _ranged(known: Ranges, key: str) -> dict[str, object] | None:
    ranged = known.indices[key]
    if ranged is None:
        return None
    return {
        "value": rounded(key, ranged.value),
        "low": rounded(key, ranged.low),
        "high": rounded(key, ranged.high),
        "unit": PHOTO_INDICES[key].unit,
        "largest_cause": ranged.largest_cause,
    }


def _value(known: Ranges, key: str) -> float | None:
    ranged = known.indices[key]
    return None if ranged is None else rounded(key, ranged.value)
