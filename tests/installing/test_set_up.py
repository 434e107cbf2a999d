"""`python3 build` and `python3 tests` bring `.venv` to what the locks say, once, and say what is missing."""

from __future__ import annotations

import importlib.util
import json
import os
import subprocess
import sys
import threading

import pytest


def _module(path, name):
    spec = importlib.util.spec_from_file_location(name, path)
    module = importlib.util.module_from_spec(spec)
    spec.loader.exec_module(module)
    return module


@pytest.fixture
def bootstrap(repo, tmp_path, monkeypatch):
    """The set-up, pointed at an empty checkout, with its steps written down instead of run."""
    module = _module(repo / "build" / "bootstrap.py", "bootstrap_under_test")
    venv = tmp_path / ".venv"
    for name, value in {
        "ROOT": tmp_path,
        "VENV": venv,
        "STATE": venv / "treadleaf.json",
        "SCRIPTS": venv / "bin",
        "PYTHON": venv / "bin" / "python",
    }.items():
        monkeypatch.setattr(module, name, value)
    for lock in (module.RUN_LOCK, module.TESTS_LOCK, module.NODE_LOCK):
        (tmp_path / lock).write_text("something==1 --hash=sha256:00\n")
    (tmp_path / "pyproject.toml").write_text("[project]\n")
    module.steps = []

    def write_down(title, command, total, counts, **more):
        module.steps.append(" ".join(command[-3:]).replace(str(tmp_path), "."))
        if "venv" in command:
            module.PYTHON.parent.mkdir(parents=True, exist_ok=True)
            module.PYTHON.touch()
            module.STATE.unlink(missing_ok=True)

    monkeypatch.setattr(module, "run_step", write_down)
    monkeypatch.setattr(module, "node_is_there", lambda oldest: True)
    return module


MAKE = "venv --clear ./.venv"
RUN = "--require-hashes -r requirements.lock"
TESTS = "--require-hashes -r requirements-tests.lock"
NODE = "--require-hashes -r requirements-node.lock"
OURS = "--no-build-isolation -e ."


def steps_of(bootstrap, **options):
    bootstrap.steps.clear()
    bootstrap.set_up(**options)
    return list(bootstrap.steps)


def test_the_first_run_does_every_step_and_the_second_none(bootstrap):
    assert steps_of(bootstrap) == [MAKE, RUN, OURS]
    assert steps_of(bootstrap) == []


def test_tests_add_only_what_they_need_beyond_a_run(bootstrap):
    steps_of(bootstrap)
    assert steps_of(bootstrap, tests=True) == [TESTS]
    assert steps_of(bootstrap) == []


def test_node_comes_from_its_own_lock_only_where_the_machine_has_none(bootstrap, monkeypatch):
    monkeypatch.setattr(bootstrap, "node_is_there", lambda oldest: False)
    assert steps_of(bootstrap) == [MAKE, RUN, NODE, OURS]
    assert bootstrap.set_up().path.split(os.pathsep)[0] == str(bootstrap.SCRIPTS)


def test_a_changed_lock_makes_everything_anew(bootstrap):
    steps_of(bootstrap)
    (bootstrap.ROOT / bootstrap.RUN_LOCK).write_text("something==2 --hash=sha256:00\n")
    assert steps_of(bootstrap) == [MAKE, RUN, OURS]


def test_a_changed_pyproject_installs_only_our_own_package_again(bootstrap):
    steps_of(bootstrap)
    (bootstrap.ROOT / "pyproject.toml").write_text('[project]\nname = "other"\n')
    assert steps_of(bootstrap) == [OURS]


@pytest.mark.parametrize("what", ["python", "folder"])
def test_another_python_or_another_place_makes_everything_anew(bootstrap, what):
    steps_of(bootstrap)
    state = json.loads(bootstrap.STATE.read_text())
    bootstrap.STATE.write_text(json.dumps({**state, what: "another"}))
    assert steps_of(bootstrap) == [MAKE, RUN, OURS]


def test_a_step_broken_off_is_done_again_from_a_clean_start(bootstrap, monkeypatch):
    whole = bootstrap.run_step

    def breaks_at_the_lock(title, command, *rest, **more):
        if "-r" in command:
            raise SystemExit("no network")
        whole(title, command, *rest, **more)

    monkeypatch.setattr(bootstrap, "run_step", breaks_at_the_lock)
    with pytest.raises(SystemExit, match="no network"):
        bootstrap.set_up()
    monkeypatch.setattr(bootstrap, "run_step", whole)
    assert steps_of(bootstrap) == [MAKE, RUN, OURS]


@pytest.mark.parametrize("spoilt", ["", "{", "[]", '"text"'])
def test_a_spoilt_state_file_counts_as_none(bootstrap, spoilt):
    steps_of(bootstrap)
    bootstrap.STATE.write_text(spoilt)
    assert steps_of(bootstrap) == [MAKE, RUN, OURS]


def test_a_python_without_ensurepip_is_told_the_package(bootstrap, monkeypatch):
    there = importlib.util.find_spec
    monkeypatch.setattr(importlib.util, "find_spec", lambda name: None if name == "ensurepip" else there(name))
    with pytest.raises(SystemExit) as stopped:
        bootstrap.set_up()
    version = "{}.{}".format(*sys.version_info[:2])
    assert f"apt-get install python{version}-venv" in str(stopped.value.code)
    assert bootstrap.steps == []


def test_an_old_python_gets_a_sentence(bootstrap, monkeypatch):
    monkeypatch.setattr(sys, "version_info", (3, 9, 2))
    with pytest.raises(SystemExit, match=r"needs Python 3\.11 or later"):
        bootstrap.set_up()


def test_a_second_set_up_waits_for_the_first(bootstrap, capsys):
    with bootstrap._alone():
        other = threading.Thread(target=bootstrap.set_up)
        other.start()
        other.join(timeout=0.5)
        assert other.is_alive()
        assert bootstrap.steps == []
    other.join(timeout=30)
    assert bootstrap.steps == [MAKE, RUN, OURS]
    assert "waiting" in capsys.readouterr().err


@pytest.mark.skipif(os.name == "nt", reason="the stand-ins are shell scripts")
@pytest.mark.parametrize(
    ("version", "with_npm", "enough"),
    [
        ("v20.19.0", True, True),
        ("v24.1.0", True, True),
        ("v20.18.3", True, False),
        ("v9.99.0", True, False),
        ("v22.0.0", False, False),
        ("nonsense", True, False),
    ],
)
def test_a_machine_has_node_when_it_is_new_enough_and_npm_is_there(repo, tmp_path, version, with_npm, enough):
    for name in ("node", "npm") if with_npm else ("node",):
        (tmp_path / name).write_text(f"#!/bin/sh\necho {version}\n")
        (tmp_path / name).chmod(0o755)
    module = _module(repo / "build" / "bootstrap.py", "bootstrap_for_node")
    assert module.node_is_there((20, 19), path=str(tmp_path)) is enough


def test_a_failing_step_ends_with_the_programs_last_words(repo, capsys):
    module = _module(repo / "build" / "bootstrap.py", "bootstrap_for_steps")
    failing = [sys.executable, "-c", "print('disk is full'); raise SystemExit(3)"]
    with pytest.raises(SystemExit, match="disk is full") as stopped:
        module.run_step("Installing", failing, 1, module.no_parts)
    assert "run the same command again" in str(stopped.value.code)
    assert "Installing ..." in capsys.readouterr().err


TOGETHER = ["-n", "auto", "--maxprocesses", "4", "--dist", "loadfile", "--no-loadscope-reorder"]
DEFAULT = [*TOGETHER, "-m", "not (bench or fuzz or slow)"]


@pytest.mark.parametrize(
    ("typed", "for_pytest"),
    [
        ("", DEFAULT),
        ("--all", []),
        ("bench", ["-m", "bench"]),
        ("bench fuzz", ["-m", "bench or fuzz"]),
        ("fuzz", [*TOGETHER, "-m", "fuzz"]),
        ("--all fuzz", [*TOGETHER, "-m", "fuzz"]),
        ("installing", [*DEFAULT, "{tests}/installing"]),
        ("--all installing making", ["{tests}/installing", "{tests}/making"]),
        ("making -k wet", [*DEFAULT, "{tests}/making", "-k", "wet"]),
        ("-x installing", [*DEFAULT, "-x", "installing"]),
        ("making -n0 --pdb", [*DEFAULT, "{tests}/making", "-n0", "--pdb"]),
    ],
)
def test_words_after_python3_tests_choose_what_runs(repo, typed, for_pytest):
    module = _module(repo / "tests" / "__main__.py", "tests_main")
    expected = [word.replace("{tests}", str(repo / "tests")) for word in for_pytest]
    assert module.pytest_arguments(typed.split()) == expected


def test_a_word_that_names_no_tests_is_refused_with_those_there_are(repo, capsys):
    module = _module(repo / "tests" / "__main__.py", "tests_main")
    with pytest.raises(SystemExit) as stopped:
        module.pytest_arguments(["mathz"])
    assert stopped.value.code == 2
    assert "installing" in capsys.readouterr().err


@pytest.mark.slow
@pytest.mark.skipif(os.name == "nt", reason="ends a process group the POSIX way")
def test_a_fresh_copy_sets_itself_up_also_after_being_killed_half_way(repo, tmp_path):
    """Needs the network or pip's cache. The command is `--help`: the site has its own tests."""
    import shutil
    import signal
    import time

    names = subprocess.run(
        ["git", "ls-files", "-z", "--cached", "--others", "--exclude-standard"],
        cwd=repo,
        check=True,
        stdout=subprocess.PIPE,
        text=True,
    ).stdout
    for name in filter(None, names.split("\0")):
        if (repo / name).is_file():
            (tmp_path / name).parent.mkdir(parents=True, exist_ok=True)
            shutil.copy2(repo / name, tmp_path / name)
    command = [sys.executable, str(tmp_path / "build"), "--help"]
    state = tmp_path / ".venv" / "treadleaf.json"

    first = subprocess.Popen(command, stdout=subprocess.DEVNULL, stderr=subprocess.DEVNULL, start_new_session=True)
    deadline = time.monotonic() + 120
    while not (state.is_file() and "unfinished" in state.read_text()) and time.monotonic() < deadline:
        time.sleep(0.05)
    time.sleep(2)
    os.killpg(first.pid, signal.SIGKILL)
    first.wait()
    assert "unfinished" in json.loads(state.read_text())

    second = subprocess.run(command, check=False, capture_output=True, text=True)
    assert second.returncode == 0, second.stderr
    assert "Usage:" in second.stdout
    assert "unfinished" in second.stderr

    third = subprocess.run(command, check=False, capture_output=True, text=True)
    assert (third.returncode, third.stderr) == (0, "")
