"""Turns Python sources into what the browser starts from. It runs inside Pyodide, under Node.

Only Pyodide can write code for its own Python: it refuses what a Python of another minor version compiled. And a host's
zlib may compress in its own way; made here, the files are the same byte for byte on every machine.
"""

from __future__ import annotations

import gzip
import io
import json
import marshal
import tomllib
import zipfile
from importlib.util import MAGIC_NUMBER

_NO_DATE = (1980, 1, 1, 0, 0, 0)
# After the magic number: flags, date and size of the source, all zero. No source lies beside it to be compared.
_PYC_HEADER = MAGIC_NUMBER + bytes(12)


def compiled(sources: bytes, place: str) -> bytes:
    """A zip of sources, compiled and gzipped.

    ``sources`` is a zip; each ``.py`` in it becomes a ``.pyc``, each ``.toml`` the same table as ``.json``, and every
    other file goes in as it is. ``place`` is the path at which Pyodide will find the zip, which tracebacks then show.
    The zip inside is stored, not compressed: compressing it once as a whole is smaller, and Python then reads its
    modules without unpacking each.
    """
    made = io.BytesIO()
    with zipfile.ZipFile(io.BytesIO(sources)) as old, zipfile.ZipFile(made, "w", zipfile.ZIP_STORED) as new:
        for name in sorted(old.namelist()):
            _add(new, name, old.read(name), place)
    return packed(made.getvalue(), place)


def packed(data: bytes, place: str) -> bytes:  # noqa: ARG001  (called by the same table as `compiled`)
    """The same bytes gzipped, without a date or a name inside."""
    return gzip.compress(data, compresslevel=9, mtime=0)


def _add(archive: zipfile.ZipFile, name: str, data: bytes, place: str) -> None:
    if name.endswith(".py"):
        # optimize=2 leaves out docstrings and assertions.
        code = compile(data, f"{place}/{name}", "exec", dont_inherit=True, optimize=2)
        name, data = f"{name}c", _PYC_HEADER + marshal.dumps(code)
    elif name.endswith(".toml"):
        table = tomllib.loads(data.decode("utf-8"))
        name, data = f"{name.removesuffix('toml')}json", json.dumps(table, separators=(",", ":")).encode("ascii")
    entry = zipfile.ZipInfo(name, _NO_DATE)
    entry.create_system = 3  # the same on every host
    entry.external_attr = 0o644 << 16
    archive.writestr(entry, data)
