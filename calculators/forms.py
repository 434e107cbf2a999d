"""What each calculator asks for, declared once.

The web form, the printed worksheet, the command line's options and the validation are all made from `FORMS`. A form
with `pixels` takes a photograph, so it has no worksheet.
"""

from calculators.forms_reading import read
from calculators.forms_shapes import Choice, Field, Form, Group, Line, Points, Rows, Rule, Word

TYPE_CHECKING = False
if TYPE_CHECKING:
    from calculators.forms_shapes import Values

__all__ = ["FORMS", "SIDES", "Choice", "Field", "Form", "Group", "Line", "Points", "Rows", "Rule", "Word", "read"]

SIDES = ("left", "right")


# -- footprint_widths -------------------------------------------------------------------------------------------------


def _middle_wider_than_ball(values: "Values") -> bool:
    return bool(values["middle_mm"] > values["ball_mm"])


def _gap_beside_contact(values: "Values") -> bool:
    # A print that is whole from ball to heel has no gap to measure, not even one of 0 mm.
    return "gap_mm" in values and values["middle_mm"] > 0


# Limits are the project's own: wide enough for a small child and for the largest adult foot with a wet edge, narrow
# enough to catch centimetres typed for millimetres. The ball's 140 mm of the first proposal is rounded up.
_PRINT = (
    Field("ball_mm", "length", "mm", 40, 150),
    Field("middle_mm", "length", "mm", 0, 150),
    Field("heel_mm", "length", "mm", 25, 120),
    Field("gap_mm", "length", "mm", 0, 200, required=False),
)
_PRINT_RULES = (
    Rule("middle_mm", "middle_wider_than_ball", _middle_wider_than_ball),
    Rule("gap_mm", "gap_needs_zero_middle", _gap_beside_contact),
)
_FOOTPRINT_WIDTHS = Form(
    "footprint_widths",
    (
        Group(
            "",
            True,
            (
                Field("age_years", "years", "years", 0, 120, required=False),
                # Half of a ruler's millimetre: common practice.
                Field("reading_mm", "length", "mm", 0, 5, required=False, default=0.5),
                # How far water may have crept: own assumption, no measured size was found anywhere.
                Field("edge_mm", "length", "mm", 0, 10, required=False, default=2),
            ),
        ),
        Group("left", False, _PRINT, _PRINT_RULES),
        Group("right", False, _PRINT, _PRINT_RULES),
    ),
    one_of=SIDES,
)


# -- footprint_photo --------------------------------------------------------------------------------------------------

# The photograph as it is handed over, not as it was taken. Both are the project's own: blocks of five by five pixels
# are the largest into which such a picture is gathered, and four million pixels are 16 MB.
LONGEST_SIDE_PIXELS = 2800
MOST_PIXELS = 4_000_000


def _side_of_two_feet(values: "Values") -> bool:
    return bool(values["feet"] == 2 and values["foot"] != "auto")


def _axis_of_two_feet(values: "Values") -> bool:
    return values["feet"] == 2 and "axis" in values


def _toe_line_of_two_feet(values: "Values") -> bool:
    return values["feet"] == 2 and "toe_line" in values


def _corners_of_no_sheet(values: "Values") -> bool:
    return "corners" in values and values.get("sheet") == "none"


# Sheets from a little less than a bank card, 54 mm, to large wrapping paper. Points may lie a little outside a picture
# of any size, as those of a heel may.
_PHOTO_SHEET = (("sheet",), ("sheet_width_mm", "sheet_height_mm"))
_PHOTO_RULES = (
    Rule("foot", "needs_one_foot", _side_of_two_feet),
    Rule("corners", "corners_need_sheet", _corners_of_no_sheet, at="sheet"),
    Rule("axis", "needs_one_foot", _axis_of_two_feet),
    Rule("toe_line", "needs_one_foot", _toe_line_of_two_feet),
)
_FOOTPRINT_PHOTO = Form(
    "footprint_photo",
    (
        Group(
            "",
            True,
            (
                Field("width", "count", "pixels", 1, LONGEST_SIDE_PIXELS, whole=True),
                Field("height", "count", "pixels", 1, LONGEST_SIDE_PIXELS, whole=True),
                Field("feet", "count", "feet", 1, 2, required=False, default=1, whole=True),
                Choice("foot", (*SIDES, "auto"), required=False, default="auto"),
                # From above, the print on the floor; from below, the sole itself or a scan of it.
                Choice("view", ("floor", "sole"), required=False, default="floor"),
                Choice("sheet", ("a4", "letter", "a3", "card", "scale", "none"), required=False, default="none"),
                Field("sheet_width_mm", "length", "mm", 40, 1500),
                Field("sheet_height_mm", "length", "mm", 40, 1500),
                Points("corners", "pixels", 4, 4, -20_000, 20_000, required=False),
                # Heel centre, then tip of the second toe.
                Points("axis", "pixels", 2, 2, -20_000, 20_000, required=False),
                Points("toe_line", "pixels", 2, 20, -20_000, 20_000, required=False),
                # Where between ground and print the edge is drawn. The range moves it by ten more to either side.
                Field("threshold_percent", "share", "percent", 25, 75, required=False, default=50),
                Field("age_years", "years", "years", 0, 120, required=False),
            ),
            _PHOTO_RULES,
            _PHOTO_SHEET,
        ),
    ),
    pixels=True,
)


# -- footprint_comparison ---------------------------------------------------------------------------------------------


def _value_outside_its_range(values: "Values") -> bool:
    return not values["low"] <= values["value"] <= values["high"]


# In the measure's own unit. The limits are the project's own and only keep out what is no reading at all: the largest
# is an area in pixels of a picture of the largest size.
_READING = Group(
    "reading",
    True,
    tuple(Field(key, "reading", "as_measured", -MOST_PIXELS, MOST_PIXELS) for key in ("value", "low", "high")),
    (Rule("high", "value_outside_its_range", _value_outside_its_range, at="value"),),
)
_FOOT = (
    Rows("now", _READING, "prints", 1, 3),
    Rows("before", _READING, "prints", 1, 3, required=False),
)
_WAYS = ("photo", "ruler")
_FOOTPRINT_COMPARISON = Form(
    "footprint_comparison",
    (
        Group(
            "",
            True,
            (
                Word("measure", 40),
                Choice("way", _WAYS, required=False, default="photo"),
                Choice("way_before", _WAYS, required=False, default="photo"),
            ),
        ),
        Group("left", False, _FOOT),
        Group("right", False, _FOOT),
    ),
    one_of=SIDES,
)


# -- heel_angle -------------------------------------------------------------------------------------------------------


def _no_angle(values: "Values") -> bool:
    # The word "straight" says the angle too.
    return "angle_deg" not in values and values.get("direction") != "straight"


def _no_direction(values: "Values") -> bool:
    return "direction" not in values and values["angle_deg"] > 0


def _straight_but_tilted(values: "Values") -> bool:
    return values.get("direction") == "straight" and values.get("angle_deg", 0) > 0


# A protractor gives an angle and a word; a photograph gives two lines. The page asks for the first, so it stands first.
# 45 degrees is the project's own limit: far beyond any standing heel in the studies read, and enough to catch an angle
# read from the wrong side of a protractor. Coordinates may lie a little outside a picture of any size.
_HEEL = (
    Field("angle_deg", "angle", "degrees", 0, 45, required=False),
    Choice("direction", ("outward", "inward", "straight"), required=False),
    Line("leg", "pixels", -20_000, 20_000),
    Line("heel", "pixels", -20_000, 20_000),
)
_HEEL_WAYS = (("angle_deg", "direction"), ("leg", "heel"))
_HEEL_RULES = (
    Rule("direction", "missing", _no_angle, at="angle_deg"),
    Rule("direction", "missing", _no_direction),
    Rule("direction", "straight_needs_zero", _straight_but_tilted),
)
_HEEL_ANGLE = Form(
    "heel_angle",
    (
        Group(
            "",
            True,
            (
                # How far a tap may land from where it was meant: own assumption.
                Field("click_error", "pixels", "pixels", 0, 200, required=False, default=2),
                # Assumed for home use, where no study was found. About 1 degree at best in practised hands (computed
                # from the limits of haight_2005), 2.4 to 2.5 in unpractised ones (picciano_1993, another standing
                # heel angle); eleven podiatrists together were out by up to 9.5 (jarvis_2012).
                Field("sem_deg", "angle", "degrees", 0, 15, required=False, default=2),
            ),
        ),
        Group("left", False, _HEEL, _HEEL_RULES, _HEEL_WAYS),
        Group("right", False, _HEEL, _HEEL_RULES, _HEEL_WAYS),
    ),
    one_of=SIDES,
)


# -- programme_volume -------------------------------------------------------------------------------------------------

SHORTEST_REPETITION_S = 0.1


def _repetition_without_time(values: "Values") -> bool:
    return bool(values["up_s"] + values["hold_s"] + values["down_s"] < SHORTEST_REPETITION_S)


# Limits are the project's own and only catch slips of the hand; what a session may last in all is checked on the
# finished timeline. A timed part may fill the four hours of the longest session.
_PART = Group(
    "part",
    True,
    (
        Word("drill", 40),
        Field("seconds", "seconds", "seconds", 1, 14_400),
        Field("reps", "count", "repetitions", 1, 1000, whole=True),
        Field("up_s", "seconds", "seconds", 0, 600, required=False, default=0),
        Field("hold_s", "seconds", "seconds", 0, 600, required=False, default=0),
        Field("down_s", "seconds", "seconds", 0, 600, required=False, default=0),
        Field("load_kg", "weight", "kg", 0, 500, required=False),
    ),
    (Rule("down_s", "repetition_without_time", _repetition_without_time, at="up_s"),),
    (("seconds",), ("reps", "up_s", "hold_s", "down_s")),
)
_BLOCK = Group(
    "block",
    True,
    (
        Rows("parts", _PART, "parts", 1, 20),
        Field("sets", "count", "sets", 1, 200, whole=True),
        Choice("sides", ("both", "each", "alternate")),
        Field("rest_s", "seconds", "seconds", 0, 3600, required=False, default=0),
        Field("change_s", "seconds", "seconds", 0, 3600, required=False, default=0),
        # Where it is left out, the whole session's.
        Choice("first_side", SIDES, required=False),
    ),
)
_WEEKS = Field("weeks", "count", "weeks", 1, 52, whole=True)
_PHASE = Group("phase", True, (_WEEKS, Rows("blocks", _BLOCK, "blocks", 1, 20)))
_PROGRAMME_VOLUME = Form(
    "programme_volume",
    (
        Group(
            "",
            True,
            (
                Rows("blocks", _BLOCK, "blocks", 1, 20),
                _WEEKS,
                Rows("phases", _PHASE, "phases", 1, 52),
                Field("days_per_week", "count", "days", 1, 7, whole=True),
                Field("block_gap_s", "seconds", "seconds", 0, 3600, required=False, default=0),
                Choice("first_side", SIDES, required=False, default="left"),
            ),
            ways=(("blocks", "weeks"), ("phases",)),
        ),
    ),
)

FORMS: dict[str, Form] = {
    form.action: form
    for form in (_FOOTPRINT_WIDTHS, _FOOTPRINT_PHOTO, _FOOTPRINT_COMPARISON, _HEEL_ANGLE, _PROGRAMME_VOLUME)
}
