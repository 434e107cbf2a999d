"""Plants a fault in a finished site, looks the site over, and takes the fault out again."""

from __future__ import annotations

import functools
from contextlib import contextmanager

from treadleaf import offline, policy
from treadleaf.audit import last_look, page, weight


def remember_what_is_unchanged(monkeypatch):
    """Read each text, and pack and hash each file, once: a fault changes one of them, and the look goes over all."""
    read = functools.cache(page.read)
    monkeypatch.setattr(page, "read", lambda html, tags, classes: read(html, tuple(tags), tuple(classes)))
    for module, name in ((policy, "inline_scripts"), (weight, "over_the_wire"), (offline, "hashes")):
        monkeypatch.setattr(module, name, functools.cache(getattr(module, name)))


@contextmanager
def changed(file, change):
    """A file of the site with other text, or a new file; afterwards all is as before."""
    before = file.read_bytes() if file.exists() else None
    after = change((before or b"").decode())
    assert before is None or after.encode() != before, "the fault was not planted"
    file.parent.mkdir(exist_ok=True)
    file.write_bytes(after.encode())
    try:
        yield
    finally:
        if before is None:
            file.unlink()
        else:
            file.write_bytes(before)


def told(site, expected):
    """Each fault that is found, as (rule, file), without the one that any change of a listed file brings with it."""
    faults = last_look.look(site, expected).faults
    assert all(fault.file and fault.what and fault.mend for fault in faults)
    return {(fault.rule, fault.file) for fault in faults if fault.rule != "offline-hash"}
