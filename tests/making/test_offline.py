"""The list that the service worker goes by: complete, exact, the same at every build."""

import gzip
import hashlib
import json
import subprocess

import pytest

from treadleaf import offline, pyodide_package

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
}


@pytest.fixture
def site(tmp_path):
    for name, data in (FILES | UNLISTED).items():
        (tmp_path / name).parent.mkdir(parents=True, exist_ok=True)
        (tmp_path / name).write_bytes(data)
    return tmp_path


def sha256(data):
    return hashlib.sha256(data).hexdigest()


def test_every_file_is_listed_as_a_page_or_as_a_large_file(site):
    listed = offline.listing(site)
    assert set(listed["runtime"]) == {"runtime/pyodide.0123.js", "runtime/stdlib.0123.zip.gz"}
    assert set(listed["pages"]) | set(listed["runtime"]) == set(FILES)
    assert listed["pages"]["index.html"] == [sha256(b"home")]


def test_a_packed_file_may_arrive_packed_or_unpacked(site):
    assert offline.listing(site)["runtime"]["runtime/stdlib.0123.zip.gz"] == [
        sha256(FILES["runtime/stdlib.0123.zip.gz"]),
        sha256(b"library"),
    ]


def test_the_version_follows_the_content_and_nothing_else(site):
    first = offline.listing(site)
    (site / "index.html").touch()
    (site / ".treadleaf").write_text("another mark")
    assert offline.listing(site) == first
    (site / "index.html").write_bytes(b"home again")
    assert offline.listing(site)["version"] != first["version"]


def test_the_service_worker_holds_the_list_and_is_the_same_at_every_build(site):
    offline.put(site)
    written = (site / "service-worker.js").read_bytes()
    assert json.dumps(offline.listing(site), indent=1).encode() in written
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
    listed = offline.listing(demo_site)
    text = (demo_site / "service-worker.js").read_text("utf-8")
    assert json.dumps(listed, indent=1) in text, "a file was changed after the list was written"
    assert {"index.html", "checks/wet-print.html", "404.html", "runtime/manifest.json"} <= set(listed["pages"])
