"""Rules on the form of a page: its folder, its sections, what Markdown would pass through unread."""

import re
from collections.abc import Iterator
from pathlib import PurePosixPath

from treadleaf.gate.draft import Draft
from treadleaf.gate.facts import Facts
from treadleaf.gate.finding import Finding

# Python-Markdown's way of putting attributes on things: of no use in a page but for the names of its sections.
_ATTRIBUTES = re.compile(r"\{:|\{(?!#[a-z][a-z0-9-]*\}\s*$)[#.\w]")


def findings(page: Draft, facts: Facts) -> Iterator[Finding]:
    """Everything that is wrong with the form; what only the published HTML shows is looked for in a sound page only."""
    found = [*_folder(page), *_sections(page), *_pieces(page, facts)]
    yield from found
    if not found:
        yield from _published(page)


def _folder(page: Draft) -> Iterator[Finding]:
    wanted = page.front.folder or "."
    if PurePosixPath(page.source).parent.as_posix() != wanted:
        mend = f"Move the file to {page.front.folder or 'the top folder'}, or change its kind."
        yield Finding("folder", page.lines.get("kind"), page.front.kind, mend=mend, key="kind")


def _sections(page: Draft) -> Iterator[Finding]:
    front = page.front
    if page.reading.sections != front.sections:
        names = ", ".join(f"{{#{name}}}" for name in front.sections)
        mend = f"A {front.kind} page has these sections, each heading ending with its name, in this order: {names}."
        yield Finding("sections", page.first_line + 1, ", ".join(page.reading.sections), mend=mend)


def _pieces(page: Draft, facts: Facts) -> Iterator[Finding]:
    for heading in page.reading.headings:
        if heading.level == 1:
            yield Finding("own-title", heading.line, heading.text)
    for piece in page.reading.components:
        if piece.found not in facts.components:
            mend = f"The components are: {', '.join(sorted(facts.components))}."
            yield Finding("component", piece.line, piece.found, mend=mend)
    for piece in page.reading.html:
        yield Finding("html", piece.line, piece.found)
    for number, row in enumerate(page.markdown.splitlines(), page.first_line + 1):
        if _ATTRIBUTES.search(row):
            yield Finding("attribute", number, row)


def _published(page: Draft) -> Iterator[Finding]:
    """Check the HTML that will be published, which another parser makes than the one that knows the lines."""
    read, rows = page.published, page.markdown.split("\n")
    for fault in read.faults:
        at = next((index for index, row in enumerate(rows, 1) if fault.near and fault.near in row), None)
        yield Finding(fault.rule, at and page.first_line + at, fault.found, mend=fault.mend)
    if read.faults:
        return
    if (tuple(read.sections), tuple(read.components)) != (page.front.sections, page.reading.placed):
        yield Finding("two-readings", page.first_line + 1, ", ".join((*read.sections, *read.components)))
    elif not read.starts_with_section:
        yield Finding("text-before-section", page.first_line + 1)
