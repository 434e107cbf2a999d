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
# The large files, fetched when a calculator is first used. The manifest is small and belongs to the pages' version.
_RUNTIME = ("runtime/*.js", "runtime/*.gz")
# What only the clinic's own people open, at a desk: no client's device has to keep it.
_FOR_STAFF = ("staff/*", "components/clinic-form/*", "components/part-samples/*", "components/print-pack/*")
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
    pages: dict[str, list[str]] = {}
    runtime: dict[str, list[str]] = {}
    for path in sorted(file.relative_to(site).as_posix() for file in site.rglob("*") if file.is_file()):
        if not _matches(path, (*_UNLISTED, *_FOR_STAFF)):
            (runtime if _matches(path, _RUNTIME) else pages)[path] = _hashes(site / path)
    sizes = {
        name: sum((site / path).stat().st_size for path in part)
        for name, part in (("pages", pages), ("runtime", runtime))
    }
    content = {"bytes": sizes, "pages": pages, "runtime": runtime}
    version = hashlib.sha256(json.dumps([template, content]).encode()).hexdigest()[:16]
    return {"version": version, **content}


def filled(template: str, site: dict[str, object]) -> str:
    """The template with its slot filled by the listing as JSON, which is also JavaScript."""
    before, start, rest = template.partition(_SLOT[0])
    _, end, after = rest.partition(_SLOT[1])
    if not end or _SLOT[0] in after:
        raise ValueError(f"{_TEMPLATE} has not exactly one place between {start or _SLOT[0]} and {_SLOT[1]}")
    return before + json.dumps(site, indent=1) + after


def _matches(path: str, patterns: tuple[str, ...]) -> bool:
    return any(fnmatch.fnmatchcase(path, pattern) for pattern in patterns)


def _hashes(file: Path) -> list[str]:
    data = file.read_bytes()
    forms = [data, gzip.decompress(data)] if file.suffix == ".gz" else [data]
    return [hashlib.sha256(form).hexdigest() for form in forms]
