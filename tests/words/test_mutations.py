"""The gate, tried on a good page that is broken in one place at a time: its rule says so, and no other does."""

from __future__ import annotations

import shutil
import tomllib
from collections import Counter
from datetime import date
from pathlib import Path

import pytest

from treadleaf import known, mkdocs_hooks, pages, places, site
from treadleaf.errors import InputProblems
from treadleaf.gate.facts import Facts
from treadleaf.gate.rules import RULES

HERE = Path(__file__).parent
ROWS = tomllib.loads((HERE / "mutations.toml").read_text("utf-8"))["broken"]
RENDER = mkdocs_hooks.renderer(places.mkdocs_yml(), places.content() / site.LANGUAGE)
FACTS = Facts(
    sources={"smith_2001", "jones_2002", "table_2003", "other_2004"},
    cautions={"arch_changed", "wet_floor", "reduced_feeling", "pain_limit", "hold_on", "lately_hurt"},
    actions={"footprint_widths"},
    components={"footprint-widths", "drill-doses"},
    required_cautions=known.required_cautions() | {"check": ["arch_changed"]},
    dose_sources={"curl": {"other_2004"}},
    component_sources={"footprint-widths": {"table_2003"}},
    table_numbers={"table_2003": {("percent", 45.0)}},
    fixed_sentences=("It is not made to diagnose.",),
    today=date(2026, 6, 1),
)
OWN_ONLY = {"own-picture", "own-name", "own-kind", "own-twice"}


@pytest.fixture
def folder(tmp_path: Path) -> Path:
    return Path(shutil.copytree(HERE / "good", tmp_path / "pages"))


def told(folder: Path) -> list[tuple[str, str, int | None]]:
    problems = ()
    try:
        pages.load(folder, FACTS, RENDER)
    except InputProblems as failure:
        problems = failure.problems
    assert all(problem.mend and problem.what and problem.file for problem in problems)
    return [(Path(problem.file).name, problem.rule, problem.line) for problem in problems]


def test_the_good_pages_pass(folder):
    assert told(folder) == []


@pytest.mark.parametrize("row", ROWS, ids=lambda row: f"{row['rule']}: {row['name']}")
def test_a_broken_page_is_caught_by_its_rule_and_by_no_other(folder, row):
    page = folder / row.get("page", "checks/towel.md")
    text = page.read_text("utf-8")
    assert row["old"] in text
    broken = text.replace(row["old"], row["new"], 1).encode("utf-8").replace("\ufffd".encode(), b"\xff")
    if "place" in row:
        page.unlink()
        page = folder / row["place"]
        page.parent.mkdir()
    page.write_bytes(broken)
    assert told(folder) == [(page.name, row["rule"], row["line"])] * row.get("times", 1)


def test_there_are_forty_at_least_and_each_rule_is_broken_once_at_least():
    counted = Counter(row["rule"] for row in ROWS)
    assert len(ROWS) >= 40
    assert set(counted) == set(RULES) - OWN_ONLY


def test_without_a_day_no_review_has_passed(folder):
    page = folder / "checks" / "towel.md"
    page.write_text(
        page.read_text("utf-8")
        .replace("next_review: 2027", "next_review: 2026", 1)
        .replace("2026-01-01", "2025-01-01", 1)
    )
    assert told(folder) == [("towel.md", "review-passed", 11)]
    pages.load(folder, Facts(**{**vars(FACTS), "today": None}), RENDER)


def test_the_last_day_of_a_review_is_still_in_time(folder):
    page = folder / "checks" / "towel.md"
    page.write_text(page.read_text("utf-8").replace("2027-01-01", "2026-06-01", 1))
    assert told(folder) == []
