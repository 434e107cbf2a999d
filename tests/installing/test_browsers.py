"""The browsers for the tests are found where they are, installed where that is possible, and else named."""

from __future__ import annotations

import shutil
import subprocess
from pathlib import Path

import browsers
import pytest


@pytest.fixture
def machine(monkeypatch):
    """A machine with the programs in a set; what would be run on it is written down."""
    programs, commands = set(), []

    def run(command, **more):
        commands.append(" ".join(command[-4:]))
        if command[0] == "apt-get":
            programs.update({"chromium": "chromium", "xvfb": "Xvfb"}.get(word, word) for word in command)
        return subprocess.CompletedProcess(command, 0, stdout="")

    monkeypatch.setattr(shutil, "which", lambda name: f"/there/{name}" if name in programs else None)
    monkeypatch.setattr(subprocess, "run", run)
    monkeypatch.setattr(browsers, "_from_playwright", lambda: None)
    monkeypatch.setattr(browsers, "_font_files", lambda: (Path("/there", name) for name in programs))
    monkeypatch.setattr(browsers, "_system", lambda: "debian")
    monkeypatch.setattr(browsers, "_may_use_apt", lambda: True)
    return programs, commands


def test_an_engine_is_there_only_with_all_its_parts(machine):
    programs, _ = machine
    programs.add("WebKitWebDriver")
    assert browsers.find("webkit") is None
    programs.add("Xvfb")
    assert browsers.find("webkit").as_posix() == "/there/WebKitWebDriver"


def test_where_everything_is_there_nothing_is_installed_and_nothing_said(machine, capsys):
    programs, commands = machine
    programs |= {"chromium", "firefox-esr", "WebKitWebDriver", "Xvfb", "faketime", "java", "nginx", "Arial.ttf"}
    browsers.install_missing()
    assert (commands, capsys.readouterr().out) == ([], "")


def test_root_on_debian_gets_only_what_is_missing(machine):
    programs, commands = machine
    programs |= {"chromium", "WebKitWebDriver", "Xvfb", "faketime", "java"}
    browsers.install_missing()
    assert commands == ["apt-get -qq update", "--no-install-recommends firefox-esr nginx-light fonts-liberation"]


def test_who_may_not_install_gets_chromium_downloaded_and_the_rest_named(machine, monkeypatch, capsys):
    _, commands = machine
    monkeypatch.setattr(browsers, "_may_use_apt", lambda: False)
    browsers.install_missing()
    assert commands == ["-m playwright install chromium"]
    told = capsys.readouterr().out
    assert (
        "webkit: no WebKitWebDriver and Xvfb on this machine. On Debian: apt-get install webkit2gtk-driver xvfb" in told
    )
    assert "firefox: no firefox-esr or firefox on this machine" in told
    assert "letters: no Arial.ttf or arial.ttf or LiberationSans-Regular.ttf or Arimo-Regular.ttf on this" in told
