"""The rules explained on the command line, and the report on all pages."""

from __future__ import annotations

import json
import re
import shutil
from html.parser import HTMLParser
from pathlib import Path

import pytest
from click.testing import CliRunner

from treadleaf import pages, site
from treadleaf.cli import main
from treadleaf.gate import quality, rules


@pytest.fixture
def run():
    return lambda *words: CliRunner().invoke(main, [str(word) for word in words], prog_name="treadleaf")


@pytest.fixture
def clinic_file(tmp_path):
    shutil.copytree(site.DEMO.parent, tmp_path / "clinic")
    return tmp_path / "clinic" / "clinic.toml"


def test_the_rules_are_listed_each_on_a_line(run):
    answer = run("check", "--rules")
    assert answer.exit_code == 0
    assert [row.split()[0] for row in answer.stdout.splitlines()] == sorted(
        rules.RULES, key=lambda key: not rules.RULES[key].stops
    )
    assert {row.split()[1] for row in answer.stdout.splitlines()} == {"stops", "warns"}


@pytest.mark.parametrize("key", rules.RULES)
def test_each_rule_is_explained(run, key):
    answer = run("check", "--explain", key)
    assert answer.exit_code == 0
    rule = rules.RULES[key]
    for text in (rule.what, rule.why, rule.mend, rule.exempt):
        assert text in answer.stdout
    assert re.fullmatch(r"[a-z]+(-[a-z0-9]+)*", key)


def test_a_rule_that_there_is_not_gets_the_nearest(run):
    answer = run("check", "--explain", "claims")
    assert (answer.exit_code, answer.stdout) == (2, "")
    assert "Did you mean claim?" in answer.stderr


def test_rules_about_safety_stop_a_clinics_page_and_rules_about_words_do_not():
    stopping = {
        "missing-caution",
        "unknown-caution",
        "tag",
        "sections",
        "unknown-source",
        "html",
        "pointing",
        "dead-link",
    }
    remarking = {"spelling", "sentence-length", "readability", "banned-word", "claim", "typed-number", "typed-citation"}
    assert {key for key in stopping | remarking if rules.RULES[key].stops} == stopping


class Loads(HTMLParser):
    """Everything in a page that a browser would fetch, and its text."""

    def __init__(self):
        super().__init__()
        self.loads, self.text = [], []

    def handle_starttag(self, tag, attrs):
        self.loads += [f"{tag} {name}={value}" for name, value in attrs if name in {"src", "srcset", "data", "poster"}]
        self.loads += [f"{tag} {value}" for name, value in attrs if name == "href" and not value.startswith("#")]
        self.loads += [tag] if tag in {"script", "link", "iframe", "object", "embed", "img"} else []

    def handle_data(self, data):
        self.text.append(data)


def read(path: Path) -> tuple[list[str], str]:
    reader = Loads()
    html = path.read_text("utf-8")
    reader.feed(html)
    assert "url(" not in html
    assert "@import" not in html
    return reader.loads, re.sub(r"\s+", " ", " ".join(reader.text))


def test_the_report_says_of_every_page_what_it_should(run, clinic_file, tmp_path):
    out = tmp_path / "report.html"
    answer = run("check", clinic_file, "--report", out)
    assert answer.exit_code == 0, answer.stderr
    loads, text = read(out)
    assert loads == []
    assert "Made on 2026-11-25." in text
    for page in site._pages():
        assert f"{page.source}. Kind: {page.front.kind}." in text
        assert str(page.front.next_review) in text
        for caution in page.front.cautions:
            assert caution in text
    assert "Haight, Dahm, Smith and Krause 2005 published" in text
    assert "from memory: " in text
    assert "weak: 4" in text, "four claims of the heel page are weak"
    for item in quality.items():
        assert item.says in text


def test_the_report_holds_what_was_told_and_is_written_even_then(run, clinic_file, tmp_path):
    own = clinic_file.parent / "pages" / "learn" / "calves.md"
    own.parent.mkdir(parents=True)
    own.write_text(
        "---\nkind: learn\ntitle: Calves <b>\nshort: Calves\nsummary: What calves are for, and how they work.\n"
        "cautions: [arch_changed]\nsources: []\nreviewed: 2020-01-01\nnext_review: 2021-01-01\n---\n"
        "## In short {#short}\n\nZwibbled calves heal <i>fast</i>.\n\n## More {#more}\n\n## Unknown {#unknown}\n",
        "utf-8",
    )
    text = clinic_file.read_text("utf-8")
    clinic_file.write_text(text.replace("schema = 1\n", 'schema = 1\npages = "pages"\nnmae = "x"\n'), "utf-8")
    out = tmp_path / "report.html"
    answer = run("check", clinic_file, "--report", out)
    assert answer.exit_code == 1
    _, told = read(out)
    assert "Calves <b>" in told
    assert "[html]" in told
    assert "2021-01-01, passed" in told
    assert "zwibbled" in told, "the syllables of a word in no list are estimated"
    assert str(clinic_file) in told, "what is wrong in the clinic file stands at the end"


def test_on_a_day_after_its_review_a_page_of_the_project_stops(run, clinic_file, monkeypatch):
    monkeypatch.setenv("SOURCE_DATE_EPOCH", "1830000000")
    answer = run("check", clinic_file, "--json")
    told = json.loads(answer.stdout)
    assert answer.exit_code == 1
    assert {problem["rule"] for problem in told["problems"]} == {"review-passed"}
    assert len(told["problems"]) == len(site._pages())


def test_a_page_that_is_left_out_is_not_in_the_report(run, clinic_file, tmp_path):
    text = clinic_file.read_text("utf-8").replace("schema = 1\n", 'schema = 1\nleave_out = ["learn/numbers.html"]\n')
    clinic_file.write_text(text, "utf-8")
    out = tmp_path / "report.html"
    run("check", clinic_file, "--report", out)
    assert "learn/numbers.md" not in out.read_text("utf-8")


def test_a_report_that_cannot_be_written_is_told_in_words(run, clinic_file, tmp_path):
    answer = run("check", clinic_file, "--report", tmp_path / "no" / "report.html")
    assert answer.exit_code == 1
    assert "The system refused" in answer.stderr


def test_the_same_pages_make_the_same_report(run, clinic_file, tmp_path):
    made = []
    for name in ("a.html", "b.html"):
        run("check", clinic_file, "--report", tmp_path / name)
        made.append((tmp_path / name).read_bytes())
    assert made[0] == made[1]


def test_the_projects_pages_are_easy_and_their_words_are_known():
    for page in site._pages():
        draft = next(one for one in _drafts() if one.source == page.source)
        seen = {item.check: quality.seen(item, draft) for item in quality.items() if item.check}
        assert seen["everyday_words"].agrees, page.source


def _drafts():
    from treadleaf import known, places

    return pages.drafts(places.content() / site.LANGUAGE, known.facts(site.LANGUAGE, None), site._render())
