"""Styles, scripts and drawings of a finished site: what they load, name or send, read from their text.

Text is all that is read. A script can build a word out of letters and so say anything; what holds such a one is each
page's security policy, under which the browser itself refuses every other address. The theme's own script is left to
that policy: it names addresses of its makers that no page of ours lets it reach.
"""

import posixpath
import re
from collections.abc import Iterator
from urllib.parse import unquote, urlsplit

from treadleaf.audit.folder import Folder
from treadleaf.audit.rules import broken
from treadleaf.errors import Problem

_OWN_SCRIPTS = ("scripts/", "components/", "service-worker.js")
_NAMES = frozenset({"http://www.w3.org/2000/svg"})
"""Addresses that are names of a kind of document and are never fetched."""

_ELSEWHERE = re.compile(r"\b(?:https?|wss?|ftp)://[^\s\"'`<>)]*|(?<=[\"'`])//[a-z0-9][^\s\"'`]*", re.IGNORECASE)
_SENDS = re.compile(
    r"\b(?:sendBeacon|XMLHttpRequest|WebSocket|WebSocketStream|WebTransport|EventSource|RTCPeerConnection|cookieStore)\b"
    r"|\bdocument\s*\.\s*cookie\b|\bfetch\([^;]*?\b(?:method|body)\s*:|\bwindow\.open\b|\.submit\(|\.requestSubmit\("
)
_RUNS_TEXT = re.compile(
    r"(?<![.\w])eval\s*\(|\bnew\s+Function\b|\bset(?:Timeout|Interval)\(\s*[\"'`]|\bdocument\.write\w*\("
)
_SCRIPT_COMMENT = re.compile(r"/\*.*?\*/|(?:^|(?<=[\s;{}(]))//[^\n]*", re.DOTALL)
_IMPORT = re.compile(
    r"^\s*(?:import|export)\b(?:[^;\"'()]*?\bfrom)?\s*(?P<quote>[\"'])(?P<address>[^\"']+)(?P=quote)", re.MULTILINE
)
_COMMENT_OR_TEXT = re.compile(r"/\*.*?(?:\*/|\Z)|\"(?:\\.|[^\"\\\n])*\"|'(?:\\.|[^'\\\n])*'", re.DOTALL)
_ESCAPE = re.compile(r"\\(?:([0-9a-f]{1,6})\s?|(.))", re.IGNORECASE | re.DOTALL)
_LARGEST_LETTER = 0x10FFFF
_LOADS_ODDLY = re.compile(
    r"@(?:import|namespace|font-face)|(?<![\w-])(?:-[a-z]+-)?(?:image-set|image|src|cross-fade)\(", re.IGNORECASE
)
_ADDRESS = re.compile(r"url\(\s*(?P<quote>[\"']?)(?P<address>.*?)(?P=quote)\s*(?:\)|\Z)", re.IGNORECASE | re.DOTALL)
_INSIDE_ITSELF = ("data:image/svg+xml", "#")
_ACTS = re.compile(
    r"<(?:script|foreignobject|iframe|image|animate|set)\b|\bon[a-z]+\s*=|javascript:|<!entity", re.IGNORECASE
)
_POINTS = re.compile(r"\b(?:href|src)\s*=\s*[\"']?(?!#)[^\"'\s>]+|url\((?!\s*[\"']?#)|@import", re.IGNORECASE)


def look(folder: Folder) -> Iterator[Problem]:
    """Every fault in the files of a site that are not pages."""
    for name, text in folder.texts.items():
        if name.endswith(".css"):
            yield from _style(name, text, folder)
        elif name.endswith(".js") and name.startswith(_OWN_SCRIPTS):
            yield from _script(name, text, folder)
        elif name.endswith(".svg"):
            yield from _drawing(name, text)


def loaded(name: str, text: str) -> set[str]:
    """The files that a style sheet or a script names for loading at once, by their paths in the site."""
    addresses = {".css": _of_style, ".js": _of_script}.get(posixpath.splitext(name)[1])
    return {_inside(name, address) for address in addresses(text)} if addresses else set()


def without_comments(script: str) -> str:
    """A script's text without its comments, among which a pattern would find examples and types."""
    return _SCRIPT_COMMENT.sub("", script)


def _of_style(text: str) -> list[str]:
    """What a style sheet loads by url(), without what stands in the sheet itself."""
    found = [load["address"].strip() for load in _ADDRESS.finditer(_plain(text))]
    return [address for address in found if not address.startswith(_INSIDE_ITSELF)]


def _of_script(text: str) -> list[str]:
    """What a module imports before it runs; an import() inside it comes later, when it is reached."""
    return [load["address"] for load in _IMPORT.finditer(without_comments(text))]


def _inside(name: str, address: str) -> str:
    """The path in the site that an address in a file means; one that leaves the site keeps its ``..``."""
    return posixpath.normpath(posixpath.join(posixpath.dirname(name), unquote(urlsplit(address).path)))


def _plain(style: str) -> str:
    """A style sheet's text without comments, its escapes read as a browser reads them."""
    return _ESCAPE.sub(_letter, _COMMENT_OR_TEXT.sub(lambda part: "" if part[0].startswith("/*") else part[0], style))


def _letter(escape: re.Match[str]) -> str:
    """The letter that a style sheet's escape stands for."""
    if not escape[1]:
        return escape[2]
    number = int(escape[1], 16)
    return chr(number) if number <= _LARGEST_LETTER else "\N{REPLACEMENT CHARACTER}"


def _style(name: str, text: str, folder: Folder) -> Iterator[Problem]:
    for load in _LOADS_ODDLY.finditer(_plain(text)):
        yield broken("outside", name, "The style sheet loads something in a way that ours do not.", load[0])
    for address in _of_style(text):
        yield from _pointer("style sheet", name, address, folder)


def _script(name: str, text: str, folder: Folder) -> Iterator[Problem]:
    for address in _ELSEWHERE.findall(text):
        if address not in _NAMES:
            yield broken("outside", name, "The script names an address elsewhere.", address)
    plain = without_comments(text)
    for call in _SENDS.finditer(plain):
        yield broken("sends", name, "The script could send something, or set a cookie.", call[0])
    for call in _RUNS_TEXT.finditer(plain):
        yield broken("runs-text", name, "The script runs text as code.", call[0])
    for address in _of_script(text):
        yield from _pointer("script", name, address, folder)


def _pointer(what: str, name: str, address: str, folder: Folder) -> Iterator[Problem]:
    try:
        parts = urlsplit(address)
    except ValueError:
        parts = urlsplit("//unreadable")
    if parts.scheme or parts.netloc or address.startswith(("/", "\\")):
        yield broken("outside", name, f"The {what} loads something from elsewhere.", address)
    elif _inside(name, address) not in folder.sizes:
        yield broken("links", name, f"The {what} points to a file that is not there.", address)


def _drawing(name: str, text: str) -> Iterator[Problem]:
    for fault in _ACTS.finditer(text):
        yield broken("drawings", name, "The drawing could act.", fault[0])
    for fault in _POINTS.finditer(text):
        yield broken("outside", name, "The drawing loads something.", fault[0])
