"""`python3 tests`: set up what the tests need, then run them, several files at a time.

python3 tests                 everything except what is marked slow, bench or fuzz
python3 tests --all           everything, one test at a time
python3 tests bench | fuzz    what carries that mark
python3 tests maths words     only these folders
python3 tests making -k cli   what follows the first option goes to pytest as it is
python3 tests -n0 -s          one test at a time, with what it prints
"""

from __future__ import annotations

import hashlib
import os
import shutil
import sys
from pathlib import Path

HERE = Path(__file__).resolve().parent
sys.path.insert(0, str(HERE.parent / "build"))

import bootstrap  # noqa: E402  (the line above makes it findable)

# What eslint asks for; see "engines" in package.json.
OLDEST_NODE = (20, 19)
MARKS = ("bench", "fuzz", "slow")
# A process for each core, four at most. A file stays in one of them, so what its tests share is made once; files are
# taken in their order, which begins with the long ones of tests/browser. What a person adds comes later, and wins.
TOGETHER = ["-n", "auto", "--maxprocesses", "4", "--dist", "loadfile", "--no-loadscope-reorder"]
NODE_MODULES = HERE / "node_modules"


def main(arguments: list[str]) -> int:
    """Set up, then run pytest; the exit status is pytest's own, or 2 for a word that means nothing here."""
    if arguments[:1] in (["-h"], ["--help"]):
        print(__doc__)
        return 0
    choice = pytest_arguments(arguments)
    surroundings = bootstrap.set_up(tests=True, oldest_node=OLDEST_NODE)
    install_node_modules(surroundings)
    surroundings.run([str(HERE / "browsers.py")])
    os.chdir(str(HERE.parent))
    return surroundings.run(["-m", "pytest", *choice])


def pytest_arguments(arguments: list[str]) -> list[str]:
    """Turn folder names and marks into what pytest understands. Only words before the first option are looked at."""
    first_option = next(
        (at for at, word in enumerate(arguments) if word.startswith("-") and word != "--all"), len(arguments)
    )
    words, rest = arguments[:first_option], arguments[first_option:]
    everything = "--all" in words
    marks = [word for word in words if word in MARKS]
    places = [place(word) for word in words if word != "--all" and word not in MARKS]
    # Times are measured with nothing beside them.
    together = [] if "bench" in marks or (everything and not marks) else TOGETHER
    if marks:
        chosen = ["-m", " or ".join(marks)]
    elif everything:
        chosen = []
    else:
        chosen = ["-m", "not ({})".format(" or ".join(MARKS))]
    return together + chosen + places + rest


def place(word: str) -> str:
    """The folder of tests that a word names; a path, or a path with ::name, stays as it is."""
    if (HERE / word).is_dir():
        return str(HERE / word)
    if Path(word.partition("::")[0]).exists():
        return word
    folders = sorted(path.name for path in HERE.iterdir() if any(path.glob("test_*.py")))
    print(
        "No tests are called {!r}. Choose from: {}; or --all, bench, fuzz.".format(word, ", ".join(folders)),
        file=sys.stderr,
    )
    raise SystemExit(2)


def install_node_modules(surroundings: bootstrap.Surroundings) -> None:
    """`npm ci` in tests/, unless node_modules is already what the lock file asks for. The stamp is written last."""
    stamp = NODE_MODULES / "treadleaf.stamp"
    wanted = hashlib.sha256((HERE / "package-lock.json").read_bytes()).hexdigest()
    if stamp.is_file() and stamp.read_text(encoding="utf-8") == wanted:
        return
    npm = shutil.which("npm", path=surroundings.path) or "npm"
    # No package here needs its install script, so none gets to run one.
    command = [npm, "ci", "--prefix", str(HERE), "--ignore-scripts", "--no-audit", "--no-fund", "--no-update-notifier"]
    bootstrap.run_step(
        "Installing the npm packages of the tests", command, 1, bootstrap.no_parts, PATH=surroundings.path
    )
    stamp.write_text(wanted, encoding="utf-8")


if __name__ == "__main__":
    sys.exit(main(sys.argv[1:]))
