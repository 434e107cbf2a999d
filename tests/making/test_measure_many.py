"""Many pictures: measured by several processes, answered in their order, and none lost for another's sake."""

from __future__ import annotations

import json
import os

from click.testing import CliRunner
from making import dying

from treadleaf.cli import main
from treadleaf.measuring import footprint


def test_many_pictures_are_measured_by_several_processes_in_their_order(tmp_path, monkeypatch):
    monkeypatch.setattr(footprint, "measure", dying.measure)
    paths = [tmp_path / f"{number}.jpg" for number in range(12)]
    found = list(footprint.measure_all(paths, {"foot": "left"}, 2))
    assert [one["result"] for one in found] == [path.name for path in paths]
    assert all(one["asked"] == {"foot": "left"} for one in found)
    assert os.getpid() not in {one["by"] for one in found}


def test_a_process_that_the_system_ends_costs_its_own_picture_only(tmp_path, monkeypatch):
    monkeypatch.setattr(footprint, "measure", dying.measure)
    names = ["a.jpg", "deadly.jpg", "b.jpg", "c.jpg"]
    found = list(footprint.measure_all([tmp_path / name for name in names], {}, 2))
    assert [one.get("result") for one in found] == ["a.jpg", None, "b.jpg", "c.jpg"]
    assert found[1] == {"ok": False, "refusal": {"key": "measuring_ended", "where": ""}}


def test_there_are_no_more_processes_than_pictures_or_cores():
    assert footprint.workers(1) == 1
    assert 1 <= footprint.workers(1000) <= (os.cpu_count() or 1)


def test_files_are_refused_by_the_real_thing_in_several_processes(tmp_path, monkeypatch):
    """Without a stand-in, from the command down to the file: what is no picture never reaches the calculator."""
    monkeypatch.setattr(footprint, "workers", lambda pictures: 2)
    (tmp_path / "empty.jpg").touch()
    words = ["measure", "footprint", str(tmp_path / "empty.jpg"), str(tmp_path), str(tmp_path / "no.jpg"), "--json"]
    answer = CliRunner().invoke(main, words, prog_name="treadleaf")
    assert [row["refusal"]["key"] for row in map(json.loads, answer.stdout.splitlines())] == [
        "picture_empty",
        "picture_not_a_file",
        "picture_missing",
    ]
    assert answer.exit_code == 1


def test_whoever_stops_listening_is_not_kept(tmp_path, monkeypatch):
    monkeypatch.setattr(footprint, "measure", dying.measure)
    asking = footprint.measure_all([tmp_path / f"{number}.jpg" for number in range(50)], {}, 2)
    assert next(asking)["ok"]
    asking.close()


def test_progress_is_shown_on_a_terminal_and_nowhere_else(run_measure, spot, large, monkeypatch):
    assert run_measure(spot, large).stderr == ""
    from treadleaf.measuring import command

    class Terminal:
        @staticmethod
        def isatty():
            return True

        def __init__(self):
            self.text = ""

        def write(self, text):
            self.text += text

        def flush(self):
            pass

    terminal = Terminal()
    monkeypatch.setattr(command.sys, "stderr", terminal)
    with command._progress(2) as step:
        step()
        step()
    assert "2/2" in terminal.text
    with command._progress(1) as step:
        step()
    assert "1/1" not in terminal.text, "one picture needs no bar"
