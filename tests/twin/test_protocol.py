"""The messages between page and worker: which shapes are taken, and that each reason for failing has its words."""

import json
import shutil
import tomllib
from pathlib import Path

import pytest

from treadleaf import pyodide_package

READER = Path(__file__).with_name("protocol.mjs")

GOOD_REQUESTS = [
    {"id": 1, "action": "start", "input": {}},
    {"id": 2, "action": "footprint_widths", "input": {}},
]
BAD_REQUESTS = [
    None,
    "start",
    [],
    {"action": "start", "input": {}},
    {"id": 0, "action": "start", "input": {}},
    {"id": 1.5, "action": "start", "input": {}},
    {"id": "1", "action": "start", "input": {}},
    {"id": 1, "action": 7, "input": {}},
    {"id": 1, "action": "start"},
    {"id": 1, "action": "start", "input": []},
    {"id": 1, "action": "start", "input": {}, "pixels": [1, 2, 3]},
]
GOOD_REPLIES = [
    {"id": 0, "kind": "listening"},
    {"id": 0, "kind": "unloaded", "detail": "TypeError"},
    {"id": 1, "kind": "progress", "done": 0, "total": 5},
    {"id": 1, "kind": "ready", "checked": "sha256"},
    {"id": 1, "kind": "ready", "checked": "length"},
    {"id": 2, "kind": "answer", "answer": {"ok": False}},
    {"id": 2, "kind": "failed", "reason": "altered", "detail": ""},
]
BAD_REPLIES = [
    None,
    {"id": 1},
    {"id": 1, "kind": "toString"},
    {"id": 1, "kind": "listening"},
    {"id": 1, "kind": "progress", "done": -1, "total": 5},
    {"id": 1, "kind": "progress", "done": "1", "total": 5},
    {"id": 1, "kind": "ready", "checked": "no"},
    {"id": 0, "kind": "answer", "answer": {}},
    {"id": 2, "kind": "answer", "answer": "{}"},
    {"id": 2, "kind": "failed", "reason": "because", "detail": ""},
    {"id": 2, "kind": "failed", "reason": "altered"},
]


@pytest.fixture(scope="module")
def taken(repo, tmp_path_factory):
    # Older versions of Node take a file for a module only when its name says so.
    module = tmp_path_factory.mktemp("protocol") / "protocol.mjs"
    shutil.copyfile(repo / "site_templates" / "scripts" / "calculator-protocol.js", module)
    messages = {"requests": GOOD_REQUESTS + BAD_REQUESTS, "replies": GOOD_REPLIES + BAD_REPLIES}
    program = [pyodide_package.tool("node"), str(READER), str(module)]
    return json.loads(pyodide_package.run(program, failed="not read", mend="", given=messages))


def test_only_requests_of_the_agreed_shape_are_taken(taken):
    assert taken["requests"] == [True] * len(GOOD_REQUESTS) + [False] * len(BAD_REQUESTS)


def test_only_replies_of_the_agreed_shape_are_taken(taken):
    assert taken["replies"] == [True] * len(GOOD_REPLIES) + [False] * len(BAD_REPLIES)


def test_each_reason_for_failing_has_its_words(taken, repo):
    words = tomllib.loads((repo / "site_templates" / "strings" / "en.toml").read_text("utf-8"))
    shown = [reason for reason in taken["reasons"] if reason != "cancelled"]
    assert sorted(words["calculator"]["failed"]) == sorted(shown)
