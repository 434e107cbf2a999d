"""Make `.venv` and put exactly the locked packages into it, once.

Needs nothing but a Python with `venv`. It is written so that Python 3.8 still understands it, because an old Python
must get a sentence, not a traceback. A step that is done is not done again: `.venv/treadleaf.json` holds what was
installed, and is written after each step. A step that was broken off leaves its mark there, and the next run makes
`.venv` anew, from what pip and npm keep of their downloads.
"""

from __future__ import annotations

import contextlib
import hashlib
import importlib.util
import json
import os
import platform
import re
import shutil
import signal
import subprocess
import sys
import time
from collections import deque
from collections.abc import Callable, Iterator, Sequence
from pathlib import Path

ROOT = Path(__file__).resolve().parent.parent
VENV = ROOT / ".venv"
STATE = VENV / "treadleaf.json"
SCRIPTS = VENV / ("Scripts" if os.name == "nt" else "bin")
PYTHON = SCRIPTS / ("python.exe" if os.name == "nt" else "python")

RUN_LOCK = "requirements.lock"
TESTS_LOCK = "requirements-tests.lock"
NODE_LOCK = "requirements-node.lock"

OLDEST_PYTHON = (3, 11)
OLDEST_NODE = (18, 0)


class Surroundings:
    """What a finished set-up hands out: the way to run a program inside it."""

    def __init__(self, path: str) -> None:
        self.path = path

    def run(self, arguments: Sequence[str], answer: int | None = None, **variables: str) -> int:
        """Run `.venv`'s Python, with the right node and npm found first; returns its exit status.

        `answer` is where its stdout goes: nowhere else than here, or `subprocess.DEVNULL`. Whoever stops this process
        stops that one too: no server is left behind.
        """
        surroundings = {**os.environ, "PATH": self.path, **variables}
        with subprocess.Popen([str(PYTHON), *arguments], stdout=answer, env=surroundings) as child:
            signal.signal(signal.SIGTERM, lambda *_: child.terminate())
            try:
                return child.wait()
            except KeyboardInterrupt:  # Ctrl-C reaches both at once: let the child finish in its own way
                try:
                    return child.wait(timeout=5)
                except subprocess.TimeoutExpired:
                    child.terminate()
                    return child.wait()


def set_up(tests: bool = False, oldest_node: tuple[int, int] = OLDEST_NODE) -> Surroundings:
    """Bring `.venv` to the state that the lock files describe.

    `tests` adds what the tests need. Ends the program with a sentence and exit status 1 where something is missing
    that it cannot get itself.
    """
    _require_python()
    own_node = node_is_there(oldest_node)
    locks = [RUN_LOCK] + [TESTS_LOCK] * tests + [NODE_LOCK] * (not own_node)
    with _alone():
        state = _read_state()
        if _must_be_made(state, locks):
            _require_venv_module()
            state = _make_venv()
        for lock in locks:
            if lock not in state:
                _install_lock(lock, state)
        if state.get("pyproject.toml") != _digest("pyproject.toml"):
            _install_checkout(state)
    found = os.environ.get("PATH", os.defpath)
    return Surroundings(found if own_node else str(SCRIPTS) + os.pathsep + found)


def node_is_there(oldest: tuple[int, int], path: str | None = None) -> bool:
    """Whether the machine itself has npm and a node that is new enough."""
    node, npm = shutil.which("node", path=path), shutil.which("npm", path=path)
    if not node or not npm:
        return False
    try:
        answer = subprocess.run([node, "--version"], stdout=subprocess.PIPE, check=False, timeout=60)
    except (OSError, subprocess.TimeoutExpired):
        return False
    version = re.match(rb"v(\d+)\.(\d+)", answer.stdout)
    return version is not None and (int(version.group(1)), int(version.group(2))) >= oldest


def say(text: str) -> None:
    """One line for the person who waits. On stderr: stdout belongs to the command that follows."""
    print(text, file=sys.stderr, flush=True)


def run_step(title: str, command: Sequence[str], total: int, counts: Callable[[str], str | None], **more: str) -> None:
    """Run one long step under a title, with a count that moves where a person watches.

    `counts` gets each line of output and returns the name of the part just begun, or None. `total` is how many parts
    there are. When the command fails, its last lines are shown and the program ends with status 1.
    """
    began = time.monotonic()
    say(title + " ...")
    watched = sys.stderr.isatty()
    last: deque[str] = deque(maxlen=25)
    seen = 0
    try:
        process = subprocess.Popen(
            command, stdout=subprocess.PIPE, stderr=subprocess.STDOUT, cwd=str(ROOT), env={**os.environ, **more}
        )
    except OSError as error:
        raise SystemExit("  cannot run {}: {}".format(command[0], error)) from error
    with process:
        try:
            for raw in process.stdout or ():
                line = raw.decode("utf-8", "replace").rstrip()
                last.append(line)
                part = counts(line)
                if part:
                    seen += 1
                    if watched:
                        print(
                            "\r\033[K  {} of {}  {}".format(min(seen, total), total, part[:60]),
                            end="",
                            file=sys.stderr,
                            flush=True,
                        )
        except KeyboardInterrupt:
            process.terminate()
            raise SystemExit("\n  Stopped. Run the same command again to go on.") from None
    if watched and seen:
        print("\r\033[K", end="", file=sys.stderr)
    if process.returncode:
        raise SystemExit(
            "\n".join("    " + line for line in last)
            + "\n  This step failed; above are the program's last words. Once that is mended, run the same command "
            "again: it goes on with what pip and npm have kept of their downloads."
        )
    say("  done in {:.0f} s".format(time.monotonic() - began))


def no_parts(line: str) -> None:
    """For a step without parts to count."""


def _require_python() -> None:
    if sys.version_info < OLDEST_PYTHON:
        raise SystemExit(
            "Treadleaf needs Python {}.{} or later; this is Python {} ({}). Install a newer one, or name it: "
            "python3.13 {}".format(*OLDEST_PYTHON, platform.python_version(), sys.executable, sys.argv[0])
        )


def _require_venv_module() -> None:
    missing = [name for name in ("venv", "ensurepip") if importlib.util.find_spec(name) is None]
    if missing:
        package = "python{}.{}-venv".format(*sys.version_info[:2])
        raise SystemExit(
            "This Python ({}) lacks its module {}, which makes .venv. On Debian and Ubuntu it is in the package {} "
            "(or python3-venv): apt-get install {}. Then run the same command again.".format(
                sys.executable, " and ".join(missing), package, package
            )
        )


def _must_be_made(state: dict[str, str], locks: list[str]) -> bool:
    """Whether `.venv` has to be made from nothing. A changed lock is a reason: packages it no longer names must go."""
    expected = {**_identity(), **{lock: _digest(lock) for lock in locks if lock in state}}
    return (
        any(state.get(key) != value for key, value in expected.items()) or "unfinished" in state or not PYTHON.exists()
    )


def _identity() -> dict[str, str]:
    """What a `.venv` is tied to: the Python that made it and the folder it stands in (its scripts name both)."""
    return {"python": "{} {}".format(platform.python_implementation(), platform.python_version()), "folder": str(VENV)}


def _make_venv() -> dict[str, str]:
    if VENV.exists():
        say("The old .venv is unfinished, for another Python or for other locked packages: it is made anew.")
    state = _identity()
    # The Python below any virtual environment: `--clear` may be about to delete the one that runs this.
    base = getattr(sys, "_base_executable", None) or sys.executable
    title = "Making .venv with Python {}".format(platform.python_version())
    run_step(title, [base, "-m", "venv", "--clear", str(VENV)], 1, no_parts)
    _write_state(state)
    return state


def _install_lock(lock: str, state: dict[str, str]) -> None:
    packages = re.findall(r"^([a-z0-9.-]+)==", (ROOT / lock).read_text(encoding="utf-8"), flags=re.MULTILINE)
    _write_state({**state, "unfinished": lock})
    begins = re.compile(r"(?:Collecting|Requirement already satisfied:|Ignoring) ([A-Za-z0-9._-]+)")

    def part(line: str) -> str | None:
        match = begins.match(line)
        return match.group(1) if match else None

    _pip(
        "Installing the {} packages of {}".format(len(packages), lock),
        len(packages),
        part,
        "--require-hashes",
        "-r",
        lock,
    )
    state[lock] = _digest(lock)
    _write_state(state)


def _install_checkout(state: dict[str, str]) -> None:
    _pip("Installing treadleaf itself, from this folder", 1, no_parts, "--no-deps", "--no-build-isolation", "-e", ".")
    state["pyproject.toml"] = _digest("pyproject.toml")
    _write_state(state)


def _pip(title: str, total: int, counts: Callable[[str], str | None], *arguments: str) -> None:
    command = [
        str(PYTHON),
        "-m",
        "pip",
        "install",
        "--disable-pip-version-check",
        "--no-input",
        "--progress-bar",
        "off",
    ]
    run_step(title, [*command, *arguments], total, counts, PYTHONUNBUFFERED="1")


def _digest(name: str) -> str:
    return hashlib.sha256((ROOT / name).read_bytes()).hexdigest()


def _read_state() -> dict[str, str]:
    try:
        state = json.loads(STATE.read_text(encoding="utf-8"))
    except (OSError, ValueError):
        return {}
    return state if isinstance(state, dict) else {}


def _write_state(state: dict[str, str]) -> None:
    """Write beside, then swap: a state that is there is whole."""
    beside = STATE.with_suffix(".new")
    beside.write_text(json.dumps(state, indent=1) + "\n", encoding="utf-8")
    beside.replace(STATE)


@contextlib.contextmanager
def _alone() -> Iterator[None]:
    """Hold the set-up for this process: two pips in one `.venv` spoil it. The system lets go when the process ends."""
    with (ROOT / ".venv.lock").open("a+b") as file:
        if sys.platform == "win32":
            import msvcrt

            while True:
                try:
                    msvcrt.locking(file.fileno(), msvcrt.LK_LOCK, 1)
                    break
                except OSError:
                    say("Another set-up is running in this folder: waiting for it ...")
        else:
            import fcntl

            try:
                fcntl.flock(file, fcntl.LOCK_EX | fcntl.LOCK_NB)
            except OSError:
                say("Another set-up is running in this folder: waiting for it ...")
                fcntl.flock(file, fcntl.LOCK_EX)
        yield
