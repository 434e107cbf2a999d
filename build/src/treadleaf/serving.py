"""Serves a finished site on this machine, for a look at it and for the tests."""

from __future__ import annotations

import errno
import posixpath
import sys
from collections.abc import Callable, Mapping
from http import HTTPStatus
from http.server import BaseHTTPRequestHandler, ThreadingHTTPServer
from pathlib import Path
from typing import Any
from urllib.parse import quote, unquote, urlsplit

from treadleaf.errors import InputProblems, Problem

HOST = "127.0.0.1"
_PORTS = range(8000, 8020)
_LOST = "404.html"

# Ours, and not the machine's: on Windows the system's table is the registry, where any program may have changed it.
TYPES = {
    ".css": "text/css; charset=utf-8",
    ".gz": "application/gzip",
    ".html": "text/html; charset=utf-8",
    ".ico": "image/x-icon",
    ".jpeg": "image/jpeg",
    ".jpg": "image/jpeg",
    ".js": "text/javascript; charset=utf-8",
    ".json": "application/json",
    ".mjs": "text/javascript; charset=utf-8",
    ".pdf": "application/pdf",
    ".png": "image/png",
    ".svg": "image/svg+xml",
    ".txt": "text/plain; charset=utf-8",
    ".wasm": "application/wasm",
    ".webmanifest": "application/manifest+json",
    ".webp": "image/webp",
    ".woff2": "font/woff2",
    ".xml": "application/xml",
    ".zip": "application/zip",
}
_UNKNOWN = "application/octet-stream"
_HEADERS = {"Cache-Control": "no-cache", "X-Content-Type-Options": "nosniff"}


def serve(folder: Path, port: int | None, say: Callable[[str], None], prefix: str = "/") -> None:
    """Serves a folder until the user stops it.

    Without a port the first free one from 8000 is taken. Raises ``InputProblems`` for a port that is taken or that the
    user may not open.
    """
    with _listening(folder, port, prefix) as running:
        say(f"The site is at http://{HOST}:{running.server_port}{quote(unquote(prefix))}  (stop with Ctrl+C)")
        try:
            running.serve_forever()
        except KeyboardInterrupt:
            say("Stopped")


def server(
    folder: Path,
    port: int | None,
    prefix: str = "/",
    types: Mapping[str, str] | None = None,
    headers: Mapping[str, str] | None = None,
) -> ThreadingHTTPServer:
    """A server of a folder that is listening and waits for ``serve_forever``; the caller closes it.

    ``port`` is any free one when None. ``prefix`` is the path under which the site appears, with a slash at both ends,
    quoted as in an address or not.
    ``types`` and ``headers`` add to what is sent, or replace it: the tests imitate a badly set-up host with them.
    """
    if not (prefix.startswith("/") and prefix.endswith("/")):
        raise ValueError(f"a prefix has a slash at both ends, and {prefix!r} has not")
    sent_types = {**TYPES, **(types or {})}
    sent_headers = {**_HEADERS, **(headers or {})}
    root = folder.resolve()

    class Handler(_Handler):
        site = root
        under = unquote(prefix)
        media_types = sent_types
        extra = sent_headers

    return _Server((HOST, port or 0), Handler)


def _listening(folder: Path, port: int | None, prefix: str) -> ThreadingHTTPServer:
    failure = OSError()
    for candidate in _PORTS if port is None else (port,):
        try:
            return server(folder, candidate, prefix)
        except OSError as refused:
            failure = refused
    found = f"{_PORTS[0]} to {_PORTS[-1]}" if port is None else str(port)
    if isinstance(failure, PermissionError):
        what, mend = "you may not listen on this port", "name a higher one, such as --port 8123"
    elif failure.errno == errno.EADDRINUSE:
        what, mend = "the port is taken by another program", "name another, such as --port 8123"
    else:
        raise failure
    raise InputProblems([Problem(what, key="--port", found=found, mend=mend)])


class _Server(ThreadingHTTPServer):
    daemon_threads = True

    def handle_error(self, request: Any, client_address: Any) -> None:
        """Says nothing of a browser that hangs up, which is no error."""
        if not isinstance(sys.exc_info()[1], ConnectionError):
            super().handle_error(request, client_address)


class _Handler(BaseHTTPRequestHandler):
    site: Path
    under: str
    media_types: Mapping[str, str]
    extra: Mapping[str, str]
    # One request a connection: a kept connection would go on being served after the server is closed.
    protocol_version = "HTTP/1.0"
    server_version = "treadleaf"
    sys_version = ""

    def do_GET(self) -> None:
        self._answer()

    def do_HEAD(self) -> None:
        self._answer()

    def log_message(self, format: str, *args: object) -> None:  # noqa: A002  (the name is the base class's)
        """Nothing: a line for each file would bury what the builder says."""

    def _answer(self) -> None:
        path = unquote(urlsplit(self.path).path)
        if path != self.under and path in ("/", self.under.removesuffix("/")):
            self._redirect(self.under)
            return
        file = self._file(path)
        if file is not None and file.is_dir() and path.endswith("/"):
            file /= "index.html"
        elif file is not None and file.is_dir() and (file / "index.html").is_file():
            self._redirect(f"{self.under}{file.relative_to(self.site).as_posix()}/")
            return
        if file is not None and file.is_file():
            self._send(HTTPStatus.OK, file)
        else:
            self._send(HTTPStatus.NOT_FOUND, self.site / _LOST)

    def _file(self, path: str) -> Path | None:
        """The file or folder that a path means, or None for one outside the site and for one that cannot be."""
        if not path.startswith(self.under) or "\0" in path or "\\" in path:
            return None
        inside = posixpath.normpath("/" + path.removeprefix(self.under)).lstrip("/")
        try:
            file = (self.site / inside).resolve()
            return file if file.is_relative_to(self.site) and file.exists() else None
        except OSError:  # longer than any name may be, say
            return None

    def _redirect(self, place: str) -> None:
        """To a path as people write it: it is quoted here, and nowhere else."""
        self.send_response(HTTPStatus.FOUND)
        self.send_header("Location", quote(place))
        self.send_header("Content-Length", "0")
        self.end_headers()

    def _send(self, status: HTTPStatus, file: Path) -> None:
        data = file.read_bytes() if file.is_file() else b""
        self.send_response(status)
        for name, value in {"Content-Type": self._type(file), **self.extra}.items():
            self.send_header(name, value)
        self.send_header("Content-Length", str(len(data)))
        self.end_headers()
        if self.command != "HEAD":
            self.wfile.write(data)

    def _type(self, file: Path) -> str:
        """By the longest ending that the table knows, so that a table may speak of .wasm.gz."""
        name = file.name.lower()
        known = [ending for ending in self.media_types if name.endswith(ending)]
        return self.media_types[max(known, key=len)] if known else _UNKNOWN
