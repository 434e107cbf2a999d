"""Indices of a print's outline: one function an index, one table.

All are measured on the toeless print in the frame of its foot (`calculators.footprint.landmarks`). An index that a
print does not have is None: no print on one of the lines, no straight edge that rests on heel and ball, no toe.
"""

from typing import NamedTuple

from calculators.footprint import indices
from calculators.footprint.plane import areas_between
from calculators.footprint.tangents import crossing_deg, deepest_deg, steepest_deg, toe_lean_deg

TYPE_CHECKING = False
if TYPE_CHECKING:
    from collections.abc import Callable

    from calculators.footprint.landmarks import Placed, Sides
    from calculators.footprint.plane import Ring


class Shape(NamedTuple):
    """What the indices are measured on: the placed print, its areas from heel to ball, its sides, and the big toe.

    The big toe is a ring in (u, v), None where it has no print of its own.
    """

    placed: "Placed"
    areas: tuple[float, float, float]
    sides: "Sides"
    big_toe: "Ring | None"

    @property
    def middle(self) -> float:
        """Narrowest width of the middle; 0 where a line across it meets no print."""
        return 0.0 if self.placed.middle is None else self.placed.middle.width


def shape(placed: "Placed", big_toe: "Ring | None" = None) -> Shape:
    """Gather what the indices need.

    Args:
        placed: the toeless print.
        big_toe: the ring of the big toe's print in the plane that the print was placed from; None where it has none.
    """
    rear, middle, front = areas_between(placed.rings, placed.thirds)
    toe = None if big_toe is None else placed.frame.to_foot(big_toe)
    return Shape(placed, (rear, middle, front), placed.sides(), toe)


def arch_index(found: Shape) -> float | None:
    """Area of the middle third over the area of all three, toes left out: cavanagh_rodgers_1987 (murley_2009)."""
    rear, middle, front = found.areas
    total = rear + middle + front
    return middle / total if total > 0 else None


def chippaux_smirak_index(found: Shape) -> float:
    """Narrowest width of the middle over the widest of the ball, in percent, both square to the axis."""
    return indices.chippaux_smirak_index(found.middle, found.placed.ball.width)[0]


def staheli_index(found: Shape) -> float:
    """Narrowest width of the middle over the widest of the heel, both square to the axis."""
    return indices.staheli_index(found.middle, found.placed.heel.width)[0]


def staheli_index_tangent(found: Shape) -> float | None:
    """Width at the middle of the medial tangent over the width at its heel contact, both square to the tangent.

    The construction of hernandez_2007. 0 where the line at the middle meets no print.
    """
    notch = found.sides.medial
    if notch is None:
        return None
    middle, heel = notch.profile.chord(notch.length / 2), notch.profile.chord(0.0)
    if heel is None or heel.width <= 0:
        return None
    return indices.staheli_index(0.0 if middle is None else middle.width, heel.width)[0]


def clarke_angle_deg(found: Shape) -> float | None:
    """Angle at the ball's contact between the medial tangent and the line to the deepest point of the notch, degrees.

    0 where the border lies along the tangent. None where the print is interrupted.
    """
    notch = found.sides.medial
    return None if notch is None else deepest_deg(notch)


def clarke_angle_tangent_deg(found: Shape) -> float | None:
    """The same angle with the line that just touches the border of the notch: the largest such angle, in degrees."""
    notch = found.sides.medial
    return None if notch is None else steepest_deg(notch)


def ky_index(found: Shape) -> float | None:
    """On the line square to the medial tangent at the deepest point of the notch: the part on the print.

    The width of the print over the distance from the tangent to the lateral border; 0 where the line meets no print.
    """
    notch = found.sides.medial
    if notch is None or notch.gap or notch.deepest is None:
        return None if notch is None else 0.0
    total = notch.deepest.high
    return (total - notch.depth) / total if total > 0 else None


def gamma_deg(found: Shape) -> float | None:
    """Angle between the medial and the lateral tangent, in degrees; positive where they meet behind the heel."""
    notch, lateral = found.sides.medial, found.sides.lateral
    return None if notch is None or lateral is None else crossing_deg(notch.tangent, lateral)


def hallux_angle_deg(found: Shape) -> float | None:
    """Angle between the medial tangent and the line from its ball contact to the medial edge of the big toe, degrees.

    Positive where the toe leans towards the others.
    """
    notch = found.sides.medial
    return None if notch is None or found.big_toe is None else toe_lean_deg(notch.tangent, found.big_toe)


class PhotoIndex(NamedTuple):
    """How an index is drawn and what its numbers mean.

    `construction` says along what it is measured, `variant` which of several versions it is ("" where only one is in
    use). `definition` is published or from_memory, as the construction was read or not. `needs_scale`: a length or an
    area, which without a scale is in pixels and compares with nothing. `staff_detail`: not for the visitor's card.
    `least_steady`: it hangs on where a straight edge touches a nearly straight border, and jumps (mathieson_1999:
    ratios of widths repeat better than the angle).
    """

    measure: "Callable[[Shape], float | None]"
    unit: str
    difference_unit: str
    construction: str
    variant: str
    sources: tuple[str, ...]
    definition: str = "published"
    needs_scale: bool = False
    staff_detail: bool = True
    least_steady: bool = False


_AXIS = ("van_schie_boulton_2000", "wikilectures_plantography")
_POLISH = ("plantokonturografia",)
_CSI, _SI = indices.INDICES["chippaux_smirak_index"], indices.INDICES["staheli_index"]


def _length(measure: "Callable[[Shape], float | None]", construction: str, sources: tuple[str, ...]) -> PhotoIndex:
    return PhotoIndex(measure, "mm", "mm", construction, "", sources, needs_scale=True)


def _area(third: int) -> PhotoIndex:
    return PhotoIndex(
        lambda found: found.areas[third], "mm2", "mm2", "thirds_of_axis", "contact_area", _AXIS, needs_scale=True
    )


PHOTO_INDICES: dict[str, PhotoIndex] = {
    "arch_index": PhotoIndex(
        arch_index,
        "ratio",
        "ratio",
        "thirds_of_axis",
        "contact_area",
        ("cavanagh_rodgers_1987", "murley_2009", "van_schie_boulton_2000"),
        staff_detail=False,
    ),
    "chippaux_smirak_index": PhotoIndex(
        chippaux_smirak_index,
        _CSI.unit,
        _CSI.difference_unit,
        "widths_across_axis",
        "",
        _CSI.sources,
        staff_detail=False,
    ),
    "staheli_index": PhotoIndex(
        staheli_index, _SI.unit, _SI.difference_unit, "widths_across_axis", "widths", _SI.sources, staff_detail=False
    ),
    "staheli_index_tangent": PhotoIndex(
        staheli_index_tangent, _SI.unit, _SI.difference_unit, "widths_across_tangent", "tangent", ("hernandez_2007",)
    ),
    "clarke_angle_deg": PhotoIndex(
        clarke_angle_deg, "degrees", "degrees", "medial_tangent", "deepest_point", _POLISH, least_steady=True
    ),
    "clarke_angle_tangent_deg": PhotoIndex(
        clarke_angle_tangent_deg,
        "degrees",
        "degrees",
        "medial_tangent",
        "touching_border",
        ("clarke_1933",),
        definition="from_memory",
        least_steady=True,
    ),
    "ky_index": PhotoIndex(
        ky_index, "ratio", "ratio", "across_medial_tangent", "", ("sztriter_godunov",), definition="from_memory"
    ),
    "gamma_deg": PhotoIndex(gamma_deg, "degrees", "degrees", "two_tangents", "", _POLISH),
    "hallux_angle_deg": PhotoIndex(hallux_angle_deg, "degrees", "degrees", "medial_tangent", "", _POLISH),
    "toeless_mm": _length(lambda found: found.placed.length, "along_axis", _AXIS),
    "ball_mm": _length(lambda found: found.placed.ball.width, "widths_across_axis", _CSI.sources),
    "middle_mm": _length(lambda found: found.middle, "widths_across_axis", _CSI.sources),
    "heel_mm": _length(lambda found: found.placed.heel.width, "widths_across_axis", _SI.sources),
    "forefoot_mm2": _area(2),
    "midfoot_mm2": _area(1),
    "heel_mm2": _area(0),
}


def measured(found: Shape) -> dict[str, float | None]:
    """Measure every index of the table, in its order; angles in degrees, lengths in the unit of the plane."""
    return {key: index.measure(found) for key, index in PHOTO_INDICES.items()}
