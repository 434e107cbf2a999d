"""The same clinic gives the same site, to the byte and to the mode of every file, wherever it is built."""

from __future__ import annotations

import os
import shutil
import subprocess
import sys
from pathlib import Path

import pytest

from treadleaf import site

EPOCH = "1795616000"
# Whatever a machine and a person bring along, the other one has otherwise. Both are away from UTC, by 26 hours.
HERE = {"TZ": "Etc/GMT+12", "LC_ALL": "C", "PYTHONHASHSEED": "1", "COLUMNS": "40"}
THERE = {"TZ": "Pacific/Kiritimati", "LC_ALL": "C.UTF-8", "LANG": "de_DE", "PYTHONHASHSEED": "77", "PYTHONUTF8": "1"}


def contents(folder: Path) -> dict[str, tuple[int, bytes]]:
    """Everything in a folder by its path: its mode, and its bytes if it is a file."""
    return {
        path.relative_to(folder).as_posix(): (path.stat().st_mode, path.read_bytes() if path.is_file() else b"")
        for path in (folder, *folder.rglob("*"))
    }


def built(clinic: Path, out: str, umask: int, **settings: str) -> list[dict[str, tuple[int, bytes]]]:
    """What a program of its own makes, run in the clinic's folder: the site, and the files for its host."""
    variables = {name: value for name, value in os.environ.items() if name not in {*HERE, *THERE, "SOURCE_DATE_EPOCH"}}
    subprocess.run(
        [sys.executable, "-m", "treadleaf", "site", "clinic.toml", "--out", out],
        cwd=clinic.parent,
        env={**variables, **settings},
        check=True,
        capture_output=True,
        **({"umask": umask} if os.name == "posix" else {}),
    )
    return [contents((clinic.parent / name).resolve()) for name in (out, f"{out}-hosting")]


@pytest.fixture
def clinics(tmp_path):
    """The demo clinic's file in two folders, and a page of its own in each, written in another order."""
    names = ["one.md", "two.md"]
    found = []
    for folder, order in (("a", names), ("Deeper/in a folder, çé", names[::-1])):
        place = tmp_path / folder
        shutil.copytree(site.DEMO.parent, place)
        (place / "pages" / "learn").mkdir(parents=True)
        text = (site.places.content() / site.LANGUAGE / "learn" / "numbers.md").read_text("utf-8")
        for name in order:
            (place / "pages" / "learn" / name).write_text(text, "utf-8")
        file = place / "clinic.toml"
        file.write_text(file.read_text("utf-8").replace("schema = 1\n", 'schema = 1\npages = "pages"\n', 1), "utf-8")
        found.append(file)
    return found


def test_two_builds_are_the_same_in_other_folders_zones_locales_and_hands(clinics):
    one = built(clinics[0], "made", 0o022, SOURCE_DATE_EPOCH=EPOCH, **HERE)
    two = built(clinics[1], "../made there", 0o077, SOURCE_DATE_EPOCH=EPOCH, **THERE)
    for here, there in zip(one, two, strict=True):
        assert {name for name in here.keys() | there.keys() if here.get(name) != there.get(name)} == set()
        assert len(here) > 5


def test_a_build_on_another_day_is_the_same_too(clinics):
    """Only what is said of review dates follows the day, and that goes to the terminal."""
    one = built(clinics[0], "made", 0o022, SOURCE_DATE_EPOCH=EPOCH)
    assert built(clinics[0], "made", 0o022, SOURCE_DATE_EPOCH="1780000000") == one
