"""The one door: JSON text in, JSON text out. It never raises."""

from importlib import import_module

from calculators import forms, wire
from calculators.forms import FORMS, MOST_PIXELS
from calculators.results import Refusal, Refused, quantity

TYPE_CHECKING = False
if TYPE_CHECKING:
    from calculators.forms_shapes import Values

SCHEMA = 1

# One row an action: the module whose function of the same name answers it, imported when it is first asked for, so that
# a page waits for its own calculator only. The action's form has the same key in FORMS.
ACTIONS: dict[str, str] = {
    "footprint_widths": "calculators.footprint.measure",
    "footprint_photo": "calculators.footprint.photograph",
    "footprint_comparison": "calculators.comparison.measure",
    "heel_angle": "calculators.heel.measure",
    "programme_volume": "calculators.programme.measure",
}


def _refusal(refusal: Refusal) -> str:
    return wire.write({"schema": SCHEMA, "ok": False, "refusal": refusal.plain()})


# Written at import, so that nothing has to work any more when something unforeseen has happened.
_INTERNAL = _refusal(Refusal("internal"))


def call(json_text: str, pixels: "bytes | bytearray | memoryview | None" = None) -> str:
    """Answer one request.

    Args:
        json_text: `{"schema": 1, "action": ..., "input": {...}}`; schema may be left out. The input's fields are those
            of the action's form in `calculators.forms.FORMS`.
        pixels: a picture for the actions whose form takes one: red, green, blue and opacity of each pixel, a byte each,
            row by row from the top. Its `width` and `height` stand in the input. It is not changed and not kept; what
            was found in the last one is, with its cells, until the next one comes or this Python ends.

    Returns:
        `{"schema": 1, "ok": true, "result": {...}}`, or `{"schema": 1, "ok": false, "refusal": {"key", "where"}}` with
        a key from data/errors.toml. Strict JSON in ASCII. Every number in a result stands in an object with at least
        `value` and `unit`, and with `low` and `high` where there is a range. An answer about a picture has two more
        kinds: points, [x, y] in pixels of that picture, and numbers whose name ends with their unit.
    """
    try:
        return wire.write({"schema": SCHEMA, "ok": True, "result": _answer(json_text, pixels)})
    except Refused as refused:
        return _refusal(refused.refusal)
    except Exception:  # the promise of this door: an answer, whatever happens behind it
        return _INTERNAL


def _answer(json_text: object, pixels: object) -> dict[str, object]:
    request = wire.as_object(wire.read(json_text), "")
    _check_schema(request)
    for key in request:
        if key not in ("schema", "action", "input"):
            raise Refused(Refusal("unknown_key", key))
    action = _action(request)
    form = FORMS[action]
    if pixels is not None and not form.pixels:
        raise Refused(Refusal("pixels_not_used", "pixels"))
    if request.get("input") is None:
        raise Refused(Refusal("missing", "input"))
    values = forms.read(form, request["input"])
    given = (values, _picture(pixels, values[""])) if form.pixels else (values,)
    answer: dict[str, object] = getattr(import_module(ACTIONS[action]), action)(*given)
    return answer


def _picture(pixels: object, own: "Values") -> memoryview:
    """Give back the bytes of a picture, four for each pixel of its `width` and `height`; refuse any other."""
    count = own["width"] * own["height"]
    if count > MOST_PIXELS:
        raise Refused(Refusal("too_many_pixels", "height", high=quantity(MOST_PIXELS, "pixels")))
    if pixels is None:
        raise Refused(Refusal("pixels_missing", "pixels"))
    if isinstance(pixels, (bytes, bytearray, memoryview)):
        whole = memoryview(pixels)
        if whole.nbytes == 4 * count and whole.c_contiguous:
            return whole.cast("B")
    raise Refused(Refusal("pixels_wrong_size", "pixels"))


def _check_schema(request: dict[str, object]) -> None:
    """Refuse any other schema, before anything else in the request: a newer one may have names that this one lacks."""
    schema = request.get("schema", SCHEMA)
    if isinstance(schema, bool) or not isinstance(schema, (int, float)):
        raise Refused(Refusal("unknown_schema", "schema"))
    if schema == SCHEMA:
        return
    newer = schema > SCHEMA and float(schema).is_integer()
    if newer:
        raise Refused(Refusal("newer_schema", "schema", high=quantity(SCHEMA, "schema")))
    raise Refused(Refusal("unknown_schema", "schema"))


def _action(request: dict[str, object]) -> str:
    action = request.get("action")
    if action is None:
        raise Refused(Refusal("missing", "action"))
    if not isinstance(action, str) or action not in ACTIONS:
        raise Refused(Refusal("unknown_action", "action"))
    return action
