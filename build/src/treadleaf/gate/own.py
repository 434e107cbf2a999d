"""Rules that only a clinic's own pages must keep: they stand beside the builder's, and come from many hands."""

import re
from collections.abc import Collection, Iterator

from treadleaf.gate.draft import Draft
from treadleaf.gate.finding import Finding

_FILE_NAME = re.compile(r"[a-z0-9]+(?:-[a-z0-9]+)*\.md")
_KINDS = ("check", "exercise", "caution", "learn")


def findings(page: Draft, taken: Collection[str]) -> Iterator[Finding]:
    """What would not stop a page of the builder's own; ``taken`` are the addresses of the builder's pages."""
    if not _FILE_NAME.fullmatch(page.path.name):
        yield Finding("own-name", 1, page.path.name)
    if page.front.kind not in _KINDS:
        mend = f"A page of your own is one of: {', '.join(_KINDS)}."
        yield Finding("own-kind", page.lines.get("kind"), page.front.kind, mend=mend, key="kind")
    address = page.address
    if address in taken:
        mend = f'Give the file another name, or leave the other out: leave_out = ["{address}"].'
        yield Finding("own-twice", 1, address, mend=mend)
    for picture in page.reading.pictures:
        yield Finding("own-picture", picture.line, picture.to)
