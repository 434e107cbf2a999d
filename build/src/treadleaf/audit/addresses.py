"""What a page may point to: elsewhere only by links that somebody follows, inside only what is there."""

import re
from collections.abc import Collection, Iterator, Mapping
from urllib.parse import SplitResult, unquote, urlsplit

from treadleaf.audit.expected import LOST
from treadleaf.audit.page import Address, Fault, Page

_FOLLOWED = frozenset({"https", "http", "mailto", "tel"})
# Browsers read a backslash as a slash and skip control characters and blanks.
_ODD = re.compile(r"[\x00-\x20\x7f\\]")


def look(name: str, pages: Mapping[str, Page], present: Collection[str], base: str) -> Iterator[Fault]:
    """Judge every address of one page. ``base`` is where the site will stand, ``present`` the files that it holds."""
    for address in pages[name].addresses:
        yield from _judged(name, address, pages, present, base)


def loaded(name: str, page: Page, base: str) -> set[str]:
    """The files that a page names for loading at once, by their paths in the site."""
    named = [urlsplit(address.value) for address in page.addresses if address.kind == "load"]
    return {path for parts in named if (path := target(name, parts.path, urlsplit(base).path))}


def _judged(
    name: str, address: Address, pages: Mapping[str, Page], present: Collection[str], base: str
) -> Iterator[Fault]:
    found = f"{address.element} {address.value}"
    if address.kind == "name":
        if unquote(address.value) != unquote(base + name):
            yield Fault("address", "The page gives another address as its own.", found)
        return
    parts = _parts(address.value)
    if parts is None:
        rule = "one-reading" if address.kind == "link" else "outside"
        yield Fault(rule, "The page points to an address that browsers read in different ways.", found)
        return
    if parts.scheme:
        if address.kind != "link":
            yield Fault("outside", "The page loads something from elsewhere.", found)
        elif parts.scheme not in _FOLLOWED:
            yield Fault("handler", "The page links to something that could act.", found)
        return
    path = target(name, parts.path, urlsplit(base).path)
    if path is None or path not in present:
        yield Fault("links", "The page points to a file that is not there.", found)
    elif parts.fragment and (path not in pages or unquote(parts.fragment) not in pages[path].ids):
        yield Fault("anchors", "The page points to a place that is not there.", found)


def _parts(address: str) -> SplitResult | None:
    """The parts of an address; None for one that not every reader would take apart in the same way."""
    try:
        parts = urlsplit(address)
    except ValueError:
        return None
    return None if _ODD.search(address) or (parts.netloc and not parts.scheme) else parts


def target(name: str, path: str, base: str) -> str | None:
    """The published file that a path in a page means; None for one outside the site."""
    if not path:
        return name
    path, base = unquote(path), unquote(base)
    if name == LOST:  # shown at any depth, so it names places from the top
        if not path.startswith(base):
            return None
        steps = path.removeprefix(base).split("/")
    elif path.startswith("/"):
        return None
    else:
        steps = [*name.split("/")[:-1], *path.split("/")]
    inside: list[str] = []
    for step in steps:
        if step == "..":
            if not inside:
                return None
            inside.pop()
        elif step not in ("", "."):
            inside.append(step)
    return "/".join(inside if steps[-1] not in ("", ".", "..") else [*inside, "index.html"])
