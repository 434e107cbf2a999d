"""The form that writes a clinic file: what it writes passes the check, faults are told, nothing leaves the device."""

from __future__ import annotations

import json
import random
import re
import tomllib
from pathlib import Path
from typing import Any

import pytest
from browser.hosts import Host
from browser.sites import WORDS
from browser.states import wait_for_pages_kept
from playwright.sync_api import Locator, Page, expect

from treadleaf import clinic, schema, site
from treadleaf.clinic_model import Clinic

FORM = "staff/clinic-file.html"
SAY = WORDS["clinic_form"]
NEEDED = {
    "name": 'A "quoted" & <b>bold</b> room\\',
    "strapline": "Füße, 足 and more \U0001f9b6",
    "telephone": "(02) 5550 0172",
    "site_address": "https://www.example.org/room/",
}


@pytest.fixture
def form(visitor, host: Host) -> Page:
    return visitor.open(host, FORM)


def field(page: Page, key: str) -> Locator:
    return page.locator(f"#clinic-{key}")


def fault(page: Page, key: str) -> Locator:
    return page.locator(f"#clinic-{key}-fault")


def fill_in(page: Page, values: dict[str, str]) -> None:
    for key, text in {**values, "emergency-number": "112", "emergency-name": "emergency services"}.items():
        field(page, key).fill(text)


def saved(page: Page) -> str:
    with page.expect_download() as waiting:
        page.get_by_role("button", name=SAY["write"]).click()
    assert waiting.value.suggested_filename == "clinic.toml"
    text = Path(waiting.value.path()).read_text("utf-8")
    expect(page.get_by_text(SAY["written"])).to_be_visible()
    return text


def checked(text: str, folder: Path) -> Clinic:
    (folder / "clinic.toml").write_text(text, "utf-8", newline="\n")
    found = site.check(folder / "clinic.toml")
    assert found.problems == ()
    return clinic.load(folder / "clinic.toml")


def test_every_key_of_the_file_has_its_field(form: Page):
    for key, part in schema.document()["properties"].items():
        if "const" not in part:
            assert form.locator(f'[data-key="{key}"]').count() >= 1, key


def test_what_is_needed_alone_makes_a_file_that_passes(form: Page, tmp_path):
    fill_in(form, NEEDED)
    whose = checked(saved(form), tmp_path)
    assert {key: getattr(whose, key) for key in NEEDED} == NEEDED
    assert (whose.emergency.number, whose.paper, whose.languages) == ("112", "A4", ("en",))


def test_everything_filled_in_makes_a_file_that_passes(form: Page, tmp_path):
    fill_in(form, NEEDED)
    more = {
        "short_name": "Room",
        "colour": "#336",
        "second_colour": "#8a2b00",
        "email": "desk@example.org",
        "web": "https://www.example.org",
        "booking": "https://www.example.org/@book?first=yes",
        "local_rules": "One rule,\non two lines.",
    }
    for key, text in more.items():
        field(form, key).fill(text)
    field(form, "address").fill("1 Weir Lane\n\n  Marrowby  \n")
    field(form, "hours").fill("Monday to Friday")
    field(form, "paper").select_option("Letter")
    form.locator('[data-key="leave_out"] input').first.check()
    left_out = form.locator('[data-key="leave_out"] input').first.get_attribute("value")
    for key, rows in {
        "urgent_advice": [{"name": "Night line", "number": "01632 960 118", "when": "at night"}],
        "services": [{"name": "First visit"}, {"name": "Second visit", "about": "Shorter"}],
        "practitioners": [{"name": "Ines", "role": "Coach", "registered_with": "Invented", "registration_number": "1"}],
        "notes": [{"page": "index.html", "text": "Ring *us*.\n\n- one\n- two"}],
    }.items():
        for values in rows:
            row = add(form, key)
            for name, text in values.items():
                control = row.locator(f'[data-key="{name}"] :is(input, textarea, select)')
                control.select_option(text) if name == "page" else control.fill(text)
    whose = checked(saved(form), tmp_path)
    assert whose.address == ("1 Weir Lane", "Marrowby")
    assert whose.leave_out == (left_out,)
    assert [service.about for service in whose.services] == [None, "Shorter"]
    assert whose.notes == {"index.html": "Ring *us*.\n\n- one\n- two"}
    assert whose.practitioners[0].registration_number == "1"
    assert (whose.paper, whose.colour, whose.local_rules) == ("Letter", "#333366", "One rule, on two lines.")


def add(page: Page, key: str) -> Locator:
    group = page.locator(f'[data-key="{key}"][data-kind]')
    group.locator('[data-part="add"]').click()
    return group.locator('[data-part="row"]').last


def test_the_handouts_own_file_comes_back_as_it_was(form: Page, tmp_path):
    form.get_by_role("button", name=SAY["today"]).click()
    text = saved(form)
    wanted = tomllib.loads(site.DEMO.read_text("utf-8"))
    found = tomllib.loads(text)
    assert found == wanted
    assert text.startswith("#:schema ./clinic.schema.json\n")
    (tmp_path / "marrowby.svg").write_bytes((site.DEMO.parent / "marrowby.svg").read_bytes())
    assert checked(text, tmp_path) == clinic.load(site.DEMO)


def test_what_is_missing_or_wrong_is_told_beside_its_field_and_nothing_is_saved(form: Page):
    downloads: list[Any] = []
    form.on("download", lambda download: downloads.append(download))  # noqa: PLW0108 - it wants a function of Python's
    fill_in(form, {**NEEDED, "telephone": "call us", "name": ""})
    field(form, "strapline").fill("x" * 121)
    add(form, "practitioners").locator('[data-key="name"] input').fill("Ines")
    form.get_by_role("button", name=SAY["write"]).click()
    expect(fault(form, "name")).to_have_text(SAY["missing"])
    expect(fault(form, "strapline")).to_have_text(SAY["too_long"].format(most=120))
    expect(fault(form, "telephone")).to_have_text(SAY["wrong_form"])
    expect(form.locator('[data-key="practitioners"] [data-key="role"] .clinic-form__fault')).to_have_text(
        SAY["missing"]
    )
    expect(form.get_by_role("status")).to_have_text(SAY["faults"].format(count=4))
    expect(field(form, "name")).to_be_focused()
    expect(field(form, "name")).to_have_attribute("aria-invalid", "true")
    assert SAY["missing"] in (
        field(form, "name").evaluate("""(typed) => typed.getAttribute("aria-describedby")
        .split(" ").map((id) => document.getElementById(id)?.textContent).join(" ")""")
    )
    assert downloads == []
    field(form, "name").fill("A room")
    field(form, "strapline").fill("x" * 120)
    field(form, "telephone").fill("112")
    form.locator('[data-key="practitioners"] [data-part="remove"]').click()
    saved(form)
    expect(form.locator(".clinic-form__fault:visible")).to_have_count(0)


def test_a_refused_save_goes_to_the_first_fault_on_the_page_and_all_are_marked_alike(form: Page):
    fill_in(form, {**NEEDED, "site_address": ""})
    form.locator('[data-key="languages"] input').uncheck()
    form.get_by_role("button", name=SAY["write"]).click()
    # The file has its languages before the address, the page after it.
    expect(field(form, "site_address")).to_be_focused()
    fault_ink = fault(form, "site_address").evaluate("(told) => getComputedStyle(told).color")
    expect(field(form, "site_address")).to_have_css("border-top-color", fault_ink)
    expect(form.locator('[data-key="languages"]')).to_have_css("outline-color", fault_ink)
    expect(form.get_by_role("status")).to_have_css("color", fault_ink)


def test_a_row_is_named_as_one_of_its_kind(form: Page):
    named = {"urgent_advice": "Urgent line 1", "services": "Service 1", "practitioners": "Person 1", "notes": "Note 1"}
    for key, title in named.items():
        expect(add(form, key).locator("legend")).to_have_text(title)


def test_an_empty_colour_shows_none_in_its_palette(form: Page):
    for key in ("colour", "second_colour"):
        picker = form.locator(f'[data-key="{key}"] [data-part="picker"]')
        expect(picker).to_have_css("background-image", re.compile("gradient"))
        field(form, key).fill("#445566")
        expect(picker).to_have_css("background-image", "none")


def test_two_notes_on_one_page_are_told(form: Page):
    fill_in(form, NEEDED)
    for text in ("one", "two"):
        add(form, "notes").locator("textarea").fill(text)
    form.get_by_role("button", name=SAY["write"]).click()
    expect(form.locator(".clinic-form__fault:visible")).to_have_text([SAY["twice"]])


def test_the_palette_and_the_typed_colour_follow_each_other(form: Page):
    picker = form.locator('[data-key="colour"] [data-part="picker"]')
    picker.fill("#112233")
    expect(field(form, "colour")).to_have_value("#112233")
    field(form, "colour").fill("#445566")
    expect(picker).to_have_value("#445566")


def test_the_keyboard_alone_is_enough(form: Page, tmp_path):
    field(form, "name").focus()
    typed = iter(["A room", None, "Feet"])
    for text in typed:
        if text:
            form.keyboard.type(text)
        form.keyboard.press("Tab")
    fill_in(form, {key: text for key, text in NEEDED.items() if key not in ("name", "strapline")})
    button = form.locator('[data-key="services"] [data-part="add"]')
    button.focus()
    form.keyboard.press("Enter")
    form.keyboard.type("First visit")
    with form.expect_download() as waiting:
        form.keyboard.press("Enter")  # in a field, this hands the form in
    whose = checked(Path(waiting.value.path()).read_text("utf-8"), tmp_path)
    assert (whose.name, whose.strapline, whose.services[0].name) == ("A room", "Feet", "First visit")
    form.locator('[data-key="services"] [data-part="remove"]').focus()
    form.keyboard.press("Enter")
    expect(button).to_be_focused()


def test_nothing_is_asked_of_any_host_while_a_file_is_written(form: Page, host: Host):
    wait_for_pages_kept(form)
    before = len(host.asked)
    asked: list[str] = []
    form.on("request", lambda request: asked.append(request.url))
    fill_in(form, NEEDED)
    saved(form)
    assert [address for address in asked if not address.startswith("blob:")] == []
    assert len(host.asked) == before
    assert NEEDED["name"] not in json.dumps(form.evaluate("({...localStorage, ...sessionStorage})"))


@pytest.mark.parametrize("scheme", ["light", "dark"])
def test_it_fits_a_small_screen(visitor, host: Host, scheme):
    page = visitor.open(host, FORM, viewport={"width": 360, "height": 740}, color_scheme=scheme)
    for key in ("urgent_advice", "services", "practitioners", "notes"):
        add(page, key)
    assert page.evaluate("document.documentElement.scrollWidth <= innerWidth")


def test_without_scripts_it_says_what_to_do_and_offers_no_button(visitor, host: Host):
    page = visitor.open(host, FORM, java_script_enabled=False)
    assert "treadleaf new FOLDER" in page.locator("clinic-form noscript").inner_text()
    assert page.get_by_role("button").count() == 0


def test_any_text_comes_through_the_writer_unchanged(form: Page):
    """What the browser writes, Python's own reader of TOML reads back."""
    chance = random.Random(20261125)
    letters = [
        *map(chr, range(0x20, 0x7F)),
        "\n",
        "\t",
        "\x00",
        "\x1f",
        "\x7f",
        "\x85",
        "\u2028",
        "é",
        "足",
        "\U0001f9b6",
    ]
    texts = ["".join(chance.choices(letters, k=chance.randrange(40))) for _ in range(200)]
    values = {
        "schema": 1,
        "list": texts,
        "table": {"a.b": texts[0], "": texts[1]},
        "tables": [{"é": one} for one in texts],
    }
    written = form.evaluate(
        """async (values) => {
            const address = new URL("../components/clinic-form/toml.js", location.href);
            return (await import(address.href)).write(values);
        }""",
        values,
    )
    assert tomllib.loads(written) == values


@pytest.mark.parametrize("scheme", ["light", "dark"])
def test_the_checker_finds_nothing_on_the_form_with_its_faults_shown(visitor, host: Host, repo: Path, scheme):
    axe = repo / "tests" / "node_modules" / "axe-core" / "axe.min.js"
    if not axe.is_file():
        pytest.skip("axe-core is missing: `python3 tests` installs it (npm ci in tests/)")
    page = visitor.open(host, FORM, color_scheme=scheme, bypass_csp=True)
    for key in ("urgent_advice", "services", "practitioners", "notes"):
        add(page, key)
    page.get_by_role("button", name=SAY["write"]).click()
    expect(fault(page, "name")).to_be_visible()
    page.evaluate(axe.read_text("utf-8"))
    assert page.evaluate("async () => (await axe.run()).violations.map((rule) => [rule.id, rule.nodes[0].html])") == []
    fault(page, "name").evaluate("(told) => { told.style.color = 'silver'; }")
    if scheme == "light":
        found = page.evaluate("async () => (await axe.run()).violations.map((rule) => rule.id)")
        assert found == ["color-contrast"], "the checker can find something"
