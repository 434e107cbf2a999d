"""The three demo clinics' sites, looked over by every rule, the Nu Html Checker among them."""

from __future__ import annotations

import json
import shutil

import pytest
from click.testing import CliRunner

from treadleaf import site
from treadleaf.cli import main

CLINICS = {path.parent.name: path for path in site.DEMO.parent.rglob("clinic.toml")}


@pytest.mark.parametrize("clinic", CLINICS)
def test_no_rule_is_broken_in_a_demo_clinics_site(html_checker, tmp_path, clinic):
    site.make(CLINICS[clinic], tmp_path / "site", lambda text: None)
    answer = CliRunner().invoke(main, ["audit", str(tmp_path / "site"), "--vnu", str(html_checker), "--json"])
    told = json.loads(answer.stdout)
    assert (answer.exit_code, told["ok"], told["problems"]) == (0, True, [])
    assert [row["key"] for row in told["rules"] if row["unchecked"]] == []


def test_the_checker_finds_what_is_not_valid(html_checker, demo_site, tmp_path):
    """Otherwise the test above could pass because the checker looks at nothing."""
    made = shutil.copytree(demo_site, tmp_path / "site")
    page, style = made / "index.html", made / "styles" / "site.css"
    page.write_text(page.read_text("utf-8").replace("</main>", "<p><dl></dl></p></main>"), "utf-8")
    style.write_text("p { colour: red }", "utf-8")
    answer = CliRunner().invoke(main, ["audit", str(made), "--vnu", str(html_checker), "--json"])
    found = {(fault["file"], fault["rule"]) for fault in json.loads(answer.stdout)["problems"]}
    assert {("index.html", "html"), ("styles/site.css", "html")} <= found


def test_there_are_three_demo_clinics():
    assert len(CLINICS) == 3
