"""Text to plain data and back: strict JSON on both sides, with a limit on everything that could grow."""

import json
import math
import re

from calculators.results import Refusal, Refused, quantity

LONGEST_TEXT = 65_536  # characters: several times the longest sensible request, a year of phases
DEEPEST = 100  # { and [ open at once; the deepest sensible request has nine
LONGEST_WHOLE_NUMBER = 15  # digits that every double holds exactly; longer ones are read as floats

# A text of JSON, also one that never ends; and the brackets outside of texts. json has loaded re already.
_TEXT = re.compile(r'"[^"\\]*(?:\\.[^"\\]*)*(?:"|\\?\Z)', re.DOTALL)
_BRACKET = re.compile(r"[\[{\]}]")


class Repeated:
    """Stands in for an object in which a name appears twice, until somebody asks for that object."""

    def __init__(self, key: str) -> None:
        self.key = key


def read(text: object) -> object:
    """Read one JSON text.

    NaN, Infinity and numbers too large for a double come out as such, so that the refusal can name the field. An object
    with a repeated name comes out as `Repeated` for the same reason.

    Raises:
        Refused: not_text, too_long, too_nested (counted before parsing, so no parser can run out of stack) or not_json.
    """
    if not isinstance(text, str):
        raise Refused(Refusal("not_text"))
    if len(text) > LONGEST_TEXT:
        raise Refused(Refusal("too_long", high=quantity(LONGEST_TEXT, "characters")))
    if _depth(text) > DEEPEST:
        raise Refused(Refusal("too_nested"))
    try:
        data: object = json.loads(text, object_pairs_hook=_unrepeated, parse_int=_whole)
    except json.JSONDecodeError:
        raise Refused(Refusal("not_json")) from None
    return data


def write(data: dict[str, object]) -> str:
    """Write one object as strict JSON in ASCII: the same text for the same data, everywhere."""
    return json.dumps(data, ensure_ascii=True, allow_nan=False, separators=(",", ":"))


def as_object(data: object, where: str, inside: str | None = None) -> dict[str, object]:
    """Give back an object, or refuse.

    Args:
        data: what was read.
        where: the object's own path.
        inside: the path that its fields are named under, where that is another one than its own.

    Raises:
        Refused: duplicate_key or not_an_object.
    """
    if isinstance(data, Repeated):
        raise Refused(Refusal("duplicate_key", below(where if inside is None else inside, data.key)))
    if not isinstance(data, dict):
        raise Refused(Refusal("not_an_object", where))
    return data


def as_list(data: object, where: str) -> list[object]:
    """Give back a list, or refuse.

    Raises:
        Refused: not_a_list.
    """
    if not isinstance(data, list):
        raise Refused(Refusal("not_a_list", where))
    return data


def as_number(data: object, where: str) -> float:
    """Give back a finite number, or refuse; negative zero becomes zero. Text and true or false are not numbers.

    Raises:
        Refused: not_a_number or not_finite.
    """
    if isinstance(data, bool) or not isinstance(data, (int, float)):
        raise Refused(Refusal("not_a_number", where))
    number = float(data)
    if not math.isfinite(number):
        raise Refused(Refusal("not_finite", where))
    return number + 0.0


def below(where: str, key: str) -> str:
    """Join the path of `key` inside `where`."""
    return f"{where}.{key}" if where else key


def _depth(text: str) -> int:
    """Count how many brackets are open at once, at most, up to where the text stops being JSON."""
    deepest = open_now = 0
    for bracket in _BRACKET.findall(_TEXT.sub("", text)):
        open_now += 1 if bracket in "[{" else -1
        deepest = max(deepest, open_now)
    return deepest


def _unrepeated(pairs: list[tuple[str, object]]) -> object:
    found: dict[str, object] = {}
    for key, value in pairs:
        if key in found:
            return Repeated(key)
        found[key] = value
    return found


def _whole(digits: str) -> int | float:
    # Python limits how many digits int() takes, and the limit differs between versions; float() has none.
    return int(digits) if len(digits) <= LONGEST_WHOLE_NUMBER else float(digits)
