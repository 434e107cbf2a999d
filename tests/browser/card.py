"""Whether the numbers on the result card are those that the calculators give for what was typed.

The words of the card may change; these may not: each number stands in its place, and no number stands there that
does not come from the calculators or from the person.
"""

from __future__ import annotations

import re
from collections.abc import Iterable, Iterator
from typing import Any

from browser.sites import WORDS
from browser.worksheet import ACTION, SIDES, Typed, Worksheet, answer, request

from calculators.bands import BANDS
from calculators.forms import FORMS

CSI, SI = INDICES = ("chippaux_smirak_index", "staheli_index")
# The card shows both as percentages; one is a ratio in the answer.
_PERCENT = {CSI: 1, SI: 100}

_BANDS = {band.key: band for band in BANDS}
_DEFAULTS = {field.key: field.default for group in FORMS[ACTION].groups for field in group.fields if field.default}
_NUMBER = re.compile(r"[+\u2212-]?\d+(?:\.\d+)?")
# A difference is told in words: "3.7 lower" is a difference of -3.7.
_WORDED = {
    re.compile(re.escape(words).replace(re.escape("{value}"), r"(\d[\d.]*)")): sign
    for words, sign in ((WORDS[ACTION]["against"]["lower"], "-"), (WORDS[ACTION]["against"]["higher"], "+"))
}
_READ = """(card) => {
    const part = (name, root = card) => {
        const found = root.querySelector(`[data-part="${name}"]`);
        return found.hidden ? null : found.textContent;
    };
    const rows = (name) => [...card.querySelectorAll(`[data-part="${name}"] > *`)];
    const sides = [...card.querySelectorAll("[data-side]")].filter((side) => !side.hidden);
    return {
        sides: Object.fromEntries(sides.map((side) => [side.dataset.side, part("plain", side)])),
        difference: part("difference"),
        ranges: `${part("ranges")} ${part("sure")}`,
        bands: rows("others").map((row) => ["strong", ".bands__yours"].map((at) => row.querySelector(at).textContent)),
        sums: rows("sums").map((row) => row.textContent),
    };
}"""


def numbers(text: str) -> list[str]:
    """The numbers in a text, with a plain minus sign."""
    return [found.replace("\u2212", "-") for found in _NUMBER.findall(text)]


def signed(text: str) -> str:
    """A text whose differences in words have signs again."""
    for worded, sign in _WORDED.items():
        text = worded.sub(lambda found, sign=sign: sign + found[1], text)
    return text


def wrong(sheet: Worksheet, typed: Typed, mm_per_unit: float = 1.0) -> list[str]:
    """Wait for the card and say what on it is not what the calculators answer here to the same numbers."""
    said = answer(typed, mm_per_unit)
    if not said["ok"]:
        raise ValueError(f"the calculators refuse this: {said['refusal']}")
    sheet.wait()
    card = sheet.card.evaluate(_READ)
    return list(_Card(card, said["result"], request(typed, mm_per_unit), mm_per_unit).faults())


class _Card:
    """What stands on a card, beside the result that it should show."""

    def __init__(self, card: dict[str, Any], result: dict[str, Any], given: dict[str, Any], mm_per_unit: float) -> None:
        self.card, self.result, self.given, self.unit = card, result, given, mm_per_unit
        self.sides = {side: result[side] for side in SIDES if result[side]}

    def faults(self) -> Iterator[str]:
        yield from self._plain()
        yield from self._difference()
        yield from self._ranges()
        yield from self._bands()
        yield from self._sums()

    def _length(self, length_mm: float) -> float:
        return length_mm / self.unit

    def _open(self, side: str) -> bool:
        return bool(self.given[side]["middle_mm"] == 0)

    def _plain(self) -> Iterator[str]:
        if set(self.card["sides"]) != set(self.sides):
            yield f"the card shows {set(self.card['sides'])}, not {set(self.sides)}"
        for side, text in self.card["sides"].items():
            reading = self.result[side]
            gap = [self._length(reading["gap"]["value"])] if "gap" in reading else []
            wanted = gap if self._open(side) else [reading[CSI]["value"], 100 * reading[SI]["value"]]
            yield from _same(f"the sentence of the {side} foot", text, wanted)

    def _difference(self) -> Iterator[str]:
        text, difference = self.card["difference"], self.result["difference"]
        if (text is None) != (difference is None):
            yield f"the line on the difference is {text!r}"
        elif difference:
            sides = [self.result[side][CSI]["value"] for side in SIDES]
            yield from _same("the line on the difference", text, [*sides, difference["prints_needed"]["value"]])

    def _ranges(self) -> Iterator[str]:
        wanted: list[float] = []
        for reading in self.sides.values():
            wanted += ends(reading)
            wanted += [self._length(reading["gap"][end]) for end in ("low", "high") if "gap" in reading]
        if self.result["difference"]:
            wanted += ends(self.result["difference"])
        wanted += [self._length(self.given.get(key, _DEFAULTS[key])) for key in ("reading_mm", "edge_mm")]
        yield from _same("the ranges", signed(self.card["ranges"]), wanted)

    def _bands(self) -> Iterator[str]:
        keys = dict.fromkeys(
            mark["key"] for reading in self.sides.values() for index in INDICES for mark in reading[index]["bands"]
        )
        if len(keys) != len(self.card["bands"]):
            yield f"{len(self.card['bands'])} published ranges are shown, not {len(keys)}"
        for key, (published, yours) in zip(keys, self.card["bands"], strict=False):
            band = _BANDS[key]
            ends = [band.low, band.high] if band.line is None else [band.line]
            yield from _same(f"the range {key}", published, [_PERCENT[band.measure] * end for end in ends])
            found, wanted = _positions(yours), self._places(key)
            if found != wanted:
                yield f"beside {key} stands {yours!r}, which says {sorted(found)} and not {sorted(wanted)}"

    def _places(self, key: str) -> set[str]:
        """Where the prints lie beside one range, as far as that may be said."""
        marks = [
            (side, mark)
            for side, reading in self.sides.items()
            for index in INDICES
            for mark in reading[index]["bands"]
            if mark["key"] == key
        ]
        # An open print is set beside no range of widths, and no print beside a range that nobody here has read.
        return {
            "open" if self._open(side) else mark["position"]
            for side, mark in marks
            if mark["position"] and mark["label"] != "from_memory"
        }

    def _sums(self) -> Iterator[str]:
        wanted = []
        for side, reading in self.sides.items():
            width = {key: self._length(length) for key, length in self.given[side].items()}
            wanted.append([width["middle_mm"], width["ball_mm"], 100.0, reading[CSI]["value"]])
            ratio = reading[SI]["value"]
            wanted.append([width["middle_mm"], width["heel_mm"], ratio, _PERCENT[SI] * ratio])
        if len(wanted) != len(self.card["sums"]):
            yield f"{len(self.card['sums'])} sums are shown, not {len(wanted)}"
        for text, row in zip(self.card["sums"], wanted, strict=False):
            yield from _same("a sum", text, row)


def ends(readings: dict[str, Any]) -> list[float]:
    """Value and range of both indices, as percentages."""
    return [_PERCENT[index] * readings[index][end] for index in INDICES for end in ("value", "low", "high")]


def _same(place: str, text: str, wanted: Iterable[float]) -> Iterator[str]:
    """Nothing if the numbers of a text are these, in this order, as exact as they are written."""
    shown, meant = numbers(text), list(wanted)
    exact = len(shown) == len(meant) and all(
        abs(float(number) - value) <= 0.5 * 10 ** -len(number.partition(".")[2]) + 1e-9
        for number, value in zip(shown, meant, strict=True)
    )
    if not exact:
        yield f"{place} says {text.strip()!r}, which has {shown} and not {meant}"


def _positions(text: str) -> set[str]:
    places = WORDS[ACTION]["position"]
    return {key for key, phrase in places.items() if phrase.lower() in text.lower()}
