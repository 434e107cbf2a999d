"""The worksheet of the wet-print check as a person meets it, and what the calculators say to the same numbers."""

from __future__ import annotations

import json
import re
from typing import Any

from browser.sites import WORDS
from playwright.sync_api import Locator, Page, expect

from calculators import api
from calculators.bands import BANDS
from calculators.forms import FORMS

ACTION = "footprint_widths"
INDICES = ("chippaux_smirak_index", "staheli_index")
SIDES = ("left", "right")
LEFT = {"ball_mm": "90", "middle_mm": "36", "heel_mm": "60"}
RIGHT = {"ball_mm": "91", "middle_mm": "41.5", "heel_mm": "62"}
BOTH = {"left": LEFT, "right": RIGHT}

_FIELDS = {(group.key, field.key): field for group in FORMS[ACTION].groups for field in group.fields}
_BANDS = {band.key: band for band in BANDS}
_NUMBER = re.compile(r"[+\u2212-]?\d+(?:\.\d+)?")

Typed = dict[str, Any]


class Worksheet:
    """The component on a page. Fields are named as the calculator names them: "left.ball_mm", "age_years"."""

    def __init__(self, page: Page) -> None:
        self.page = page
        self.root = page.locator("footprint-widths")
        self.card = self.part("result")
        self.status = self.part("status")
        self.retry = self.part("retry")

    def part(self, name: str) -> Locator:
        return self.root.locator(f'[data-part="{name}"]')

    def place(self, where: str) -> Locator:
        group, _, key = where.rpartition(".")
        return self.root.locator(f'[data-group="{group}"] [data-field="{key}"]')

    def field(self, where: str) -> Locator:
        return self.place(where).locator("input")

    def fault(self, where: str) -> Locator:
        return self.place(where).locator(".field__fault")

    def type(self, typed: Typed) -> None:
        """Fill in the fields, unfolding what is folded."""
        for where, text in named(typed).items():
            if "." not in where and not self.field(where).is_visible():
                self.root.locator("summary").first.click()
            self.field(where).fill(text)

    def press(self) -> None:
        self.part("run").click()

    def start(self) -> None:
        """Touch the form, and wait until the calculator is ready."""
        self.field("left.ball_mm").focus()
        expect(self.part("progress")).to_be_visible()
        expect(self.part("progress")).to_be_hidden(timeout=30_000)
        expect(self.status).to_have_text("")

    def start_over(self) -> None:
        """Empty the sheet and fold what was unfolded."""
        self.part("clear").click()
        self.page.evaluate("document.querySelectorAll('details').forEach((folded) => { folded.open = false; })")

    def typed(self) -> dict[str, str]:
        """Every field that holds something."""
        found: dict[str, str] = self.root.evaluate(
            """(root) => Object.fromEntries([...root.querySelectorAll("[data-field]")].map((field) => [
                [field.closest("[data-group]").dataset.group, field.dataset.field].filter(Boolean).join("."),
                field.querySelector("input").value]).filter(([, value]) => value !== ""))"""
        )
        return found

    def wait(self) -> None:
        """Until an answer stands there."""
        expect(self.card).to_be_visible(timeout=30_000)

    def shown(self) -> dict[str, Any]:
        """The numbers on the card, in the order in which they stand there."""
        self.wait()
        texts = self.card.evaluate(
            """(card) => {
                const shown = (name, root = card) => {
                  const part = root.querySelector(`[data-part="${name}"]`);
                  return part.hidden ? null : part.textContent;
                };
                const rows = (name) => [...card.querySelectorAll(`[data-part="${name}"] > *`)];
                const sides = [...card.querySelectorAll("[data-side]")].filter((side) => !side.hidden);
                return {
                  sides: Object.fromEntries(sides.map((side) => [side.dataset.side, shown("plain", side)])),
                  difference: shown("difference"),
                  ranges: rows("ranges").map((row) => row.textContent),
                  bands: rows("others").map((row) =>
                    ["strong", ".bands__yours"].map((part) => row.querySelector(part).textContent)),
                  sums: rows("sums").map((row) => row.textContent),
                };
            }"""
        )
        return {
            "sides": {side: numbers(text) for side, text in texts["sides"].items()},
            "difference": None if texts["difference"] is None else numbers(texts["difference"]),
            "ranges": numbers(" ".join(texts["ranges"])),
            "bands": [(numbers(published), yours) for published, yours in texts["bands"]],
            "sums": [numbers(text) for text in texts["sums"]],
        }


def named(typed: Typed) -> dict[str, str]:
    """What is typed, by the names that the calculator uses."""
    return {f"{group}.{key}" if group else key: text for (group, key), text in _rows(typed)}


def _rows(typed: Typed) -> list[tuple[tuple[str, str], str]]:
    own = [(("", key), text) for key, text in typed.items() if not isinstance(text, dict)]
    return own + [((side, key), text) for side in SIDES for key, text in typed.get(side, {}).items()]


def numbers(text: str) -> list[float]:
    return [float(found.replace("\u2212", "-")) for found in _NUMBER.findall(text)]


def request(typed: Typed, mm_per_unit: float = 1.0) -> dict[str, Any]:
    """The input that the calculator should get for what was typed."""
    given: dict[str, Any] = {}
    for (group, key), text in _rows(typed):
        try:
            value: float | str = float(text.strip().replace(",", "."))
        except ValueError:
            value = text
        if _FIELDS[group, key].kind == "length" and isinstance(value, float):
            value *= mm_per_unit
        (given.setdefault(group, {}) if group else given)[key] = value
    return given


def answer(typed: Typed, mm_per_unit: float = 1.0) -> dict[str, Any]:
    """What `calculators.api.call` says to it here, in this Python."""
    text = json.dumps({"schema": 1, "action": ACTION, "input": request(typed, mm_per_unit)})
    found: dict[str, Any] = json.loads(api.call(text))
    return found


def expected(typed: Typed, mm_per_unit: float = 1.0) -> dict[str, Any]:
    """The numbers that `Worksheet.shown` should find, made from the calculator's own answer."""
    said = answer(typed, mm_per_unit)
    assert said["ok"], said
    result, widths = said["result"], request(typed, mm_per_unit)
    given = {side: {key: length / mm_per_unit for key, length in widths.get(side, {}).items()} for side in SIDES}
    sides = {side: result[side] for side in SIDES if result[side]}
    difference = result["difference"]
    ranged = [*sides.values(), *([difference] if difference else [])]
    return {
        "sides": {side: _plain(row, given[side], mm_per_unit) for side, row in sides.items()},
        "difference": difference and [difference[key]["value"] for key in (*INDICES, "prints_needed")],
        "ranges": [row[index][end] for row in ranged for index in INDICES for end in ("low", "high")],
        "bands": _bands(sides),
        "sums": [
            row
            for side, reading in sides.items()
            for row in (
                [*_lengths(given[side], "middle_mm", "ball_mm"), 100.0, reading[INDICES[0]]["value"]],
                [*_lengths(given[side], "middle_mm", "heel_mm"), reading[INDICES[1]]["value"]],
            )
        ],
    }


def _lengths(widths: dict[str, float], *keys: str) -> list[float]:
    return [round(widths[key], 2) for key in keys]


def _plain(reading: dict[str, Any], widths: dict[str, float], mm_per_unit: float) -> list[float]:
    if widths["middle_mm"] > 0:
        return [reading[index]["value"] for index in INDICES]
    return [round(reading["gap"]["value"] / mm_per_unit, 2)] if "gap" in reading else []


def _bands(sides: dict[str, Any]) -> list[tuple[list[float], str]]:
    say = WORDS[ACTION]
    yours: dict[str, list[str]] = {}
    for side, reading in sides.items():
        for index in INDICES:
            for mark in reading[index]["bands"]:
                row = yours.setdefault(mark["key"], [])
                if mark["position"]:
                    where = say["position"][mark["position"]]
                    row.append(f"{WORDS['sides'][f'{side}_short']}: {where}" if len(sides) > 1 else where)
    return [(_edges(key), "; ".join(row) or say["not_compared"]) for key, row in yours.items()]


def _edges(key: str) -> list[float]:
    band = _BANDS[key]
    return [band.low, band.high] if band.line is None else [band.line]
