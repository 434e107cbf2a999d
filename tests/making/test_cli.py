"""The command line: what each verb answers, where it prints it, and its exit status."""

from __future__ import annotations

import errno
import json
import os
import subprocess
import sys
import tempfile
import tomllib

import pytest
from click.testing import CliRunner

from treadleaf import schema, starter
from treadleaf.cli import main

SEVERAL_MISTAKES = """\
schema = 1
nmae = "Marrow Lane"
strapline = "Feet"
colour = "green"
telephone = "01632 960000"
site_address = "https://www.example.org/"
[emergency]
number = "112"
name = "ambulance"
"""


@pytest.fixture
def run():
    return lambda *words: CliRunner().invoke(main, [str(word) for word in words], prog_name="treadleaf")


@pytest.fixture
def wrong_file(tmp_path):
    path = tmp_path / "clinic.toml"
    path.write_text(SEVERAL_MISTAKES)
    return path


@pytest.mark.parametrize(
    "words",
    [[], ["frobnicate"], ["check"], ["site", "clinic.toml"], ["serve", "no-such-folder"], ["serve", "--port", "0"]],
)
def test_a_wrong_command_ends_with_2(run, words):
    answer = run(*words)
    assert answer.exit_code == 2
    assert "Usage: treadleaf" in answer.stderr


@pytest.mark.parametrize("words", [["--help"], ["-h"], *([verb, "--help"] for verb in main.commands)])
def test_help_ends_with_0(run, words):
    answer = run(*words)
    assert answer.exit_code == 0
    assert answer.stdout.startswith("Usage: treadleaf")
    assert "..." not in answer.stdout.replace("COMMAND [ARGS]...", "")  # no verb's first sentence is cut off


def test_new_writes_a_starter_and_says_what_to_type_next(run, tmp_path):
    file = tmp_path / "my clinic" / "clinic.toml"
    answer = run("new", file.parent)
    assert answer.exit_code == 0
    assert file.read_text("utf-8") == starter.text()
    assert (file.parent / schema.FILE_NAME).read_text("utf-8") == schema.text()
    assert tomllib.loads(file.read_text("utf-8"))["schema"] == 1
    assert f'treadleaf check "{file}"' in answer.stdout


def test_new_leaves_a_clinic_file_alone_that_is_there(run, wrong_file):
    answer = run("new", wrong_file.parent)
    assert answer.exit_code == 1
    assert str(wrong_file) in answer.stderr
    assert wrong_file.read_text() == SEVERAL_MISTAKES


def test_a_fresh_starter_is_not_taken_for_a_finished_clinic(run, tmp_path):
    """Nobody's telephone or emergency number is guessed."""
    run("new", tmp_path)
    answer = run("check", tmp_path / "clinic.toml", "--json")
    assert answer.exit_code == 1
    keys = {problem["key"] for problem in json.loads(answer.stdout)["problems"]}
    assert {"telephone", "emergency.number"} <= keys


def test_check_shows_every_mistake_at_once_with_line_and_mend(run, wrong_file):
    answer = run("check", wrong_file)
    assert (answer.exit_code, answer.stdout) == (1, "")
    assert f"{wrong_file}:2: nmae: " in answer.stderr
    assert f"{wrong_file}:4: colour: " in answer.stderr
    assert ": name: " in answer.stderr
    assert answer.stderr.count("mend:") == 3
    assert answer.stderr.endswith("3 problems.\n")


def test_check_answers_another_program_with_one_json_object(run, wrong_file):
    answer = run("check", wrong_file, "--json")
    told = json.loads(answer.stdout)
    assert (answer.exit_code, answer.stderr, told["schema"], told["ok"]) == (1, "", 1, False)
    assert [(problem["line"], problem["key"]) for problem in told["problems"]] == [
        (1, "name"),
        (2, "nmae"),
        (4, "colour"),
    ]
    assert all(
        problem["what"] and problem["mend"] and problem["file"] == str(wrong_file) for problem in told["problems"]
    )


def test_check_finds_nothing_wrong_with_the_demo(run):
    from treadleaf import site

    assert run("check", site.DEMO).stdout == f"{site.DEMO}: nothing is wrong.\n"
    answer = run("check", site.DEMO, "--json")
    assert (answer.exit_code, json.loads(answer.stdout)) == (0, {"schema": 1, "ok": True, "warnings": []})


def test_check_shows_what_to_think_over_and_ends_with_0(run, tmp_path):
    from treadleaf import site

    file = tmp_path / "clinic.toml"
    text = site.DEMO.read_text("utf-8").replace('logo = "marrowby.svg"\n', "")
    file.write_text(f'{text}"index.html" = "We cure it."\n')
    answer = run("check", file)
    assert (answer.exit_code, answer.stdout) == (0, f"{file}: nothing is wrong.\n")
    line = len(file.read_text().splitlines())
    assert f"{file}:{line}: notes.index.html: " in answer.stderr
    assert answer.stderr.endswith("1 thing to think over; nothing stops.\n")
    told = json.loads(run("check", file, "--json").stdout)
    assert told["ok"] is True
    assert [(one["key"], one["line"], one["found"]) for one in told["warnings"]] == [("notes.index.html", line, "cure")]


def test_schema_prints_or_writes_the_same_text(run, tmp_path):
    printed = run("schema")
    assert printed.exit_code == 0
    assert json.loads(printed.stdout)["type"] == "object"
    assert run("schema", "--out", tmp_path / "made.json").exit_code == 0
    assert (tmp_path / "made.json").read_text("utf-8") == printed.stdout
    assert run("schema", "--out", tmp_path / "no" / "folder.json").exit_code == 1


@pytest.mark.parametrize("verb", ["check", "site"])
def test_a_clinic_file_that_is_not_there_is_the_users_input(run, tmp_path, verb):
    out = ["--out", tmp_path / "site"] if verb == "site" else []
    answer = run(verb, tmp_path / "clinic.toml", *out)
    assert answer.exit_code == 1
    assert str(tmp_path / "clinic.toml") in answer.stderr


def test_site_keeps_progress_apart_from_its_answer(run, tmp_path):
    from treadleaf import site

    out = tmp_path / "made"
    answer = run("site", site.DEMO, "--out", out, "--json")
    assert answer.exit_code == 0
    told = json.loads(answer.stdout)
    files = [path for path in out.rglob("*") if path.is_file()]
    assert (told["ok"], told["made"]["out"], told["made"]["files"]) == (True, str(out), len(files))
    assert told["made"]["bytes"] == sum(path.stat().st_size for path in files)
    assert "reading the clinic file" in answer.stderr


def test_site_leaves_a_folder_alone_that_it_did_not_make(run, tmp_path):
    from treadleaf import site

    (tmp_path / "thesis.txt").write_text("ten years of work")
    answer = run("site", site.DEMO, "--out", tmp_path)
    assert (answer.exit_code, answer.stdout) == (1, "")
    assert [path.name for path in tmp_path.iterdir()] == ["thesis.txt"]


def test_serve_wants_a_finished_site(run, tmp_path):
    answer = run("serve", tmp_path)
    assert answer.exit_code == 1
    assert "treadleaf site clinic.toml --out" in answer.stderr


def test_a_place_below_a_file_is_refused_in_words(run, tmp_path):
    from treadleaf import site

    (tmp_path / "file").touch()
    for answer in (run("site", site.DEMO, "--out", tmp_path / "file" / "out"), run("new", tmp_path / "file" / "new")):
        assert (answer.exit_code, answer.stdout) == (1, "")
        assert "The system refused" in answer.stderr
        assert "mend:" in answer.stderr
        assert answer.stderr.endswith("1 problem.\n")


@pytest.mark.parametrize("number", [errno.EACCES, errno.EROFS, errno.ENOSPC])
def test_a_folder_in_which_nothing_may_be_made_is_named(run, tmp_path, monkeypatch, number):
    from treadleaf import site

    def refused(**_):
        raise OSError(number, os.strerror(number), str(tmp_path / ".out-1234"))

    monkeypatch.setattr(tempfile, "mkdtemp", refused)
    answer = run("site", site.DEMO, "--out", tmp_path / "out", "--json")
    (problem,) = json.loads(answer.stdout)["problems"]
    assert (answer.exit_code, problem["file"]) == (1, str(tmp_path))
    assert os.strerror(number) in problem["what"]


def test_a_cache_that_cannot_be_written_is_named_with_its_variable(run, tmp_path, monkeypatch):
    from treadleaf import site

    (tmp_path / "cache").touch()
    monkeypatch.setenv("TREADLEAF_CACHE", str(tmp_path / "cache"))
    answer = run("site", site.DEMO, "--out", tmp_path / "out", "--json")
    (problem,) = json.loads(answer.stdout)["problems"]
    assert (answer.exit_code, problem["file"]) == (1, str(tmp_path / "cache"))
    assert "TREADLEAF_CACHE" in problem["mend"]
    assert [path.name for path in tmp_path.iterdir()] == ["cache"], "nothing half-made is left behind"


@pytest.mark.parametrize("verb", ["check", "site"])
def test_a_name_that_no_file_can_have_is_refused_in_words(run, tmp_path, verb):
    words = [tmp_path / f"{'a' * 300}.toml", *(["--out", tmp_path / "out"] if verb == "site" else []), "--json"]
    answer = run(verb, *words)
    (problem,) = json.loads(answer.stdout)["problems"]
    assert (answer.exit_code, problem["mend"]) == (1, "Choose a shorter name.")


def typed(*words):
    """Run in a terminal that knows the letters of western Europe only."""
    command = [sys.executable, "-m", "treadleaf", *map(str, words)]
    return subprocess.run(
        command,
        check=False,
        capture_output=True,
        env={**os.environ, "PYTHONIOENCODING": "cp1252", "PYTHONUTF8": "0"},
    )


def test_no_answer_is_lost_over_a_letter_that_the_terminal_does_not_know(tmp_path):
    folder = tmp_path / "膝と足 é"
    made = typed("new", folder)
    assert (made.returncode, b"Traceback" in made.stderr) == (0, False), made.stderr
    assert b"\\u819d\\u3068\\u8db3 \xe9" in made.stdout
    told = typed("check", folder / "clinic.toml")
    assert (told.returncode, b"Traceback" in told.stderr) == (1, False), told.stderr
    for words in (("check", folder / "clinic.toml"), ("site", folder / "clinic.toml", "--out", folder / "out")):
        answer = typed(*words, "--json")
        assert answer.returncode == 1, answer.stderr
        files = {problem["file"] for problem in json.loads(answer.stdout.decode("ascii"))["problems"]}
        assert files == {str(folder / "clinic.toml")}
