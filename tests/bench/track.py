"""What benchmarks in a browser share: a host that hands on the times that pages post, and bare starts of browsers."""

from __future__ import annotations

import contextlib
import io
import json
import os
import queue
import shutil
import subprocess
import zipfile
from collections.abc import Iterator
from pathlib import Path
from typing import Any

import pytest
from browser import sites, webkit_visit
from browser.hosts import Asked, Host

import calculators
from treadleaf import pyodide_package

HERE = Path(__file__).parent


class Timekeeper(Host):
    """A host that hands on the times that its pages post."""

    def __init__(self, folder: Path) -> None:
        super().__init__(folder)
        self.times: queue.Queue[dict[str, Any]] = queue.Queue()

    def note(self, asked: Asked) -> None:
        super().note(asked)
        if asked.method == "POST":
            self.times.put(json.loads(asked.body))


def laid_out(site: Path, folder: Path) -> Path:
    """The site with the benchmarks' pages more, and the untouched package of Pyodide beside it, in `stock`."""
    made = sites.copy(site, folder / "site")
    for file in HERE.glob("*.html"):
        shutil.copy(file, made)
    stock = made / "stock"
    with pyodide_package.unpacked(pyodide_package.pin(), lambda text: None) as package:
        shutil.copytree(package, stock)
    for file in (*HERE.glob("*.mjs"), HERE / "one_picture.py"):
        shutil.copy(file, stock)
    (stock / "calculators.zip").write_bytes(sources())
    return made


def sources() -> bytes:
    """The calculators as they are written, in a zip."""
    package = Path(calculators.__path__[0])
    made = io.BytesIO()
    with zipfile.ZipFile(made, "w", zipfile.ZIP_DEFLATED) as archive:
        for file in sorted(package.rglob("*")):
            if file.suffix in (".py", ".toml"):
                archive.write(file, file.relative_to(package.parent).as_posix())
    return made.getvalue()


@contextlib.contextmanager
def chromium_at(program: Path, home: Path, url: str) -> Iterator[None]:
    yield from _running(
        [
            program,
            "--headless=new",
            "--no-sandbox",
            "--no-first-run",
            "--disable-background-networking",
            "--disable-component-update",
            "--disable-sync",
            f"--user-data-dir={home}",
            url,
        ]
    )


@contextlib.contextmanager
def firefox_at(program: Path, home: Path, url: str) -> Iterator[None]:
    yield from _running([program, "--headless", "--no-remote", "--profile", home, url], HOME=str(home))


@contextlib.contextmanager
def webkit_at(program: Path, home: Path, url: str) -> Iterator[None]:
    browser = webkit_visit.mini_browser()
    if browser is None:
        pytest.skip("webkit has a driver here but no MiniBrowser")
    places = {f"XDG_{kind}_HOME": str(home / kind.lower()) for kind in ("DATA", "CACHE", "CONFIG")}
    with webkit_visit.screen() as surroundings:
        yield from _running([browser, url], **surroundings, **places)


def _running(command: list[Any], **more: str) -> Iterator[None]:
    with subprocess.Popen(
        [str(word) for word in command],
        env={**os.environ, **more},
        stdout=subprocess.DEVNULL,
        stderr=subprocess.DEVNULL,
        start_new_session=True,
    ) as program:
        try:
            yield
        finally:
            # The browser's own processes end with it: they share a session that nothing else is in.
            with contextlib.suppress(ProcessLookupError):
                os.killpg(program.pid, 15)
            try:
                program.wait(10)
            except subprocess.TimeoutExpired:
                os.killpg(program.pid, 9)


ENGINES = {"chromium": chromium_at, "firefox": firefox_at, "webkit": webkit_at}
