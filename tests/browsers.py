"""Where the browsers are that the tests drive, nginx and a font, and how to get those that are missing.

`python tests/browsers.py` looks for each engine and installs what is missing: with apt-get where this is Debian or
Ubuntu and the user is root, else Chromium by Playwright's own download. An engine that stays missing is named with
what to install; its tests are then skipped by name.
"""

from __future__ import annotations

import os
import shutil
import subprocess
import sys
from collections.abc import Iterator, Mapping
from dataclasses import dataclass
from pathlib import Path


@dataclass(frozen=True)
class Engine:
    """One browser engine, or a web server: the programs that are wanted of it and the packages that bring them."""

    name: str
    # Each entry is one thing that must be there; its names are tried in order.
    programs: tuple[tuple[str, ...], ...]
    # By the ID in /etc/os-release. A system that is not listed has no package of its own for it.
    packages: Mapping[str, tuple[str, ...]]
    by_playwright: bool = False
    # No program but letters: the files of one font, any of which will do.
    fonts: tuple[str, ...] = ()


ENGINES = {
    engine.name: engine
    for engine in (
        Engine(
            "chromium",
            (("chromium", "chromium-browser", "google-chrome"),),
            {"debian": ("chromium",)},
            by_playwright=True,
        ),
        Engine("firefox", (("firefox-esr", "firefox"),), {"debian": ("firefox-esr",)}),
        Engine(
            "webkit",
            (("WebKitWebDriver",), ("Xvfb",)),
            {"debian": ("webkit2gtk-driver", "xvfb"), "ubuntu": ("webkit2gtk-driver", "xvfb")},
        ),
        # No engine, but found and installed in the same way: gives one program another clock.
        Engine("clock", (("faketime",),), {"debian": ("faketime",), "ubuntu": ("faketime",)}),
        # Nor is this one: it runs the HTML checker.
        Engine("java", (("java",),), {"debian": ("default-jre-headless",), "ubuntu": ("default-jre-headless",)}),
        # Where only root looks for programs, nobody else would find it.
        Engine(
            "nginx",
            (("nginx", "/usr/sbin/nginx"),),
            {"debian": ("nginx-light",), "ubuntu": ("nginx-light",)},
        ),
        # The letters that most readers print with, or others of the same widths: how much a leaf holds hangs on them.
        Engine(
            "letters",
            (),
            {"debian": ("fonts-liberation",), "ubuntu": ("fonts-liberation",)},
            fonts=("Arial.ttf", "arial.ttf", "LiberationSans-Regular.ttf", "Arimo-Regular.ttf"),
        ),
    )
}
# Where Linux, macOS and Windows keep the fonts of all users.
FONTS = ("/usr/share/fonts", "/usr/local/share/fonts", "/System/Library/Fonts", "/Library/Fonts", "C:/Windows/Fonts")


def find(name: str) -> Path | None:
    """The program that starts an engine (for WebKit: its driver), or None where any part of it is missing."""
    engine = ENGINES[name]
    if engine.fonts:
        return next((file for file in _font_files() if file.name in engine.fonts), None)
    found = [next(filter(None, map(shutil.which, names)), None) for names in engine.programs]
    if all(found):
        return Path(str(found[0]))
    return _from_playwright() if engine.by_playwright else None


def how_to_get(name: str) -> str:
    """One sentence for a person whose machine lacks an engine."""
    engine = ENGINES[name]
    wanted = " and ".join(" or ".join(names) for names in filter(None, (*engine.programs, engine.fonts)))
    download = f", or run: {sys.executable} -m playwright install chromium" if engine.by_playwright else ""
    return f"no {wanted} on this machine. On Debian: apt-get install {' '.join(engine.packages['debian'])}{download}"


def install_missing() -> None:
    """Look for every engine, install what can be installed, and say in one line each what is there and what is not."""
    missing = [name for name in ENGINES if find(name) is None]
    packages = [package for name in missing for package in ENGINES[name].packages.get(_system(), ())]
    if packages and _may_use_apt():
        _apt(packages)
    if "chromium" in missing and find("chromium") is None:
        print("Chromium: downloading Playwright's own ...", flush=True)
        subprocess.run([sys.executable, "-m", "playwright", "install", "chromium"], check=False)
    for name in missing:
        path = find(name)
        print(f"{name}: {path}" if path else f"{name}: {how_to_get(name)}. Its tests are skipped.", flush=True)


def _font_files() -> Iterator[Path]:
    for folder in FONTS:
        yield from Path(folder).rglob("*.ttf")


def _apt(packages: list[str]) -> None:
    print(f"Browsers and servers for the tests: apt-get install {' '.join(packages)} ...", flush=True)
    # In this run level the system does not start a server because it was installed.
    quiet = {**os.environ, "DEBIAN_FRONTEND": "noninteractive", "RUNLEVEL": "1"}
    for command in (["update"], ["install", "--yes", "--no-install-recommends", *packages]):
        answer = subprocess.run(
            ["apt-get", "-qq", *command],
            env=quiet,
            check=False,
            text=True,
            stdout=subprocess.PIPE,
            stderr=subprocess.STDOUT,
        )
        if answer.returncode:
            print(
                f"  apt-get {command[0]} failed:\n" + "\n".join("    " + row for row in answer.stdout.splitlines()[-8:])
            )


def _may_use_apt() -> bool:
    return os.name == "posix" and os.geteuid() == 0 and shutil.which("apt-get") is not None


def _system() -> str:
    """The ID of the Linux system, such as "debian"; empty elsewhere."""
    try:
        rows = Path("/etc/os-release").read_text(encoding="utf-8").splitlines()
    except OSError:
        return ""
    return next((row.partition("=")[2].strip('"') for row in rows if row.startswith("ID=")), "")


def _from_playwright() -> Path | None:
    from playwright.sync_api import sync_playwright  # only here: starting it costs half a second

    with sync_playwright() as playwright:
        path = Path(playwright.chromium.executable_path)
    return path if path.is_file() else None


if __name__ == "__main__":
    install_missing()
