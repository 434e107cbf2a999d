"""Front matter and sections: every fault stops the build with its file and line."""

from pathlib import Path

import pytest

from treadleaf import pages, site
from treadleaf.errors import InputProblems
from treadleaf.kinds import KINDS

FACTS = pages.Facts(
    sources={"banwell_2018"},
    cautions={"arch_changed", "wet_floor"},
    actions={"footprint_widths"},
    components={"footprint-widths"},
    required_cautions={"check": ["arch_changed"], "wet": ["wet_floor"]},
)

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
    ("unknown component", "here: footprint-widths", "here: foot-gauge", 25, "component is not known"),
]


def folder_with(tmp_path: Path, text: str, name: str = "checks/a.md") -> Path:
    path = tmp_path / name
    path.parent.mkdir(parents=True, exist_ok=True)
    path.write_text(text, "utf-8")
    return tmp_path


def test_a_good_page_passes(tmp_path):
    (page,) = pages.load(folder_with(tmp_path, GOOD), FACTS)
    assert (page.source, page.address, page.components) == ("checks/a.md", "checks/a.html", ("footprint-widths",))
    assert page.markdown.startswith("## Need")


@pytest.mark.parametrize(("fault", "old", "new", "line", "what"), FAULTS, ids=[row[0] for row in FAULTS])
def test_each_fault_is_told_with_file_and_line(tmp_path, fault, old, new, line, what):
    assert old in GOOD
    with pytest.raises(InputProblems) as caught:
        pages.load(folder_with(tmp_path, GOOD.replace(old, new, 1)), FACTS)
    told = [(Path(problem.file).name, problem.line) for problem in caught.value.problems if what in problem.what]
    assert told == [("a.md", line)], caught.value


def test_a_page_in_the_wrong_folder_is_refused(tmp_path):
    with pytest.raises(InputProblems, match="wrong folder"):
        pages.load(folder_with(tmp_path, GOOD, "cautions/a.md"), FACTS)


def test_faults_of_all_pages_are_told_at_once(tmp_path):
    folder_with(tmp_path, GOOD.replace("kind: check", "kind: x"))
    with pytest.raises(InputProblems) as caught:
        pages.load(folder_with(tmp_path, "nothing", "checks/b.md"), FACTS)
    assert {Path(problem.file).name for problem in caught.value.problems} == {"a.md", "b.md"}


def test_the_projects_own_pages_pass():
    kinds = [page.front.kind for page in site._pages()]
    assert list(dict.fromkeys(kinds)) == list(KINDS), "one page of each kind at least, in the order of reading"
