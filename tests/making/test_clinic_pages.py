"""What a clinic leaves out, adds and says on the pages: faults are told, promises are remarked on."""

from __future__ import annotations

import json
import re
import shutil
from pathlib import Path

import pytest

from treadleaf import clinic, clinic_notes, site
from treadleaf.clinic_model import ALWAYS_THERE
from treadleaf.errors import InputProblems, Problem

OWN = """\
---
kind: exercise
title: Calf raise
short: Calf raise
summary: Rise onto your toes and come down again slowly.
cautions: [arch_changed, reduced_feeling, lately_hurt]
sources: []
tags: [barefoot]
reviewed: 2026-01-01
next_review: 2027-01-01
---
## What it is for {#for}

To practise the push-off. See also the [wet print](../checks/wet-print.md) and [our page](https://www.example.org).

## What you need {#need}

## How {#do}

Rise, hold, come down.

## What to feel {#feel}

Both calves.

## When to stop {#stop}

When it hurts.

## Easier {#easier}

## Harder {#harder}

## How much {#dose}

As you were told.
"""


@pytest.fixture
def clinic_file(tmp_path: Path) -> Path:
    """A copy of the demo clinic's file, without the notes, that a test may add to."""
    shutil.copytree(site.DEMO.parent, tmp_path / "clinic")
    path = tmp_path / "clinic" / "clinic.toml"
    text = path.read_text("utf-8").partition("[notes]")[0]
    path.write_text(text, "utf-8")
    return path


def add(path: Path, top: str = "", tables: str = "") -> Path:
    text = path.read_text("utf-8")
    path.write_text(text.replace("schema = 1\n", f"schema = 1\n{top}\n") + tables, "utf-8")
    return path


def own_page(clinic_file: Path, text: str = OWN, name: str = "exercises/calf-raise.md") -> Path:
    page = clinic_file.parent / "pages" / name
    page.parent.mkdir(parents=True, exist_ok=True)
    page.write_text(text, "utf-8")
    if 'pages = "pages"' not in clinic_file.read_text("utf-8"):
        add(clinic_file, 'pages = "pages"')
    return page


def built(clinic_file: Path, out: Path) -> Path:
    site.make(clinic_file, out, lambda text: None)
    return out


def text_of(path: Path) -> str:
    return re.sub(r"\s+", " ", re.sub(r"<[^>]+>", " ", path.read_text("utf-8")))


SHIPPED = [page.address for page in site._pages()]


@pytest.mark.parametrize("address", [page for page in SHIPPED if page not in ALWAYS_THERE])
def test_each_page_can_be_left_out_and_nothing_points_to_it(clinic_file, tmp_path, address):
    out = built(add(clinic_file, f'leave_out = ["{address}"]'), tmp_path / "out")
    assert not (out / address).exists()
    assert all((out / other).is_file() for other in SHIPPED if other != address)


def test_all_that_may_go_can_go_at_once(clinic_file, tmp_path):
    left_out = [page for page in SHIPPED if page not in ALWAYS_THERE]
    out = built(add(clinic_file, f"leave_out = {left_out}"), tmp_path / "out")
    found = {path.relative_to(out).as_posix() for path in out.rglob("*.html")}
    assert found == {*ALWAYS_THERE, "404.html"}


def test_a_page_that_is_not_there_gets_the_nearest_name(clinic_file):
    add(clinic_file, 'leave_out = ["checks/wet-prints.html"]', '[notes]\n"cautions/when-to-get-hlp.html" = "x"\n')
    found = {problem.key: problem for problem in site.check(clinic_file).problems}
    assert '"checks/wet-print.html"' in found["leave_out.1"].mend
    assert found["leave_out.1"].line == 3
    assert f'"{ALWAYS_THERE[1]}"' in found["notes.cautions/when-to-get-hlp.html"].mend
    assert len(found) == 2


def test_a_note_on_a_page_that_is_left_out_is_told(clinic_file):
    page = "checks/wet-print.html"
    add(clinic_file, f'leave_out = ["{page}"]', f'[notes]\n"{page}" = "x"\n')
    (found,) = site.check(clinic_file).problems
    assert found.key == f"notes.{page}"


def test_a_wrong_key_hides_no_wrong_page(clinic_file):
    add(clinic_file, 'leave_out = ["nowhere.html"]')
    text = clinic_file.read_text("utf-8")
    clinic_file.write_text(text.replace('paper = "A4"', 'paper = "A5"'), "utf-8")
    assert {problem.key for problem in site.check(clinic_file).problems} == {"paper", "leave_out.1"}


def test_a_page_of_the_clinics_own_stands_among_the_others(clinic_file, tmp_path):
    own_page(clinic_file)
    assert site.check(clinic_file) == site.Found()
    out = built(add(clinic_file, tables='[notes]\n"exercises/calf-raise.html" = "Two sets."\n'), tmp_path / "out")
    html = (out / "exercises" / "calf-raise.html").read_text("utf-8")
    assert html.count('class="purpose"') == 1
    assert "Two sets." in html
    assert 'href="../checks/wet-print.html"' in html
    assert "exercises/calf-raise.html" in (out / "index.html").read_text("utf-8")


OWN_FAULTS = {
    "missing caution": ("reduced_feeling, lately_hurt]", "lately_hurt]", 6, "must carry"),
    "unknown source": ("sources: []", "sources: [nobody_1900]", 7, "not known"),
    "HTML": ("Rise, hold", "<b>Rise</b>, hold", 20, "HTML"),
    "picture": ("Rise, hold", "![Rise](rise.png), hold", 20, "Pictures"),
    "script link": ("https://www.example.org", "javascript:alert(1)", 14, "point there"),
    "link to nowhere": ("wet-print.md", "wet-prints.md", 14, "no page"),
    "plain http": ("https://www.example.org", "http://www.example.org", 14, "point there"),
    "attributes": ("Rise, hold, come down.", "Rise. {: onclick=alert(1) }", 20, "attribute"),
    "short attributes": ("Rise, hold, come down.", "Rise. {.big}", 20, "attribute"),
    "missing section": ("## How much {#dose}", "### How much", 12, "sections"),
}


@pytest.mark.parametrize(("old", "new", "line", "what"), OWN_FAULTS.values(), ids=OWN_FAULTS)
def test_a_fault_in_a_page_of_the_clinics_own_stops_with_file_and_line(clinic_file, old, new, line, what):
    assert old in OWN
    page = own_page(clinic_file, OWN.replace(old, new, 1))
    found = site.check(clinic_file).problems
    told = [(problem.file, problem.line) for problem in found if what in problem.what]
    assert told == [(str(page), line)]
    assert all(problem.rule and problem.mend for problem in found)
    assert len({problem.rule for problem in found}) == 1, "no fault is told by two rules"


@pytest.mark.parametrize(
    ("name", "text", "what"),
    [
        ("exercises/Calf Raise.md", OWN, "does not make an address"),
        ("exercises/how-much.md", OWN, "of this name already"),
        ("calf-raise.md", OWN, "wrong folder"),
        ("exercises/calf-raise.md", OWN.encode() + b"\xff", "not UTF-8"),
        ("exercises/calf-raise.txt", OWN, "holds no page"),
    ],
)
def test_a_page_that_cannot_stand_there_is_told(clinic_file, name, text, what):
    page = own_page(clinic_file, name=name)
    if isinstance(text, bytes):
        page.write_bytes(text)
    assert [what in problem.what for problem in site.check(clinic_file).problems] == [True]


def test_a_page_takes_the_place_of_one_that_is_left_out(clinic_file):
    own_page(clinic_file, name="exercises/how-much.md")
    add(clinic_file, 'leave_out = ["exercises/how-much.html"]')
    assert site.check(clinic_file).problems == ()


def test_a_folder_that_is_not_there_or_elsewhere_is_told(clinic_file, tmp_path):
    add(clinic_file, 'pages = "pages"')
    (found,) = site.check(clinic_file).problems
    assert (found.key, found.line) == ("pages", 3)
    (tmp_path / "elsewhere").mkdir()
    (clinic_file.parent / "pages").symlink_to(tmp_path / "elsewhere")
    assert [problem.key for problem in site.check(clinic_file).problems] == ["pages"]


def test_promising_words_are_remarked_on_with_their_line_and_stop_nothing(clinic_file, tmp_path):
    text = OWN.replace("title: Calf raise", "title: Fix your calves").replace("To practise", "A cure that heals")
    page = own_page(clinic_file, text)
    add(clinic_file, tables='[notes]\n"index.html" = "We guarantee it."\n')
    found = site.check(clinic_file)
    assert found.problems == ()
    at = {(Path(one.file).name, one.line, one.key, one.found) for one in found.warnings}
    note = len(clinic_file.read_text("utf-8").splitlines())
    assert at == {
        (page.name, 3, "title", "Fix"),
        (page.name, 14, "", "cure"),
        (page.name, 14, "", "heals"),
        ("clinic.toml", note, "notes.index.html", "guarantee"),
    }
    assert all(isinstance(one, Problem) and one.what and one.mend for one in found.warnings)
    built(clinic_file, tmp_path / "out")


def test_a_note_is_read_and_linked_and_nothing_more(clinic_file, tmp_path):
    note = "Ring *us* <script>alert(1)</script> {{ 7*7 }}\\n\\n- [call](tel:+441632960417)\\n- <desk@example.org>"
    out = built(add(clinic_file, tables=f'[notes]\n"checks/wet-print.html" = "{note}"\n'), tmp_path / "out")
    html = (out / "checks" / "wet-print.html").read_text("utf-8")
    box = html.split('class="clinic-note screen-only"')[1].split("</section>")[0]
    assert "<em>us</em> &lt;script&gt;alert(1)&lt;/script&gt; {{ 7*7 }}" in box
    assert '<a href="tel:+441632960417" rel="noreferrer">call</a>' in box
    assert 'href="mailto:desk@example.org"' in box
    assert "From Marrowby Movement Room" in box
    assert "clinic-note" not in (out / "index.html").read_text("utf-8")


@pytest.mark.parametrize(
    "address", ["javascript:x", "JAVASCRIPT:x", "data:text/html,x", "//example.net", "http://example.net", "x.html", ""]
)
def test_a_note_links_to_nothing_but_https_mail_and_telephone(address):
    assert clinic_notes.refused(f"[x](<{address}>)")
    assert not clinic_notes.refused("[x](https://example.net) <https://example.net>")


def test_the_handout_shows_what_the_clinic_says_of_itself(clinic_file, tmp_path):
    out = built(clinic_file, tmp_path / "out")
    for address in SHIPPED:
        html = (out / address).read_text("utf-8")
        footer = re.sub(r"\s+", " ", re.sub(r"<[^>]+>", " ", html.split("<footer")[1]))
        for text in ("The Old Rope Loft", "8 am to 6 pm", "desk@marrowby.example.org", "Ines Oakhollow", "IR 00417"):
            assert text in footer, f"{address}: {text}"
        read = re.split('<script type="application/json"|<footer', html)[0] if address.startswith("staff/") else html
        assert (address, read.count("We answer within")) == (address, 0 if address.startswith("staff/") else 1)
        assert ('name="robots" content="noindex"' in html) == address.startswith("staff/")
    help_page = (out / ALWAYS_THERE[1]).read_text("utf-8")
    same_day = help_page.split('id="help-same_day"')[1].split("</section>")[0]
    assert 'href="tel:01632960118"' in same_day
    assert "Strong feet group" in text_of(out / "index.html")


def test_the_staff_page_is_neither_in_the_navigation_nor_found_by_search(clinic_file, tmp_path):
    out = built(clinic_file, tmp_path / "out")
    staff = {page.relative_to(out).as_posix() for page in (out / "staff").iterdir()}
    pages = {page.relative_to(out).as_posix() for page in out.rglob("*.html")} - {"404.html"}
    index = json.loads((out / "search" / "search_index.json").read_text("utf-8"))
    assert {row["location"].split("#")[0] for row in index["docs"]} == pages - staff
    assert "staff" not in json.dumps(index)
    address = clinic.load(clinic_file).site_address
    mapped = re.findall(r"<loc>(.*?)</loc>", (out / "sitemap.xml").read_text("utf-8"))
    assert sorted(mapped) == sorted(address + page for page in pages - staff)
    assert staff == {f"staff/{name}.html" for name in ("clinic-file", "every-part", "print-pack", "scale-sheet")}
    assert not (out / "sitemap.xml.gz").exists()
    html = (out / "index.html").read_text("utf-8")
    assert "staff/clinic-file.html" in html.split("<footer")[1]
    assert "staff/clinic-file.html" not in html.split("<footer")[0]


@pytest.mark.parametrize("demo", sorted(site.DEMO.parent.rglob("clinic.toml")), ids=lambda path: path.parent.name)
def test_each_demo_clinic_is_built_in_its_own_colours_and_says_that_it_is_invented(demo, tmp_path):
    out = built(demo, tmp_path / "out")
    assert "This is an example" in text_of(out / "index.html")
    whose = site.clinic.load(demo)
    style = (out / "styles" / "clinic.css").read_text("utf-8")
    assert f"--clinic: {whose.colour};" in style
    assert f"--second: {whose.second_colour};" in style
    assert f"size: {whose.paper};" in style


def test_a_logo_that_held_a_script_is_published_without_it_and_that_is_said(clinic_file, tmp_path):
    svg = '<svg xmlns="http://www.w3.org/2000/svg"><script>alert(1)</script><path d="M0 0h9v9z"/></svg>'
    (clinic_file.parent / "marrowby.svg").write_text(svg, "utf-8")
    out = built(clinic_file, tmp_path / "out")
    assert "script" not in (out / "logo.svg").read_text("utf-8")
    (said,) = site.check(clinic_file).warnings
    assert (Path(said.file).name, said.found) == ("marrowby.svg", "script")
    for page in out.rglob("*.html"):
        assert (
            "<svg" not in page.read_text("utf-8").split("</header>")[0].split("clinic-header__home")[1].split("</a>")[0]
        )


def test_everything_is_told_at_once_when_a_site_is_made(clinic_file, tmp_path):
    own_page(clinic_file, OWN.replace("[arch_changed, reduced_feeling, lately_hurt]", "[]"))
    add(clinic_file, 'leave_out = ["nowhere.html"]\nnmae = "x"')
    with pytest.raises(InputProblems) as caught:
        site.make(clinic_file, tmp_path / "out", lambda text: None)
    assert len({problem.file for problem in caught.value.problems}) == 2
    assert {"nmae", "leave_out.1"} <= {problem.key for problem in caught.value.problems}
