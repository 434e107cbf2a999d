"""A print in a photograph is put right by hand: by keys, by a finger, by numbers; and every step can be taken back."""

from __future__ import annotations

import pytest
from browser.photo_tool import PATH, PATIENCE_MS, SAY, PhotoTool, jpeg
from playwright.sync_api import expect


@pytest.fixture(scope="module")
def worksheet():
    return PhotoTool, PATH


def test_what_is_put_right_by_keys_is_answered_at_once_and_can_be_taken_back(tool):
    tool.take(jpeg("easy-06"), sheet="a4", foot="left")
    first = tool.outline()
    said = tool.plain()
    tool.adjust("toe_line")
    assert tool.handles.count() == 5
    tool.handles.nth(2).focus()
    before = tool.part("across").input_value(), tool.part("down").input_value()
    for key in ("Shift+ArrowRight", "ArrowRight", "ArrowDown"):
        tool.page.keyboard.press(key)
    after = tool.part("across").input_value(), tool.part("down").input_value()
    assert [float(one) - float(two) for one, two in zip(after, before, strict=True)] == pytest.approx([11, 1])
    tool.changed(first)
    second = tool.outline()
    tool.part("across").fill(str(float(after[0]) + 20))
    tool.page.keyboard.press("Enter")
    tool.changed(second)
    third = tool.outline()
    tool.part("undo").click()
    tool.changed(third)
    assert tool.outline() == second
    tool.part("as-found").click()
    tool.changed(second)
    assert tool.outline() == first
    tool.part("undo").click()
    tool.changed(first)
    tool.part("done").click()
    tool.found()
    assert tool.plain() != said
    assert tool.handles.count() == 0


def test_a_finger_drags_a_corner_under_a_glass(phone):
    """The sheet was not asked for where it lies, so its corners wait for a hand."""
    phone.take(jpeg("easy-06"), sheet="a4", foot="left")
    phone.adjust("corners")
    handle = phone.handles.first
    box = handle.bounding_box()
    assert min(box["width"], box["height"]) >= 44
    glass = phone.part("glass")
    expect(glass).to_be_hidden()
    start = box["x"] + box["width"] / 2, box["y"] + box["height"] / 2
    first = phone.part("across").input_value()
    touch = phone.page.context.new_cdp_session(phone.page)

    def finger(kind, *at):
        points = [{"x": x, "y": y} for x, y in at]
        touch.send("Input.dispatchTouchEvent", {"type": kind, "touchPoints": points})

    finger("touchStart", start)
    finger("touchMove", (start[0] + 4, start[1] + 3))
    finger("touchMove", (start[0] + 10, start[1] + 6))
    expect(glass).to_be_visible()
    moved = handle.bounding_box()
    assert moved["x"] - box["x"] == pytest.approx(10, abs=1.5)
    finger("touchEnd")
    expect(glass).to_be_hidden()
    assert phone.part("across").input_value() != first
    expect(phone.part("undo")).to_be_enabled(timeout=PATIENCE_MS)


def test_the_edge_and_the_axis_are_put_right_too(tool):
    tool.take(jpeg("easy-31"), foot="right")
    found = tool.outline()
    tool.adjust("threshold_percent")
    assert tool.handles.count() == 0
    tool.part("edge-share").focus()
    for _ in range(6):
        tool.page.keyboard.press("ArrowRight")
    tool.changed(found)
    tool.part("done").click()
    said = tool.plain()
    tool.adjust("axis")
    assert tool.handles.evaluate_all("(all) => all.map((one) => one.title)") == [
        SAY["handles"]["heel"], SAY["handles"]["second_toe"],
    ]  # fmt: skip
    tool.handles.nth(1).focus()
    for _ in range(4):
        tool.page.keyboard.press("Shift+ArrowLeft")
    expect(tool.part("undo")).to_be_enabled(timeout=PATIENCE_MS)
    tool.part("done").click()
    tool.found()
    assert tool.plain() != said


def test_whoever_has_done_adjusting_keeps_the_last_change_too(tool):
    tool.take(jpeg("easy-06"), sheet="a4", foot="left")
    said = tool.plain()
    tool.adjust("axis")
    tool.handles.nth(1).focus()
    for _ in range(5):
        tool.page.keyboard.press("Shift+ArrowLeft")
    tool.part("done").click()  # before the calculators were even asked
    expect(tool.tool).to_have_attribute("data-step", "look", timeout=PATIENCE_MS)
    assert tool.plain() != said
    assert tool.handles.count() == 0


def test_a_foot_is_measured_and_put_right_by_keys_alone(tool):
    """From the top of the page: nothing is clicked, and the focus is never lost."""
    keys = tool.page.keyboard
    # Waited for from the start: asked for at the moment of the key, the browser might still show its own dialog.
    tool.page.on("filechooser", lambda _: None)

    def reach(name: str) -> None:
        for _ in range(60):
            keys.press("Tab")
            if tool.part(name).evaluate("(part) => part === document.activeElement"):
                return
        pytest.fail(f"{name} is not reached by the Tab key")

    tool.part("sheet").focus()
    keys.type("Nothing")
    reach("choose")
    with tool.page.expect_file_chooser() as chooser:
        keys.press("Enter")
    chooser.value.set_files({"name": "photo.jpg", "mimeType": "image/jpeg", "buffer": jpeg("easy-31")})
    tool.wait()
    expect(tool.part("question")).to_be_focused()
    reach("change")
    keys.press("Enter")
    before = tool.outline()
    for _ in range(12):
        if tool.handles.first.evaluate("(one) => one === document.activeElement"):
            break
        keys.press("Shift+Tab")
    expect(tool.handles.first).to_be_focused()
    expect(tool.part("glass")).to_be_visible()
    keys.press("Tab")
    keys.press("Tab")
    for _ in range(3):
        keys.press("Shift+ArrowUp")
    tool.changed(before)
    reach("done")
    keys.press("Enter")
    expect(tool.part("question")).to_be_focused()
    reach("keep")
    keys.press("Enter")
    expect(tool.status).to_have_text(SAY["kept"])
    expect(tool.part("choose")).to_be_focused()
