"""Which pages a clinic's handout has: those that come with the builder, less what is left out, and the clinic's own."""

import difflib
import re
from collections.abc import Iterable, Iterator, Mapping
from dataclasses import dataclass, field, replace
from pathlib import Path

from treadleaf import clinic_faults, pages
from treadleaf.errors import InputProblems, Problem
from treadleaf.gate import links, wording
from treadleaf.gate.facts import Facts
from treadleaf.markup import Render
from treadleaf.pages import Page
from treadleaf.positions import KeyPath

_INSIDE_LINK = re.compile(r"\[(?P<text>[^\]]*)\]\((?P<to>[^)\s]+\.md)(?:#[^)]*)?\)")


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
    own = pages.Loaded(())
    if wishes.folder:
        try:
            own = _own(clinic_file, wishes, kept, facts, render)
        except InputProblems as failure:
            problems += failure.problems
    noted = [("notes", page) for page in wishes.notes]
    problems += _unknown(clinic_file, lines, noted, wishes.notes, (*kept, *own.pages))
    if problems:
        raise InputProblems(problems)
    warnings = (*own.remarks, *_of_notes(clinic_file, wishes.notes, lines))
    return Chosen(pages.in_order((*kept, *own.pages)), warnings)


def _without(shipped: tuple[Page, ...], left_out: frozenset[str]) -> tuple[Page, ...]:
    """The shipped pages that stay; where they point to one that goes, the words stay and the link goes too."""
    kept = [page for page in shipped if page.address not in left_out]

    def unlinked(page: Page) -> str:
        def plain(link: re.Match[str]) -> str:
            return link["text"] if links.address(page.source, link["to"]) in left_out else link[0]

        return _INSIDE_LINK.sub(plain, page.markdown)

    return tuple(replace(page, markdown=unlinked(page)) for page in kept)


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


def _own(clinic_file: Path, wishes: Wishes, shipped: tuple[Page, ...], facts: Facts, render: Render) -> pages.Loaded:
    name, lines = wishes.folder, wishes.lines
    folder = clinic_file.parent / name
    if not folder.resolve().is_relative_to(clinic_file.parent.resolve()) or not folder.is_dir():
        what, mend = "There is no such folder beside the clinic file.", "Make the folder, or take the key out."
        problem = Problem(what, str(clinic_file), found=name, mend=mend)
        raise InputProblems([clinic_faults.placed(problem, lines, ("pages",))])
    own = pages.load_own(folder, facts, render, shipped)
    if not own.pages:
        what, mend = "The folder holds no page.", "Put a Markdown file into a folder of its kind, such as checks/."
        problem = Problem(what, str(clinic_file), found=name, mend=mend)
        raise InputProblems([clinic_faults.placed(problem, lines, ("pages",))])
    return own


def _of_notes(clinic_file: Path, notes: Mapping[str, str], lines: Mapping[KeyPath, int]) -> Iterator[Problem]:
    for page, note in notes.items():
        for remark in wording.remarks(note):
            problem = Problem(remark.why, str(clinic_file), found=remark.word, mend=remark.instead, rule="banned-word")
            yield clinic_faults.placed(problem, lines, ("notes", page))
