"""Files that are no photograph to measure, and those of odd kinds that are: the page says which, and goes on."""

from __future__ import annotations

import io
import time

import numpy as np
import pytest
from browser.hosts import Host
from browser.photo_tool import PATH, PhotoTool, as_file, jpeg
from browser.sites import WORDS
from browser.states import NO_IDLE
from making import photographs
from making.photographs import png
from making.spoilt_files import FILES
from PIL import Image
from playwright.sync_api import expect
from prints.resized import measured, resized

from treadleaf.measuring import limits

# A browser's own decoder does not say why it stops; and what it can show of a broken file is looked at like any other.
LESS_SAID = {
    "a colour that no PNG has": "picture_damaged",
}


@pytest.fixture(scope="module")
def opened(browser, demo_site):
    """One page for all files of a list."""
    with Host(demo_site) as host:
        context = browser.new_context()
        context.add_init_script(NO_IDLE)
        page = context.new_page()
        page.goto(host.url(PATH))
        yield PhotoTool(page)
        context.close()


@pytest.mark.parametrize("name", FILES)
def test_what_is_no_still_picture_is_refused_before_python_is_asked(opened, name):
    data, key = FILES[name]
    key = LESS_SAID.get(name, key)
    opened.take(data)
    words = WORDS["picture_files"][key].format(high={"picture_too_large": limits.MOST_MEGAPIXELS}.get(key, ""))
    assert (opened.step, opened.status.inner_text()) == ("ask", words)
    assert opened.page.locator("html").get_attribute("data-calculator") in ("asleep", "loading", "ready")
    expect(opened.part("choose")).to_be_focused()


def test_a_header_of_900_megapixels_makes_no_picture(opened):
    opened.page.evaluate(
        """() => {
            globalThis.made = 0;
            const real = globalThis.createImageBitmap;
            globalThis.createImageBitmap = (...asked) => { made += 1; return real(...asked); };
        }"""
    )
    opened.take(png(30_000, 30_000, 8, 2, b"\0" * 100))
    assert opened.page.evaluate("() => made") == 0
    opened.take(photographs.saved(photographs.spot(), "PNG"))
    assert opened.page.evaluate("() => made") == 1


def test_a_file_beyond_the_limit_is_not_even_read(visitor, host: Host):
    page = visitor.open(host, PATH, first=NO_IDLE)
    tool = PhotoTool(page)
    page.evaluate(
        """(bytes) => {
            const file = new File([new Uint8Array(10)], "photo.jpg", { type: "image/jpeg" });
            Object.defineProperty(file, "size", { value: bytes });
            const input = document.querySelector('footprint-photo input[type="file"]');
            Object.defineProperty(input, "files", { value: [file], configurable: true });
            input.dispatchEvent(new Event("change"));
        }""",
        limits.MOST_MEGABYTES * 1_000_000 + 1,
    )
    words = WORDS["picture_files"]["picture_file_too_large"].format(high=limits.MOST_MEGABYTES)
    expect(tool.status).to_have_text(words)


KINDS = {
    "PNG": lambda rgb: as_file(rgb, "PNG"),
    "WebP": lambda rgb: as_file(rgb, "WEBP", quality=90),
    "WebP without loss": lambda rgb: as_file(rgb, "WEBP", lossless=True),
    "JPEG in four colours": lambda rgb: photographs.saved(Image.fromarray(rgb).convert("CMYK"), "JPEG", quality=92),
    "grey JPEG": lambda rgb: photographs.saved(Image.fromarray(rgb).convert("L"), "JPEG", quality=92),
    "progressive JPEG": lambda rgb: as_file(rgb, "JPEG", quality=92, progressive=True),
    "clear PNG": lambda rgb: photographs.saved(Image.fromarray(rgb).convert("RGBA"), "PNG"),
}


@pytest.mark.parametrize("kind", KINDS)
def test_pictures_of_many_kinds_are_measured(opened, kind):
    opened.take(KINDS[kind](resized("easy-31", 0.4).rgb), foot="right")
    opened.found()
    opened.again()


def test_a_photograph_that_is_chosen_while_another_is_measured_counts(visitor, host: Host):
    tool = PhotoTool(visitor.open(host, PATH))
    first, second = jpeg("easy-06"), as_file(resized("easy-31", 0.4).rgb, "JPEG")
    for data in (first, second):
        tool.part("sheet").select_option("none") if tool.step == "ask" else None
        tool.part("file").set_input_files({"name": "photo.jpg", "mimeType": "image/jpeg", "buffer": data})
        time.sleep(0.2)
    tool.wait()
    tool.found()
    tool.keep()
    rgb = np.asarray(Image.open(io.BytesIO(second)))
    there = measured(rgb, {"sheet": "none", "foot": "left"})["indices"]["arch_index"]["value"]
    assert tool.index("left") == pytest.approx(there, abs=0.003), "the second one's"
