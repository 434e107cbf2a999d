"""What a client reads on the built pages: numbers of sources, doors, headings, and lines that keep together."""

import re

from treadleaf import mkdocs_hooks, places, site, words
from treadleaf.drawings import DRAWINGS

HELP = "when-to-get-help.html"


def test_sources_are_numbered_as_they_are_met(demo_site):
    seen = 0
    for page in demo_site.rglob("*.html"):
        links = re.findall(r'<a href="#source-\w+">(\d+)</a>', page.read_text("utf-8"))
        met = list(dict.fromkeys(int(number) for number in links))
        assert met == sorted(met), page.name
        seen += len(met)
    assert seen > 50


def test_a_time_of_day_is_not_parted_from_its_half_of_the_day():
    unbroken = mkdocs_hooks.FILTERS["unbroken"]
    assert unbroken("Monday to Friday, 8 am to 6 PM") == "Monday to Friday, 8\u00a0am to 6\u00a0PM"
    assert unbroken("8 to 12, 2 amber doors") == "8 to 12, 2 amber doors"


def test_a_door_lists_its_pages_in_their_order_and_help_comes_first(demo_site):
    html = (demo_site / "index.html").read_text("utf-8")
    doors = {
        kind: html.split(f'id="{kind}"')[1].split("</section>")[0] for kind in ("caution", "check", "exercise", "learn")
    }
    links = {kind: re.findall(r'href="([^"#]+)"', door) for kind, door in doors.items()}
    assert links["check"] == [
        "checks/wet-print.html",
        "checks/print-photo.html",
        "checks/arch-reach.html",
        "checks/heel-tilt.html",
    ]
    assert links["caution"][0] == "cautions/when-to-get-help.html"
    assert links["exercise"][0] == "exercises/touch.html"
    assert links["exercise"][-1] == "exercises/how-much.html"
    assert [len(links[kind]) for kind in ("caution", "check", "exercise", "learn")] == [5, 4, 8, 3]


def test_the_signs_are_one_tap_away_from_every_page(demo_site):
    for path in demo_site.rglob("*.html"):
        header = path.read_text("utf-8").split("</header>")[0]
        to_signs = re.search(r'href="(?:[^"]*/)?when-to-get-help\.html"[^>]*class="clinic-nav__help"', header)
        assert to_signs or path.name == HELP, path


def test_what_calls_for_a_clinician_stands_on_every_check_and_exercise(demo_site):
    line = words.load(places.templates(), "en")["cautions"]["arch_changed"]["text"]
    for page in site._pages():
        if page.front.kind in ("home", "check", "exercise", "programme", "caution", "signs"):
            assert line in (demo_site / page.address).read_text("utf-8"), page.address


def test_every_shipped_exercise_shows_doses_and_its_start_and_end():
    exercises = [page for page in site._pages() if page.front.kind == "exercise"]
    assert len(exercises) == 7
    for page in exercises:
        drawn = [tag for tag in page.components if tag in DRAWINGS]
        assert len(drawn) >= 2, page.address
        assert "drill-doses" in page.components, page.address
        assert page.front.drills, page.address


def test_only_what_is_done_says_before_you_start(demo_site):
    said = words.load(places.templates(), "en")["page"]
    for page in site._pages():
        done = page.front.kind in ("home", "check", "exercise", "programme")
        text = (demo_site / page.address).read_text("utf-8")
        assert f'caution-box-title">{said["cautions" if done else "always"]}</h2>' in text, page.address
