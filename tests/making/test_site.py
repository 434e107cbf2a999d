"""The finished site: what is in it, what is not, and what the last look refuses."""

import json
import re
import shutil
import tomllib
from html import unescape
from pathlib import Path

import pytest

import calculators
from calculators.cautions import CAUTIONS
from calculators.data import table
from calculators.doses import DOSES, DRILLS
from calculators.refusals import REFUSAL_KEYS
from treadleaf import drawings, mkdocs_hooks, places, placing, policy, site, words
from treadleaf.errors import InputProblems

PURPOSE = (
    "General education and a personal record of exercise and simple measurements. It is not made to diagnose, screen "
    "for, monitor or treat any disease or injury, and does not replace advice from a health professional."
)


def quiet(text: str) -> None:
    pass


def text_of(path: Path) -> str:
    return re.sub(r"\s+", " ", re.sub(r"<[^>]+>", " ", path.read_text("utf-8")))


@pytest.fixture
def clinic_file(tmp_path: Path) -> Path:
    """A copy of the demo clinic's file that a test may change."""
    shutil.copytree(site.DEMO.parent, tmp_path / "clinic")
    return tmp_path / "clinic" / "clinic.toml"


def test_every_page_states_its_purpose_once_and_carries_its_cautions(demo_site):
    said = words.load(places.templates(), "en")
    for page in site._pages():
        text = text_of(demo_site / page.address)
        assert text.count(PURPOSE) == 1, page.address
        for key in page.front.cautions:
            assert said["cautions"][key]["text"].split("{")[0] in text, f"{page.address}: {key}"


def test_the_page_on_help_shows_every_sign_in_its_tier_with_the_clinics_numbers(demo_site):
    html = unescape((demo_site / "cautions/when-to-get-help.html").read_text("utf-8"))
    said = words.load(places.templates(), "en")["cautions"]
    for tier in ("now", "same_day", "book"):
        part = html.split(f'id="help-{tier}"')[1].split("</section>")[0]
        for key, caution in CAUTIONS.items():
            if key.startswith("help_"):
                assert (said[key]["title"] in part) == (caution.tier == tier), key
    assert "tel:112" in html


def test_the_demo_says_it_is_invented_and_another_clinic_does_not(demo_site, clinic_file, tmp_path):
    assert "This is an example" in text_of(demo_site / "index.html")
    site.make(clinic_file, tmp_path / "out", quiet)
    assert "This is an example" not in text_of(tmp_path / "out" / "index.html")


def test_what_a_clinic_writes_is_shown_as_text_never_as_markup(clinic_file, tmp_path):
    hostile = "<img src=x onerror=alert(1)> & {{ 7*7 }} </title><script>alert(1)</script>"[:60]
    text = clinic_file.read_text("utf-8").replace("Marrowby Movement Room", hostile)
    clinic_file.write_text(text, "utf-8")
    site.make(clinic_file, tmp_path / "out", quiet)
    for page in (tmp_path / "out").rglob("*.html"):
        html = page.read_text("utf-8")
        assert "<img src=x" not in html
        assert "&lt;img src=x" in html
        assert "49" not in re.findall(r"alert\(1\).{0,20}", html)


@pytest.mark.parametrize("slot", ["policy-goes-here", policy.SLOT])
def test_the_place_of_the_policy_cannot_be_written_by_a_clinic(clinic_file, tmp_path, slot):
    text = clinic_file.read_text("utf-8").replace("Marrowby Movement Room", slot)
    clinic_file.write_text(text, "utf-8")
    site.make(clinic_file, tmp_path / "out", quiet)
    assert slot in unescape(text_of(tmp_path / "out" / "index.html"))


@pytest.mark.parametrize(
    ("path", "written"),
    [('");alert(1);("/', "/%22);alert(1);(%22/"), ("日本/", "/%E6%97%A5%E6%9C%AC/"), ("caf%C3%A9/", "/caf%C3%A9/")],
    ids=["script", "characters", "quoted"],
)
def test_the_address_of_a_site_cannot_end_the_themes_script(clinic_file, tmp_path, path, written):
    address = re.compile("^site_address = .*$", re.MULTILINE)
    text = address.sub(lambda _: f"site_address = 'https://www.example.org/{path}'", clinic_file.read_text("utf-8"))
    clinic_file.write_text(text, "utf-8")
    site.make(clinic_file, tmp_path / "out", quiet)
    (script,) = policy.inline_scripts((tmp_path / "out" / "404.html").read_text("utf-8"))
    assert script.startswith(f'__md_scope=new URL("{written}",location)')


def test_an_address_is_printed_as_people_write_it():
    assert mkdocs_hooks.FILTERS["plain_address"]("https://a.example/caf%C3%A9%2F%20/") == "a.example/café%2F%20"


def test_a_page_places_a_drawing_by_its_name(clinic_file, tmp_path):
    own = clinic_file.parent / "pages" / "learn" / "prints.md"
    own.parent.mkdir(parents=True)
    text = (places.content() / "en" / "learn" / "numbers.md").read_text("utf-8")
    cut = text.index("## ", text.index("## ") + 1)
    own.write_text(f"{text[:cut]}<!-- here: wet-print-gap -->\n\n{text[cut:]}", "utf-8")
    clinic_file.write_text(
        clinic_file.read_text("utf-8").replace("schema = 1\n", 'schema = 1\npages = "pages"\n'), "utf-8"
    )
    site.make(clinic_file, tmp_path / "made", quiet)
    page = (tmp_path / "made" / "learn" / "prints.html").read_text("utf-8")
    assert drawings.draw("wet-print-gap").svg in page
    assert 'href="../styles/drawings.css"' in page
    other = (tmp_path / "made" / "learn" / "numbers.html").read_text("utf-8")
    assert "styles/drawings.css" not in other, "a page without a drawing does not load its style"


def test_a_link_to_a_page_that_is_not_there_is_told_in_words(clinic_file, tmp_path, monkeypatch):
    shutil.copytree(places.content(), tmp_path / "content")
    page = tmp_path / "content" / "en" / "index.md"
    page.write_text(page.read_text("utf-8") + "\n[More](nowhere.md)\n", "utf-8")
    monkeypatch.setattr(places, "content", lambda: tmp_path / "content")
    with pytest.raises(InputProblems, match=r"index\.md:\d+: The link leads to no page"):
        site.make(clinic_file, tmp_path / "out", quiet)


def test_nothing_is_published_that_is_not_on_the_list(demo_site):
    kept = {path.suffix for path in demo_site.rglob("*") if path.is_file()}
    assert kept <= {".html", ".css", ".js", ".svg", ".json", ".xml", ".txt", ".gz", ""}, kept
    assert not list(demo_site.rglob("*.map"))
    assert not list(demo_site.rglob("*.toml"))


def test_a_folder_of_somebody_elses_is_left_alone(clinic_file, tmp_path):
    out = tmp_path / "out"
    out.mkdir()
    (out / "thesis.txt").write_text("mine", "utf-8")
    with pytest.raises(InputProblems, match="nothing in it was touched"):
        site.make(clinic_file, out, quiet)
    assert [path.name for path in out.iterdir()] == ["thesis.txt"]
    with pytest.raises(InputProblems, match="a file"):
        site.make(clinic_file, out / "thesis.txt", quiet)


STRANGERS = {
    "a file for the host": ("CNAME", "CNAME"),
    "a repository": (".git/objects/aa/1234", ".git/"),
    "a page of one's own": ("old.html", "old.html"),
    "a picture among ours": ("styles/photo.jpg", "styles/photo.jpg"),
    "the clinic's own file": ("clinic/clinic.toml", "clinic/"),
}


@pytest.mark.parametrize(("path", "named"), STRANGERS.values(), ids=STRANGERS)
def test_a_second_build_deletes_nothing_that_the_first_did_not_make(clinic_file, tmp_path, path, named):
    out = tmp_path / "out"
    site.make(clinic_file, out, quiet)
    (out / path).parent.mkdir(parents=True, exist_ok=True)
    (out / path).write_text("mine", "utf-8")
    with pytest.raises(InputProblems) as caught:
        site.make(clinic_file, out, quiet)
    (problem,) = caught.value.problems
    assert (problem.file, problem.found) == (str(out), named)
    assert "Move them out" in problem.mend
    assert (out / path).read_text("utf-8") == "mine"


def test_of_many_strangers_five_are_named(tmp_path):
    for number in range(7):
        (tmp_path / f"photo-{number}.jpg").touch()
    with pytest.raises(InputProblems, match=r"photo-4\.jpg and 2 more\n"):
        placing.refuse_foreign(tmp_path)


def test_what_comes_while_the_site_is_built_is_left_alone(clinic_file, tmp_path):
    out = tmp_path / "out"
    site.make(clinic_file, out, quiet)

    def meanwhile(text):
        (out / "note.txt").write_text("mine", "utf-8")

    with pytest.raises(InputProblems, match=r"note\.txt"):
        site.make(clinic_file, out, meanwhile)
    assert (out / "note.txt").is_file()


def test_a_link_to_a_folder_elsewhere_is_not_taken_for_one_that_was_built(clinic_file, tmp_path):
    out = tmp_path / "out"
    site.make(clinic_file, out, quiet)
    (out / "styles").rename(tmp_path / "mine")
    (out / "styles").symlink_to(tmp_path / "mine", target_is_directory=True)
    with pytest.raises(InputProblems, match="styles/"):
        site.make(clinic_file, out, quiet)


def test_a_mount_point_is_refused_before_anything_is_built(clinic_file):
    with pytest.raises(InputProblems, match="mount point"):
        site.make(clinic_file, Path(clinic_file.anchor), quiet)


def test_a_second_build_replaces_the_first_and_a_failed_one_leaves_it(clinic_file, tmp_path):
    out = tmp_path / "out"
    site.make(clinic_file, out, quiet)
    for left in (out / ".DS_Store", out / "styles" / "Thumbs.db"):
        left.touch()
    (out / "index.html").write_text("old", "utf-8")
    site.make(clinic_file, out, quiet)
    assert (out / "index.html").read_text("utf-8") != "old"
    before = (out / "index.html").read_bytes()
    clinic_file.write_text("name = 1", "utf-8")
    with pytest.raises(InputProblems):
        site.make(clinic_file, out, quiet)
    assert (out / "index.html").read_bytes() == before
    left = sorted(path.name for path in tmp_path.iterdir())
    assert left == ["clinic", "out", "out-hosting"], "nothing half-made is left behind"


def test_the_worksheet_is_made_from_the_calculators_own_declaration(demo_site):
    from calculators.forms import FORMS

    html = (demo_site / "checks/wet-print.html").read_text("utf-8")
    for group in FORMS["footprint_widths"].groups:
        for field in group.fields:
            name = f"footprint_widths-{group.key}-{field.key}" if group.key else f"footprint_widths-{field.key}"
            assert f'id="{name}"' in html


def test_every_word_that_a_template_asks_for_is_there():
    said = words.load(places.templates(), "en")
    asked = {
        (path, name)
        for path in places.templates().rglob("*.html")
        for name in re.findall(r"\bwords((?:\.[a-z_]+)+)", path.read_text("utf-8"))
    }
    assert len(asked) > 30
    for path, name in asked:
        here = said
        for key in name.strip(".").split("."):
            assert isinstance(here, dict), f"{path.name}: words{name}"
            assert key in here, f"{path.name}: words{name}"
            here = here[key]


def test_keys_of_the_tables_and_of_the_words_are_the_same():
    said = words.load(places.templates(), "en")
    of_pictures = {key for key, row in table("errors").items() if row.get("picture")}
    assert set(said["picture_refusals"]) == of_pictures
    assert set(said["refusals"]) == set(REFUSAL_KEYS) - of_pictures
    assert set(said["picture_warnings"]) == set(table("warnings"))
    assert set(said["drills"]) == {*DRILLS, "another_exercise"}
    for key in ("population", "sides"):
        assert set(said["doses"][key]) >= {getattr(dose, key) for dose in DOSES}
    assert set(said["cautions"]) == set(CAUTIONS)
    bands = tomllib.loads((Path(calculators.__file__).parent / "data" / "bands.toml").read_text("utf-8"))["band"]
    for kind in ("population", "method", "validity"):
        assert set(said["bands"][kind]) == {band[kind] for band in bands}


def test_words_that_a_template_could_not_reach_are_refused(tmp_path):
    (tmp_path / "strings").mkdir()
    (tmp_path / "strings" / "xx.toml").write_text('[page]\nclear = "Clear"\n', "utf-8")
    with pytest.raises(ValueError, match="clear"):
        words.load(tmp_path, "xx")


def test_the_licences_travel_with_the_site(demo_site):
    text = (demo_site / "NOTICES.txt").read_text("utf-8")
    for name in ("Apache License 2.0", "CC BY 4.0", "mkdocs-material", "Permission is hereby granted"):
        assert name in text
    assert "Mozilla Public License" in (demo_site / "runtime" / "NOTICES.txt").read_text("utf-8")


def test_the_search_index_knows_the_pages_and_nothing_of_templates(demo_site):
    index = json.loads((demo_site / "search" / "search_index.json").read_text("utf-8"))
    assert {row["location"].split("#")[0] for row in index["docs"]} >= {"checks/wet-print.html"}
    text = json.dumps(index, ensure_ascii=False)
    assert "{" not in re.sub(r"^{|[\[,] ?{|: {", "", text), "no gap of a sentence is left open"
    for sign in ("Hot, swollen joint", "B: middle, narrowest"):
        assert sign in text, "the words of components can be found"
    assert "Chippaux-Smirak index" not in text, "it stands on the page with an answer only"
