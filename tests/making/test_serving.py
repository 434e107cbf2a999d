"""The server for a look at a finished site: right types, nothing outside the site, and nothing left when it stops."""

import errno
import http.client
import threading
from contextlib import contextmanager

import pytest

from treadleaf import marker, serving
from treadleaf.errors import InputProblems


@pytest.fixture
def site(tmp_path):
    folder = tmp_path / "site"
    (folder / "checks").mkdir(parents=True)
    (folder / "empty").mkdir()
    (folder / "index.html").write_text("home")
    (folder / "404.html").write_text("lost")
    (folder / "checks" / "index.html").write_text("checks")
    for name in ("a.mjs", "a.wasm", "a.wasm.gz", "a.zip", "a.webmanifest", "a.svg", "a.odd", "a b.css"):
        (folder / name).write_text(name)
    (tmp_path / "secret.txt").write_text("secret")
    return folder


@contextmanager
def running(folder, **options):
    with serving.server(folder, None, **options) as server:
        thread = threading.Thread(target=server.serve_forever, kwargs={"poll_interval": 0.02})
        thread.start()
        try:
            yield server.server_port
        finally:
            server.shutdown()
            thread.join()


def get(port, path, method="GET"):
    """The path goes out as it is: no client tidies it first."""
    connection = http.client.HTTPConnection(serving.HOST, port, timeout=5)
    try:
        connection.putrequest(method, path, skip_accept_encoding=True)
        connection.endheaders()
        answer = connection.getresponse()
        return answer.status, dict(answer.getheaders()), answer.read().decode()
    finally:
        connection.close()


@pytest.mark.parametrize(
    ("path", "media_type"),
    [
        ("/", "text/html; charset=utf-8"),
        ("/a.mjs", "text/javascript; charset=utf-8"),
        ("/a.wasm", "application/wasm"),
        ("/a.wasm.gz", "application/gzip"),
        ("/a.zip", "application/zip"),
        ("/a.webmanifest", "application/manifest+json"),
        ("/a.svg", "image/svg+xml"),
        ("/a%20b.css", "text/css; charset=utf-8"),
        ("/a.odd", "application/octet-stream"),
    ],
)
def test_each_file_has_its_type_and_may_not_be_guessed_at(site, path, media_type):
    with running(site) as port:
        status, headers, _ = get(port, path)
    assert (status, headers["Content-Type"]) == (200, media_type)
    assert headers["X-Content-Type-Options"] == "nosniff"
    assert headers["Cache-Control"] == "no-cache"


def test_a_type_and_a_header_can_be_made_wrong_on_purpose(site):
    with running(site, types={".wasm": "text/plain"}, headers={"Content-Encoding": "identity"}) as port:
        _, headers, _ = get(port, "/a.wasm?v=2")
    assert headers["Content-Type"] == "text/plain"
    assert headers["Content-Encoding"] == "identity"


@pytest.mark.parametrize(
    "path",
    [
        "/../secret.txt",
        "/%2e%2e/secret.txt",
        "/checks/%2e%2e/%2e%2e/secret.txt",
        "/..%2fsecret.txt",
        "/..%5csecret.txt",
        "//secret.txt",
        "/way-out/secret.txt",
        "/%00",
    ],
)
def test_nothing_outside_the_site_is_served(site, path):
    (site / "way-out").symlink_to(site.parent, target_is_directory=True)
    with running(site) as port:
        status, _, text = get(port, path)
    assert (status, text) == (404, "lost")


def test_a_folder_is_never_listed(site):
    with running(site) as port:
        assert get(port, "/empty/")[0] == 404
        assert get(port, "/empty")[0] == 404


def test_a_folder_with_a_page_is_reached_with_and_without_the_slash(site):
    with running(site) as port:
        assert get(port, "/checks/")[2] == "checks"
        status, headers, _ = get(port, "/checks")
        assert (status, headers["Location"]) == (302, "/checks/")
        # Two slashes would send the browser to a host named "checks".
        assert get(port, "//checks")[1]["Location"] == "/checks/"


def test_the_site_can_lie_under_a_path(site):
    with running(site, prefix="/clinic/site/") as port:
        assert get(port, "/clinic/site/")[2] == "home"
        assert get(port, "/clinic/site")[1]["Location"] == "/clinic/site/"
        assert get(port, "/clinic/site/checks")[1]["Location"] == "/clinic/site/checks/"
        assert get(port, "/other/")[0] == 404
        assert get(port, "/clinic/sitemap")[0] == 404
    with pytest.raises(ValueError, match="slash"):
        serving.server(site, None, prefix="clinic")


def test_head_answers_without_the_file(site):
    with running(site) as port:
        status, headers, text = get(port, "/index.html", "HEAD")
    assert (status, headers["Content-Length"], text) == (200, "4", "")


def test_once_closed_it_answers_nobody_not_even_on_an_open_connection(site):
    with running(site) as port:
        connection = http.client.HTTPConnection(serving.HOST, port, timeout=5)
        connection.request("GET", "/")
        connection.getresponse().read()
    with pytest.raises(ConnectionRefusedError):
        connection.request("GET", "/")
    connection.close()


def test_a_taken_port_and_one_without_permission_are_told_apart(site, monkeypatch):
    with running(site) as port, pytest.raises(InputProblems, match="port is taken"):
        serving.serve(site, port, print)

    def refused(*words):
        raise PermissionError(errno.EACCES, "Permission denied")

    monkeypatch.setattr(serving, "server", refused)
    for port in (80, None):
        with pytest.raises(InputProblems, match="may not listen"):
            serving.serve(site, port, print)


@pytest.mark.parametrize(
    ("written", "sent"),
    [("/日本/", "/%E6%97%A5%E6%9C%AC/"), ("/caf%C3%A9/", "/caf%C3%A9/"), ("/a%20b/100%25/", "/a%20b/100%25/")],
    ids=["characters", "quoted", "blank and percent sign"],
)
def test_the_path_of_a_site_may_be_in_any_script(site, written, sent):
    marker.write(site, f"https://www.example.org{written}")
    with running(site, prefix=marker.published_path(site)) as port:
        status, headers, _ = get(port, "/")
        assert (status, headers["Location"]) == (302, sent)
        assert get(port, sent)[2] == "home"
        assert get(port, f"{sent}checks")[1]["Location"] == f"{sent}checks/"
        assert get(port, f"{sent}checks/")[2] == "checks"


def test_a_folder_with_a_name_in_any_script_is_reached(site):
    (site / "膝 %").mkdir()
    (site / "膝 %" / "index.html").write_text("knee")
    with running(site) as port:
        place = get(port, "/%E8%86%9D%20%25")[1]["Location"]
        assert (place, get(port, place)[2]) == ("/%E8%86%9D%20%25/", "knee")


@pytest.mark.parametrize("path", ["/" + "a" * 5000, "/" + "a/" * 5000, "/index.html/x"])
def test_a_path_that_no_file_can_have_is_not_found(site, path):
    with running(site) as port:
        assert get(port, path)[::2] == (404, "lost")


@pytest.mark.parametrize(
    "address", ["https://www.example.org/room", "room", "https://[/", 5, None, ["https://www.example.org/room/"]]
)
def test_a_mark_that_somebody_changed_is_read_as_no_path(site, address):
    marker.write(site, address)
    assert marker.published_path(site) == "/"


def test_a_site_is_shown_under_the_path_at_which_it_will_stand(site, tmp_path):
    assert marker.published_path(site) == "/", "a folder that does not say"
    marker.write(site, "https://www.example.org/room/")
    path = marker.published_path(site)
    with running(site, prefix=path) as port:
        status, headers, _ = get(port, "/")
        assert (status, headers["Location"]) == (302, "/room/")
