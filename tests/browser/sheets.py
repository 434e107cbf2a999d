"""The worksheets of the heel and of the programme as a person fills them in, and what is looked at on any of them."""

from __future__ import annotations

import json
from pathlib import Path
from typing import Any

from browser.worksheet import Worksheet
from playwright.sync_api import Locator, Page

from calculators import api

HEEL = "checks/heel-tilt.html"
LEARN = "learn/numbers.html"
PROGRAMME = "exercises/how-much.html"
AXE = Path(__file__).parents[1] / "node_modules" / "axe-core" / "axe.min.js"


def answer(action: str, given: dict[str, Any]) -> dict[str, Any]:
    """What the calculators say here, in this Python."""
    found: dict[str, Any] = json.loads(api.call(json.dumps({"schema": 1, "action": action, "input": given})))
    return found


class HeelSheet(Worksheet):
    """Angles and directions of two heels."""

    tag = "heel-angle"

    def __init__(self, page: Page) -> None:
        super().__init__(page)
        self.root = page.locator(self.tag)
        self.card, self.status, self.retry = self.part("result"), self.part("status"), self.part("retry")

    def field(self, where: str) -> Locator:
        return self.place(where).locator("input[type=text]")

    def fill(self, given: dict[str, Any]) -> None:
        """Type and choose what the calculator is to get; text stands for what cannot be right."""
        for side in ("left", "right"):
            for key, value in given.get(side, {}).items():
                if key == "direction":
                    self.place(f"{side}.direction").locator(f"input[value={value}]").check()
                else:
                    self.field(f"{side}.{key}").fill(str(value))
        if "sem_deg" in given:
            self.root.locator(".more-fields summary").click()
            self.field("sem_deg").fill(str(given["sem_deg"]))

    def work_out(self, given: dict[str, Any]) -> None:
        """Fill the sheet in, press the button and wait for the answer."""
        self.fill(given)
        self.press()
        self.wait()

    def start(self) -> None:
        self.field("left.angle_deg").focus()
        self.part("progress").wait_for(state="visible")
        self.part("progress").wait_for(state="hidden", timeout=30_000)


class ProgrammeSheet(HeelSheet):
    """Blocks of exercises, added by buttons."""

    tag = "programme-volume"

    def row(self, path: str) -> Locator:
        """A row by the calculator's own path, such as "blocks.1.parts.0"."""
        found = self.root.locator("form")
        steps = path.split(".")
        if steps[0] == "blocks":
            steps = ["phases", "0", *steps]
        for kind, at in zip(steps[::2], steps[1::2], strict=True):
            found = found.locator(f'[data-list="{kind}"] > [data-row]').nth(int(at))
        return found

    def field(self, where: str) -> Locator:
        return self.box(where).locator("input, select")

    def fault(self, where: str) -> Locator:
        return self.box(where).locator(".field__fault")

    def box(self, where: str) -> Locator:
        path, _, key = where.rpartition(".")
        within = self.row(path) if path else self.root.locator("form")
        return within.locator(f'[data-field="{key}"]')

    def add(self, kind: str, within: str = "") -> None:
        place = self.row(within) if within else self.root.locator("form")
        place.locator(f'[data-add="{kind}"]').last.click()

    def fill(self, given: dict[str, Any]) -> None:
        self.field("days_per_week").fill(str(given["days_per_week"]))
        phases = given.get("phases") or [{"weeks": given["weeks"], "blocks": given["blocks"]}]
        for at, phase in enumerate(phases):
            if at:
                self.add("phases")
            self._phase(f"phases.{at}", phase, phases[at - 1]["blocks"] if at else [])
        for key in ("block_gap_s", "first_side"):
            if key in given:
                if not self.field(key).is_visible():
                    self.root.locator("form summary").click()
                self.put(key, given[key])

    def _phase(self, path: str, phase: dict[str, Any], copied: list[dict[str, Any]]) -> None:
        """Fill in a phase; a later one starts as a copy of the blocks before it."""
        self.put(f"{path}.weeks", phase["weeks"])
        for at, block in enumerate(phase["blocks"]):
            if block in copied[at : at + 1]:
                continue
            if at and not copied:
                self.add("blocks", path)
            for number, part in enumerate(block["parts"]):
                here = f"{path}.blocks.{at}.parts.{number}"
                if number and not copied:
                    self.add("parts", f"{path}.blocks.{at}")
                self.put(f"{here}.drill", part["drill"])
                self.row(here).locator("[data-way]").select_option("timed" if "seconds" in part else "counted")
                for key in part.keys() - {"drill"}:
                    self.put(f"{here}.{key}", part[key])
            for key in block.keys() - {"parts"}:
                self.put(f"{path}.blocks.{at}.{key}", block[key])

    def put(self, where: str, value: Any) -> None:
        field = self.field(where)
        if field.evaluate("(field) => field instanceof HTMLSelectElement"):
            field.select_option(str(value))
        else:
            field.fill(str(value))

    def start(self) -> None:
        self.field("days_per_week").focus()
        self.part("progress").wait_for(state="visible")
        self.part("progress").wait_for(state="hidden", timeout=30_000)


def axe(page: Page) -> list[str]:
    """Rules of accessibility that the page breaks."""
    if not page.evaluate("'axe' in globalThis"):
        page.evaluate(AXE.read_text("utf-8"))
    broken: list[str] = page.evaluate(
        """async () => (await axe.run({ resultTypes: ["violations"] })).violations.map((rule) =>
             `${rule.id}: ${rule.nodes.map((node) => node.target).join(" ")}`)"""
    )
    return broken


def fits(page: Page) -> bool:
    """Whether nothing makes the page scroll sideways."""
    wide: bool = page.evaluate("document.documentElement.scrollWidth <= document.documentElement.clientWidth")
    return wide


def at_fault(page: Page) -> list[str]:
    """What the checker finds on a page in light and in dark, and whether it scrolls sideways."""
    found = []
    for scheme in ("light", "dark"):
        page.emulate_media(color_scheme=scheme)
        found += [f"{scheme}: {row}" for row in axe(page)]
        found += [] if fits(page) else [f"{scheme}: it scrolls sideways"]
    return found
