"""What each calculator asks for, declared once.

The web form, the printed worksheet, the command line's options and the validation are all made from `FORMS`.
"""

from dataclasses import dataclass

from calculators.results import Refusal, Refused, quantity
from calculators.wire import as_number, as_object, below

TYPE_CHECKING = False
if TYPE_CHECKING:
    from collections.abc import Callable

Values = dict[str, float]


@dataclass(frozen=True)
class Field:
    """One number to fill in: limits included, in `unit`; `step` is for forms on a screen and refuses nothing."""

    key: str
    kind: str
    unit: str
    low: float
    high: float
    required: bool = True
    default: float | None = None
    step: float = 0.5


@dataclass(frozen=True)
class Rule:
    """Something that must hold between fields, checked as soon as `field` has been read."""

    field: str
    refusal: str
    broken: "Callable[[Values], bool]"


@dataclass(frozen=True)
class Group:
    """Fields that stand together. Key "" is the input's own top level; the others are objects inside it."""

    key: str
    required: bool
    fields: tuple[Field, ...]
    rules: tuple[Rule, ...] = ()


@dataclass(frozen=True)
class Form:
    """Everything that one action asks for. At least one of the groups in `one_of` must be filled in."""

    action: str
    groups: tuple[Group, ...]
    one_of: tuple[str, ...] = ()
    pixels: bool = False


def _middle_wider_than_ball(values: Values) -> bool:
    return values["middle_mm"] > values["ball_mm"]


def _gap_beside_contact(values: Values) -> bool:
    # A print that is whole from ball to heel has no gap to measure, not even one of 0 mm.
    return "gap_mm" in values and values["middle_mm"] > 0


# Limits are the project's own: wide enough for a small child and for the largest adult foot with a wet edge, narrow
# enough to catch centimetres typed for millimetres. The ball's 140 mm of the first proposal is rounded up.
_FOOT = (
    Field("ball_mm", "length", "mm", 40, 150),
    Field("middle_mm", "length", "mm", 0, 150),
    Field("heel_mm", "length", "mm", 25, 120),
    Field("gap_mm", "length", "mm", 0, 200, required=False),
)
_FOOT_RULES = (
    Rule("middle_mm", "middle_wider_than_ball", _middle_wider_than_ball),
    Rule("gap_mm", "gap_needs_zero_middle", _gap_beside_contact),
)

FORMS: dict[str, Form] = {
    form.action: form
    for form in (
        Form(
            "footprint_widths",
            (
                Group(
                    "",
                    True,
                    (
                        Field("age_years", "years", "years", 0, 120, required=False, step=1),
                        # Half of a ruler's millimetre: common practice.
                        Field("reading_mm", "length", "mm", 0, 5, required=False, default=0.5),
                        # How far water may have crept: own assumption, no measured size was found anywhere.
                        Field("edge_mm", "length", "mm", 0, 10, required=False, default=2),
                    ),
                ),
                Group("left", False, _FOOT, _FOOT_RULES),
                Group("right", False, _FOOT, _FOOT_RULES),
            ),
            one_of=("left", "right"),
        ),
    )
}


def read(form: Form, data: object) -> dict[str, Values]:
    """Check an action's input against its form and give back plain numbers by group, defaults filled in.

    A field that is null counts as left out, and so does a group. What was left out and has no default is not in the
    answer.

    Raises:
        Refused: for the first problem in the order of the form; on each level, unknown names come before its fields.
    """
    given = as_object(data, "input", inside="")
    own = next(group for group in form.groups if not group.key)
    inner = tuple(group for group in form.groups if group.key)
    _refuse_unknown(given, {field.key for field in own.fields} | {group.key for group in inner}, "")
    read_groups: dict[str, Values] = {own.key: _group(own, given)}
    if form.one_of and all(given.get(key) is None for key in form.one_of):
        raise Refused(Refusal("missing", form.one_of[0]))
    for group in inner:
        if given.get(group.key) is not None:
            level = as_object(given[group.key], group.key)
            _refuse_unknown(level, {field.key for field in group.fields}, group.key)
            read_groups[group.key] = _group(group, level)
        elif group.required:
            raise Refused(Refusal("missing", group.key))
    return read_groups


def _refuse_unknown(given: dict[str, object], known: set[str], where: str) -> None:
    for key in given:
        if key not in known:
            raise Refused(Refusal("unknown_key", below(where, key)))


def _group(group: Group, given: dict[str, object]) -> Values:
    values: Values = {}
    for field in group.fields:
        where = below(group.key, field.key)
        if given.get(field.key) is not None:
            values[field.key] = _number(field, given[field.key], where)
        elif field.required:
            raise Refused(Refusal("missing", where))
        elif field.default is not None:
            values[field.key] = float(field.default)
        for rule in group.rules:
            if rule.field == field.key and rule.broken(values):
                raise Refused(Refusal(rule.refusal, where))
    return values


def _number(field: Field, data: object, where: str) -> float:
    number = as_number(data, where)
    if field.low <= number <= field.high:
        return number
    key = "negative" if number < 0 else "out_of_limits"
    raise Refused(Refusal(key, where, quantity(field.low, field.unit), quantity(field.high, field.unit)))
