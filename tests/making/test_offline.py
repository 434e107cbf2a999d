"""The list that the service worker goes by: complete, exact, the same at every build."""

import gzip
import hashlib
import json
import re
import subprocess
from pathlib import Path

import pytest

from treadleaf import offline, places, pyodide_package

DEVICE = Path(__file__).with_name("service_worker.mjs")
SCOPE = "https://clinic.example/room/"
TEMPLATE = "a template"
TWO = ("index.html", "help.html")

FILES = {
    "index.html": b"home",
    "checks/wet print.html": b"check",
    "404.html": b"lost",
    "scripts/offline.js": b"//",
    "runtime/manifest.json": b"{}",
    "runtime/NOTICES.txt": b"notices",
    "runtime/pyodide.0123.js": b"// large",
    "runtime/stdlib.0123.zip.gz": gzip.compress(b"library", mtime=0),
}
UNLISTED = {
    ".treadleaf": b"mark",
    ".well-known/x.txt": b"",
    "_headers": b"",
    "styles/_part.css": b"",
    "sitemap.xml": b"",
    "sitemap.xml.gz": gzip.compress(b"", mtime=0),
    "robots.txt": b"",
    "scripts/service-worker.js": b"the template",
    "staff/clinic-file.html": b"for the clinic's people",
    "components/clinic-form/clinic-form.js": b"//",
}


@pytest.fixture
def site(tmp_path):
    for name, data in (FILES | UNLISTED).items():
        (tmp_path / name).parent.mkdir(parents=True, exist_ok=True)
        (tmp_path / name).write_bytes(data)
    return tmp_path


def template():
    return (places.templates() / "scripts" / "service-worker.js").read_text("utf-8")


def on_a_device(*versions, kept=None):
    """What is kept after each service worker has been installed over the one before, and what failed."""
    told = {"scope": SCOPE, "kept": kept or {}, "versions": versions}
    return json.loads(pyodide_package.run([pyodide_package.tool("node"), str(DEVICE)], "not run", "", told))


def sha256(data):
    return hashlib.sha256(data).hexdigest()


def test_every_file_is_listed_as_a_page_or_as_a_large_file(site):
    listed = offline.listing(site, TEMPLATE)
    assert set(listed["runtime"]) == {"runtime/pyodide.0123.js", "runtime/stdlib.0123.zip.gz"}
    assert set(listed["pages"]) | set(listed["runtime"]) == set(FILES)
    assert listed["pages"]["index.html"] == [sha256(b"home")]


def test_a_packed_file_may_arrive_packed_or_unpacked(site):
    assert offline.listing(site, TEMPLATE)["runtime"]["runtime/stdlib.0123.zip.gz"] == [
        sha256(FILES["runtime/stdlib.0123.zip.gz"]),
        sha256(b"library"),
    ]


def test_the_version_follows_the_content_and_nothing_else(site):
    first = offline.listing(site, TEMPLATE)
    (site / "index.html").touch()
    (site / ".treadleaf").write_text("another mark")
    assert offline.listing(site, TEMPLATE) == first
    (site / "index.html").write_bytes(b"home again")
    assert offline.listing(site, TEMPLATE)["version"] != first["version"]


def test_the_version_follows_the_service_workers_own_code(site):
    assert offline.listing(site, "another template")["version"] != offline.listing(site, TEMPLATE)["version"]


def test_the_service_worker_holds_the_list_and_is_the_same_at_every_build(site):
    offline.put(site)
    written = (site / "service-worker.js").read_bytes()
    assert json.dumps(offline.listing(site, template()), indent=1).encode() in written
    assert not (site / "scripts" / "service-worker.js").exists()
    offline.put(site)
    assert (site / "service-worker.js").read_bytes() == written
    assert b"\r" not in written


def test_the_written_service_worker_is_a_script(site):
    offline.put(site)
    subprocess.run([pyodide_package.tool("node"), "--check", str(site / "service-worker.js")], check=True)


@pytest.mark.parametrize(
    "template", ["", "/*{site*/ {}", "/*site}*/ /*{site*/", "/*{site*/1/*site}*//*{site*/2/*site}*/"]
)
def test_a_template_without_exactly_one_place_is_refused(template):
    with pytest.raises(ValueError, match="exactly one place"):
        offline.filled(template, {})


def test_the_finished_demo_lists_all_that_its_pages_load(demo_site):
    listed = offline.listing(demo_site, template())
    text = (demo_site / "service-worker.js").read_text("utf-8")
    assert json.dumps(listed, indent=1) in text, "a file was changed after the list was written"
    assert {"index.html", "checks/wet-print.html", "404.html", "runtime/manifest.json"} <= set(listed["pages"])


# --- on a device ----------------------------------------------------------------------------------------------------


@pytest.fixture
def release(tmp_path):
    """A release of a site of two pages as the builder lists it, with more code or on a host with some files changed."""
    pages = {name: f"the page {name}" for name in TWO}
    for name, text in pages.items():
        (tmp_path / name).write_text(text)

    def released(code="", host=None):
        text = template() + code
        script = offline.filled(text, offline.listing(tmp_path, text))
        return {"script": script, "files": {SCOPE + name: text for name, text in (pages | (host or {})).items()}}

    return released


def pages_kept(seen):
    """The caches of pages, by name, after one version."""
    return {name: set(addresses) for name, addresses in seen["kept"].items() if ":pages:" in name}


def test_a_version_that_installs_replaces_the_one_before(release):
    first, second = on_a_device(release(), release("// changed"))
    assert (first["failed"], second["failed"]) == (None, None)
    assert list(pages_kept(first).values()) == list(pages_kept(second).values()) == [{f"{SCOPE}{name}" for name in TWO}]
    assert pages_kept(first).keys() != pages_kept(second).keys()


def test_an_installation_that_fails_leaves_the_version_in_use_whole(release):
    (first,) = on_a_device(release())
    # Given as addresses, what is kept has lost its hashes: each page is asked for anew.
    (second,) = on_a_device(release("// changed", host={"help.html": "half published"}), kept=first["kept"])
    assert "help.html is not what was published" in second["failed"]
    assert pages_kept(second) == pages_kept(first)


def test_the_lines_that_switch_the_offline_copy_off_delete_this_sites_copies_and_no_others(repo, release):
    (lines,) = re.findall(r"```js\n(.*?)```", (repo / "SECURITY.md").read_text("utf-8"), re.DOTALL)
    others = {"treadleaf:/other/:pages:1": ["https://clinic.example/other/"], "another program's": []}
    kept = others | {"treadleaf:/room/:runtime": [f"{SCOPE}runtime/stdlib.zip.gz"]}
    before, after = on_a_device(release(), {"script": lines, "files": {}}, kept=kept)
    assert len(pages_kept(before)) == 2
    assert not before["unregistered"]
    assert after == {"failed": None, "unregistered": True, "kept": others}
