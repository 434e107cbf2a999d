"""A footprint from a photograph on its page: the same numbers as on the command line, on a phone, by keys, offline."""

from __future__ import annotations

import json
import re

import numpy as np
import pytest
from browser.device import CUTS, SILENCE, cut
from browser.hosts import Host
from browser.photo_tool import PATH, PHONE, SAY, PhotoTool, as_file, both_feet, jpeg
from browser.sheets import at_fault, axe, fits
from browser.sites import WORDS
from browser.states import wait_for_calculators_kept, wait_for_pages_kept
from click.testing import CliRunner
from PIL import Image
from playwright.sync_api import expect
from prints.resized import resized

from treadleaf.cli import main

SMALL_ENOUGH = 0.003  # by which the arch index may differ: two decoders, two ways to make a picture smaller


@pytest.fixture(scope="module")
def worksheet():
    return PhotoTool, PATH


# An easy picture with a sheet, held upright and held across; one without; a hard one. All are larger than what is kept.
PICTURES = {
    "easy, on a sheet": ("easy-06", "a4", None),
    "easy, on a sheet, camera held across": ("easy-06", "a4", 6),
    "easy, no sheet": ("easy-31", "none", None),
    "hard": ("hard-24", "none", None),
}


@pytest.mark.parametrize(("name", "laid", "held"), PICTURES.values(), ids=PICTURES)
def test_the_page_and_the_command_line_say_the_same(tool, tmp_path, name, laid, held):
    large = np.asarray(Image.fromarray(resized(name, 1.5).rgb).resize((3000, 4000) if name[0] == "e" else (4000, 3000)))
    options = {}
    if held:
        large = np.ascontiguousarray(np.rot90(large))
        options["exif"] = Image.Exif()
        options["exif"][0x0112] = held
    file = tmp_path / "photo.jpg"
    file.write_bytes(as_file(large, "JPEG", quality=92, **options))
    command = ["measure", "footprint", str(file), "--json", "--sheet", laid, "--foot", "left"]
    told = json.loads(CliRunner().invoke(main, command).stdout)
    tool.take(file.read_bytes(), sheet=laid, foot="left")
    tool.keep()
    assert tool.index("left") == pytest.approx(told["indices"]["arch_index"]["value"], abs=SMALL_ENOUGH)
    widths = tool.part("widths").locator("li").all_inner_texts()
    if told["lengths"]:
        shown = [float(re.search(r"([\d.]+)\u00a0mm", row)[1]) for row in widths]
        names = ("ball_mm", "middle_mm", "heel_mm", "toeless_mm")
        assert shown == pytest.approx([told["lengths"][key] for key in names], abs=0.6)
    else:
        assert widths == [SAY["no_size"]]


def test_both_feet_are_measured_on_a_phone_by_taps_alone(phone):
    assert fits(phone.page)
    for side, name in (("left", "easy-06"), ("right", "easy-15")):
        assert phone.part("which").locator("input:checked").get_attribute("value") == side, "the foot that comes next"
        phone.take(jpeg(name), sheet="none")
        assert fits(phone.page)
        assert phone.part("question").inner_text() == SAY["question"].format(foot=WORDS["sides"][side])
        phone.part("keep").tap()
        phone.kept()
    assert phone.status.inner_text() == SAY["kept_both"]
    expect(phone.card).to_be_focused()
    sides = phone.card.locator("[data-side]")
    assert [sides.nth(at).is_visible() for at in (0, 1)] == [True, True]
    one, other = (sides.nth(at).locator("svg.print-drawing").bounding_box() for at in (0, 1))
    assert one["y"] == pytest.approx(other["y"], abs=2), "side by side"
    said = phone.part("difference").inner_text()
    left, right = phone.index("left"), phone.index("right")
    assert f"{abs(100 * left - 100 * right):.1f} points" in said
    assert (SAY["larger"] in said) != (SAY["within"] in said)
    assert SAY["few"] in said
    assert WORDS["cautions"]["not_a_diagnosis"]["text"] in phone.card.inner_text()
    assert fits(phone.page)


def test_one_picture_may_show_both_feet(tool):
    data = both_feet()
    tool.take(data, foot="left")
    assert tool.status.inner_text() == WORDS["picture_refusals"]["more_prints"]
    tool.part("is-both").click()
    tool.wait()
    tool.found()
    assert tool.root.locator(".photo-view__print").count() == 2
    tool.part("swap").click()
    expect(tool.part("feet")).to_have_text(SAY["swapped"])
    tool.part("swap").click()
    tool.keep()
    assert tool.index("left") == pytest.approx(tool.index("right"), abs=0.01), "one is the other turned over"


def test_one_print_where_two_were_asked_for_is_asked_about(tool):
    tool.take(jpeg("easy-31"), foot="both")
    assert (tool.step, tool.status.inner_text()) == ("refused", SAY["one_only"])
    expect(tool.part("is-left")).to_be_visible()
    tool.part("is-right").click()
    tool.wait()
    tool.found()
    assert tool.part("question").inner_text() == SAY["question"].format(foot=WORDS["sides"]["right"])


def test_a_shape_like_the_other_foot_is_put_right_by_one_tap(tool):
    tool.take(jpeg("easy-31"), foot="left")
    expect(tool.part("warnings")).to_contain_text(WORDS["picture_warnings"]["other_foot"])
    expect(tool.part("is-left")).to_be_hidden()
    tool.part("is-right").click()
    tool.wait()
    tool.found()
    assert WORDS["picture_warnings"]["other_foot"] not in tool.part("warnings").inner_text()
    tool.keep()
    expect(tool.card.locator('[data-side="right"]')).to_be_visible()


def test_prints_that_can_hardly_be_of_one_person_are_asked_about(tool):
    tool.take(jpeg("easy-06"), sheet="a4", foot="left")
    tool.keep()
    expect(tool.part("unlike")).to_be_hidden()
    tool.take(jpeg("easy-06"), sheet="a4", foot="right")
    tool.keep()
    expect(tool.part("unlike")).to_be_hidden()
    tool.card.locator('[data-side="right"] [data-part="tries"] button').last.click()
    tool.take(jpeg("easy-15"), sheet="letter", foot="right")
    tool.keep()
    expect(tool.part("unlike")).to_be_visible()


def test_three_prints_of_a_foot_show_how_far_ones_own_lie_apart(tool):
    for name in ("easy-06", "easy-15", "easy-31"):
        tool.take(jpeg(name), foot="left")
        tool.keep()
    tool.card.locator("details").first.locator("summary").click()
    expect(tool.part("own")).to_contain_text("can be chance")
    assert tool.part("which").locator('input[value="left"]').is_disabled()
    tries = tool.card.locator('[data-side="left"] [data-part="tries"] button')
    assert tries.all_inner_texts() == [*(SAY["try"].format(number=at) for at in (1, 2, 3)), SAY["remove"]]
    third = tool.index("left")
    tries.nth(1).click()
    assert tool.index("left") != third
    tries.last.click()
    expect(tool.part("own")).to_be_hidden()
    assert tool.part("which").locator('input[value="left"]').is_enabled()


def test_starting_again_is_asked_for_twice(tool):
    tool.take(jpeg("easy-31"), foot="left")
    tool.keep()
    tool.part("clear").click()
    expect(tool.status).to_have_text(SAY["start_over_sure"])
    expect(tool.card).to_be_visible()
    tool.part("clear").click()
    expect(tool.card).to_be_hidden()
    assert tool.part("count").is_hidden()


def test_a_refused_photograph_says_why_and_leaves_a_way_on(tool):
    blank = as_file(np.full((900, 700, 3), 180, np.uint8), "JPEG")
    tool.take(blank, sheet="a4")
    assert (tool.step, tool.status.inner_text()) == ("refused", WORDS["picture_refusals"]["no_print"])
    expect(tool.part("keep")).to_be_hidden()
    expect(tool.part("another")).to_be_focused()
    tool.adjust("corners")
    assert tool.handles.count() == 4
    assert tool.part("group").locator("label:visible").count() == 1
    tool.part("done").click()
    expect(tool.part("choose")).to_be_visible()
    tool.take(jpeg("easy-31"))
    tool.found()


@pytest.mark.parametrize("way", CUTS)
def test_it_works_with_no_network(visitor, host: Host, way):
    visitor.expect(*SILENCE)
    page = visitor.open(host, PATH, **PHONE)
    wait_for_pages_kept(page)
    wait_for_calculators_kept(page)
    cut(page.context, host, way)
    page.reload()
    tool = PhotoTool(page)
    tool.take(jpeg("easy-31"), foot="left")
    tool.keep()
    assert 0 < tool.index("left") < 1


@pytest.mark.parametrize("options", [{}, PHONE], ids=["wide", "phone"])
def test_it_is_sound_in_every_state(visitor, host: Host, options):
    tool = PhotoTool(visitor.open(host, PATH, **options))
    assert at_fault(tool.page) == []
    tool.take(jpeg("easy-06"), sheet="a4", foot="left")
    assert at_fault(tool.page) == []
    for group in ("toe_line", "corners", "threshold_percent"):
        tool.adjust(group)
        assert at_fault(tool.page) == [], group
    tool.part("done").click()
    tool.keep()
    tool.take(as_file(np.full((600, 500, 3), 180, np.uint8), "JPEG"))
    assert at_fault(tool.page) == []
    tool.card.locator("details").evaluate_all("(all) => all.forEach((one) => { one.open = true; })")
    assert at_fault(tool.page) == []


def test_it_fits_at_twice_the_size_and_from_right_to_left(visitor, host: Host):
    tool = PhotoTool(visitor.open(host, PATH, viewport={"width": 320, "height": 640}))
    tool.page.evaluate("document.documentElement.dir = 'rtl'")
    tool.take(jpeg("easy-06"), sheet="a4", foot="left")
    tool.adjust("corners")
    assert fits(tool.page)
    photo, handle = tool.part("photo").bounding_box(), tool.handles.first.bounding_box()
    share = tool.page.evaluate("() => document.querySelector('.photo-view__handle').style.left")
    middle = handle["x"] + handle["width"] / 2
    assert middle == pytest.approx(photo["x"] + photo["width"] * float(share[:-1]) / 100, abs=1), "on the picture still"
    tool.part("done").click()
    tool.keep()
    assert fits(tool.page)
    assert axe(tool.page) == []
