"""Servers for the browser tests: a finished site on this machine that remembers what it was asked and can misbehave."""

from __future__ import annotations

import contextlib
import socket
import threading
import time
from collections.abc import Iterator, Mapping
from dataclasses import dataclass
from pathlib import Path
from typing import Any

from treadleaf import serving

# No test takes this long; a thread that waits for a release that never comes must still end.
PATIENCE_S = 60
SIGN_IN = b"<!doctype html><title>Welcome</title><p>Please sign in to this network."
# What a host may answer in place of what was asked for.
FAULTY = {"500": (500, b"<!doctype html><title>Error</title><p>Something broke."), "sign-in page": (200, SIGN_IN)}


@dataclass(frozen=True)
class Drip:
    """Sends this many bytes at a time, with a pause after each, and no more than ``pauses`` pauses a file."""

    piece: int
    pause_s: float
    pauses: int


@dataclass(frozen=True)
class Asked:
    """One request as it arrived."""

    method: str
    path: str
    headers: Mapping[str, str]
    body: bytes


class Host:
    """Serves a folder under a prefix until the ``with`` block ends; `stop` and `start` take it off the air between."""

    def __init__(
        self,
        folder: Path,
        prefix: str = "/",
        types: Mapping[str, str] | None = None,
        headers: Mapping[str, str] | None = None,
        unpacks: bool = False,
    ) -> None:
        """``unpacks`` makes it a host that labels .gz as a content encoding, so that the browser unpacks it."""
        self.folder, self.prefix, self.types, self.headers, self.unpacks = folder, prefix, types, headers, unpacks
        self.asked: list[Asked] = []
        self.held: dict[str, tuple[threading.Event, int | float | None]] = {}
        self.faulty: dict[str, str | Drip] = {}
        self._open: set[socket.socket] = set()
        self._server: Any = None
        self._port: int | None = None

    def __enter__(self) -> Host:
        self.start()
        return self

    def __exit__(self, *problem: object) -> None:
        for ending in list(self.held):
            self.release(ending)
        if self._server:
            self.stop()

    @property
    def origin(self) -> str:
        return f"http://{serving.HOST}:{self._port}"

    def url(self, path: str = "") -> str:
        return f"{self.origin}{self.prefix}{path}"

    def paths(self) -> list[str]:
        """What was asked for so far, relative to the site's folder."""
        return [asked.path.removeprefix(self.prefix) for asked in self.asked]

    def note(self, asked: Asked) -> None:
        """Called with each request before it is answered.

        The picture that a browser asks for by itself, now or later, beside a text that names none is left out.
        """
        if asked.path != "/favicon.ico":
            self.asked.append(asked)

    def start(self) -> None:
        """Go on the air, at the same port as before."""
        made = serving.server(self.folder, self._port, self.prefix, self.types, self.headers)
        made.RequestHandlerClass = _remembering(made.RequestHandlerClass, self)
        self._server, self._port = made, made.server_port
        threading.Thread(target=made.serve_forever, kwargs={"poll_interval": 0.02}, daemon=True).start()

    def stop(self) -> None:
        """Go off the air for good: connections that a browser keeps open would else be served on."""
        self._server.shutdown()
        self._server.server_close()
        self._server = None
        self.hang_up()

    def hang_up(self) -> None:
        """Break off whatever is being sent, as when a network goes."""
        for connection in list(self._open):
            with contextlib.suppress(OSError):
                connection.shutdown(socket.SHUT_RDWR)

    def hold(self, ending: str, after: int | float | None = None) -> None:
        """Answer nothing to what ends so until it is released; or that many bytes, or that share, and nothing more."""
        self.held[ending] = (threading.Event(), after)

    def release(self, ending: str) -> None:
        self.held.pop(ending)[0].set()

    @contextlib.contextmanager
    def holding(self, ending: str) -> Iterator[None]:
        self.hold(ending)
        try:
            yield
        finally:
            self.release(ending)


class _Wrapped:
    """A stream with a fault. Of what is written, the head of an answer is in one piece, and so is the file."""

    def __init__(self, stream: Any) -> None:
        self.stream = stream

    def write(self, data: bytes) -> int:
        if data.startswith(b"HTTP/"):
            self.stream.write(data)
        else:
            self.send(data)
        return len(data)

    def send(self, data: bytes) -> None:
        raise NotImplementedError

    def __getattr__(self, name: str) -> Any:
        return getattr(self.stream, name)


class _Trickle(_Wrapped):
    """A stream that stops after some bytes, or after a share of the file, until it is released."""

    def __init__(self, stream: Any, release: threading.Event, after: float) -> None:
        super().__init__(stream)
        self._release, self._after = release, after

    def send(self, data: bytes) -> None:
        at = self._after if isinstance(self._after, int) else int(len(data) * self._after)
        self.stream.write(data[:at])
        self.stream.flush()
        self._release.wait(PATIENCE_S)
        self.stream.write(data[at:])


class _Dripping(_Wrapped):
    """A stream that pauses after each piece, for a while."""

    def __init__(self, stream: Any, drip: Drip) -> None:
        super().__init__(stream)
        self._drip = drip

    def send(self, data: bytes) -> None:
        slow = self._drip.piece * self._drip.pauses
        for start in range(0, min(slow, len(data)), self._drip.piece):
            self.stream.write(data[start : start + self._drip.piece])
            self.stream.flush()
            time.sleep(self._drip.pause_s)
        self.stream.write(data[slow:])


def _remembering(handler: type, host: Host) -> type:
    """The builder's own request handler, with a memory and with the faults that a test asks for."""

    class Remembering(handler):  # type: ignore[misc]
        def setup(self) -> None:
            super().setup()
            host._open.add(self.connection)

        def finish(self) -> None:
            host._open.discard(self.connection)
            super().finish()

        def do_GET(self) -> None:  # noqa: N802  (the base class's name)
            self._note()
            release, after = next((row for end, row in host.held.items() if self.path.endswith(end)), (None, None))
            fault = next((row for start, row in host.faulty.items() if self._inside().startswith(start)), None)
            if release and after is None:
                release.wait(PATIENCE_S)
            elif release:
                self.wfile = _Trickle(self.wfile, release, after)
            if isinstance(fault, Drip):
                self.wfile = _Dripping(self.wfile, fault)
            if isinstance(fault, str):
                self._send_instead(*FAULTY[fault])
            else:
                super().do_GET()
            while isinstance(self.wfile, _Wrapped):
                self.wfile = self.wfile.stream

        def _inside(self) -> str:
            return str(self.path).removeprefix(host.prefix)

        def _send_instead(self, status: int, page: bytes) -> None:
            self.send_response(status)
            self.send_header("Content-Type", "text/html; charset=utf-8")
            self.send_header("Content-Length", str(len(page)))
            self.end_headers()
            self.wfile.write(page)

        def do_POST(self) -> None:  # noqa: N802  (the base class's name)
            self._note()
            self.send_response(204)
            self.end_headers()

        def end_headers(self) -> None:
            if host.unpacks and self.path.endswith(".gz"):
                self.send_header("Content-Encoding", "gzip")
            super().end_headers()

        def _note(self) -> None:
            body = self.rfile.read(int(self.headers.get("Content-Length") or 0))
            host.note(Asked(self.command, self.path, dict(self.headers.items()), body))

    return Remembering
