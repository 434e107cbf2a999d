"""The browser's Python: fetched once and checked, compiled once, the same bytes every time, and proved to start."""

import gzip
import hashlib
import io
import json
import shutil
import zipfile

import pytest

from treadleaf import compile_library, places, pyodide_package, runtime
from treadleaf.errors import InputProblems

# What a calculator may count on. The names in runtime.toml that are dropped must never grow into these.
# fmt: off
PROMISED = [
    "bisect", "calendar", "collections", "csv", "dataclasses", "datetime", "decimal", "difflib", "enum", "fractions",
    "functools", "hashlib", "heapq", "importlib.resources", "io", "itertools", "json", "linecache", "math",
    "operator", "pkgutil", "random", "re", "statistics", "string", "struct", "textwrap", "tomllib", "traceback",
    "types", "typing", "unicodedata", "urllib.parse", "zipfile", "zlib",
]
# fmt: on

IMPORTS = """
import importlib, json
def call(text, pixels=None):
    failed = []
    for name in json.loads(text):
        try:
            importlib.import_module(name)
        except ImportError as error:
            failed.append(str(error))
    return json.dumps(failed)
"""


def quiet(text):
    pass


@pytest.fixture(scope="session")
def kept(demo_site):
    """The machine's own cache, filled by then: the demo site has been built."""
    return places.cache()


@pytest.fixture
def cache(kept, tmp_path, monkeypatch):
    """A cache of the test's own, with the package and the compiled library in it."""
    own = tmp_path / "cache"
    shutil.copytree(kept / "npm", own / "npm")
    shutil.copytree(kept / "library", own / "library")
    monkeypatch.setenv("TREADLEAF_CACHE", str(own))
    return own


@pytest.fixture
def package(tmp_path):
    """A package of the calculators' shape."""
    folder = tmp_path / "calculators"
    (folder / "data").mkdir(parents=True)
    (folder / "__init__.py").write_text("")
    (folder / "api.py").write_text(IMPORTS)
    (folder / "data" / "bands.toml").write_text("x = 1\n")
    (folder / "notes.txt~").write_text("an editor's leavings")
    return folder


@pytest.fixture
def unproved(monkeypatch):
    """For a test of something else: spares the start of what was made."""
    monkeypatch.setattr(runtime, "_prove", lambda folder, computed, say: None)


def said(site, package=None):
    lines = []
    runtime.put(site, lines.append, package)
    return lines


# --- making ---------------------------------------------------------------------------------------------------------


def test_a_second_build_runs_no_program_and_writes_the_same_bytes(cache, package, tmp_path, monkeypatch):
    said(tmp_path / "one", package)

    def refuse(*command, **options):
        raise AssertionError(command)

    monkeypatch.setattr(pyodide_package.subprocess, "Popen", refuse)
    assert said(tmp_path / "two", package) == []
    one, two = (
        {file.name: file.read_bytes() for file in (tmp_path / name / "runtime").iterdir()} for name in ("one", "two")
    )
    assert one == two


def test_an_edited_calculator_leaves_the_library_as_it_is(cache, package, unproved, tmp_path):
    first = runtime.put(tmp_path / "one", quiet, package).files
    (package / "data" / "bands.toml").write_text("x = 2\n")
    lines = []
    second = runtime.put(tmp_path / "two", lines.append, package).files
    assert not any("standard library" in line for line in lines)
    assert {role for role in first if first[role] != second[role]} == {"calculators"}


@pytest.mark.slow
def test_made_anew_from_nothing_it_is_the_same_byte_for_byte(cache, package, tmp_path):
    first = runtime.put(tmp_path / "one", quiet, package)
    shutil.rmtree(cache / "library")
    shutil.rmtree(cache / "calculators")
    assert runtime.put(tmp_path / "two", quiet, package) == first


def test_what_the_calculators_may_count_on_is_in_the_library(cache, package, tmp_path):
    said(tmp_path / "site", package)
    starter = [pyodide_package.tool("node"), str(runtime._STARTER), str(tmp_path / "site" / "runtime")]
    answers = pyodide_package.run(
        starter, "failed", "mend", [json.dumps(PROMISED), json.dumps(["xml.dom", "http.client"])]
    )
    promised, dropped = (json.loads(text) for text in json.loads(answers))
    assert promised == []
    assert dropped == ["No module named 'xml'", "No module named 'http'"]


def test_a_calculator_that_needs_what_was_left_out_stops_the_build(cache, package, tmp_path):
    (package / "api.py").write_text("import xml.dom\n" + IMPORTS)
    with pytest.raises(InputProblems, match="do not start in the browser's Python") as raised:
        said(tmp_path / "site", package)
    assert "No module named 'xml'" in raised.value.problems[0].found


def test_a_calculator_that_does_not_compile_stops_the_build_with_its_place(cache, package, tmp_path):
    (package / "api.py").write_text("def call(:\n")
    with pytest.raises(InputProblems, match="could not be compiled") as raised:
        said(tmp_path / "site", package)
    assert "calculators/api.py" in raised.value.problems[0].found


def test_only_modules_and_tables_of_the_calculators_are_published(cache, package, unproved, tmp_path):
    files = runtime.put(tmp_path / "site", quiet, package).files
    packed = (tmp_path / "site" / "runtime" / files["calculators"].path).read_bytes()
    with zipfile.ZipFile(io.BytesIO(gzip.decompress(packed))) as archive:
        assert archive.namelist() == ["calculators/__init__.pyc", "calculators/api.pyc", "calculators/data/bands.json"]


def test_a_pattern_that_drops_nothing_is_refused():
    library = io.BytesIO()
    with zipfile.ZipFile(library, "w") as archive:
        archive.writestr("json.py", "")
    with pytest.raises(ValueError, match=r"xml/\*"):
        runtime._trimmed(library, ["xml/*"])


def test_compiled_files_carry_no_date_and_no_docstring():
    sources = io.BytesIO()
    with zipfile.ZipFile(sources, "w") as archive:
        archive.writestr("b.py", '"""A docstring."""\nx = 1\n')
        archive.writestr("a/data.toml", "y = 2\n")
    first = compile_library.compiled(sources.getvalue(), "/lib/x.zip")
    assert first == compile_library.compiled(sources.getvalue(), "/lib/x.zip")
    with zipfile.ZipFile(io.BytesIO(gzip.decompress(first))) as archive:
        assert archive.namelist() == ["a/data.json", "b.pyc"]
        assert json.loads(archive.read("a/data.json")) == {"y": 2}
        assert {entry.date_time for entry in archive.infolist()} == {(1980, 1, 1, 0, 0, 0)}
        code = archive.read("b.pyc")
    assert code[4:16] == bytes(12)
    assert b"A docstring." not in code
    assert b"/lib/x.zip/b.py" in code


# --- the finished site ----------------------------------------------------------------------------------------------


def test_the_manifest_says_what_lies_beside_it(demo_site):
    folder = demo_site / "runtime"
    manifest = json.loads((folder / "manifest.json").read_text("utf-8"))
    assert manifest["version"] == pyodide_package.pin().version
    assert manifest["lock"]["packages"] == {}
    assert set(manifest["files"]) == {"pyodide", "module", "wasm", "stdlib", "calculators"}
    for part in manifest["files"].values():
        shipped = (folder / part["path"]).read_bytes()
        plain = gzip.decompress(shipped) if part["path"].endswith(".gz") else shipped
        assert (len(shipped), hashlib.sha256(shipped).hexdigest()) == (part["bytes"], part["sha256"])
        assert (len(plain), hashlib.sha256(plain).hexdigest()) == (part["plain_bytes"], part["plain_sha256"])
        assert f".{part['sha256'][:12]}." in part["path"]
    others = {file.name for file in folder.iterdir()} - {part["path"] for part in manifest["files"].values()}
    assert others == {"manifest.json", "NOTICES.txt"}


def test_no_script_names_a_source_map(demo_site):
    for script in (demo_site / "runtime").glob("*.js"):
        assert b"sourceMappingURL" not in script.read_bytes()


def test_the_notices_speak_of_the_pinned_version(demo_site):
    text = (demo_site / "runtime" / "NOTICES.txt").read_text("utf-8")
    assert f"version {pyodide_package.pin().version}," in " ".join(text.split())
    assert "Mozilla Public License Version 2.0" in text
    assert "PYTHON SOFTWARE FOUNDATION LICENSE VERSION 2" in text


def test_the_runtime_stays_small(demo_site):
    """Pass mark 6.5 MB gzipped, target 5.5 MB; the scripts are what a host compresses, so they count gzipped."""
    files = (demo_site / "runtime").iterdir()
    sizes = {
        file.name: len(file.read_bytes() if file.suffix == ".gz" else gzip.compress(file.read_bytes()))
        for file in files
    }
    print(f"runtime, gzipped: {sum(sizes.values()) / 1e6:.2f} MB")
    assert sum(sizes.values()) < 6_500_000
