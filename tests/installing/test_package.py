"""The built package holds everything, and works in an empty environment far from the checkout."""

from __future__ import annotations

import hashlib
import json
import os
import subprocess
import sys
import tarfile
import venv
import zipfile
from pathlib import Path

import pytest

# Folder of the checkout, and where its files stand in the wheel.
SHIPPED = {
    "calculators": "calculators",
    "build/src/treadleaf": "treadleaf",
    "content": "treadleaf/_bundled/content",
    "site_templates": "treadleaf/_bundled/site_templates",
}


def _run(command, **more):
    answer = subprocess.run(command, check=False, capture_output=True, text=True, encoding="utf-8", **more)
    assert answer.returncode == 0, f"{command}\n{answer.stdout[-2000:]}\n{answer.stderr[-4000:]}"
    return answer.stdout


def _digests(folder: Path) -> dict[str, str]:
    files = (path for path in sorted(folder.rglob("*")) if path.is_file())
    return {path.relative_to(folder).as_posix(): hashlib.sha256(path.read_bytes()).hexdigest() for path in files}


@pytest.fixture(scope="module")
def built(repo, tmp_path_factory):
    """The folder with the source archive, and with the wheel made from that archive and not from the checkout."""
    out = tmp_path_factory.mktemp("dist")
    _run([sys.executable, "-m", "build", "--no-isolation", "--outdir", str(out), str(repo)])
    return out


@pytest.fixture(scope="module")
def wheel(built):
    return next(built.glob("*.whl"))


class Installed:
    """An environment of its own, with `treadleaf` in it."""

    def __init__(self, folder: Path) -> None:
        venv.create(folder, with_pip=True)
        self.scripts = folder / ("Scripts" if os.name == "nt" else "bin")
        self.away = folder / "away"
        self.away.mkdir()
        # As in a person's own terminal: nothing of this test run's surroundings.
        self.variables = {name: value for name, value in os.environ.items() if not name.startswith("PYTHON")}

    def run(self, program: str, *words: str) -> str:
        return _run([str(self.scripts / program), *words], cwd=self.away, env=self.variables)


@pytest.fixture(scope="module")
def installed(repo, wheel, tmp_path_factory):
    environment = Installed(tmp_path_factory.mktemp("empty"))
    # Python compiles for itself what it imports, a small part of all this.
    install = ("install", "-q", "--no-compile")
    environment.run("pip", *install, "--require-hashes", "-r", str(repo / "requirements.lock"))
    environment.run("pip", *install, "--no-deps", str(wheel))
    return environment


def test_the_wheel_holds_every_file_of_the_program_and_the_pages(repo, wheel):
    held = set(zipfile.ZipFile(wheel).namelist())
    expected = {"treadleaf/_bundled/mkdocs.yml"}
    for folder, place in SHIPPED.items():
        files = (path for path in (repo / folder).rglob("*") if path.is_file() and "__pycache__" not in path.parts)
        expected |= {f"{place}/{path.relative_to(repo / folder).as_posix()}" for path in files}
    assert {name for name in held if ".dist-info/" not in name} == expected


def test_the_wheel_says_its_licences(wheel):
    archive = zipfile.ZipFile(wheel)
    licences = {name.split(".dist-info/")[1] for name in archive.namelist() if "/licenses/" in name}
    lists = {f"licenses/build/src/treadleaf/gate/data/{name}.LICENSE.txt" for name in ("spelling", "syllables")}
    assert licences == {"licenses/LICENSE", "licenses/content/LICENSE", *lists}
    metadata = next(archive.read(name).decode() for name in archive.namelist() if name.endswith("/METADATA"))
    assert "License-Expression: Apache-2.0 AND CC-BY-4.0 AND BSD-2-Clause AND BSD-3-Clause AND MIT" in metadata


def test_the_source_archive_can_set_itself_up_and_test_itself(built):
    with tarfile.open(next(built.glob("*.tar.gz"))) as archive:
        held = {name.partition("/")[2] for name in archive.getnames()}
    expected = {"build/bootstrap.py", "build/__main__.py", "tests/__main__.py", "tests/package-lock.json", "mkdocs.yml"}
    expected |= {"requirements.lock", "requirements-tests.lock", "requirements-node.lock", "pyproject.toml", "LICENSE"}
    assert expected <= held
    assert [name for name in held if "node_modules" in name or name.startswith((".venv", "site/"))] == []


def test_what_the_package_asks_for_is_what_the_lock_gives(installed):
    installed.run("pip", "check")


def test_a_clinic_is_started_checked_and_built_with_the_wheel_alone(repo, installed, demo_site):
    """The site is the checkout's to the byte: same pages, same templates, same calculators."""
    where = "import treadleaf, treadleaf.site as s; print(treadleaf.__file__); print(s.DEMO)"
    package, demo = installed.run("python", "-c", where).splitlines()
    assert not Path(package).is_relative_to(repo)

    installed.run("treadleaf", "new", "mine")
    assert (installed.away / "mine" / "clinic.toml").is_file()
    assert json.loads(installed.run("treadleaf", "check", demo, "--json"))["ok"] is True
    assert json.loads(installed.run("treadleaf", "site", demo, "--out", "made", "--json"))["ok"] is True
    assert _digests(installed.away / "made") == _digests(demo_site)
    # And so is what stands beside it for the web host.
    assert _digests(installed.away / "made-hosting") == _digests(demo_site.parent / "site-hosting")


@pytest.mark.slow
def test_pip_install_of_the_folder_works_in_an_empty_environment(repo, tmp_path):
    """The very command of a newcomer: no lock, no isolation switched off. Needs the network."""
    environment = Installed(tmp_path / "empty")
    environment.run("pip", "install", "-q", str(repo))
    environment.run("treadleaf", "new", "mine")
    demo = environment.run("python", "-c", "import treadleaf.site as s; print(s.DEMO)").strip()
    environment.run("treadleaf", "site", demo, "--out", "made")
    assert (environment.away / "made" / "index.html").is_file()
