"""What works without a network: the site's files for clients, listed with their hashes, in the service worker."""

from __future__ import annotations

import fnmatch
import gzip
import hashlib
import json
from pathlib import Path

from treadleaf import places

SERVICE_WORKER = "service-worker.js"
_TEMPLATE = f"scripts/{SERVICE_WORKER}"
# Between these two marks the template holds an empty list of the same shape.
_SLOT = ("/*{site*/", "/*site}*/")
_PARTS = ("pages", "runtime")
# The large files, fetched when a calculator is first used. The manifest is small and belongs to the pages' version.
_RUNTIME = ("runtime/*.js", "runtime/*.gz")
# What only the clinic's own people open, at a desk: no client's device has to keep it.
_FOR_STAFF = (
    "staff/*",
    *(f"components/{part}/*" for part in ("clinic-form", "part-samples", "print-pack", "scale-sheet")),
)
# Some hosts do not send what begins with a dot or an underscore, and one file that is missing would stop the whole
# installation. The others are for search engines, or are the service worker itself.
_UNLISTED = (".*", "*/.*", "_*", "*/_*", "sitemap.xml*", "robots.txt", SERVICE_WORKER, _TEMPLATE)


def put(site: Path) -> None:
    """Writes ``service-worker.js`` into a finished site.

    Call it last: what is added or changed afterwards is not there offline, and a changed page stops the installation.
    Raises ``ValueError`` when the template has lost its slot.
    """
    (site / _TEMPLATE).unlink(missing_ok=True)  # MkDocs publishes the template with the other scripts
    template = (places.templates() / _TEMPLATE).read_text("utf-8")
    (site / SERVICE_WORKER).write_text(filled(template, listing(site, template)), "utf-8", newline="\n")


def listing(site: Path, template: str) -> dict[str, object]:
    """The site as its service worker knows it: a version, bytes, and path -> hashes for pages and large files.

    The version names the cache of the pages. It follows the service worker's own code, ``template``, as well as the
    files: an installation that fails clears its cache, which must never be that of the version in use.

    Paths are relative to the site's folder, with forward slashes. A ``.gz`` has two SHA-256 in hexadecimal, its own and
    that of what is inside, because a host may unpack it on its way to the browser; any other file has one.
    """
    files: dict[str, dict[str, list[str]]] = {name: {} for name in _PARTS}
    for path in sorted(file.relative_to(site).as_posix() for file in site.rglob("*") if file.is_file()):
        kept_in = part(path)
        if kept_in:
            files[kept_in][path] = hashes((site / path).read_bytes(), path)
    sizes = {name: sum((site / path).stat().st_size for path in paths) for name, paths in files.items()}
    content = {"bytes": sizes, **files}
    version = hashlib.sha256(json.dumps([template, content]).encode()).hexdigest()[:16]
    return {"version": version, **content}


def part(path: str) -> str | None:
    """The part of the list in which a file stands, pages or runtime; None for one that no client has to keep."""
    if _matches(path, (*_UNLISTED, *_FOR_STAFF)):
        return None
    return "runtime" if _matches(path, _RUNTIME) else "pages"


def hashes(data: bytes, path: str) -> list[str]:
    """The SHA-256 of a file, and for a .gz that of what is inside. Raises what gzip raises for a damaged one."""
    forms = [data, gzip.decompress(data)] if path.endswith(".gz") else [data]
    return [hashlib.sha256(form).hexdigest() for form in forms]


def listed(script: str) -> dict[str, dict[str, list[str]]]:
    """The pages and the runtime as a published service worker lists them. Raises ValueError for one without a list."""
    _, _, rest = script.partition(_SLOT[0])
    text, end, _ = rest.partition(_SLOT[1])
    if not end:
        raise ValueError(f"nothing stands between {_SLOT[0]} and {_SLOT[1]}")
    try:
        site = json.loads(text)
        return {kept_in: {path: list(known) for path, known in site[kept_in].items()} for kept_in in _PARTS}
    except (LookupError, TypeError, AttributeError, RecursionError) as failure:
        raise ValueError(f"what stands between {_SLOT[0]} and {_SLOT[1]} is no list: {failure}") from None


def filled(template: str, site: dict[str, object]) -> str:
    """The template with its slot filled by the listing as JSON, which is also JavaScript; the marks stay around it."""
    before, start, rest = template.partition(_SLOT[0])
    _, end, after = rest.partition(_SLOT[1])
    if not end or _SLOT[0] in after:
        raise ValueError(f"{_TEMPLATE} has not exactly one place between {start or _SLOT[0]} and {_SLOT[1]}")
    return before + start + json.dumps(site, indent=1) + end + after


def _matches(path: str, patterns: tuple[str, ...]) -> bool:
    return any(fnmatch.fnmatchcase(path, pattern) for pattern in patterns)
