"""The page on data: what it says of this device is so, and what it deletes is gone."""

from __future__ import annotations

from browser import device
from browser.hosts import Host
from browser.sites import WORDS
from playwright.sync_api import expect

from treadleaf import promises
from treadleaf.audit.rules import RULES

PAGE = "about/your-data.html"
SAYS = WORDS["kept_here"]


def test_every_promise_has_its_words_and_rules_that_the_builder_checks():
    assert promises.PROMISES.keys() == WORDS["your_data"]["promises"].keys()
    assert all(promises.PROMISES.values())
    rules = {rule for keys in promises.PROMISES.values() for rule in keys}
    assert rules == set(WORDS["your_data"]["rules"]) <= set(RULES)


def test_the_copy_is_deleted_for_every_open_page_and_comes_back_only_when_it_is_asked_for(visitor, host: Host):
    visitor.expect(*device.SILENCE)
    context = visitor.context()
    other = device.keep_everything(context, host)
    page = context.new_page()
    page.goto(host.url(PAGE))
    kept = page.locator("kept-here")
    expect(kept.locator("[data-part=calculators]")).to_contain_text(SAYS["all"])
    kept.get_by_role("button", name=SAYS["delete"]).press("Enter")
    expect(kept.get_by_text(SAYS["deleted"])).to_be_focused()
    assert page.evaluate("caches.keys()") == []
    for one in (page, other):
        device.expect_kept(one, "nothing")
    context.set_offline(True)
    context.set_offline(False)
    page.wait_for_timeout(1000)
    assert page.evaluate("caches.keys()") == []
    device.badge(other).get_by_role("button", name=WORDS["offline"]["keep_all"]).click()
    device.expect_kept(other, "all")


def test_a_hidden_slash_in_an_address_is_no_way_to_a_page(visitor, host: Host):
    """The page would look for all that belongs to it in another folder, where another site may stand."""
    page = device.keep_everything(visitor.context(), host)
    host.asked.clear()
    for path in ("checks/wet-print.html", "checks%2fwet-print.html"):
        page.evaluate("async (address) => void (await (await fetch(address)).text())", host.url(path))
    assert host.paths() == ["checks%2fwet-print.html"], "the host was asked for the odd one, and not the copy"
