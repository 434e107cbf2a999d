"""Styles, scripts and drawings of a finished site: what they load or name, read from their text."""

import posixpath
import re
from collections.abc import Collection, Iterator
from pathlib import Path
from urllib.parse import unquote, urlsplit

from treadleaf.errors import Problem

TEMPLATE = "scripts/service-worker.js"
"""Of the scripts among the templates, the one that is published filled in and elsewhere."""

_OWN_SCRIPTS = ("scripts/", "components/", "service-worker.js")
_NAMES = frozenset({"http://www.w3.org/2000/svg"})
"""Addresses that are names of a kind of document and are never fetched."""

_ELSEWHERE = re.compile(r"\b(?:https?|wss?|ftp)://[^\s\"'`<>)]*|(?<=[\"'`])//[a-z0-9][^\s\"'`]*", re.IGNORECASE)
_COMMENT_OR_TEXT = re.compile(r"/\*.*?(?:\*/|\Z)|\"(?:\\.|[^\"\\\n])*\"|'(?:\\.|[^'\\\n])*'", re.DOTALL)
_ESCAPE = re.compile(r"\\(?:([0-9a-f]{1,6})\s?|(.))", re.IGNORECASE | re.DOTALL)
_LARGEST_LETTER = 0x10FFFF
_IMPORT = re.compile(
    r"@(?:import|namespace|font-face)|(?<![\w-])(?:-[a-z]+-)?(?:image-set|image|src|cross-fade)\(", re.IGNORECASE
)
_ADDRESS = re.compile(r"url\(\s*(?P<quote>[\"']?)(?P<address>.*?)(?P=quote)\s*(?:\)|\Z)", re.IGNORECASE | re.DOTALL)
_DRAWING = "data:image/svg+xml"
_ACTS = re.compile(
    r"<(?:script|foreignobject|iframe|image|animate|set)\b|\bon[a-z]+\s*=|javascript:|<!entity", re.IGNORECASE
)
_POINTS = re.compile(r"\b(?:href|src)\s*=\s*[\"']?(?!#)[^\"'\s>]+|url\((?!\s*[\"']?#)|@import", re.IGNORECASE)


def look(site: Path, present: Collection[str]) -> Iterator[Problem]:
    """Every fault in the files of a site that are not pages. ``present`` are their paths below ``site``."""
    for name in present:
        if name.endswith(".css"):
            yield from _style(name, (site / name).read_text("utf-8"), present)
        elif name.endswith(".js") and name.startswith(_OWN_SCRIPTS):
            yield from _script(name, (site / name).read_text("utf-8"))
        elif name.endswith(".svg"):
            yield from _drawing(name, (site / name).read_text("utf-8", "replace"))


def _style(name: str, text: str, present: Collection[str]) -> Iterator[Problem]:
    text = _ESCAPE.sub(_letter, _COMMENT_OR_TEXT.sub(lambda part: "" if part[0].startswith("/*") else part[0], text))
    for load in _IMPORT.finditer(text):
        yield Problem("The style sheet loads something in a way that ours do not.", name, found=load[0])
    for load in _ADDRESS.finditer(text):
        address = load["address"].strip()
        if address.startswith((_DRAWING, "#")):
            continue
        parts = urlsplit(address)
        target = posixpath.normpath(posixpath.join(posixpath.dirname(name), unquote(parts.path)))
        if parts.scheme or parts.netloc or address.startswith(("/", "\\")):
            yield Problem("The style sheet loads something from elsewhere.", name, found=address[:120])
        elif target not in present:
            yield Problem("The style sheet points to a file that is not there.", name, found=address[:120])


def _letter(escape: re.Match[str]) -> str:
    """The letter that a style sheet's escape stands for."""
    if not escape[1]:
        return escape[2]
    number = int(escape[1], 16)
    return chr(number) if number <= _LARGEST_LETTER else "\N{REPLACEMENT CHARACTER}"


def _script(name: str, text: str) -> Iterator[Problem]:
    for address in _ELSEWHERE.findall(text):
        if address not in _NAMES:
            yield Problem("The script names an address elsewhere.", name, found=address[:120])


def _drawing(name: str, text: str) -> Iterator[Problem]:
    for fault in (*_ACTS.finditer(text), *_POINTS.finditer(text)):
        yield Problem("The drawing could act, or loads something.", name, found=fault[0][:120])
