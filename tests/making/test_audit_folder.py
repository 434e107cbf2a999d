"""The last look at folders that are no sites or hold what no site holds, at sizes, at HTML; and the command."""

from __future__ import annotations

import json
import os
import shutil
import stat
import sys

import pytest
from click.testing import CliRunner
from making.planting import changed

from treadleaf import marker
from treadleaf.audit import expected as expectations
from treadleaf.audit import html_checker, last_look, published, weight
from treadleaf.audit.html_checker import Checker
from treadleaf.audit.rules import RULES
from treadleaf.cli import main
from treadleaf.errors import InputProblems

pytestmark = pytest.mark.usefixtures("quick_looks")


@pytest.fixture(scope="module")
def clean(demo_site, tmp_path_factory):
    """A copy of the demo site; each test that plants something puts back what was there."""
    return shutil.copytree(demo_site, tmp_path_factory.mktemp("audit") / "site")


@pytest.fixture
def copy(demo_site, tmp_path):
    """A copy of the demo site for one test to spoil, its files shared with the demo where they are large."""
    folder = tmp_path / "site"
    shutil.copytree(demo_site, folder, ignore=shutil.ignore_patterns("runtime"))
    (folder / "runtime").mkdir()
    for file in (demo_site / "runtime").iterdir():
        os.link(file, folder / "runtime" / file.name)
    return folder


def run(*words):
    return CliRunner().invoke(main, ["audit", *map(str, words)], prog_name="treadleaf")


def faults(site):
    return {(fault.rule, fault.file) for fault in last_look.audit(site, None).faults}


# --- the folder ----------------------------------------------------------------------------------------------------


def mark(folder):
    return folder / marker.NAME


def edited(folder, **changes):
    facts = json.loads(mark(folder).read_text("utf-8"))
    mark(folder).write_text(json.dumps({**facts, **changes}), "utf-8")


def without(folder, key):
    facts = json.loads(mark(folder).read_text("utf-8"))
    del facts["site"][key]
    mark(folder).write_text(json.dumps(facts), "utf-8")


MARKS = {
    "no mark": (lambda folder: mark(folder).unlink(), "no mark"),
    "empty": (lambda folder: mark(folder).write_text(""), "empty or damaged"),
    "cut off": (lambda folder: os.truncate(mark(folder), 500), "empty or damaged"),
    "a list": (lambda folder: mark(folder).write_text("[1]"), "empty or damaged"),
    "very deep": (lambda folder: mark(folder).write_text("[" * 200_000), "empty or damaged"),
    "not UTF-8": (lambda folder: mark(folder).write_bytes(b'{"a": "\xff"}'), "empty or damaged"),
    "a folder": (lambda folder: (mark(folder).unlink(), mark(folder).mkdir()), "empty or damaged"),
    "no schema": (lambda folder: edited(folder, schema="3"), "empty or damaged"),
    "older": (lambda folder: edited(folder, schema=2), "another version"),
    "newer": (lambda folder: edited(folder, schema=4), "another version"),
    "no pages": (lambda folder: without(folder, "pages"), "empty or damaged"),
    "no cautions": (lambda folder: edited(folder, site={"purpose": "x"}), "empty or damaged"),
    "a caution without words": (lambda folder: without(folder, "cautions"), "empty or damaged"),
    "no address": (lambda folder: edited(folder, address=None), "empty or damaged"),
    "no site": (lambda folder: edited(folder, site=None), "not a site"),
    "words for a site": (lambda folder: edited(folder, site="x"), "empty or damaged"),
}


@pytest.mark.parametrize(("spoil", "what"), MARKS.values(), ids=MARKS)
def test_without_a_sound_mark_the_site_is_to_be_built_again(copy, spoil, what):
    spoil(copy)
    answer = run(copy, "--json")
    (problem,) = json.loads(answer.stdout)["problems"]
    assert (answer.exit_code, what in problem["what"], problem["mend"]) == (1, True, marker.AGAIN)


def test_an_empty_folder_is_no_site(tmp_path):
    answer = run(tmp_path)
    assert (answer.exit_code, answer.stdout) == (1, "")
    assert "no finished site" in answer.stderr
    assert "treadleaf site CLINIC.toml" in answer.stderr


def test_a_site_of_the_version_before_is_still_replaced(copy):
    edited(copy, schema=2)
    assert marker.strangers(copy) == []


def test_a_folder_named_like_a_file_is_found(copy):
    (copy / "index.html").unlink()
    (copy / "index.html").mkdir()
    assert {("folder", "index.html"), ("files", "index.html")} <= faults(copy)


@pytest.mark.parametrize("target", ["404.html", "nowhere.html", "styles", "."])
def test_a_link_is_found_and_not_followed(copy, target):
    (copy / "more").symlink_to(copy / target)
    assert faults(copy) == {("folder", "more")}


@pytest.mark.skipif(not hasattr(os, "mkfifo"), reason="this system has no pipes in folders")
def test_what_is_no_plain_file_is_found(copy):
    os.mkfifo(copy / "pipe.txt")
    assert faults(copy) == {("folder", "pipe.txt")}


def test_a_text_that_is_not_utf8_is_found(copy):
    (copy / "index.html").write_bytes(b"\xff\xfe<html>")
    assert ("folder", "index.html") in faults(copy)


def test_a_name_that_no_browser_could_ask_for_is_told(copy):
    try:
        (copy / os.fsdecode(b"caf\xe9.txt")).touch()
    except OSError:
        pytest.skip("this system keeps such names out")
    answer = run(copy)
    assert answer.exit_code == 1
    assert "on no list" in answer.stdout


def test_two_names_that_differ_only_in_capitals_are_found(copy):
    (copy / "Notices.txt").touch()
    if (copy / "NOTICES.txt").stat().st_size == 0:
        pytest.skip("on this system both are one file")
    assert "names" in {rule for rule, _ in faults(copy)}


# --- sizes ---------------------------------------------------------------------------------------------------------


def test_a_file_that_hosts_refuse_is_found(clean, monkeypatch):
    largest = max(file.stat().st_size for file in clean.rglob("*") if file.is_file())
    monkeypatch.setattr(published, "LARGEST_BYTES", largest)
    assert faults(clean) == set()
    monkeypatch.setattr(published, "LARGEST_BYTES", largest - 1)
    assert {rule for rule, _ in faults(clean)} == {"too-large"}


@pytest.mark.parametrize("budget", weight.BUDGETS)
def test_what_is_too_heavy_is_found(clean, monkeypatch, budget):
    heaviest = max(one.bytes - one.clinics for one in last_look.audit(clean, None).weights if one.budget == budget)
    tight = weight.Budget("x", heaviest - 1, 1, "x")
    monkeypatch.setattr(weight, "BUDGETS", {**weight.BUDGETS, budget: tight})
    assert {rule for rule, _ in faults(clean)} == {"runtime-weight" if budget == "runtime" else "weight"}


def test_a_page_weighs_what_its_styles_and_scripts_load_too(clean):
    def weighed():
        return {one.name: one for one in last_look.audit(clean, None).weights}["index.html"]

    before = weighed()
    with (
        changed(clean / "styles" / "site.css", lambda text: f"{text}p{{background:url(../styles/icon.svg)}}"),
        changed(clean / "scripts" / "site.js", lambda text: f'{text}\nimport {{\n  a,\n}} from "./worker.js";\n'),
    ):
        assert weighed().files > before.files + 1
        assert weighed().bytes > before.bytes


# --- the HTML checker ----------------------------------------------------------------------------------------------


@pytest.fixture
def stand_in(tmp_path):
    """A program in the checker's place that gives one answer and leaves with one status."""

    def made(answer, status=0):
        program = tmp_path / "vnu"
        told = answer if isinstance(answer, str) else json.dumps({"messages": answer})
        program.write_text(f"#!{sys.executable}\nimport sys\nprint({told!r})\nsys.exit({status})\n")
        program.chmod(program.stat().st_mode | stat.S_IXUSR)
        return Checker((str(program),))

    return made


def message(site, said, extract="<p>", kind="error"):
    return {"type": kind, "url": (site / "index.html").as_uri(), "lastLine": 7, "message": said, "extract": extract}


def test_what_the_checker_says_is_told_with_its_line(clean, stand_in):
    told = [message(clean, "Stray end tag."), message(clean, "Trailing slash.", kind="info")]
    found = {str(fault).splitlines()[0] for fault in last_look.audit(clean, stand_in(told)).faults}
    assert found == {"index.html:7: Stray end tag. [html]"}


def test_a_message_is_passed_over_only_where_its_reason_holds(clean, stand_in):
    said = "Attribute “autocomplete” is only allowed when the input type is “color”."
    box, line = '<input type="radio" name="a" autocomplete="off"', '<input type="submit" autocomplete="off">'
    assert last_look.audit(clean, stand_in([message(clean, said, box)])).faults == ()
    assert len(last_look.audit(clean, stand_in([message(clean, said, line)])).faults) == 2  # for pages, for styles
    assert all(row.because for row in html_checker._PASSED_OVER)


@pytest.mark.parametrize("answer", ["Unable to access jarfile", "{}", "[1]", "", '{"messages": [1]}'])
def test_a_checker_that_does_not_answer_is_never_taken_for_good(clean, stand_in, answer):
    with pytest.raises(InputProblems, match="did not run"):
        last_look.audit(clean, stand_in(answer, 1))


def test_a_checker_that_is_not_there_is_never_taken_for_good(clean, tmp_path):
    with pytest.raises(InputProblems, match="did not run"):
        last_look.audit(clean, Checker((str(tmp_path / "nothing"),)))


def test_without_a_checker_the_rule_counts_as_not_checked(clean, monkeypatch):
    monkeypatch.setenv("PATH", "")
    answer = run(clean)
    assert answer.exit_code == 0
    assert f"-  {RULES['html'].says}\n            not checked here: " in answer.stdout
    assert answer.stdout.endswith("\nNothing is wrong in what was checked.\n")
    rows = {row["key"]: row for row in json.loads(run(clean, "--json").stdout)["rules"]}
    assert rows["html"]["unchecked"]
    assert not any(row["unchecked"] for key, row in rows.items() if key != "html")


def test_a_jar_without_java_is_told(clean, monkeypatch, tmp_path):
    (tmp_path / "vnu.jar").touch()
    monkeypatch.setenv("PATH", "")
    answer = run(clean, "--vnu", tmp_path / "vnu.jar")
    assert answer.exit_code == 1
    assert "no java" in answer.stderr


# --- the command ---------------------------------------------------------------------------------------------------


def test_the_command_shows_the_rules_then_the_sizes_then_the_faults(clean):
    with changed(clean / "index.html", lambda html: html.replace("</main>", '<img src="a.png"></main>')):
        answer = run(clean)
        told = json.loads(run(clean, "--json").stdout)
    assert answer.exit_code == 1
    assert f"   1 fault  {RULES['alt'].says}" in answer.stdout
    order = [answer.stdout.index(part) for part in (RULES["html"].says, "What a visitor loads", "[alt]", "3 faults.")]
    assert order == sorted(order)
    assert (told["schema"], told["ok"]) == (1, False)
    assert {row["key"]: row["faults"] for row in told["rules"]}["links"] == 1
    assert {problem["rule"] for problem in told["problems"]} == {"alt", "links", "offline-hash"}
    assert all(problem["file"] and problem["what"] and problem["mend"] for problem in told["problems"])


def test_the_command_weighs_every_page(clean):
    told = json.loads(run(clean, "--json").stdout)
    assert told["ok"] is True
    assert {row["name"] for row in told["weights"]} == {*expectations.of(clean).pages, weight.RUNTIME}
    assert {row["budget"] for row in told["weights"]} == set(told["budgets"])
