"""Servers for the browser tests: a finished site on this machine that remembers what it was asked and can misbehave."""

from __future__ import annotations

import contextlib
import socket
import threading
from collections.abc import Iterator, Mapping
from dataclasses import dataclass
from pathlib import Path
from typing import Any

from treadleaf import serving

# No test takes this long; a thread that waits for a release that never comes must still end.
PATIENCE_S = 60


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
        self.held: dict[str, tuple[threading.Event, int | None]] = {}
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
        """Called with each request before it is answered."""
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
        for connection in list(self._open):
            with contextlib.suppress(OSError):
                connection.shutdown(socket.SHUT_RDWR)

    def hold(self, ending: str, after: int | None = None) -> None:
        """Answer nothing to what ends so until it is released; or ``after`` that many bytes, nothing more."""
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


class _Trickle:
    """A stream that stops after some bytes until it is released."""

    def __init__(self, stream: Any, release: threading.Event, after: int) -> None:
        self.stream, self._release, self._left = stream, release, after

    def write(self, data: bytes) -> int:
        self.stream.write(data[: self._left])
        self.stream.flush()
        rest = data[self._left :]
        self._left = max(0, self._left - len(data))
        if rest:
            self._release.wait(PATIENCE_S)
            self.stream.write(rest)
        return len(data)

    def __getattr__(self, name: str) -> Any:
        return getattr(self.stream, name)


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
            if release and after is None:
                release.wait(PATIENCE_S)
            elif release:
                self.wfile = _Trickle(self.wfile, release, after)
            super().do_GET()
            if isinstance(self.wfile, _Trickle):
                self.wfile = self.wfile.stream

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
