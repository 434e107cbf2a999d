"""The page on reading numbers: it fits every screen and one sheet of paper."""

from __future__ import annotations

import pytest
from browser import sheets
from browser.hosts import Host
from browser.on_paper import printed, small_print
from browser.sheets import LEARN


@pytest.mark.usefixtures("letters")
@pytest.mark.parametrize("paper", ["A4", "Letter"])
def test_it_prints_on_one_sheet(visitor, demo_site, imperial_site, paper):
    with Host(demo_site if paper == "A4" else imperial_site) as host:
        page = visitor.open(host, LEARN)
        assert len(printed(page).pages) == 1
        assert small_print(page) == []


@pytest.mark.parametrize("width", [360, 640, 1280])
def test_it_is_accessible_and_fits_light_or_dark(visitor, host, width):
    page = visitor.open(host, LEARN, viewport={"width": width, "height": 800})
    assert sheets.at_fault(page) == []
