"""An action's input, checked against its form and turned into plain values."""

from calculators.forms_shapes import Choice, Field, Form, Group, Line, Points, Rows, Word
from calculators.results import Refusal, Refused, quantity
from calculators.wire import as_list, as_number, as_object, below

TYPE_CHECKING = False
if TYPE_CHECKING:
    from collections.abc import Callable
    from typing import Any

    from calculators.forms_shapes import Values

_WORD_LETTERS = frozenset("abcdefghijklmnopqrstuvwxyz0123456789_")


def read(form: Form, data: object) -> "dict[str, Values]":
    """Check an action's input against its form and give back plain values by group, defaults filled in.

    A field that is null counts as left out, and so does a group. What was left out and has no default is not in the
    answer.

    Raises:
        Refused: for the first problem in the order of the form; on each level, unknown names come before its fields,
            and two ways of giving the same thing come before what either says.
    """
    given = as_object(data, "input", inside="")
    own = next(group for group in form.groups if not group.key)
    inner = tuple(group for group in form.groups if group.key)
    _refuse_unknown(given, {field.key for field in own.fields} | {group.key for group in inner}, "")
    read_groups = {own.key: _values(own, given, "")}
    if form.one_of and all(given.get(key) is None for key in form.one_of):
        raise Refused(Refusal("missing", form.one_of[0]))
    for group in inner:
        if given.get(group.key) is not None:
            read_groups[group.key] = _group(group, given[group.key], group.key)
        elif group.required:
            raise Refused(Refusal("missing", group.key))
    return read_groups


def _refuse_unknown(given: dict[str, object], known: set[str], where: str) -> None:
    for key in given:
        if key not in known:
            raise Refused(Refusal("unknown_key", below(where, key)))


def _group(group: Group, data: object, where: str) -> "Values":
    given = as_object(data, where)
    _refuse_unknown(given, {field.key for field in group.fields}, where)
    return _values(group, given, where)


def _values(group: Group, given: dict[str, object], where: str) -> "Values":
    values: Values = {}
    passed_over = _passed_over(group, given, where)
    for field in group.fields:
        if field.key in passed_over:
            continue
        path = below(where, field.key)
        data = field.default if given.get(field.key) is None else given[field.key]
        if data is not None:
            values[field.key] = _READERS[type(field)](field, data, path)
        elif field.required:
            raise Refused(Refusal("missing", path))
        for rule in group.rules:
            if rule.field == field.key and rule.broken(values):
                raise Refused(Refusal(rule.refusal, below(where, rule.at or rule.field)))
    return values


def _passed_over(group: Group, given: dict[str, object], where: str) -> set[str]:
    """Give back the fields of the ways that are not used; refuse two ways at once."""
    used = [way for way in group.ways if any(given.get(key) is not None for key in way)] or list(group.ways[:1])
    if len(used) > 1:
        second = next(key for key in used[1] if given.get(key) is not None)
        raise Refused(Refusal("two_ways", below(where, second)))
    return {key for way in group.ways if way not in used for key in way}


def _number(field: Field, data: object, where: str) -> float:
    number = as_number(data, where)
    if not field.low <= number <= field.high:
        key = "negative" if number < 0 else "out_of_limits"
        raise Refused(Refusal(key, where, quantity(field.low, field.unit), quantity(field.high, field.unit)))
    if not field.whole:
        return number
    if not number.is_integer():
        raise Refused(Refusal("not_whole", where))
    return int(number)


def _choice(field: Choice, data: object, where: str) -> str:
    if not isinstance(data, str) or data not in field.options:
        raise Refused(Refusal("unknown_choice", where))
    return data


def _word(field: Word, data: object, where: str) -> str:
    if not isinstance(data, str) or not 0 < len(data) <= field.longest or not _WORD_LETTERS.issuperset(data):
        raise Refused(Refusal("not_a_key", where, high=quantity(field.longest, "characters")))
    return data


def _line(field: Line, data: object, where: str) -> tuple[tuple[float, ...], ...]:
    pairs = _pairs(data, where)
    if len(pairs) != 2 or any(len(pair) != 2 for pair in pairs):
        raise Refused(Refusal("not_a_line", where))
    return _placed(field, pairs, where)


def _points(field: Points, data: object, where: str) -> tuple[tuple[float, ...], ...]:
    pairs = _pairs(data, where)
    if not field.least <= len(pairs) <= field.most or any(len(pair) != 2 for pair in pairs):
        limits = quantity(field.least, "points"), quantity(field.most, "points")
        raise Refused(Refusal("not_points", where, *limits))
    return _placed(field, pairs, where)


def _pairs(data: object, where: str) -> list[list[object]]:
    return [as_list(pair, below(where, str(at))) for at, pair in enumerate(as_list(data, where))]


def _placed(field: "Line | Points", pairs: list[list[object]], where: str) -> tuple[tuple[float, ...], ...]:
    return tuple(
        tuple(_coordinate(field, number, below(where, f"{at}.{axis}")) for axis, number in enumerate(pair))
        for at, pair in enumerate(pairs)
    )


def _coordinate(field: "Line | Points", data: object, where: str) -> float:
    number = as_number(data, where)
    if field.low <= number <= field.high:
        return number
    raise Refused(Refusal("out_of_limits", where, quantity(field.low, field.unit), quantity(field.high, field.unit)))


def _rows(field: Rows, data: object, where: str) -> "list[Values]":
    rows = as_list(data, where)
    if not field.least <= len(rows) <= field.most:
        limits = quantity(field.least, field.unit), quantity(field.most, field.unit)
        raise Refused(Refusal("out_of_limits", where, *limits))
    return [_group(field.row, row, below(where, str(at))) for at, row in enumerate(rows)]


_READERS: "dict[type, Callable[[Any, object, str], object]]" = {
    Field: _number,
    Choice: _choice,
    Word: _word,
    Line: _line,
    Points: _points,
    Rows: _rows,
}
