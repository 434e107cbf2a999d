"""The lock files fit the project and carry nothing of the machine they were made on."""

from __future__ import annotations

import json
import re
import tomllib

import pytest
from packaging.requirements import Requirement
from packaging.version import Version

LOCKS = ["requirements.lock", "requirements-tests.lock", "requirements-node.lock"]


@pytest.fixture(scope="module")
def project(repo):
    return tomllib.loads((repo / "pyproject.toml").read_text("utf-8"))


def _pins(repo, lock):
    """Name to the set of locked versions; there can be several, each for another Python."""
    pins = {}
    for name, version in re.findall(r"^([a-z0-9-]+)==([^ ]+)", (repo / lock).read_text("utf-8"), flags=re.MULTILINE):
        pins.setdefault(name, set()).add(Version(version))
    return pins


def _name(requirement):
    return re.sub(r"[-_.]+", "-", requirement.name).lower()


@pytest.mark.parametrize("lock", LOCKS)
def test_every_locked_package_has_a_hash(repo, lock):
    text = (repo / lock).read_text("utf-8").replace("\\\n", " ")
    rows = [row for row in text.splitlines() if row and not row.startswith("#")]
    assert rows
    assert [row for row in rows if not re.search(r"==.* --hash=sha256:[0-9a-f]{64}", row)] == []


@pytest.mark.parametrize("lock", [*LOCKS, "tests/package-lock.json"])
def test_no_lock_names_a_host_or_a_path(repo, lock):
    """The public registries' own defaults are meant; a mirror or a folder of one machine is not."""
    text = (repo / lock).read_text("utf-8")
    allowed = r'"url": "https://[^"]*"'  # where a package says how to thank its author
    assert re.findall(r"https?://\S+|file:\S*|--[a-z]*index\S*|--find-links\S*", re.sub(allowed, "", text)) == []


@pytest.mark.parametrize(
    ("lock", "groups"),
    [
        ("requirements.lock", ["install"]),
        ("requirements-tests.lock", ["install", "tests"]),
        ("requirements-node.lock", ["node"]),
    ],
)
def test_a_lock_holds_what_the_project_asks_for(repo, project, lock, groups):
    asked = [entry for group in groups for entry in project["dependency-groups"][group]]
    if lock != "requirements-node.lock":
        asked += project["project"]["dependencies"] + project["build-system"]["requires"]
    pins = _pins(repo, lock)
    for requirement in map(Requirement, asked):
        versions = pins.get(_name(requirement))
        assert versions, f"{requirement} is not in {lock}: make the locks anew (DEVELOPERS.md)"
        assert all(version in requirement.specifier for version in versions), f"{requirement} against {versions}"


def test_tests_run_on_the_very_versions_that_users_get(repo):
    run, tests = _pins(repo, "requirements.lock"), _pins(repo, "requirements-tests.lock")
    assert {name: versions for name, versions in run.items() if tests.get(name) != versions} == {}


def test_npm_packages_are_pinned_exactly_and_checked(repo):
    asked = json.loads((repo / "tests/package.json").read_text("utf-8"))["devDependencies"]
    locked = json.loads((repo / "tests/package-lock.json").read_text("utf-8"))["packages"]
    assert {name: version for name, version in asked.items() if not re.fullmatch(r"\d+\.\d+\.\d+", version)} == {}
    assert {name: locked[f"node_modules/{name}"]["version"] for name in asked} == asked
    assert [name for name, entry in locked.items() if name and "integrity" not in entry] == []
