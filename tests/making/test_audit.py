"""The last look: each fault is planted in a finished site, and its rule must find it."""

from __future__ import annotations

import re
import shutil
import tomllib
from dataclasses import replace
from pathlib import Path

import pytest
from making.planting import changed, told

from treadleaf import offline, site
from treadleaf.audit import expected as expectations
from treadleaf.audit import last_look, weight
from treadleaf.audit.rules import RULES
from treadleaf.errors import InputProblems

PLANTED = tomllib.loads(Path(__file__).with_name("planted.toml").read_text("utf-8"))
BY_HAND = {"folder", "names", "too-large", "weight", "runtime-weight", "offline-list", "offline-hash", "html"}
"""Rules that are broken by more than a line of text: below, and in test_audit_folder.py."""


pytestmark = pytest.mark.usefixtures("quick_looks")


@pytest.fixture(scope="module")
def copy(demo_site, tmp_path_factory):
    """A copy of the demo site to plant faults in; each test puts back what was there."""
    folder = tmp_path_factory.mktemp("audit") / "site"
    shutil.copytree(demo_site, folder)
    return folder


@pytest.fixture(scope="module")
def expected(copy):
    return expectations.of(copy)


def rows(table):
    return pytest.mark.parametrize("row", PLANTED[table], ids=lambda row: row["name"])


def broken(row, file):
    """The rules that a row says, each in the file where the fault stands."""
    return {(rule, file) for rule in (row["rule"], *row.get("also", ()))}


def test_the_build_writes_down_what_the_last_look_has_to_expect(demo_site):
    assert expectations.of(demo_site) == site._expected(site._read(site.DEMO))
    assert last_look.audit(demo_site, None).faults == ()


def test_every_rule_is_broken_at_least_once():
    planted = {row["rule"] for table in PLANTED.values() for row in table}
    assert planted | BY_HAND == set(RULES)
    assert not planted & BY_HAND
    assert sum(map(len, PLANTED.values())) >= 120


@rows("in_page")
def test_what_is_planted_in_a_page_is_found(copy, expected, row):
    with changed(copy / "index.html", lambda html: html.replace("</main>", f"{row['planted']}</main>", 1)):
        assert told(copy, expected) == broken(row, "index.html")


@rows("change")
def test_what_is_changed_is_found(copy, expected, row):
    name = row.get("file", "index.html")
    with changed(copy / name, lambda text: text.replace(row["old"], row["new"], 1)):
        assert told(copy, expected) == broken(row, name)


@rows("file")
def test_what_is_planted_in_a_file_is_found(copy, expected, row):
    with changed(copy / row["file"], lambda before: f"{before}\n{row['text']}\n"):
        assert told(copy, expected) == broken(row, row["file"])


def test_a_build_is_refused_for_any_fault(copy, expected):
    with (
        changed(copy / "index.html", lambda html: html.replace("</main>", "<h1>x</h1></main>", 1)),
        pytest.raises(InputProblems, match=r"index.html: The page has no heading .* \[heading\]"),
    ):
        last_look.refuse(copy, expected)


@pytest.mark.parametrize(
    ("address", "right"),
    [
        ("/marrowby/", True),
        ("/marrowby/checks/wet-print.html#make", True),
        ("index.html", False),
        ("/index.html", False),
        ("/marrowby/../index.html", False),
        ("/marrowby/nowhere.html", False),
        ("/marrowby/checks/wet-print.html#nowhere", False),
    ],
)
def test_the_page_for_a_wrong_address_names_places_from_the_top(copy, expected, address, right):
    with changed(copy / "404.html", lambda html: html.replace("</main>", f'<a href="{address}">x</a></main>', 1)):
        assert {file for _, file in told(copy, expected)} == (set() if right else {"404.html"})


def test_a_fake_box_of_cautions_does_not_stand_for_the_real_one(copy, expected):
    fake = '<template><aside class="caution-box">A flat arch that is new: see a clinician first.</aside></template>'

    def change(html):
        return html.replace('class="caution-box"', 'class="box"').replace("</main>", f"{fake}</main>")

    with changed(copy / "index.html", change):
        assert told(copy, expected) == {("cautions", "index.html")}


@pytest.mark.parametrize("pattern", ["service-worker.js", "NOTICES.txt", "logo.svg", "runtime/stdlib.*", "404.html"])
def test_a_file_that_is_missing_is_found(copy, expected, pattern):
    (file,) = copy.glob(pattern)
    file.rename(copy.parent / "away")
    try:
        assert ("files", file.relative_to(copy).as_posix()) in told(copy, expected)
    finally:
        (copy.parent / "away").rename(file)


@pytest.mark.parametrize(
    "text",
    [
        'p{background:url(icon.svg);fill:url("#a")}',
        "/* https://example.net and url(//example.net) */",
        r'p::before{content:"\201c"}',
    ],
)
def test_styles_may_point_inside_the_site(copy, expected, text):
    with changed(copy / "styles" / "site.css", lambda before: before + text):
        assert told(copy, expected) == set()


def test_a_link_may_lead_anywhere_that_somebody_chooses_to_go(copy, expected):
    links = "".join(
        f'<a href="{address}">x</a>'
        for address in (
            "https://example.net/a?b#c",
            "mailto:a@example.net",
            "tel:112",
            "#start",
            "checks/wet-print.html#make",
        )
    )
    with changed(copy / "index.html", lambda html: html.replace("</main>", f"{links}</main>")):
        assert told(copy, expected) == set()


def test_braces_that_a_clinic_wrote_itself_are_no_template(copy, expected):
    with changed(copy / "index.html", lambda html: html.replace("</main>", "<p>{{ 7*7 }} {x}</p></main>")):
        assert told(copy, expected) == set()


# --- the list of what works offline --------------------------------------------------------------------------------


def relisted(script, change):
    listed = offline.listed(script)
    change(listed)
    return offline.filled(re.sub(r"/\*\{site\*/.*?/\*site\}\*/", "/*{site*//*site}*/", script, flags=re.DOTALL), listed)


LISTS = {
    "a page that is not in it": (lambda listed: listed["pages"].pop("index.html"), "index.html"),
    "a large file that is not in it": (lambda listed: listed["runtime"].popitem(), "runtime/"),
    "a file that is not there": (lambda listed: listed["pages"].update({"a.html": ["0"]}), "a.html"),
    "a page for the staff": (lambda listed: listed["pages"].update({"staff/print-pack.html": ["0"]}), "staff/"),
    "no list at all": (lambda listed: listed.clear(), "service-worker.js"),
    "a list of nothing": (lambda listed: listed.update(pages=None), "service-worker.js"),
}


@pytest.mark.parametrize(("change", "file"), LISTS.values(), ids=LISTS)
def test_a_list_with_too_much_or_too_little_is_found(copy, expected, change, file):
    with changed(copy / "service-worker.js", lambda script: relisted(script, change)):
        found = told(copy, expected)
    assert {rule for rule, _ in found} == {"offline-list"}
    assert any(name.startswith(file) for _, name in found)


def test_a_page_that_works_offline_loads_nothing_that_does_not(copy, expected):
    style = '<link rel="stylesheet" href="components/print-pack/print-pack.css">'
    with changed(copy / "index.html", lambda html: html.replace("</head>", f"{style}</head>")):
        assert told(copy, expected) == {("offline-list", "index.html")}


@pytest.mark.parametrize("pattern", ["index.html", "runtime/manifest.json", "runtime/pyodide.asm.*.js"])
def test_a_file_with_another_hash_than_is_listed_is_found(copy, expected, pattern):
    (file,) = copy.glob(pattern)
    with changed(file, lambda text: f"{text}\n"):
        faults = last_look.look(copy, expected).faults
    assert [(fault.rule, fault.file) for fault in faults] == [("offline-hash", file.relative_to(copy).as_posix())]


@pytest.mark.parametrize("spoil", [lambda data: data[:-100], lambda data: b"", lambda data: b"x" + data])
def test_a_packed_file_that_is_damaged_is_found(copy, expected, spoil):
    (file,) = copy.glob("runtime/stdlib.*")
    whole = file.read_bytes()
    file.write_bytes(spoil(whole))
    try:
        faults = last_look.look(copy, expected).faults
    finally:
        file.write_bytes(whole)
    assert [(fault.rule, fault.file) for fault in faults] == [("offline-hash", file.relative_to(copy).as_posix())]


def test_a_clinics_own_logo_spoils_no_pages_budget():
    """It has a limit of its own, which is larger than a page's."""
    ours, theirs = 50_000, 150_000
    light = weight.Weight("index.html", "reading", ours + theirs, 9, theirs)
    assert list(weight.look((light,))) == []
    assert [fault.rule for fault in weight.look((replace(light, clinics=0),))] == ["weight"]
