"""Which files a site may hold, each of which it must hold as well, and what none of them may be."""

import json
import re
from collections.abc import Iterator

from treadleaf import marker, places
from treadleaf.audit.expected import Expected
from treadleaf.audit.folder import Folder
from treadleaf.audit.rules import broken
from treadleaf.errors import Problem
from treadleaf.offline import SERVICE_WORKER

THEME = (
    "assets/javascripts/bundle.*.min.js",
    "assets/javascripts/workers/search.*.min.js",
    "assets/stylesheets/main.*.min.css",
)
"""What the theme may leave in the site."""

LARGEST_BYTES = 25_000_000
"""Some static hosts refuse larger files; the number is second-hand, from a page that compares hosts."""

_FROM_TEMPLATES = ("scripts/*.js", "components/*/*.js", "components/*/*.css", "styles/*.css", "styles/*.svg")
_ELSEWHERE = f"scripts/{SERVICE_WORKER}"
"""Of the scripts among the templates, the one that is published filled in and at the top."""

_MANIFEST = "runtime/manifest.json"
_MADE = (
    *("NOTICES.txt", "search/search_index.json", SERVICE_WORKER, "sitemap.xml", "styles/clinic.css"),
    *(_MANIFEST, "runtime/NOTICES.txt"),
)
_SOURCE = (".toml", ".md", ".py", ".map", ".mjs", ".yml", ".yaml", ".jinja", ".j2", ".pyc", ".ts")
# What a template leaves that was not filled in. Scripts have braces of their own, but never these two.
_UNFILLED = re.compile(r"\{%-?\s|\{\{-?\s*[A-Za-z_]")
_UNFILLED_SCRIPT = re.compile(r"\{%-?\s")


def look(folder: Folder, expected: Expected) -> Iterator[Problem]:
    """Every file too much, too few, too large, left over, or with another's name."""
    runtime = _runtime(folder)
    if runtime is None:
        yield broken("files", _MANIFEST, "The list of the calculators' files cannot be read.")
    wanted, present = _wanted(folder, expected, runtime or set()), set(folder.sizes)
    for name in sorted(present - wanted - {marker.NAME, *marker.copied(folder.root)}):
        if name.endswith(_SOURCE):
            yield broken("leftover", name, "A file of the builder's kind of sources is published.")
        else:
            yield broken("files", name, "The file is on no list of what is published.")
    for name in sorted(wanted - present):
        yield broken("files", name, "The file is missing.")
    for name, size in folder.sizes.items():
        if size > LARGEST_BYTES:
            yield broken("too-large", name, "The file is too large for some hosts.", f"{size / 1e6:.1f} MB")
    alike: dict[str, str] = {}
    for name in folder.sizes:
        other = alike.setdefault(name.casefold(), name)
        if other != name:
            yield broken("names", name, "Another file has this name in other capitals.", other)
    yield from _unfilled(folder)


def _wanted(folder: Folder, expected: Expected, runtime: set[str]) -> set[str]:
    templates = places.templates()
    ours = {path.relative_to(templates).as_posix() for pattern in _FROM_TEMPLATES for path in templates.glob(pattern)}
    theirs = {path.relative_to(folder.root).as_posix() for pattern in THEME for path in folder.root.glob(pattern)}
    return {*expected.pages, *_MADE, *expected.files, *theirs, *runtime} | ours - {_ELSEWHERE}


def _runtime(folder: Folder) -> set[str] | None:
    """The calculators' files as their own list names them; None where it cannot be read, none where it is missing."""
    if _MANIFEST not in folder.texts:
        return set()
    try:
        return {f"runtime/{part['path']}" for part in json.loads(folder.texts[_MANIFEST])["files"].values()}
    except (LookupError, TypeError, AttributeError, ValueError, RecursionError):
        return None


def _unfilled(folder: Folder) -> Iterator[Problem]:
    for name, text in folder.texts.items():
        if name.startswith("assets/"):  # the theme's, as it came
            continue
        left = (_UNFILLED_SCRIPT if name.endswith((".js", ".json")) else _UNFILLED).search(text)
        if left:
            found = text[left.start() : left.start() + 40]
            yield broken("leftover", name, "Something that a template should have filled in was left.", found)
