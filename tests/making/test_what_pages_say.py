"""What a client reads on the built pages: numbers of sources, doors, headings, and lines that keep together."""

import re

from treadleaf import mkdocs_hooks, places, site, words


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
    assert links["check"] == ["checks/wet-print.html", "checks/arch-reach.html", "checks/heel-tilt.html"]
    assert links["caution"][0] == "cautions/when-to-get-help.html"
    assert links["exercise"][0] == "exercises/touch.html"
    assert links["exercise"][-1] == "exercises/how-much.html"
    assert [len(links[kind]) for kind in ("caution", "check", "exercise", "learn")] == [5, 3, 8, 3]


def test_only_what_is_done_says_before_you_start(demo_site):
    said = words.load(places.templates(), "en")["page"]
    for page in site._pages():
        done = page.front.kind in ("home", "check", "exercise", "programme")
        text = (demo_site / page.address).read_text("utf-8")
        assert f'caution-box-title">{said["cautions" if done else "always"]}</h2>' in text, page.address
