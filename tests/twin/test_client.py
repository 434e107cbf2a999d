"""The page's end of the calculators: what becomes of a worker that fails, and what the page is told."""

import json
import shutil
from pathlib import Path

import pytest

from treadleaf import pyodide_package

PLAYER = Path(__file__).with_name("client.mjs")
ACTION = "footprint_widths"
READY = {"kind": "ready", "checked": "sha256"}
ANSWER = {"kind": "answer", "answer": {"ok": True}}


def failed(reason):
    return {"kind": "failed", "reason": reason, "detail": "planned"}


def worker(start=READY, *replies):
    return {"start": [start], ACTION: list(replies)}


@pytest.fixture(scope="module")
def play(repo, tmp_path_factory):
    folder = tmp_path_factory.mktemp("client")
    shutil.copytree(repo / "site_templates" / "scripts", folder, dirs_exist_ok=True)
    # Without it, Node takes these files for scripts of the older kind.
    (folder / "package.json").write_text('{"type": "module"}')

    def played(*workers, questions=1, site="unkept", pixels=None):
        asked = [{"pixels": pixels} if pixels else {}] * questions
        told = {"site": site, "workers": workers, "questions": asked}
        program = [pyodide_package.tool("node"), str(PLAYER), str(folder)]
        return json.loads(pyodide_package.run(program, failed="not played", mend="", given=told))

    return played


def test_a_question_starts_the_worker_and_the_next_one_finds_it_ready(play):
    seen = play(worker(READY, ANSWER, ANSWER), questions=2)
    assert seen["outcomes"] == [{"ok": True}, {"ok": True}]
    assert seen["states"] == [["loading", None], ["ready", None]]
    assert (seen["started"], seen["ended"]) == (1, 0)
    assert [message["action"] for message in seen["sent"]] == ["start", ACTION, ACTION]


def test_the_start_names_no_address(play):
    assert play(worker(READY, ANSWER))["sent"][0] == {"action": "start", "input": {}}


def test_a_worker_whose_door_threw_is_ended_and_the_next_question_starts_another(play):
    seen = play(worker(READY, failed("start_failed")), worker(READY, ANSWER), questions=2)
    assert seen["outcomes"] == ["start_failed", {"ok": True}]
    assert seen["states"] == [
        ["loading", None],
        ["ready", None],
        ["failed", "start_failed"],
        ["loading", None],
        ["ready", None],
    ]
    assert (seen["started"], seen["ended"]) == (2, 1)


def test_a_start_that_failed_is_told_and_the_next_question_starts_another(play):
    seen = play(worker(failed("offline")), worker(READY, ANSWER), questions=2)
    assert seen["outcomes"] == ["offline", {"ok": True}]
    assert seen["states"] == [["loading", None], ["failed", "offline"], ["loading", None], ["ready", None]]
    assert (seen["started"], seen["ended"]) == (2, 1)


@pytest.mark.parametrize("start", [{"kind": "unheard of"}, {"kind": "ready", "checked": "hardly"}])
def test_a_worker_that_speaks_in_another_way_is_ended(play, start):
    seen = play(worker(start), worker(READY, ANSWER), questions=2)
    assert seen["outcomes"] == ["start_failed", {"ok": True}]
    assert (seen["started"], seen["ended"]) == (2, 1)


@pytest.mark.parametrize(
    ("site", "reason", "told"),
    [
        ("newer", "not_found", "outdated"),
        ("newer", "altered", "outdated"),
        ("newer", "offline", "offline"),
        ("current", "not_found", "not_found"),
        ("current", "altered", "altered"),
        ("unkept", "not_found", "not_found"),
    ],
)
def test_files_that_went_with_an_older_version_are_told_from_files_that_are_missing(play, site, reason, told):
    seen = play(worker(failed(reason)), site=site)
    assert seen["outcomes"] == [told]
    assert seen["states"][-1] == ["failed", told]
    assert seen["ended"] == 1


def test_pixels_are_handed_over_and_not_copied(play):
    seen = play(worker(READY, ANSWER), pixels=[0, 127, 128, 255])
    assert seen["sent"][1] == {"action": ACTION, "input": {}, "pixels": [0, 127, 128, 255]}
    assert seen["outcomes"] == [{"ok": True}, 0]
