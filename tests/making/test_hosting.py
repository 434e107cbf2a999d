"""The files for the web host: one declaration in all of them, made anew with each build, never in the way."""

from __future__ import annotations

import json
import re
import shutil
from pathlib import Path

import pytest
import yaml
from click.testing import CliRunner

from treadleaf import cli, hosting, marker, placing, policy, site
from treadleaf.audit import last_look
from treadleaf.errors import InputProblems

ONE, TWO = "default-src 'none'; script-src 'self' 'sha256-b='", "default-src 'none'; script-src 'self' 'sha256-a='"
SETTINGS = ("_headers", "apache.htaccess", "Caddyfile", "nginx-site.conf")
LARGEST = 25_000_000


def quiet(text: str) -> None:
    pass


@pytest.fixture
def clinic_file(tmp_path: Path) -> Path:
    """A copy of the demo clinic's file that a test may change."""
    shutil.copytree(site.DEMO.parent, tmp_path / "clinic")
    return tmp_path / "clinic" / "clinic.toml"


@pytest.fixture
def copied(demo_site: Path, tmp_path: Path) -> Path:
    """A copy of the demo site with its files for the host beside it, in a folder with nothing else."""
    shutil.copytree(demo_site, tmp_path / "here" / "site")
    shutil.copytree(hosting.place(demo_site), tmp_path / "here" / "site-hosting")
    return tmp_path / "here" / "site"


@pytest.fixture
def built(monkeypatch):
    """Builds the demo's site in place of an old one, without the work: the finished site is taken from `of`."""

    def build(out: Path, of: Path) -> None:
        def take(_material: object, _work: Path, made: Path) -> None:
            shutil.copytree(of, made)
            for name in (marker.NAME, *hosting.COPIED):
                (made / name).unlink(missing_ok=True)

        monkeypatch.setattr(site, "_build", take)
        monkeypatch.setattr(site.runtime, "put", lambda *_: None)
        monkeypatch.setattr(site.offline, "put", lambda *_: None)
        site.make(site.DEMO, out, quiet)

    return build


def contents(folder: Path) -> dict[str, bytes]:
    return {path.relative_to(folder).as_posix(): path.read_bytes() for path in folder.rglob("*") if path.is_file()}


def address(clinic_file: Path, other: str) -> None:
    changed = re.sub("^site_address = .*$", f"site_address = '{other}'", clinic_file.read_text("utf-8"), flags=re.M)
    clinic_file.write_text(changed, "utf-8")


def test_the_folder_says_what_each_of_its_files_is_for(demo_site):
    folder = hosting.place(demo_site)
    text = (folder / hosting.READ_ME).read_text("utf-8")
    told = {name for name in contents(folder) if name not in (hosting.READ_ME, marker.NAME)}
    assert told == {*SETTINGS, "nginx-server.conf", "pages-workflow.yml", "take-back/service-worker.js"}
    for name in told:
        assert re.search(rf"^  {re.escape(name.partition('/')[0])}", text, re.MULTILINE), name
    assert max(map(len, text.splitlines())) <= 125


def test_each_kind_of_settings_carries_the_whole_declaration(demo_site):
    headers = hosting.headers([policy.stated(page.read_text("utf-8")) for page in demo_site.rglob("*.html")])
    assert len(headers) == len({header.name for header in headers}) == 7
    for name in SETTINGS:
        text = (hosting.place(demo_site) / name).read_text("utf-8")
        rows = [row for row in text.splitlines() if not row.strip().startswith("#")]
        for header in headers:
            (row,) = [row for row in rows if re.search(rf"(^|\s){header.name}:? ", row)]
            assert header.value in row, (name, header.name)
        assert "Strict-Transport-Security" in text, "it is told of, and left to the reader"
        assert not any("Strict-Transport-Security" in row for row in rows), name
        assert hosting.KEPT in text
    read_me = (hosting.place(demo_site) / hosting.READ_ME).read_text("utf-8")
    assert [header.name for header in headers if f"\n{header.name}\n" not in read_me] == []


def test_the_headers_policy_allows_what_the_pages_allow_and_not_a_word_more(demo_site):
    stated = [policy.stated(page.read_text("utf-8")) for page in demo_site.rglob("*.html")]
    (header,) = [header.value for header in hosting.headers(stated) if header.name == "Content-Security-Policy"]
    told = {name: set(values) for name, *values in (rule.split() for rule in header.split(";"))}
    assert told.pop("frame-ancestors") == {"'none'"}
    allowed: dict[str, set[str]] = {}
    for text in stated:
        for name, *values in (rule.split() for rule in text.split(";")):
            allowed.setdefault(name, set()).update(values)
    assert told == allowed
    assert "'unsafe-inline'" not in header


def test_policies_are_joined_whatever_their_order():
    assert policy.joined([ONE, TWO]) == policy.joined([TWO, ONE, ONE])
    assert policy.joined([ONE, TWO]) == "default-src 'none'; script-src 'self' 'sha256-a=' 'sha256-b='"
    assert policy.joined(["img-src 'none'", "img-src 'self'"]) == "img-src 'self'"


@pytest.mark.parametrize("policies", [[ONE, "default-src 'none'"], ["default-src 'none'", ONE], []])
def test_policies_that_speak_of_different_things_are_not_joined(policies):
    with pytest.raises(ValueError, match="polic"):
        policy.joined(policies)


@pytest.mark.parametrize("html", ["<meta>", '<meta http-equiv="content-security-policy" content="x">' * 2])
def test_a_page_without_exactly_one_policy_makes_no_header(html):
    with pytest.raises(ValueError, match="policies, not one"):
        policy.stated(html)


def test_only_files_that_carry_their_hash_may_be_kept_for_long(demo_site):
    """By name, or by the pattern of a name: both mean the files of the list of the runtime and no other."""
    parts = json.loads((demo_site / "runtime" / "manifest.json").read_text("utf-8"))["files"].values()
    hashed = {f"runtime/{part['path']}" for part in parts}
    folder = hosting.place(demo_site)
    named = (folder / "_headers").read_text("utf-8").split(f"  Cache-Control: {hosting.KEPT}\n")[:-1]
    assert {text.splitlines()[-1] for text in named} == {f"/marrowby/{name}" for name in hashed}
    patterns = {
        "nginx-site.conf": r'location ~ "(.*)" \{',
        "Caddyfile": r"path_regexp (.*)",
        "apache.htaccess": r'<FilesMatch "(.*)">\n +Header',
    }
    for name, written in patterns.items():
        (pattern,) = re.findall(written, (folder / name).read_text("utf-8"))
        assert {file for file in contents(demo_site) if re.search(pattern, f"/marrowby/{file}")} == hashed, name


def test_no_file_is_too_large_for_a_static_host_and_no_two_differ_by_case_alone(demo_site):
    names = contents(demo_site)
    assert max(map(len, names.values())) < LARGEST
    assert len({name.lower() for name in names}) == len(names)


def test_the_workflow_may_do_little_and_names_each_step_by_its_commit(demo_site):
    flow = yaml.safe_load((hosting.place(demo_site) / "pages-workflow.yml").read_text("utf-8"))
    (job,) = flow["jobs"].values()
    assert (flow["permissions"], job["permissions"]) == (
        {},
        {"contents": "read", "pages": "write", "id-token": "write"},
    )
    assert all(re.fullmatch(r"actions/[a-z-]+@[0-9a-f]{40}", step["uses"]) for step in job["steps"])
    assert not any("run" in step for step in job["steps"])


def test_the_site_is_taken_back_by_the_lines_that_are_documented(demo_site, repo):
    (lines,) = re.findall(r"```js\n(.*?)```", (repo / "SECURITY.md").read_text("utf-8"), re.DOTALL)
    assert (hosting.place(demo_site) / "take-back" / "service-worker.js").read_text("utf-8") == lines


def test_two_builds_give_the_same_bytes_and_nothing_of_this_machine(demo_site, copied, built, tmp_path):
    built(tmp_path / "another" / "name", copied)
    one, two = contents(hosting.place(demo_site)), contents(tmp_path / "another" / "name-hosting")
    assert one == two
    for data in one.values():
        text = data.decode()
        assert str(tmp_path.parent) not in text
        assert str(Path.home()) not in text
        assert str(Path(hosting.__file__).parent) not in text


def test_the_top_of_a_host_is_no_sub_folder(demo_site, copied, tmp_path):
    hosting.put(copied, "https://handouts.example.org/", {}, tmp_path / "new", copied)
    texts = {name: data.decode() for name, data in contents(tmp_path / "new").items()}
    assert "location ^~ / {" in texts["nginx-site.conf"]
    assert "error_page 404 /404.html;" in texts["nginx-site.conf"]
    assert "\n/*\n" in texts["_headers"]
    assert not any("marrowby" in text for text in texts.values())


def test_a_second_build_replaces_the_folder_and_leaves_nothing_beside(copied, built):
    (hosting.place(copied) / "Caddyfile").write_text("mine", "utf-8")
    built(copied, copied)
    assert "Content-Security-Policy" in (hosting.place(copied) / "Caddyfile").read_text("utf-8")
    assert sorted(path.name for path in copied.parent.iterdir()) == ["site", "site-hosting"]


def test_a_folder_with_anything_else_in_it_is_left_alone_and_so_is_the_site(copied, built):
    (hosting.place(copied) / "notes.txt").write_text("mine", "utf-8")
    before = contents(copied.parent)
    with pytest.raises(InputProblems, match=r"site-hosting[\s\S]*notes\.txt"):
        built(copied, copied)
    assert contents(copied.parent) == before


def test_where_the_second_folder_cannot_take_its_place_the_first_is_put_back(copied, built, monkeypatch):
    before, replace = contents(copied.parent), Path.replace

    def refuse(path: Path, target: Path) -> Path:
        if path.name == "hosting":
            raise OSError(28, "No space left on device")
        return replace(path, target)

    monkeypatch.setattr(Path, "replace", refuse)
    with pytest.raises(OSError, match="No space"):
        built(copied, copied)
    assert contents(copied.parent) == before


def test_a_fault_that_the_last_look_finds_leaves_both_folders(copied, built, monkeypatch):
    before = contents(copied.parent)

    def refuse(*_: object) -> None:
        raise InputProblems([placing.Problem("wrong")])

    monkeypatch.setattr(last_look, "refuse", refuse)
    with pytest.raises(InputProblems):
        built(copied, copied)
    assert contents(copied.parent) == before


@pytest.mark.parametrize("name", hosting.COPIED)
def test_what_was_copied_into_the_site_is_known_and_copied_anew(copied, built, name):
    shutil.copy(hosting.place(copied) / hosting.COPIED[name], copied / name)
    assert marker.copied(copied) == [name]
    assert marker.strangers(copied) == []
    built(copied, copied)
    assert (copied / name).read_bytes() == (hosting.place(copied) / hosting.COPIED[name]).read_bytes()
    assert marker.copied(copied) == [name]
    assert [path.name for path in copied.iterdir() if path.name in hosting.COPIED] == [name]


@pytest.mark.parametrize("name", hosting.COPIED)
def test_what_was_copied_and_changed_is_somebodys_own(copied, built, name):
    (copied / name).write_text("mine", "utf-8")
    with pytest.raises(InputProblems, match=re.escape(name)):
        built(copied, copied)
    assert (copied / name).read_text("utf-8") == "mine"


@pytest.mark.parametrize("path", ['");alert(1);("/', "a$b/", "a b/".replace(" ", "%20"), "x;y/", "{z}/", "é%22/"])
def test_an_address_that_settings_cannot_hold_makes_no_files_and_says_so(clinic_file, copied, path):
    address(clinic_file, f"https://www.example.org/{path}")
    (warning,) = [row for row in site.check(clinic_file).warnings if row.key == "site_address"]
    assert "No files for the web host" in warning.what
    assert warning.file == str(clinic_file)


@pytest.mark.parametrize("path", ["", "room/", "caf%C3%A9/", "日本/room/", "~me/a-b_c.d/"])
def test_other_addresses_make_files(clinic_file, path):
    address(clinic_file, f"https://www.example.org/{path}")
    assert site.check(clinic_file).warnings == ()


def test_a_site_with_an_odd_address_is_built_without_files_for_the_host(clinic_file, tmp_path):
    address(clinic_file, "https://www.example.org/a$b/")
    made = site.make(clinic_file, tmp_path / "out", quiet)
    assert made.hosting is None
    assert sorted(path.name for path in tmp_path.iterdir()) == ["clinic", "out"]


def test_the_command_says_where_the_files_are(tmp_path):
    answer = CliRunner().invoke(cli.main, ["site", str(site.DEMO), "--out", str(tmp_path / "made"), "--json"])
    folder = tmp_path / "made-hosting"
    assert json.loads(answer.stdout)["made"]["hosting"] == str(folder)
    (row,) = [row for row in answer.stderr.splitlines() if "web host" in row]
    assert str(folder / hosting.READ_ME) in row
