"""The worksheet of the wet-print check as a person meets it, and what the calculators say to the same numbers."""

from __future__ import annotations

import json
from typing import Any

from browser.sites import WORDS
from browser.states import PATIENCE_MS
from playwright.sync_api import Locator, Page, expect

from calculators import api
from calculators.forms import FORMS
from calculators.units import MM_PER

ACTION = "footprint_widths"
SIDES = ("left", "right")
LEFT = {"ball_mm": "90", "middle_mm": "36", "heel_mm": "60"}
RIGHT = {"ball_mm": "91", "middle_mm": "41.5", "heel_mm": "62"}
BOTH = {"left": LEFT, "right": RIGHT}

_FIELDS = {(group.key, field.key): field for group in FORMS[ACTION].groups for field in group.fields}

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
            folded = self.place(where).locator("xpath=ancestor::details[not(@open)]/summary")
            if folded.count():
                folded.click()
            self.field(where).fill(text)

    def press(self) -> None:
        self.part("run").click()

    def start(self) -> None:
        """Touch the form, and wait until the calculator is ready."""
        self.field("left.ball_mm").focus()
        expect(self.part("progress")).to_be_visible()
        expect(self.part("progress")).to_be_hidden(timeout=PATIENCE_MS)
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
        """Until the answer to what was asked last stands there: a card may still show the one before it."""
        expect(self.status).to_have_text(WORDS["calculator"]["answered"], timeout=PATIENCE_MS)
        expect(self.card).to_be_visible()


def named(typed: Typed) -> dict[str, str]:
    """What is typed, by the names that the calculator uses."""
    return {f"{group}.{key}" if group else key: text for (group, key), text in _rows(typed)}


def _rows(typed: Typed) -> list[tuple[tuple[str, str], str]]:
    own = [(("", key), text) for key, text in typed.items() if not isinstance(text, dict)]
    return own + [((side, key), text) for side in SIDES for key, text in typed.get(side, {}).items()]


def request(typed: Typed, mm_per_unit: float = 1.0) -> dict[str, Any]:
    """The input that the calculator should get for what was typed."""
    given: dict[str, Any] = {}
    unit = WORDS["units"][next(key for key, mm in MM_PER.items() if mm == mm_per_unit)]["short"]
    for (group, key), text in _rows(typed):
        length = _FIELDS[group, key].kind == "length"
        bare = text.strip().removesuffix(unit if length else "").strip()
        try:
            value: float | str = float(bare.replace(",", "."))
        except ValueError:
            value = text
        if length and isinstance(value, float):
            value *= mm_per_unit
        (given.setdefault(group, {}) if group else given)[key] = value
    return given


def answer(typed: Typed, mm_per_unit: float = 1.0) -> dict[str, Any]:
    """What `calculators.api.call` says to it here, in this Python."""
    text = json.dumps({"schema": 1, "action": ACTION, "input": request(typed, mm_per_unit)})
    found: dict[str, Any] = json.loads(api.call(text))
    return found
