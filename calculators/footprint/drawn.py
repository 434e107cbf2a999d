"""What of a measured print is drawn: its outline and lines, over the picture and upright on the floor."""

from calculators.footprint.landmarks import lines
from calculators.footprint.plane import turned
from calculators.footprint.shape import from_rough

TYPE_CHECKING = False
if TYPE_CHECKING:
    from collections.abc import Callable

    from calculators.footprint.flat import Flat
    from calculators.footprint.landmarks import Lines
    from calculators.footprint.outline import Point
    from calculators.footprint.search import Found

    Draw = Callable[[list[Point]], list[list[float]]]


def drawn(found: "Found", flat: "Flat") -> dict[str, object]:
    """Corners of the sheet, outline, toes, toe line, axis and measured lines; all but the corners once more upright.

    The first are points of the picture, in pixels. `upright` holds them on the floor, seen from above and turned so
    that the toes are up: x to the right and y down from the middle of the heel, in mm, or in pixels of the picture as
    it lies where no size is known: its `unit` says which.
    """
    axis, shown = found.placed.axis, lines(found.placed)

    def over_picture(points: "list[Point]") -> list[list[float]]:
        return _rounded(flat.back(points))

    def toes_up(points: "list[Point]") -> list[list[float]]:
        return _rounded([(-aside, -ahead) for ahead, aside in turned(points, axis.heel, axis.along)])

    return {
        "corners": _rounded(list(flat.sheet.corners)) if flat.sheet else None,
        **_print(found, shown, over_picture),
        "upright": {"unit": "px" if flat.sheet is None else "mm", **_print(found, shown, toes_up)},
    }


def _print(found: "Found", shown: "Lines", draw: "Draw") -> dict[str, object]:
    axis = found.placed.axis
    tip = found.shape.second_toe if axis.comes_from == "toes" else None
    one = {"ball": shown.ball, "middle": shown.middle, "heel": shown.heel, "medial_tangent": shown.medial_tangent}
    return {
        "outline": [draw(list(ring)) for ring in found.shape.rings],
        "toes": [draw(list(ring)) for ring in found.shape.toes],
        "toe_line": draw(from_rough(found.shape.line[1:-1], found.shape.forward)),
        "axis": {
            "heel": draw([axis.heel])[0],
            "second_toe": None if tip is None else draw([tip])[0],
            "from": axis.comes_from,
        },
        "lines": {
            "axis": draw(list(shown.axis)),
            "thirds": [draw(list(line)) for line in shown.thirds],
            **{key: None if line is None else draw(list(line)) for key, line in one.items()},
        },
    }


def _rounded(points: "list[Point]") -> list[list[float]]:
    return [[round(x, 2), round(y, 2)] for x, y in points]
