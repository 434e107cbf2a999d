"""The pages of the handout: Markdown files that have passed the gate.

MkDocs itself lets broken front matter pass, so nothing here relies on it: a page reaches MkDocs after these checks.
"""

from collections.abc import Iterable, Iterator
from dataclasses import dataclass
from pathlib import Path

from treadleaf import markup
from treadleaf.errors import InputProblems, Problem
from treadleaf.gate import links, own
from treadleaf.gate.draft import Draft
from treadleaf.gate.examine import examine
from treadleaf.gate.facts import Facts
from treadleaf.gate.finding import problems
from treadleaf.gate.reading import Reading
from treadleaf.gate.rules import RULES
from treadleaf.kinds import KINDS, Front


@dataclass(frozen=True)
class Page:
    """A page that has passed the gate.

    ``source`` is its path below the language's folder, ``address`` that of the finished page below the site's root,
    ``markdown`` its text without front matter, ``components`` the tags placed in it, in order, ``anchors`` the names of
    its headings, ``reading`` what the gate read in it.
    """

    source: str
    address: str
    front: Front
    markdown: str
    components: tuple[str, ...]
    anchors: tuple[str, ...]
    reading: Reading


@dataclass(frozen=True)
class Loaded:
    """Pages in reading order, and what should be thought over before they are published."""

    pages: tuple[Page, ...]
    remarks: tuple[Problem, ...] = ()


def load(folder: Path, facts: Facts, render: markup.Render) -> tuple[Page, ...]:
    """Read every page of one language, in the order of the kinds: the home page first. Every rule stops.

    ``render`` makes HTML from Markdown as it will be published; that is looked over too.
    Raises InputProblems with everything that is wrong in any of them, each with file, line and rule.
    """
    read, found = _examined(folder, facts, render)
    made = tuple(map(_page, read))
    found += _of_links(read, made, found)
    if found:
        raise InputProblems(found)
    return in_order(made)


def load_own(folder: Path, facts: Facts, render: markup.Render, shipped: tuple[Page, ...]) -> Loaded:
    """Read a clinic's own pages, which stand beside ``shipped``. Rules on words and claims only remark.

    Raises InputProblems with everything that stops, and nothing else.
    """
    read, found = _examined(folder, facts, render)
    made = tuple(map(_page, read))
    taken = {page.address for page in shipped}
    for draft in read:
        found += problems(draft.path, own.findings(draft, taken))
    found += _of_links(read, (*shipped, *made), found)
    stopping = [problem for problem in found if RULES[problem.rule].stops]
    if stopping:
        raise InputProblems(stopping)
    return Loaded(in_order(made), tuple(found))


def drafts(folder: Path, facts: Facts, render: markup.Render) -> list[Draft]:
    """Every page of a folder that can be read at all, whatever is wrong with it."""
    return _examined(folder, facts, render)[0]


def in_order(pages: Iterable[Page]) -> tuple[Page, ...]:
    """Pages in reading order: by kind, the home page first, then by the place that they name, then by name."""
    order = list(KINDS)
    return tuple(sorted(pages, key=lambda page: (order.index(page.front.kind), page.front.place, page.source)))


def _examined(folder: Path, facts: Facts, render: markup.Render) -> tuple[list[Draft], list[Problem]]:
    looked_at = [
        examine(path, path.relative_to(folder).as_posix(), facts, render) for path in sorted(folder.rglob("*.md"))
    ]
    read = [one.draft for one in looked_at if one.draft]
    return read, [problem for one in looked_at for problem in one.problems]


def _of_links(read: list[Draft], pages: tuple[Page, ...], told: list[Problem]) -> Iterator[Problem]:
    """Links that lead nowhere, from pages that may stand where they are and point where they do."""
    targets = {page.address: page.anchors for page in pages}
    stopped = {problem.file for problem in told if RULES[problem.rule].stops}
    for draft in read:
        if str(draft.path) not in stopped:
            yield from problems(draft.path, links.findings(draft, targets))


def _page(draft: Draft) -> Page:
    read = draft.reading
    return Page(
        draft.source, draft.address, draft.front, draft.markdown, read.placed, tuple(draft.published.anchors), read
    )
