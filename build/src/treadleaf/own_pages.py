"""Which pages a clinic's handout has: those that come with the builder, less what is left out, and the clinic's own."""

import difflib
import posixpath
import re
from collections.abc import Iterable, Iterator, Mapping
from dataclasses import dataclass, field, replace
from pathlib import Path

from markdown_it import MarkdownIt
from markdown_it.token import Token

from treadleaf import clinic_faults, pages, wording
from treadleaf.errors import InputProblems, Problem
from treadleaf.markup import Render
from treadleaf.pages import Facts, Page
from treadleaf.positions import KeyPath

_FILE_NAME = re.compile(r"[a-z0-9]+(?:-[a-z0-9]+)*\.md")
_OUTSIDE = ("https:", "mailto:", "tel:")
# Python-Markdown's way of putting attributes on things: of no use in a page but for the names of its sections.
_ATTRIBUTES = re.compile(r"\{:|\{(?!#[a-z][a-z0-9-]*\}\s*$)[#.\w]", re.MULTILINE)
_INSIDE_LINK = re.compile(r"\[(?P<text>[^\]]*)\]\((?P<to>[^)\s]+\.md)(?:#[^)]*)?\)")
_KINDS = ("check", "exercise", "caution", "learn")


@dataclass(frozen=True)
class Wishes:
    """What a clinic file says of the pages: those to leave out, the folder with its own, notes by page.

    A name that cannot be one is left empty, so that the others keep their places.
    ``lines`` is where each key of the file stands, as `positions.key_lines` says.
    """

    leave_out: tuple[str, ...] = ()
    folder: str = ""
    notes: Mapping[str, str] = field(default_factory=dict)
    lines: Mapping[KeyPath, int] = field(default_factory=dict)


@dataclass(frozen=True)
class Chosen:
    """The pages of one handout in reading order, and what a clinic should think over before it publishes them."""

    pages: tuple[Page, ...]
    warnings: tuple[Problem, ...]


def choose(clinic_file: Path, wishes: Wishes, shipped: tuple[Page, ...], facts: Facts, render: Render) -> Chosen:
    """The pages of a clinic's handout.

    Raises InputProblems with everything that is wrong in the clinic's own pages and in the pages that its file names.
    """
    lines = wishes.lines
    kept = _without(shipped, frozenset(wishes.leave_out))
    left_out = [("leave_out", index) for index, _ in enumerate(wishes.leave_out)]
    problems = [*_unknown(clinic_file, lines, left_out, wishes.leave_out, shipped)]
    own: tuple[Page, ...] = ()
    if wishes.folder:
        try:
            own = _own(clinic_file, wishes, kept, facts, render)
        except InputProblems as failure:
            problems += failure.problems
    noted = [("notes", page) for page in wishes.notes]
    problems += _unknown(clinic_file, lines, noted, wishes.notes, (*kept, *own))
    if problems:
        raise InputProblems(problems)
    warnings = [
        *_of_pages(clinic_file.parent / wishes.folder, own),
        *_of_notes(clinic_file, wishes.notes, lines),
    ]
    return Chosen(pages.in_order((*kept, *own)), tuple(warnings))


def _without(shipped: tuple[Page, ...], left_out: frozenset[str]) -> tuple[Page, ...]:
    """The shipped pages that stay; where they point to one that goes, the words stay and the link goes too."""
    kept = [page for page in shipped if page.address not in left_out]

    def unlinked(page: Page) -> str:
        def plain(link: re.Match[str]) -> str:
            return link["text"] if _address(page.source, link["to"]) in left_out else link[0]

        return _INSIDE_LINK.sub(plain, page.markdown)

    return tuple(replace(page, markdown=unlinked(page)) for page in kept)


def _address(source: str, link: str) -> str:
    """The address of the page that a link to a Markdown file means."""
    return posixpath.normpath(posixpath.join(posixpath.dirname(source), link)).removesuffix(".md") + ".html"


def _unknown(
    clinic_file: Path,
    lines: Mapping[KeyPath, int],
    paths: Iterable[KeyPath],
    named: Iterable[str],
    there: tuple[Page, ...],
) -> Iterator[Problem]:
    addresses = [page.address for page in there]
    for path, name in zip(paths, named, strict=True):
        if name and name not in addresses:
            near = difflib.get_close_matches(name, addresses, 1, 0.5)
            mend = f'Did you mean "{near[0]}"?' if near else f"The pages are: {', '.join(addresses)}."
            problem = Problem("There is no such page.", str(clinic_file), found=name, mend=mend)
            yield clinic_faults.placed(problem, lines, path)


def _own(
    clinic_file: Path, wishes: Wishes, shipped: tuple[Page, ...], facts: Facts, render: Render
) -> tuple[Page, ...]:
    name, lines = wishes.folder or "", wishes.lines
    folder = clinic_file.parent / name
    if not folder.resolve().is_relative_to(clinic_file.parent.resolve()) or not folder.is_dir():
        what, mend = "There is no such folder beside the clinic file.", "Make the folder, or take the key out."
        problem = Problem(what, str(clinic_file), found=name, mend=mend)
        raise InputProblems([clinic_faults.placed(problem, lines, ("pages",))])
    problems: list[Problem] = []
    own: tuple[Page, ...] = ()
    try:
        own = pages.load(folder, facts, render)
    except InputProblems as failure:
        problems += failure.problems
    if not own and not problems:
        what, mend = "The folder holds no page.", "Put a Markdown file into a folder of its kind, such as checks/."
        problems.append(clinic_faults.placed(Problem(what, str(clinic_file), found=name, mend=mend), lines, ("pages",)))
    addresses = {page.address for page in (*shipped, *own)}
    for page in own:
        problems += _faults(folder / page.source, page, {other.address for other in shipped}, addresses)
    if problems:
        raise InputProblems(problems)
    return own


def _faults(path: Path, page: Page, taken: set[str], addresses: set[str]) -> Iterator[Problem]:
    """What would not stop a page of the builder's own but stops a clinic's."""
    if not _FILE_NAME.fullmatch(path.name):
        mend = "Name it with small letters, digits and dashes, like calf-raise.md."
        yield Problem("The file's name does not make an address.", str(path), found=path.name, mend=mend)
    if page.front.kind not in _KINDS:
        mend = f"A page of your own is one of: {', '.join(_KINDS)}."
        yield Problem("A page of your own cannot be of this kind.", str(path), 1, "kind", page.front.kind, mend)
    if page.address in taken:
        mend = f'Give the file another name, or leave the other out: leave_out = ["{page.address}"].'
        yield Problem("The handout has a page of this name already.", str(path), found=page.address, mend=mend)
    first = _first_line(path, page)
    for number, row in enumerate(page.markdown.splitlines(), first):
        if _ATTRIBUTES.search(row):
            mend = "Take the curly brackets out; only a section's name, {#like-this}, may stand in them."
            yield Problem("Attributes are not allowed in a page.", str(path), number, found=row.strip()[:80], mend=mend)
    reader = MarkdownIt("commonmark")
    # The library leaves a script's address standing as text; what builds the page would link it.
    reader.validateLink = lambda url: bool(url) or True  # type: ignore[method-assign]
    for token in reader.parse(page.markdown):
        line = first + (token.map[0] if token.map else 0)
        for child in token.children or []:
            yield from _link_faults(path, line, child, page.source, addresses)


def _link_faults(path: Path, line: int, token: Token, source: str, addresses: set[str]) -> Iterator[Problem]:
    to = str(token.attrGet("href") or "")
    if token.type == "image":
        mend = "Describe what it shows in words."
        yield Problem("Pictures are not published from pages of your own.", str(path), line, mend=mend)
    elif token.type == "link_open" and not to.lower().startswith((*_OUTSIDE, "#")):
        plain = to.partition("#")[0]
        if ":" in plain or not plain.endswith(".md") or _address(source, plain) not in addresses:
            mend = "Link to https://..., mailto: or tel:, or to a page of the handout as ../checks/wet-print.md."
            yield Problem("The link leads to no page.", str(path), line, found=to[:80], mend=mend)


def _first_line(path: Path, page: Page) -> int:
    """The line of the file on which a page's text begins."""
    text = path.read_text("utf-8-sig")
    return text[: len(text) - len(page.markdown)].count("\n") + 1


def _of_pages(folder: Path, own: tuple[Page, ...]) -> Iterator[Problem]:
    for page in own:
        path = folder / page.source
        front = (page.front.title, page.front.short, page.front.summary)
        for remark in wording.remarks("\n".join(front)):
            yield Problem(
                remark.why, str(path), None, ("title", "short", "summary")[remark.line - 1], remark.word, remark.instead
            )
        first = _first_line(path, page)
        for remark in wording.remarks(page.markdown):
            yield Problem(remark.why, str(path), first + remark.line - 1, "", remark.word, remark.instead)


def _of_notes(clinic_file: Path, notes: Mapping[str, str], lines: Mapping[KeyPath, int]) -> Iterator[Problem]:
    for page, note in notes.items():
        for remark in wording.remarks(note):
            problem = Problem(remark.why, str(clinic_file), found=remark.word, mend=remark.instead)
            yield clinic_faults.placed(problem, lines, ("notes", page))
