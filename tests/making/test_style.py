"""The code keeps the project's own rules of style and types."""

from __future__ import annotations

import shutil
import subprocess
import sys
from pathlib import Path

import pytest

# Longer than the house style's 300 lines only with a reason, written here.
LONG_FILES: dict[str, str] = {}
LONGEST = 300
OWN_CODE = ("build", "calculators", "site_templates", "tests")
CODE_SUFFIXES = {".py", ".js", ".mjs", ".css", ".html"}


def _passes(command: list[str], cwd: Path) -> None:
    answer = subprocess.run(command, cwd=cwd, check=False, text=True, stdout=subprocess.PIPE, stderr=subprocess.STDOUT)
    assert answer.returncode == 0, f"{' '.join(command)}\n{answer.stdout[-6000:]}"


def _node_program(repo: Path, package: str, script: str) -> list[str]:
    node, path = shutil.which("node"), repo / "tests" / "node_modules" / package / script
    if not node or not path.is_file():
        pytest.skip(f"{package} is missing: `python3 tests` installs it (npm ci in tests/)")
    return [node, str(path)]


def _own_code(repo: Path) -> list[Path]:
    paths = (path for folder in OWN_CODE for path in (repo / folder).rglob("*") if path.suffix in CODE_SUFFIXES)
    return [path for path in paths if not {"node_modules", "__pycache__"} & set(path.parts)]


def test_ruff_finds_nothing(repo):
    _passes([sys.executable, "-m", "ruff", "check", "."], repo)


def test_every_type_is_right_in_the_calculators_and_the_builder(repo):
    _passes([sys.executable, "-m", "mypy"], repo)


def test_every_type_is_right_in_the_set_up(repo):
    _passes([sys.executable, "-m", "mypy", "build/bootstrap.py", "tests/browsers.py"], repo)


@pytest.mark.parametrize("side", ["page", "worker", "node"])
def test_every_type_is_right_in_the_javascript(repo, side):
    _passes([*_node_program(repo, "typescript", "lib/tsc.js"), "-p", f"tests/types/{side}.json"], repo)


def test_eslint_finds_nothing(repo):
    folders = ["site_templates", "build/src", "tests"]
    program = _node_program(repo, "eslint", "bin/eslint.js")
    _passes(
        [*program, "-c", "tests/eslint.config.js", "--no-error-on-unmatched-pattern", "--max-warnings=0", *folders],
        repo,
    )


def test_the_set_up_is_understood_by_an_old_python(repo):
    """Otherwise an old Python would show a syntax error where a sentence is due."""
    import ast

    for name in ("build/__main__.py", "build/bootstrap.py", "tests/__main__.py"):
        ast.parse((repo / name).read_text(encoding="utf-8"), name, feature_version=(3, 8))


def test_no_file_is_longer_than_a_reader_can_hold(repo):
    lengths = {path.relative_to(repo).as_posix(): len(path.read_text("utf-8").splitlines()) for path in _own_code(repo)}
    assert {name: lines for name, lines in lengths.items() if lines > LONGEST and name not in LONG_FILES} == {}
