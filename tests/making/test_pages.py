"""Front matter and sections: every fault stops the build with its file and line."""

from pathlib import Path

import pytest

from treadleaf import mkdocs_hooks, pages, places, site
from treadleaf.errors import InputProblems
from treadleaf.gate.facts import Facts
from treadleaf.kinds import KINDS

FACTS = Facts(
    sources={"banwell_2018"},
    cautions={"arch_changed", "wet_floor"},
    actions={"footprint_widths"},
    components={"footprint-widths"},
    required_cautions={"check": ["arch_changed"], "wet": ["wet_floor"]},
    component_sources={"footprint-widths": ["banwell_2018"]},
)
RENDER = mkdocs_hooks.renderer(places.mkdocs_yml(), places.content() / site.LANGUAGE)

GOOD = """\
---
kind: check
title: A check
short: Check
summary: A check that is long enough to have a summary.
calculator: footprint_widths
tags: [wet]
cautions: [arch_changed, wet_floor]
sources: [banwell_2018]
reviewed: 2026-01-01
next_review: 2027-01-01
---
## Need {#need}

Paper.

## Make {#make}

Step.

## Look {#look}

## Measure {#measure}

<!-- here: footprint-widths -->

## Tells {#tells}
"""

FAULTS = [
    ("no front matter", "---\nkind: check", "kind: check", 1, "no front matter"),
    ("broken YAML", "title: A check", "title: [A check", 4, "malformed"),
    ("key twice", "short: Check", "title: Check", 4, "twice"),
    ("unknown key", "short: Check", "shrt: Check", 4, "Extra inputs"),
    ("missing key", "short: Check\n", "", 1, "Field required"),
    ("unknown kind", "kind: check", "kind: chek", 2, "kind"),
    ("bad date", "2026-01-01", "soon", 10, "date"),
    ("a day that there never was", "2026-01-01", "2026-02-30", 10, "day is out of range"),
    ("brackets without end", "title: A check", "title: " + "[" * 5000, 1, "malformed"),
    ("review before the last", "2027-01-01", "2025-01-01", 11, "not after"),
    ("unknown source", "[banwell_2018]", "[banwel_2018]", 9, "source is not known"),
    ("unknown caution", "[arch_changed, wet_floor]", "[arch_changed, wet_floor, ghost]", 8, "caution is not known"),
    ("missing caution of the kind", "[arch_changed, wet_floor]", "[wet_floor]", 8, "must carry"),
    ("missing caution of a tag", "[arch_changed, wet_floor]", "[arch_changed]", 8, "must carry"),
    ("unknown calculator", "calculator: footprint_widths", "calculator: footprints", 6, "calculator is not known"),
    ("missing section", "## Look {#look}\n", "", 13, "sections"),
    ("section without a name", "## Look {#look}", "## Look", 13, "sections"),
    ("own title", "Paper.", "# Paper", 15, "title comes from"),
    ("HTML block", "Paper.", "<div>Paper</div>", 15, "HTML"),
    ("HTML inside a line", "Step.", "A <b>step</b>.", 19, "HTML"),
    ("script", "Step.", "<script>alert(1)</script>", 19, "HTML"),
    ("script in a fence in a list", "Step.", "- a\n  ~~~\n  <script>alert(1)</script>\n  ~~~", 21, "HTML"),
    ("script in a fence in a quotation", "Step.", "> ~~~\n> <script>alert(1)</script>\n> ~~~", 20, "HTML"),
    ("frame in a fence in numbers", "Step.", "1. a\n\n   ~~~\n   <iframe></iframe>\n   ~~~", 22, "HTML"),
    ("comment in a fence in a list", "Step.", "- a\n  ~~~\n  <!-- x -->\n  ~~~", 21, "HTML"),
    ("component in a fence in a list", "Step.", "- a\n  ~~~\n  <!-- here: footprint-widths -->\n  ~~~", 13, "two ways"),
    ("section without a blank", "Paper.", "##More {#more}", 13, "two ways"),
    ("style", "Step.", 'A *step*{: style="color:red" }.', 19, "attribute"),
    ("handler", "Step.", 'A *step*{: onclick="alert(1)" }.', 19, "attribute"),
    ("ping", "Step.", '[a](https://example.org){: ping="https://example.net" }', 19, "attribute"),
    ("aligned column", "Step.", "| a |\n|:-:|\n", None, "attribute"),
    ("link that runs", "Step.", "[a](javascript:alert)", 19, "point there"),
    ("link that runs, hidden", "Step.", "[a](java&#115;cript:alert)", None, "point there"),
    ("link that holds its page", "Step.", "[a](data:text/html,x)", 19, "point there"),
    ("link without a scheme", "Step.", "[a](//example.net)", 19, "point there"),
    ("link with backslashes", "Step.", "[a](<\\\\example.net>)", 19, "point there"),
    ("picture from elsewhere", "Step.", "![a](https://example.net/a.png)", 19, "point there"),
    ("text before the first section", "## Need", "Words.\n\n## Need", 13, "first section"),
    ("unknown component", "here: footprint-widths", "here: foot-gauge", 25, "component is not known"),
]


def folder_with(tmp_path: Path, text: str, name: str = "checks/a.md") -> Path:
    path = tmp_path / name
    path.parent.mkdir(parents=True, exist_ok=True)
    path.write_text(text, "utf-8")
    return tmp_path


def test_a_good_page_passes(tmp_path):
    (page,) = pages.load(folder_with(tmp_path, GOOD), FACTS, RENDER)
    assert (page.source, page.address, page.components) == ("checks/a.md", "checks/a.html", ("footprint-widths",))
    assert page.markdown.startswith("## Need")


@pytest.mark.parametrize(("fault", "old", "new", "line", "what"), FAULTS, ids=[row[0] for row in FAULTS])
def test_each_fault_is_told_with_file_and_line(tmp_path, fault, old, new, line, what):
    assert old in GOOD
    with pytest.raises(InputProblems) as caught:
        pages.load(folder_with(tmp_path, GOOD.replace(old, new, 1)), FACTS, RENDER)
    told = [(Path(problem.file).name, problem.line) for problem in caught.value.problems if what in problem.what]
    assert told == [("a.md", line)], caught.value


def test_what_markdown_is_for_passes(tmp_path):
    plain = """\
1. A **strong** and an *even* step, with `<code>` in it.
2. [A page](a.md), [a section](#look), [another](a.md#more), <https://example.org>, [a call](tel:112), <a@example.org>

> A quotation.

~~~
A fence with <b> and <policy-goes-here>.
~~~

### More

| a | b |
|---|---|
| 1 | 2 |

---
![A foot](foot.png)
"""
    folder_with(tmp_path, GOOD.replace("Step.", plain)).joinpath("checks/foot.png").touch()
    (page,) = pages.load(tmp_path, FACTS, RENDER)
    assert plain in page.markdown


@pytest.mark.parametrize(
    ("data", "line"), [(b"\xff", 1), (GOOD.encode().replace(b"Step", b"Sch\xfctte"), 19)], ids=["all", "one letter"]
)
def test_a_page_that_is_not_utf8_is_refused_with_its_line(tmp_path, data, line):
    folder_with(tmp_path, "").joinpath("checks/a.md").write_bytes(data)
    with pytest.raises(InputProblems) as caught:
        pages.load(tmp_path, FACTS, RENDER)
    assert [(problem.line, problem.what) for problem in caught.value.problems] == [
        (line, "The page is not UTF-8 text.")
    ]


def test_a_page_from_another_system_passes(tmp_path):
    folder_with(tmp_path, "").joinpath("checks/a.md").write_bytes(b"\xef\xbb\xbf" + GOOD.replace("\n", "\r\n").encode())
    assert pages.load(tmp_path, FACTS, RENDER)[0].markdown.startswith("## Need {#need}\n")


def test_a_page_in_the_wrong_folder_is_refused(tmp_path):
    with pytest.raises(InputProblems, match="wrong folder"):
        pages.load(folder_with(tmp_path, GOOD, "cautions/a.md"), FACTS, RENDER)


def test_faults_of_all_pages_are_told_at_once(tmp_path):
    folder_with(tmp_path, GOOD.replace("kind: check", "kind: x"))
    with pytest.raises(InputProblems) as caught:
        pages.load(folder_with(tmp_path, "nothing", "checks/b.md"), FACTS, RENDER)
    assert {Path(problem.file).name for problem in caught.value.problems} == {"a.md", "b.md"}


def test_the_projects_own_pages_pass():
    kinds = [page.front.kind for page in site._pages()]
    assert list(dict.fromkeys(kinds)) == list(KINDS), "one page of each kind at least, in the order of reading"
