"""How much a visitor downloads. Beyond the pass mark a test fails; the target beside it is only reported."""

from __future__ import annotations

import pytest
from browser import sites
from browser.hosts import Host
from browser.sites import CHECK
from browser.states import NO_IDLE

from treadleaf import offline
from treadleaf.audit import expected, last_look, weight
from treadleaf.audit.weight import BUDGETS


def asked_by_the_page(visitor, host: Host, path: str) -> set[str]:
    """What a first visit loads before anything is touched. What the service worker keeps for later is not in it."""
    visitor.expect("registration blocked by Playwright")
    page = visitor.open(host, path, first=NO_IDLE, service_workers="block")
    page.wait_for_load_state("networkidle")
    asked = set(host.paths()) - {"service-worker.js"}  # asked why it was refused
    page.goto("about:blank")  # an icon that is still on its way is given up before the host goes
    return asked


def sent(finished, paths):
    return sum(weight.over_the_wire((finished / path).read_bytes(), path) for path in paths)


def test_a_page_asks_for_what_the_last_look_weighs_and_keeps_its_budget(visitor, demo_site, report):
    weighed = {one.name: one for one in last_look.audit(demo_site, None).weights}
    facts = expected.of(demo_site)
    for path in sites.pages(demo_site):
        with Host(demo_site) as host:
            paths = asked_by_the_page(visitor, host, path)
        size, budget = sent(demo_site, paths), BUDGETS[weight.budget_of(facts.pages[path])]
        marks = f"pass {budget.limit / 1000:.0f}, target {budget.target / 1000:.0f}"
        report(f"{path}: {size / 1000:.1f} kB gz in {len(paths)} files ({marks})")
        assert size <= budget.limit
        assert (weighed[path].bytes, weighed[path].files) == (size, len(paths)), (path, sorted(paths))


def test_the_runtime_is_not_heavier_than_it_was_meant_to_be(demo_site, report):
    total = sent(demo_site, [f"runtime/{file.name}" for file in (demo_site / "runtime").iterdir()])
    report(f"runtime in all: {total / 1e6:.2f} MB gz (pass {BUDGETS['runtime'].limit / 1e6})")
    assert total <= BUDGETS["runtime"].limit


def test_what_is_kept_for_offline_reading_is_reported(demo_site, report):
    listed = offline.listed((demo_site / "service-worker.js").read_text("utf-8"))
    size = sent(demo_site, listed["pages"])
    report(f"kept at the first visit: {size / 1000:.1f} kB gz in {len(listed['pages'])} files")
    assert {path for path in listed["pages"] if path.endswith(".html")} == {*sites.for_clients(demo_site), "404.html"}


@pytest.mark.parametrize("path", ["index.html", CHECK])
def test_the_themes_script_comes_only_with_the_first_search(visitor, demo_site, path):
    with Host(demo_site) as host:
        paths = asked_by_the_page(visitor, host, path)
    assert not [name for name in paths if name.startswith("assets/javascripts/")]
