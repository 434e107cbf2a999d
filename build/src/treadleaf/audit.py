"""A last look at the finished site: what must never be published stops the build."""

import re
from collections.abc import Iterator
from html.parser import HTMLParser
from pathlib import Path
from urllib.parse import unquote, urlsplit

from treadleaf import policy
from treadleaf.errors import InputProblems, Problem

_LOADS = {
    **dict.fromkeys(("script", "img", "iframe", "source", "video", "audio", "embed"), "src"),
    "link": "href",
    "object": "data",
}
_LINK_ONLY = frozenset({"canonical", "alternate", "prev", "next"})
_STYLE_LOAD = re.compile(r"(?:url\(\s*['\"]?|@import\s+['\"]?)(?:https?:)?//", re.IGNORECASE)
_MAY_LINK = ("https", "http", "mailto", "tel")
_CAUTION = 'class="caution-box"'
_PURPOSE = 'class="purpose"'


def refuse(site: Path) -> None:
    """Raise InputProblems when anything in the finished site must not be published."""
    problems = tuple(look(site))
    if problems:
        raise InputProblems(problems)


def look(site: Path) -> Iterator[Problem]:
    """Every fault of a finished site, page by page."""
    for path in sorted(site.rglob("*.html")):
        yield from _page(site, path)
    for path in sorted(site.rglob("*.css")):
        if _STYLE_LOAD.search(path.read_text("utf-8")):
            yield Problem("The style sheet loads something from elsewhere.", path.relative_to(site).as_posix())


def _page(site: Path, path: Path) -> Iterator[Problem]:
    name = path.relative_to(site).as_posix()
    html = path.read_text("utf-8")
    page = _Reader()
    page.feed(html)
    if not page.policy or policy.SLOT in html:
        yield Problem("The page has no security policy.", name)
    for script in policy.inline_scripts(html):
        if policy.source_hash(script) not in page.policy:
            yield Problem("The page's policy does not know one of its scripts.", name, found=script[:60])
    for tag, address in page.loads:
        if urlsplit(address).scheme not in ("", "data") or address.startswith("//"):
            yield Problem("The page loads something from elsewhere.", name, found=f"{tag} {address[:120]}")
    for address in page.links:
        if urlsplit(address).scheme not in ("", *_MAY_LINK):
            yield Problem("The page links to something that could act.", name, found=address[:120])
    for attribute in page.handlers:
        yield Problem("The page runs code from an attribute.", name, found=attribute)
    if name != "404.html":
        if _CAUTION not in html:
            yield Problem("The page carries no cautions.", name)
        yield from _dead_links(site, path, name, page)
    if html.count(_PURPOSE) != 1:
        yield Problem("The page does not state its intended purpose once.", name)


def _dead_links(site: Path, path: Path, name: str, page: "_Reader") -> Iterator[Problem]:
    for address in [*page.links, *(address for _, address in page.loads)]:
        parts = urlsplit(address)
        if parts.scheme or address.startswith("//"):
            continue
        target = (path.parent / unquote(parts.path)).resolve() if parts.path else path.resolve()
        if target.is_dir():
            target /= "index.html"
        if not target.is_relative_to(site.resolve()) or not (target.is_file() or target.name == "service-worker.js"):
            yield Problem("The page points to a file that is not there.", name, found=address)
        elif parts.fragment and target == path.resolve() and parts.fragment not in page.ids:
            yield Problem("The page points to a place that is not there.", name, found=address)


class _Reader(HTMLParser):
    def __init__(self) -> None:
        super().__init__()
        self.policy = ""
        self.loads: list[tuple[str, str]] = []
        self.links: list[str] = []
        self.handlers: list[str] = []
        self.ids: set[str] = set()

    def handle_starttag(self, tag: str, attrs: list[tuple[str, str | None]]) -> None:
        given = {name: value or "" for name, value in attrs}
        self.ids |= {given["id"]} if given.get("id") else set()
        self.handlers += [f"{tag} {name}" for name in given if name.startswith("on")]
        if tag == "meta" and given.get("http-equiv", "").lower() == "content-security-policy":
            self.policy = given.get("content", "")
        if tag in _LOADS and given.get(_LOADS[tag]) and not (tag == "link" and given.get("rel", "") in _LINK_ONLY):
            self.loads.append((tag, given[_LOADS[tag]]))
        if tag == "a" and given.get("href"):
            self.links.append(given["href"])
