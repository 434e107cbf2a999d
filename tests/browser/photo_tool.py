"""The tool that measures photographs of footprints, as a person uses it, and pictures to give it."""

from __future__ import annotations

import io
from typing import Any

import numpy as np
from browser.sites import WORDS
from PIL import Image
from playwright.sync_api import Locator, Page, expect
from prints.resized import resized

PATH = "checks/print-photo.html"
SAY = WORDS["photo_tool"]
PATIENCE_MS = 120_000
PHONE: dict[str, Any] = {"viewport": {"width": 360, "height": 740}, "has_touch": True, "is_mobile": True}
SMALL = 0.5  # megapixels: enough for a print, and answered soon


def jpeg(name: str, megapixels: float = SMALL, **options: Any) -> bytes:
    """A photograph of the list as a telephone hands it over."""
    return as_file(resized(name, megapixels).rgb, "JPEG", quality=92, **options)


def as_file(rgb: np.ndarray, kind: str, **options: Any) -> bytes:
    """Pixels as a file of some kind."""
    kept = io.BytesIO()
    Image.fromarray(rgb).save(kept, kind, **options)
    return kept.getvalue()


def both_feet(megapixels: float = SMALL) -> bytes:
    """Two prints beside each other on brown paper: one of the list, and the same turned over."""
    rgb = resized("easy-31", megapixels).rgb
    return as_file(np.hstack([rgb[:, ::-1], rgb]), "JPEG", quality=92)


class PhotoTool:
    """The component on its page."""

    def __init__(self, page: Page) -> None:
        self.page = page
        self.root = page.locator("footprint-photo")
        self.tool, self.status, self.card = self.part("tool"), self.part("status"), self.part("result")
        self.handles = self.root.locator(".photo-view__handle")

    def part(self, name: str) -> Locator:
        return self.root.locator(f'[data-part="{name}"]').first

    def start(self) -> None:
        """Touch the tool, and wait until the calculator is ready."""
        self.part("choose").focus()
        expect(self.page.locator("html")).to_have_attribute("data-calculator", "ready", timeout=PATIENCE_MS)

    def take(self, data: bytes, *, sheet: str = "none", foot: str = "", name: str = "photo.jpg") -> None:
        """Choose a photograph by its button and wait until the tool has looked at it."""
        self.again()
        if foot:
            self.part("which").locator(f'input[value="{foot}"]').check()
        self.part("sheet").select_option(sheet)
        with self.page.expect_file_chooser() as chooser:
            self.part("choose").click()
        chooser.value.set_files({"name": name, "mimeType": "image/jpeg", "buffer": data})
        self.wait()

    def again(self) -> None:
        """Let go of the photograph that is looked at, if there is one."""
        if self.step == "adjust":
            self.part("done").click()
            expect(self.tool).not_to_have_attribute("data-step", "adjust", timeout=PATIENCE_MS)
        if self.step != "ask":
            with self.page.expect_file_chooser():
                self.part("another").click()

    def start_over(self) -> None:
        """Let go of everything, but leave Python where it is: starting it takes longer than most tests."""
        self.again()
        removals = self.card.locator('[data-part="tries"] button:last-child:visible')
        while removals.count():
            removals.first.click()
        self.part("which").locator('input[value="left"]').check()

    def wait(self) -> None:
        """Until it no longer works."""
        expect(self.tool).not_to_have_attribute("data-step", "work", timeout=PATIENCE_MS)

    @property
    def step(self) -> str:
        return str(self.tool.get_attribute("data-step"))

    def found(self) -> None:
        """The tool shows a print and asks whether it is right."""
        assert (self.step, self.status.inner_text()) == ("look", "")

    def keep(self) -> None:
        self.found()
        self.part("keep").click()
        self.kept()

    def kept(self) -> None:
        """The print stands below, and the tool waits for another or is done."""
        expect(self.part("choose")).to_be_visible()
        assert self.status.inner_text() in (SAY["kept"], SAY["kept_both"])

    def index(self, side: str) -> float:
        """The arch index that the card's table shows for a foot."""
        self.card.locator("details").evaluate_all("(all) => all.forEach((one) => { one.open = true; })")
        heads = self.part("numbers").locator("thead th").all_inner_texts()
        row = self.part("numbers").locator("tbody tr").first.locator("th, td").all_inner_texts()
        return float(row[heads.index(WORDS["sides"][f"{side}_short"])].split()[0])

    def plain(self) -> str:
        return self.root.locator('[data-in="look"] [data-part="plain"]').inner_text()

    def adjust(self, group: str) -> None:
        """Open what can be put right, and choose one thing of it."""
        if self.step != "adjust":
            self.part("change").click()
        self.part("group").locator(f'input[value="{group}"]').check()

    def outline(self) -> str:
        """The drawn edge of the print over the photograph."""
        return str(self.root.locator(".photo-view__print").first.get_attribute("d"))

    def changed(self, before: str) -> None:
        """Until another edge is drawn."""
        expect(self.root.locator(".photo-view__print").first).not_to_have_attribute("d", before, timeout=PATIENCE_MS)
