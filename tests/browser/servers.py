"""Servers that are not our own preview: nginx with the files that stand beside a site, Python's, one blind to case."""

from __future__ import annotations

import gzip
import os
import re
import shutil
import socket
import subprocess
import sys
import threading
import time
from collections.abc import Iterator
from contextlib import contextmanager
from functools import partial
from http.server import SimpleHTTPRequestHandler, ThreadingHTTPServer
from pathlib import Path
from typing import Any

LOCAL = "127.0.0.1"
_PATIENCE_S = 10
# Around the server block that was built: nothing of the machine's own settings, and every file in one folder.
_OUTER = """
daemon off;
pid nginx.pid;
error_log stderr;
events {{}}
http {{
    access_log off;
    client_body_temp_path body;
    proxy_temp_path proxy;
    fastcgi_temp_path fastcgi;
    uwsgi_temp_path uwsgi;
    scgi_temp_path scgi;
    {more}
    include server.conf;
}}
"""


class Server:
    """A site on this machine, at ``prefix``, until the ``with`` block ends; `stop` and `start` keep the port."""

    def __init__(self, folder: Path, prefix: str = "/") -> None:
        self.folder, self.prefix = folder, prefix
        self.port = _free_port()

    def __enter__(self) -> Server:
        self.start()
        return self

    def __exit__(self, *problem: object) -> None:
        self.stop()

    @property
    def origin(self) -> str:
        return f"http://{LOCAL}:{self.port}"

    def url(self, path: str = "") -> str:
        return f"{self.origin}{self.prefix}{path}"

    def start(self) -> None:
        raise NotImplementedError

    def stop(self) -> None:
        raise NotImplementedError


class Program(Server):
    """A server that is a program of its own. ``command`` gets the port in the place of {port}."""

    def __init__(self, command: list[str], folder: Path, prefix: str = "/", user: str | None = None) -> None:
        super().__init__(folder, prefix)
        self._command = [word.format(port=self.port) for word in command]
        self._user = user
        self._process: subprocess.Popen[str] | None = None

    def start(self) -> None:
        self._process = subprocess.Popen(
            self._command, stdout=subprocess.DEVNULL, stderr=subprocess.PIPE, text=True, user=self._user
        )
        until = time.monotonic() + _PATIENCE_S
        while not _listens(self.port):
            if self._process.poll() is not None or time.monotonic() > until:
                self._process.kill()
                raise RuntimeError(f"{self._command[0]} does not listen:\n{self._process.communicate()[1]}")
            time.sleep(0.02)

    def stop(self) -> None:
        if self._process:
            self._process.terminate()
            self._process.communicate(timeout=_PATIENCE_S)
            self._process = None


class CaseBlind(Server):
    """Serves the lower-case copy of a site, whatever the case of the letters in which it is asked."""

    def start(self) -> None:
        class Handler(SimpleHTTPRequestHandler):
            def translate_path(self, path: str) -> str:
                return super().translate_path(path.lower())

            def log_message(self, *said: object) -> None:
                pass

        self._server: Any = ThreadingHTTPServer((LOCAL, self.port), partial(Handler, directory=str(self.folder)))
        threading.Thread(target=self._server.serve_forever, kwargs={"poll_interval": 0.02}, daemon=True).start()

    def stop(self) -> None:
        if self._server:
            self._server.shutdown()
            self._server.server_close()
            self._server = None


@contextmanager
def nginx(program: Path, work: Path, site: Path, prefix: str, packed: bool = False) -> Iterator[Server]:
    """A nginx for one site with the files that were built beside it.

    The server block is the built one with its four lines to mend mended; what it includes is used to the letter.
    ``work`` is a new folder that any user of this machine may read. ``packed`` puts compressed copies beside the files.
    """
    root = work / "root"
    place = root / prefix.strip("/")
    shutil.copytree(site, place)
    if packed:
        for file in [file for file in place.rglob("*") if file.suffix in (".html", ".css", ".js", ".json")]:
            file.with_name(f"{file.name}.gz").write_bytes(gzip.compress(file.read_bytes(), mtime=0))
    built = site.with_name(f"{site.name}-hosting")
    shutil.copy(built / "nginx-site.conf", work / "site.conf")
    # As somebody with no rights at all, where the tests run as root: nginx needs none.
    user = "nobody" if os.geteuid() == 0 else None
    server = Program([str(program), "-p", str(work), "-c", "nginx.conf", "-e", "stderr"], place, prefix, user)
    mended = {
        "listen": f"{LOCAL}:{server.port}",
        "server_name": LOCAL,
        "root": root,
        "include": work / "site.conf",
    }
    block, count = re.subn(
        r"^( +)(\w+) .*;  # yours$",
        lambda line: f"{line[1]}{line[2]} {mended[line[2]]};",
        (built / "nginx-server.conf").read_text("utf-8"),
        flags=re.MULTILINE,
    )
    assert count == len(mended)
    (work / "server.conf").write_text(block, "utf-8")
    (work / "nginx.conf").write_text(_OUTER.format(more="gzip_static on;" if packed else ""), "utf-8")
    if user:
        shutil.chown(work, user)
    with server:
        yield server


def pythons(folder: Path, site: Path, prefix: str = "/") -> Server:
    """Python's own server: of a site, or of the folder that holds it."""
    command = [sys.executable, "-m", "http.server", "{port}", "--bind", LOCAL, "--directory", str(folder)]
    return Program(command, site, prefix)


def lower_case(site: Path, to: Path) -> Path:
    """A copy of a site on a disk that knows no capitals."""
    for file in site.rglob("*"):
        if file.is_file():
            copy = to / file.relative_to(site).as_posix().lower()
            copy.parent.mkdir(parents=True, exist_ok=True)
            assert not copy.exists(), f"two files differ in the case of their letters only: {file}"
            shutil.copy(file, copy)
    return to


def _free_port() -> int:
    with socket.socket() as asked:
        asked.bind((LOCAL, 0))
        return int(asked.getsockname()[1])


def _listens(port: int) -> bool:
    with socket.socket() as asked:
        return asked.connect_ex((LOCAL, port)) == 0
