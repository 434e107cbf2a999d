"""The Python that runs in the visitor's browser: compiled once, written into each site.

What is made is kept in ``places.cache()`` under a key made from what it was made of, so a second build copies files
and nothing else. The standard library and the calculators have keys of their own: an edited calculator costs seconds.
"""

from __future__ import annotations

import fnmatch
import gzip
import hashlib
import importlib.util
import io
import json
import shutil
import zipfile
from collections.abc import Mapping, Sequence
from dataclasses import asdict, dataclass
from pathlib import Path

from treadleaf import places, pyodide_package
from treadleaf.pyodide_package import Pin, Say, run, scratch, tool, unpacked

SCHEMA = 1
_HERE = Path(__file__).parent
_COMPILER = _HERE / "compile_library.mjs"
_STARTER = _HERE / "start_calculators.mjs"
_NOTICES = _HERE / "runtime_notices.txt"
# Whatever of these changes, the library is made anew.
_RECIPE = (pyodide_package.SETTINGS, _COMPILER, _HERE / "compile_library.py", Path(__file__))
# What of the calculators' folder goes to the browser; an editor's leavings do not.
_CALCULATOR_SUFFIXES = (".py", ".toml")


@dataclass(frozen=True)
class _Name:
    """A file's name, with room for its hash in the middle."""

    stem: str
    ending: str

    def kept(self) -> str:
        return self.stem + self.ending

    def published(self, sha256: str) -> str:
        return f"{self.stem}.{sha256[:12]}{self.ending}"


# By the role that the loader in the browser asks for. Scripts end in .js, whose type every host knows; the rest is
# gzipped by us and unpacked by the loader, so that it is small on hosts that do not compress and its type is nobody's
# business. Measured sizes stand in DEVELOPERS.md.
_LIBRARY = {
    "pyodide": _Name("pyodide", ".js"),
    "module": _Name("pyodide.asm", ".js"),
    "wasm": _Name("pyodide.asm", ".wasm.gz"),
    "stdlib": _Name("stdlib", ".zip.gz"),
}
_CALCULATORS = _Name("calculators", ".zip.gz")
_SCRIPTS = {"pyodide": "pyodide.mjs", "module": "pyodide.asm.mjs"}
_LOCK = "lock.json"


@dataclass(frozen=True)
class Part:
    """One published file: its path beside manifest.json, with length and SHA-256 as shipped and after gunzip.

    Both are needed because a host may unpack a ``.gz`` on its way to the browser. A file that is not packed has the
    same values twice.
    """

    path: str
    bytes: int
    sha256: str
    plain_bytes: int
    plain_sha256: str


@dataclass(frozen=True)
class Manifest:
    """What the loader in the browser has to know. ``lock`` is Pyodide's own list of packages, with none in it."""

    schema: int
    version: str
    lock: Mapping[str, object]
    files: Mapping[str, Part]

    def as_json(self) -> str:
        return json.dumps(asdict(self), indent=1, sort_keys=True) + "\n"


def put(site: Path, say: Say, calculators: Path | None = None) -> Manifest:
    """Writes ``runtime/`` into a finished site and returns what it wrote.

    ``calculators`` is the folder of the package to publish, the installed one unless told otherwise. Raises
    ``InputProblems`` when Node is missing, when Pyodide cannot be fetched or is not the pinned one, and when the
    calculators do not compile or do not start.
    """
    pin = pyodide_package.pin()
    library = _library(pin, say)
    computed = _computed(pin, library, calculators or _installed("calculators"), say)
    folder = site / "runtime"
    folder.mkdir(parents=True)
    files = {role: _publish(library, name, folder) for role, name in _LIBRARY.items()}
    files["calculators"] = _publish(computed, _CALCULATORS, folder)
    manifest = Manifest(SCHEMA, pin.version, json.loads((library / _LOCK).read_text("utf-8")), files)
    (folder / "manifest.json").write_text(manifest.as_json(), "utf-8", newline="\n")
    shutil.copyfile(_NOTICES, folder / "NOTICES.txt")
    _prove(folder, computed, say)
    return manifest


def _library(pin: Pin, say: Say) -> Path:
    """The folder in the cache with Pyodide's own files and the compiled standard library."""
    kept = places.cache() / "library" / _key(*(file.read_bytes() for file in _RECIPE))
    if kept.is_dir():
        return kept
    with unpacked(pin, say) as package, scratch() as made:
        say("Compiling the standard library for the browser (once)")
        info = json.loads((package / "pyodide-lock.json").read_text("utf-8"))["info"]
        (made / _LOCK).write_text(json.dumps({"info": info, "packages": {}}), "utf-8")
        for role, script in _SCRIPTS.items():
            (made / _LIBRARY[role].kept()).write_bytes(_without_source_map((package / script).read_bytes()))
        sources = package / "library.zip"
        sources.write_bytes(_trimmed(package / "python_stdlib.zip", pin.drop))
        # Pyodide looks for the library of Python 3.14 at this very path.
        place = "/lib/python" + "".join(info["python"].split(".")[:2]) + ".zip"
        _compile(
            package,
            _job("compiled", sources, made / _LIBRARY["stdlib"].kept(), place),
            _job("packed", package / "pyodide.asm.wasm", made / _LIBRARY["wasm"].kept(), "pyodide.asm.wasm"),
        )
        _keep(made, kept)
    return kept


def _computed(pin: Pin, library: Path, package: Path, say: Say) -> Path:
    """The folder in the cache with the compiled calculators."""
    files = [file for file in package.rglob("*") if file.suffix in _CALCULATOR_SUFFIXES and file.is_file()]
    sources = _zip({file.relative_to(package.parent).as_posix(): file.read_bytes() for file in files})
    kept = places.cache() / "calculators" / _key(library.name.encode(), sources)
    if kept.is_dir():
        return kept
    with unpacked(pin, say) as pyodide, scratch() as made:
        say("Compiling the calculators for the browser")
        source = pyodide / "calculators.zip"
        source.write_bytes(sources)
        _compile(pyodide, _job("compiled", source, made / _CALCULATORS.kept(), "/lib/calculators.zip"))
        _keep(made, kept)
    return kept


def _installed(package: str) -> Path:
    spec = importlib.util.find_spec(package)
    if spec is None or not spec.submodule_search_locations:
        raise ModuleNotFoundError(f"the package {package!r} is not installed beside treadleaf; install treadleaf again")
    return Path(spec.submodule_search_locations[0])


def _trimmed(library: Path, drop: Sequence[str]) -> bytes:
    """A zip of the standard library's sources without those that match one of the patterns in ``drop``."""
    with zipfile.ZipFile(library) as archive:
        names = [name for name in archive.namelist() if not name.endswith("/")]
        stale = [pattern for pattern in drop if not any(fnmatch.fnmatchcase(name, pattern) for name in names)]
        if stale:
            raise ValueError(f"runtime.toml drops what this standard library does not hold: {', '.join(stale)}")
        kept = [name for name in names if not any(fnmatch.fnmatchcase(name, pattern) for pattern in drop)]
        return _zip({name: archive.read(name) for name in kept})


def _zip(contents: Mapping[str, bytes]) -> bytes:
    made = io.BytesIO()
    with zipfile.ZipFile(made, "w") as archive:
        for name in sorted(contents):
            archive.writestr(zipfile.ZipInfo(name), contents[name])
    return made.getvalue()


def _without_source_map(script: bytes) -> bytes:
    """The script without its last comment, which names a source map that is not published."""
    return script.partition(b"\n//# sourceMappingURL=")[0] + b"\n"


def _job(make: str, source: Path, to: Path, place: str) -> dict[str, str]:
    return {"make": make, "from": str(source), "to": str(to), "place": place}


def _compile(package: Path, *jobs: Mapping[str, str]) -> None:
    run(
        [tool("node"), str(_COMPILER), str(package)],
        failed="the Python for the browser could not be compiled",
        mend="mend the file that the message names; if it names none, look whether node --version says 18 or later",
        given=jobs,
    )


def _prove(folder: Path, computed: Path, say: Say) -> None:
    """Starts what was published and asks its door a question, once for each thing made."""
    proof = computed / "started"
    if proof.exists():
        return
    say("Starting the calculators once, as a browser will")
    answers = run(
        [tool("node"), str(_STARTER), str(folder)],
        failed="the calculators do not start in the browser's Python",
        mend="a calculator may import only what runtime.toml leaves in the standard library, and calculators itself",
        given=["{}"],
    )
    json.loads(json.loads(answers)[0])
    proof.touch()


def _publish(kept: Path, name: _Name, folder: Path) -> Part:
    data = (kept / name.kept()).read_bytes()
    plain = gzip.decompress(data) if name.ending.endswith(".gz") else data
    sha256 = hashlib.sha256(data).hexdigest()
    path = name.published(sha256)
    (folder / path).write_bytes(data)
    return Part(path, len(data), sha256, len(plain), hashlib.sha256(plain).hexdigest())


def _key(*parts: bytes) -> str:
    digest = hashlib.sha256()
    for part in parts:
        digest.update(len(part).to_bytes(8, "big") + part)
    return digest.hexdigest()[:20]


def _keep(made: Path, kept: Path) -> None:
    """Moves a folder into the cache in one step. Where another build was quicker, its folder stays."""
    kept.parent.mkdir(parents=True, exist_ok=True)
    try:
        made.rename(kept)
    except OSError:
        if not kept.is_dir():
            raise
