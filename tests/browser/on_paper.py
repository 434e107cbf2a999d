"""A page as it prints: its leaves, its words, and how large they stand there."""

from __future__ import annotations

import contextlib
import io
import math
import re
import unicodedata
from collections.abc import Iterator

import pypdf
from playwright.sync_api import Page
from pypdf.generic import DecodedStreamObject, NameObject

from treadleaf import site
from treadleaf.kinds import Check, Exercise

# In points, as the paper's makers define them: A4 is 210 x 297 mm, Letter 8.5 x 11 inches.
PAPERS = {"A4": (210 / 25.4 * 72, 297 / 25.4 * 72), "Letter": (8.5 * 72, 11 * 72)}
SMALLEST_PT = 12
# Pieces of text, each with its size in points.
Sizes = list[tuple[float, str]]
# Left for sizes that pass through pixels.
ROUNDING_PT = 0.05

SHEETS = {page.address: page.front for page in site._pages()}
ONE = [address for address, front in SHEETS.items() if isinstance(front, Check | Exercise)]
EXERCISES = [address for address, front in SHEETS.items() if isinstance(front, Exercise)]
# Read rather than hung up: one leaf or two, as many as their text needs.
READ = [address for address, front in SHEETS.items() if front.kind in ("caution", "signs", "learn")]

_HIDE_SOURCES = """() => {
    const sheet = new CSSStyleSheet();
    sheet.replaceSync(".sources, .reference { display: none !important; }");
    document.adoptedStyleSheets.push(sheet);
}"""
# Latin letters that a font joins in one sign.
_JOINED = re.compile("[\ufb00-\ufb06]")
# The corners of lines and curves: nearly all that a leaf with drawings holds, and slow to read past to its words.
_CORNERS = re.compile(rb"^(?:[-\d.]+ )*[mlcvyh]\n", re.MULTILINE)


def printed(page: Page) -> pypdf.PdfReader:
    """What a page prints, for its leaves and words alone: its drawings have lost their lines."""
    reader = whole(page)
    for leaf in reader.pages:
        kept = DecodedStreamObject()
        kept.set_data(_CORNERS.sub(b"", leaf.get_contents().get_data()))
        leaf[NameObject("/Contents")] = kept
    return reader


def whole(page: Page) -> pypdf.PdfReader:
    """What a page prints, with everything on it."""
    return pypdf.PdfReader(io.BytesIO(page.pdf(prefer_css_page_size=True)))


def leaves(page: Page) -> int:
    return len(printed(page).pages)


@contextlib.contextmanager
def sources_hidden(page: Page) -> Iterator[None]:
    """The page without the list of sources and the small numbers that point into it."""
    page.evaluate(_HIDE_SOURCES)
    yield
    page.evaluate("() => void document.adoptedStyleSheets.pop()")


def small_print(page: Page, points: float = SMALLEST_PT) -> Sizes:
    """What prints smaller than it may, apart from the sources."""
    with sources_hidden(page):
        return below(points, sizes(printed(page)))


def text_of(reader: pypdf.PdfReader) -> str:
    return one_line(" ".join(leaf.extract_text() for leaf in reader.pages))


def one_line(text: str) -> str:
    return re.sub(r"\s+", " ", unjoined(text)).strip()


def squeezed(text: str) -> str:
    """Without any blank, because a line break in a printed word looks like one, and with joined letters taken apart."""
    return re.sub(r"\s+", "", unjoined(text))


def unjoined(text: str) -> str:
    """Where the printing font has one sign for "fl" or "ffi", the words have their letters back."""
    return _JOINED.sub(lambda sign: unicodedata.normalize("NFKC", sign[0]), text)


def sizes(reader: pypdf.PdfReader) -> Sizes:
    return read(reader)[1]


def read(reader: pypdf.PdfReader) -> tuple[str, Sizes]:
    """The text of all leaves, and its pieces with their sizes."""
    found: Sizes = []

    def see(text: str, cm: list[float], tm: list[float], font: object, size: float) -> None:
        if text.strip():
            # Area of the square that the two transformations make of a unit, and its root: the scale of the letters.
            scale = math.sqrt(abs((tm[0] * tm[3] - tm[1] * tm[2]) * (cm[0] * cm[3] - cm[1] * cm[2])))
            found.append((size * scale, text.strip()))

    text = " ".join(leaf.extract_text(visitor_text=see) for leaf in reader.pages)
    return one_line(text), found


def below(points: float, found: Sizes) -> Sizes:
    """The pieces that are smaller than this."""
    return [row for row in found if row[0] < points - ROUNDING_PT]
