"""A last look at the finished site: what must never be published stops the build."""

import json
import re
from collections.abc import Collection, Iterator, Mapping
from dataclasses import dataclass
from pathlib import Path
from urllib.parse import SplitResult, unquote, urlsplit

from treadleaf import audit_files, audit_page, marker, places, policy
from treadleaf.audit_page import Address
from treadleaf.errors import InputProblems, Problem

LOST = "404.html"
THEME = (
    "assets/javascripts/bundle.*.min.js",
    "assets/javascripts/workers/search.*.min.js",
    "assets/stylesheets/main.*.min.css",
)
"""What the theme may leave in the site."""

_CAUTIONS = "caution-box"
_PURPOSE = "purpose"
_FOLLOWED = frozenset({"https", "http", "mailto", "tel"})
# Browsers read a backslash as a slash and skip control characters and blanks.
_ODD = re.compile(r"[\x00-\x20\x7f\\]")
_FROM_TEMPLATES = ("scripts/*.js", "components/*/*.js", "components/*/*.css", "styles/*.css", "styles/*.svg")
_MADE = (
    *("NOTICES.txt", "search/search_index.json", "service-worker.js", "sitemap.xml", "styles/clinic.css"),
    *("runtime/manifest.json", "runtime/NOTICES.txt"),
)


@dataclass(frozen=True)
class Expected:
    """What a site must say and hold.

    ``address`` is where it will stand, ``purpose`` the sentence of intended use, ``cautions`` the sentences in the
    caution box of each page by the page's path, ``files`` the paths of what the clinic added.
    """

    address: str
    purpose: str
    cautions: Mapping[str, tuple[str, ...]]
    files: tuple[str, ...] = ()


def refuse(site: Path, expected: Expected) -> None:
    """Raise InputProblems when anything in the finished site must not be published."""
    problems = tuple(look(site, expected))
    if problems:
        raise InputProblems(problems)


def look(site: Path, expected: Expected) -> Iterator[Problem]:
    """Every fault of a finished site: files on no list, then page by page, then styles, scripts and drawings."""
    site = site.resolve()
    present = {path.relative_to(site).as_posix() for path in site.rglob("*") if not path.is_dir()}
    wanted = _listed(site, expected)
    for name in sorted(present - wanted - {marker.NAME, *marker.copied(site)}):
        yield Problem("The file is on no list of what is published.", name)
    for name in sorted(wanted - present):
        yield Problem("The file is missing.", name)
    tags = [path.name for path in (places.templates() / "components").iterdir() if path.is_dir()]
    texts = {name: (site / name).read_text("utf-8") for name in sorted(present) if name.endswith(".html")}
    pages = {name: audit_page.read(html, tags, (_CAUTIONS, _PURPOSE)) for name, html in texts.items()}
    for name, page in pages.items():
        for fault in page.faults:
            yield Problem(fault.what, name, found=fault.found, mend=fault.mend)
        yield from _policy(name, texts[name], page)
        yield from _words(name, page, expected)
        for address in page.addresses:
            yield from _pointer(name, address, present, pages, expected.address)
    yield from audit_files.look(site, sorted(present))


def _listed(site: Path, expected: Expected) -> set[str]:
    """Every file that a site may hold, each of which it must hold as well."""
    templates = places.templates()
    ours = {path.relative_to(templates).as_posix() for pattern in _FROM_TEMPLATES for path in templates.glob(pattern)}
    theirs = {path.relative_to(site).as_posix() for pattern in THEME for path in site.glob(pattern)}
    return {*expected.cautions, LOST, *_MADE, *expected.files, *theirs, *_runtime(site)} | ours - {audit_files.TEMPLATE}


def _runtime(site: Path) -> set[str]:
    manifest = site / "runtime" / "manifest.json"
    files = json.loads(manifest.read_text("utf-8"))["files"] if manifest.is_file() else {}
    return {f"runtime/{part['path']}" for part in files.values()}


def _policy(name: str, html: str, page: audit_page.Page) -> Iterator[Problem]:
    if len(page.policies) != 1 or policy.SLOT in html:
        yield Problem("The page has no security policy, or more than one.", name)
        return
    scripts = policy.inline_scripts(html)
    known = [script for script in scripts if policy.source_hash(script) in page.policies[0]]
    for script in scripts:
        if script not in known:
            yield Problem("The page's policy does not know one of its scripts.", name, found=script[:60])
    if page.policies[0] not in [policy.write(known, computes=computes) for computes in (False, True)]:
        yield Problem("The page's security policy is not the one that is written for it.", name)


def _words(name: str, page: audit_page.Page, expected: Expected) -> Iterator[Problem]:
    """The cautions and the purpose must stand where they are seen, on screen and on paper, with all their words."""
    sentences = expected.cautions.get(name, ())
    boxes = page.shown[_CAUTIONS]
    if len(boxes) != (1 if sentences else 0):
        yield Problem("The page carries no cautions, or carries them twice.", name, found=f"{len(boxes)} boxes")
    for sentence in sentences if boxes else ():
        if " ".join(sentence.split()) not in boxes[0]:
            yield Problem("The page's cautions lack a sentence.", name, found=sentence)
    if page.shown[_PURPOSE] != [" ".join(expected.purpose.split())]:
        yield Problem("The page does not state its intended purpose once.", name)


def _pointer(
    name: str, address: Address, present: Collection[str], pages: Mapping[str, audit_page.Page], base: str
) -> Iterator[Problem]:
    """Judge one address of a page: elsewhere only by links that somebody follows, and inside only to what is there."""
    found = f"{address.element} {address.value[:120]}"
    if address.kind == "name":
        if unquote(address.value) != unquote(base + name):
            yield Problem("The page gives another address as its own.", name, found=found)
        return
    parts = _parts(address.value)
    if parts is None:
        yield Problem("The page points to an address that browsers read in different ways.", name, found=found)
        return
    if parts.scheme:
        if address.kind == "load":
            yield Problem("The page loads something from elsewhere.", name, found=found)
        elif parts.scheme not in _FOLLOWED:
            yield Problem("The page links to something that could act.", name, found=found)
        return
    target = _target(name, parts.path, urlsplit(base).path)
    if target is None or target not in present:
        yield Problem("The page points to a file that is not there.", name, found=found)
    elif parts.fragment and (target not in pages or unquote(parts.fragment) not in pages[target].ids):
        yield Problem("The page points to a place that is not there.", name, found=found)


def _parts(address: str) -> SplitResult | None:
    """The parts of an address; None for one that not every reader would take apart in the same way."""
    try:
        parts = urlsplit(address)
    except ValueError:
        return None
    return None if _ODD.search(address) or (parts.netloc and not parts.scheme) else parts


def _target(name: str, path: str, base: str) -> str | None:
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
