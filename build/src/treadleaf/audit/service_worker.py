"""The service worker of a finished site: whom it asks, and whether its list is that of the files beside it.

A page's security policy does not bind a service worker, so its text is read. That shows every fetch by name, with what
it is given, and the three sentences by which an address stays inside the site. What text cannot show: that nobody
builds the word "fetch" out of letters, and that a host sends these very bytes. Where the host can send headers, the
policy among them binds the service worker too.
"""

import gzip
import re
import zlib
from collections.abc import Collection, Iterator, Mapping

from treadleaf import offline
from treadleaf.audit import files
from treadleaf.audit.folder import Folder
from treadleaf.audit.rules import broken
from treadleaf.errors import Problem

Listed = dict[str, dict[str, list[str]]]

_TEXT = re.compile(r"\"(?:\\.|[^\"\\\n])*\"|'(?:\\.|[^'\\\n])*'")
_FETCH = re.compile(r"(?<![\w$])fetch(?![\w$])(?P<call>\(\s*(?P<given>(?:[^(),]|\([^()]*\))*))?")
_MAY_FETCH = re.compile(r"(?:event\.)?request|(?:new Request\()?address\([\w.]+\)")
"""What may be fetched: the request that a page made itself, or an address of the list."""

_OTHER_WAYS = re.compile(
    r"\b(?:importScripts|import|eval|Function|openWindow|navigate|addAll|cache\.add|globalThis|Reflect"
    r"|(?:self|worker|globalThis)\s*\[)(?![\w$])"
)
_SENTENCES = {
    "its own place": re.compile(r"const scope = new URL\(worker\.registration\.scope\);"),
    "requests of its own origin only": re.compile(r"if \([^;]*\burl\.origin !== scope\.origin\b[^;]*\) return;"),
    "addresses below its own place": re.compile(
        r"function address\(path\) \{\s*"
        r"return new URL\(path\.split\(\"/\"\)\.map\(encodeURIComponent\)\.join\(\"/\"\), scope\)\.href;\s*\}"
    ),
}
"""Sentences of the service worker by which what it fetches stays inside the site, by what they are for."""


def look(folder: Folder, loads: Mapping[str, Collection[str]]) -> Iterator[Problem]:
    """Every fault of the service worker and its list. One that is missing is told with the other missing files.

    ``loads`` are the files that each page makes a browser load.
    """
    name = offline.SERVICE_WORKER
    if name not in folder.texts:
        return
    text = folder.texts[name]
    code = files.without_comments(text)
    for what, sentence in _SENTENCES.items():
        if not sentence.search(code):
            yield broken("service-worker", name, f"The service worker lacks its sentence for {what}.")
    bare = _TEXT.sub('""', code)
    for fetch in _FETCH.finditer(bare):
        if not _MAY_FETCH.fullmatch((fetch["given"] or "").strip()):
            yield broken("service-worker", name, "The service worker could fetch something else.", fetch[0])
    for way in _OTHER_WAYS.finditer(bare):
        yield broken("service-worker", name, "The service worker loads in a way that ours does not.", way[0])
    try:
        listed = offline.listed(text)
    except ValueError as failure:
        yield broken("offline-list", name, "The list of what works offline cannot be read.", str(failure))
        return
    yield from _names(listed, folder, loads)
    yield from _hashes(listed, folder)


def _names(listed: Listed, folder: Folder, loads: Mapping[str, Collection[str]]) -> Iterator[Problem]:
    """Compare the list with the files that are there, and with what the listed pages load."""
    there = {(kept_in, path) for path in folder.sizes if (kept_in := offline.part(path))}
    named = {(kept_in, path) for kept_in, paths in listed.items() for path in paths}
    for kept_in, path in sorted(there - named):
        yield broken("offline-list", path, f"The file is missing in the list of {kept_in}.")
    for kept_in, path in sorted(named - there):
        yield broken("offline-list", path, f"The list of {kept_in} names a file that is not there, or not for it.")
    kept = {path for _, path in there | named}
    for page in sorted(loads.keys() & kept):
        for path in sorted(set(loads[page]) - kept):
            yield broken("offline-list", page, "The page works offline, and loads a file that does not.", path)


def _hashes(listed: Listed, folder: Folder) -> Iterator[Problem]:
    for kept_in, paths in listed.items():
        for path, known in paths.items():
            if path not in folder.sizes or offline.part(path) != kept_in:
                continue
            try:
                true = offline.hashes((folder.root / path).read_bytes(), path)
            except (gzip.BadGzipFile, zlib.error, EOFError) as failure:
                yield broken("offline-hash", path, "The packed file is damaged.", str(failure))
                continue
            if known != true:
                yield broken("offline-hash", path, "The file is not the one that is listed.", true[0])
