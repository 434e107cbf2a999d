"""The pages on paper: one sheet for a check, blank or half filled in, with everything a reader of it needs."""

from __future__ import annotations

import pytest
from browser import sites
from browser.hosts import Host
from browser.on_paper import ONE, PAPERS, SHEETS, leaves, printed, sizes, squeezed, text_of, whole
from browser.sheets import HEEL
from browser.sites import CHECK, WORDS
from browser.states import NO_IDLE
from browser.worksheet import BOTH, Worksheet

from treadleaf import clinic, site

# As long as the clinic file lets a name and the line under it be, with addresses to match.
WORDY = {
    "name": "The Netherby and Umbersleigh Rooms for Movement and Everyday",
    "strapline": "Exercise, balance and everyday walking for feet, knees, hips and backs, for people of all ages "
    "in and around the valleys",
    "telephone": "+44 1632 960 417",
    "web": "https://www.netherby-and-umbersleigh-rooms-for-movement.example.org/our-rooms",
    "site_address": "https://www.netherby-and-umbersleigh-rooms-for-movement.example.org/handouts/",
    "address": [
        "The Old Rope Loft behind the Corn Exchange, third floor",
        "14 to 18 Weir Lane",
        "Netherby",
        "Marrowshire",
    ],
}


@pytest.fixture(scope="module", params=PAPERS)
def wordy(request: pytest.FixtureRequest, tmp_path_factory: pytest.TempPathFactory, letters):
    """A host of the site of a clinic that says much of itself, and prints on this paper."""
    folder = tmp_path_factory.mktemp("wordy")
    units = {"A4": "metric", "Letter": "imperial"}[request.param]
    file = sites.clinic(folder / "clinic", **WORDY, paper=request.param, units=units)
    with Host(sites.build(file, folder / "site"), prefix="/handouts/") as host:
        yield host


@pytest.mark.parametrize("filled", ["blank", "half filled in"])
def test_a_check_prints_on_one_sheet_of_the_clinics_paper(visitor, paper, filled):
    host, name = paper
    page = visitor.open(host, CHECK, first=NO_IDLE)
    if filled == "half filled in":
        sheet = Worksheet(page)
        for where, text in {"left.ball_mm": "90", "left.middle_mm": "0", "right.heel_mm": "61"}.items():
            sheet.field(where).fill(text)
        page.locator("look-sheet input").first.check()
    reader = printed(page)
    assert len(reader.pages) == 1
    width, height = reader.pages[0].mediabox[2:]
    assert (float(width), float(height)) == pytest.approx(PAPERS[name], abs=1.5)


@pytest.mark.parametrize("path", [CHECK, HEEL])
def test_a_check_of_a_clinic_that_says_much_of_itself_still_prints_on_one_sheet(visitor, wordy, path):
    assert [len(WORDY[key]) for key in ("name", "strapline")] == [60, 120]
    page = visitor.open(wordy, path, first=NO_IDLE)
    assert page.locator(".clinic-header__logo").evaluate("(logo) => logo.naturalWidth > 0")
    reader = printed(page)
    assert len(reader.pages) == 1
    text = squeezed(text_of(reader))
    for key in ("name", "telephone", "web", "site_address"):
        assert squeezed(str(WORDY[key]).removeprefix("https://")) in text, key
    # The sheet has no room for it, so it stays off as a whole.
    assert "Exercise,balance" not in text


def test_so_do_all_checks_and_exercises_of_that_clinic(visitor, wordy):
    counted = {path: leaves(page) for path, page in visitor.tour(wordy, ONE)}
    assert counted == dict.fromkeys(ONE, 1)


def test_other_pages_print_the_whole_line_under_a_long_name(visitor, wordy):
    text = squeezed(text_of(printed(visitor.open(wordy, "index.html"))))
    assert squeezed(str(WORDY["strapline"])) in text


def test_the_start_page_prints_on_one_sheet(visitor, paper):
    host, _ = paper
    assert leaves(visitor.open(host, "index.html")) == 1


def test_the_printed_check_says_everything_that_its_reader_needs(visitor, paper):
    host, _ = paper
    page = visitor.open(host, CHECK, first=NO_IDLE)
    whose = clinic.load(site.DEMO)
    front = SHEETS[CHECK]
    assert front.cautions
    words = WORDS["footprint_widths"]
    wanted = [
        whose.name,
        whose.strapline,
        whose.telephone,
        WORDS["purpose"]["sentence"],
        *(WORDS["cautions"][key]["text"] for key in front.cautions),
        *(words["fields"][key] for key in ("ball_mm", "middle_mm", "heel_mm")),
        *(words[index]["name"] for index in ("chippaux_smirak_index", "staheli_index")),
        *(words[index]["formula"] for index in ("chippaux_smirak_index", "staheli_index")),
        *(WORDS["sides"][side] for side in ("left", "right")),
        *(WORDS["look_sheet"][key] for key in ("gap", "narrow", "wide", "same")),
        f"{whose.site_address}{CHECK}".partition("//")[2],
    ]
    paper_text = squeezed(text_of(printed(page)))
    assert [text for text in wanted if squeezed(text) not in paper_text] == []
    for unwanted in (WORDS["calculator"]["run"], WORDS["nav"]["search"], WORDS["new_version"]["offer"]):
        assert squeezed(unwanted) not in paper_text


def test_a_result_prints_with_all_that_is_folded_on_at_most_two_sheets(visitor, paper):
    host, name = paper
    page = visitor.open(host, CHECK)
    sheet = Worksheet(page)
    inches = {key: {k: f"{float(v) / 25.4:.2f}" for k, v in row.items()} for key, row in BOTH.items()}
    sheet.type({**(BOTH if name == "A4" else inches), "age_years": "41"})
    sheet.press()
    sheet.wait()
    folded = sheet.card.locator("details")
    assert folded.count() == 3
    assert folded.evaluate_all("(all) => all.every((one) => !one.open)")
    inside = [
        text for part in ("ranges", "others", "sums") for text in sheet.part(part).locator("> *").all_text_contents()
    ]
    assert len(inside) > 6
    reader = printed(page)
    assert len(reader.pages) <= 2
    text = squeezed(text_of(reader))
    assert [row for row in inside if squeezed(row) not in text] == []
    assert squeezed(WORDS["cautions"]["not_a_diagnosis"]["text"]) in text
    for typed in sheet.typed().values():
        assert squeezed(typed) in text
    assert folded.evaluate_all("(all) => all.every((one) => !one.open)"), "printing leaves the page as it was"


def test_without_scripts_the_check_still_prints_on_one_sheet(visitor, paper):
    host, _ = paper
    reader = printed(visitor.open(host, CHECK, java_script_enabled=False))
    assert len(reader.pages) == 1
    assert squeezed(WORDS["footprint_widths"]["fields"]["ball_mm"]) in squeezed(text_of(reader))


def test_drawings_without_their_lines_leave_the_words_on_paper_as_they_are(visitor, paper):
    """What every test here reads is only that; a leaf as it prints takes many times as long."""
    page = visitor.open(paper[0], CHECK, first=NO_IDLE)
    full, read = whole(page), printed(page)
    assert len(sizes(full)) > 100
    assert (sizes(read), text_of(read)) == (sizes(full), text_of(full))
    long, short = (sum(len(leaf.get_contents().get_data()) for leaf in reader.pages) for reader in (full, read))
    assert short < long / 2
