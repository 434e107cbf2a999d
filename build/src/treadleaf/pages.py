"""The pages of the handout: Markdown files whose front matter is read strictly, one model for each kind of page.

MkDocs itself lets broken front matter pass, so nothing here relies on it: a page reaches MkDocs after these checks.
"""

import difflib
import re
from collections.abc import Collection, Iterable, Iterator, Mapping
from dataclasses import dataclass
from pathlib import Path
from typing import Any

import yaml
from markdown_it import MarkdownIt
from markdown_it.token import Token
from pydantic import ValidationError

from treadleaf import markup
from treadleaf.errors import InputProblems, Problem
from treadleaf.kinds import KINDS, Front, Practice

_FENCE = re.compile(r"\A---\n(.*?\n)---\n", re.DOTALL)
_HEADING_ID = re.compile(r"^(?P<text>.*?)\s*\{#(?P<id>[a-z][a-z0-9-]*)\}$")
_COMPONENT = re.compile(r"^<!-- here: (?P<tag>[a-z]+(?:-[a-z]+)+) -->$")


@dataclass(frozen=True)
class Facts:
    """What a page may refer to; each is the set of keys of one table.

    ``required_cautions`` maps a page's tag, or its kind, to the cautions that such a page must carry.
    """

    sources: Collection[str]
    cautions: Collection[str]
    actions: Collection[str]
    components: Collection[str]
    required_cautions: Mapping[str, Collection[str]]


@dataclass(frozen=True)
class Page:
    """A page that has passed every check.

    ``source`` is its path below the language's folder, ``address`` that of the finished page below the site's root,
    ``markdown`` its text without front matter, ``components`` the tags placed in it, in order.
    """

    source: str
    address: str
    front: Front
    markdown: str
    components: tuple[str, ...]


def load(folder: Path, facts: Facts, render: markup.Render) -> tuple[Page, ...]:
    """Read every page of one language, in the order of the kinds: the home page first.

    ``render`` makes HTML from Markdown as it will be published; that is looked over too.
    Raises InputProblems with everything that is wrong in any of them, each with file and line.
    """
    problems: list[Problem] = []
    pages: list[Page] = []
    for path in sorted(folder.rglob("*.md")):
        try:
            pages.append(_page(path, path.relative_to(folder).as_posix(), facts, render))
        except InputProblems as failure:
            problems += failure.problems
    if problems:
        raise InputProblems(tuple(problems))
    return in_order(pages)


def in_order(pages: Iterable[Page]) -> tuple[Page, ...]:
    """Pages in reading order: by kind, the home page first, then by name."""
    order = list(KINDS)
    return tuple(sorted(pages, key=lambda page: (order.index(page.front.kind), page.source)))


def _page(path: Path, source: str, facts: Facts, render: markup.Render) -> Page:
    text = _text(path)
    fence = _FENCE.match(text)
    if not fence:
        mend = "Start the file with --- on its own line, the page's keys, and --- again."
        raise InputProblems((Problem("The page has no front matter.", str(path), 1, mend=mend),))
    values, lines = _yaml(path, fence[1])
    front, problems = _front(path, values, lines)
    body = text[fence.end() :]
    first_line = text[: fence.end()].count("\n")
    tokens = MarkdownIt("commonmark", {"html": True}).parse(body)
    if front:
        problems += _references(path, front, lines, facts)
        problems += _body(path, front, tokens, first_line, facts)
        if Path(source).parent.as_posix() != (front.folder or "."):
            mend = f"Move the file to {front.folder or 'the top folder'}, or change its kind."
            problems.append(
                Problem(
                    "The page stands in the wrong folder for its kind.",
                    str(path),
                    lines.get("kind"),
                    "kind",
                    front.kind,
                    mend,
                )
            )
    placed = tuple(found["tag"] for token in tokens if (found := _placed(token)))
    if front and not problems:
        problems += _published(path, front, placed, body, first_line, markup.read(render(body)))
    if problems or not front:
        raise InputProblems(tuple(problems))
    return Page(source, str(Path(source).with_suffix(".html").as_posix()), front, body, placed)


def _text(path: Path) -> str:
    data = path.read_bytes()
    try:
        return data.decode("utf-8-sig").replace("\r\n", "\n")
    except UnicodeDecodeError as failure:
        line = data[: failure.start].count(b"\n") + 1
        mend = "Save the file as UTF-8 in your editor."
        raise InputProblems((Problem("The page is not UTF-8 text.", str(path), line, mend=mend),)) from None


def _yaml(path: Path, text: str) -> tuple[dict[str, Any], dict[str, int]]:
    """Keys of the front matter with their values, and the line of each key. Two keys of one name are refused."""

    def refuse(what: str, line: int, key: str = "", mend: str = "Write one `key: value` a line.") -> InputProblems:
        return InputProblems((Problem(what, str(path), line, key, mend=mend),))

    values: dict[str, Any] = {}
    lines: dict[str, int] = {}
    name, line = "", 1
    try:
        loader = yaml.SafeLoader(text)
        node = loader.get_single_node()
        if not isinstance(node, yaml.MappingNode):
            raise refuse("The front matter must be keys with values.", 2)
        for key, value in node.value:
            name, line = str(key.value), key.start_mark.line + 2
            if name in lines:
                raise refuse("This key stands twice.", line, name, f"Keep one; the other is on line {lines[name]}.")
            lines[name] = line
            values[name] = loader.construct_object(value, deep=True)
    except (yaml.YAMLError, RecursionError) as failure:
        mark = getattr(failure, "problem_mark", None)
        what = f"The front matter is malformed: {getattr(failure, 'problem', None) or failure}."
        raise refuse(what, mark.line + 2 if mark else 1) from None
    except ValueError as failure:  # 30 February, for one, has the shape of a date
        raise refuse(f"This value cannot be: {failure}.", line, name, "Write one that there is.") from None
    return values, lines


def _front(path: Path, values: dict[str, Any], lines: dict[str, int]) -> tuple[Front | None, list[Problem]]:
    kind = values.get("kind")
    if not isinstance(kind, str) or kind not in KINDS:
        mend = f"Write one of: {', '.join(KINDS)}."
        return None, [
            Problem(
                "The page's kind is missing or not known.", str(path), lines.get("kind", 1), "kind", repr(kind), mend
            )
        ]
    try:
        return KINDS[kind].model_validate(values), []
    except ValidationError as failure:
        problems = []
        for error in failure.errors(include_url=False):
            key = ".".join(str(part) for part in error["loc"])
            line = lines.get(str(error["loc"][0]) if error["loc"] else "", 1)
            near = difflib.get_close_matches(key, KINDS[kind].model_fields, 1)
            mend = (
                f"Did you mean `{near[0]}`?"
                if near and error["type"] == "extra_forbidden"
                else f"A {kind} page has: {', '.join(KINDS[kind].model_fields)}."
            )
            found = "" if error["type"] == "missing" else repr(error["input"])[:80]
            problems.append(Problem(f"{error['msg']}.", str(path), line, key, found, mend))
        return None, problems


def _references(path: Path, front: Front, lines: dict[str, int], facts: Facts) -> list[Problem]:
    """Every key that the front matter names must stand in its table, and no required caution may be missing."""
    named: list[tuple[str, str, Collection[str], str]] = []
    named += [("sources", key, facts.sources, "source") for key in front.sources]
    named += [("cautions", key, facts.cautions, "caution") for key in front.cautions]
    tags: tuple[str, ...] = (front.kind,)
    if isinstance(front, Practice):
        tags += front.tags
        named += [("tags", key, facts.required_cautions, "tag") for key in front.tags]
        named += [("calculator", front.calculator, facts.actions, "calculator")] if front.calculator else []
    problems = []
    for key, value, table, noun in named:
        if value not in table:
            near = difflib.get_close_matches(value, table, 1)
            mend = f"Did you mean `{near[0]}`?" if near else f"Add it to the table of {noun}s first."
            problems.append(Problem(f"This {noun} is not known.", str(path), lines.get(key), key, value, mend))
    for tag in tags:
        for caution in facts.required_cautions.get(tag, ()):
            if caution not in front.cautions:
                mend = f"Add `{caution}` to the page's cautions."
                problems.append(
                    Problem(
                        f"A page tagged `{tag}` must carry this caution.",
                        str(path),
                        lines.get("cautions"),
                        "cautions",
                        mend=mend,
                    )
                )
    if front.next_review <= front.reviewed:
        mend = "Set a date after the last review."
        problems.append(
            Problem(
                "The next review is not after the last.",
                str(path),
                lines.get("next_review"),
                "next_review",
                str(front.next_review),
                mend,
            )
        )
    return problems


def _body(path: Path, front: Front, tokens: list[Token], first_line: int, facts: Facts) -> list[Problem]:
    """Check that a page has the sections of its kind, in order, and nothing that Markdown would pass through unread."""
    problems = []
    headings: list[str] = []
    for token, following in zip(tokens, [*tokens[1:], None], strict=True):
        line = first_line + (token.map[0] if token.map else 0) + 1
        if token.type == "heading_open" and token.tag == "h2" and following:
            named = _HEADING_ID.match(following.content)
            headings.append(named["id"] if named else following.content)
        for what, mend in _token_faults(token, facts):
            problems.append(Problem(what, str(path), line, found=token.content.strip()[:80], mend=mend))
    if headings != list(front.sections):
        wanted = ", ".join(f"{{#{name}}}" for name in front.sections)
        mend = f"A {front.kind} page has these sections, each heading ending with its name, in this order: {wanted}."
        what = "The page's sections are not the ones that its kind needs."
        problems.append(Problem(what, str(path), first_line + 1, found=", ".join(headings), mend=mend))
    return problems


def _published(
    path: Path,
    front: Front,
    placed: tuple[str, ...],
    body: str,
    first_line: int,
    read: markup.Reading,
) -> list[Problem]:
    """Check the HTML that will be published, which another parser makes than the one that knows the lines."""

    def line_of(near: str) -> int | None:
        return next((first_line + index for index, row in enumerate(body.split("\n"), 1) if near and near in row), None)

    problems = [
        Problem(fault.what, str(path), line_of(fault.near), "", fault.found, fault.mend) for fault in read.faults
    ]
    if not problems and (read.sections, read.components) != (list(front.sections), list(placed)):
        what = "The page can be read in two ways: its sections and components are not the same in both."
        mend = "Keep headings, fences and components out of lists and quotations, with an empty line before and after."
        found = ", ".join((*read.sections, *read.components))
        problems.append(Problem(what, str(path), first_line + 1, found=found, mend=mend))
    elif not problems and not read.starts_with_section:
        what = "Text before the first section would not be shown."
        problems.append(Problem(what, str(path), first_line + 1, mend="Move it below the first heading."))
    return problems


def _token_faults(token: Token, facts: Facts) -> Iterator[tuple[str, str]]:
    placed = _placed(token)
    if token.type == "heading_open" and token.tag == "h1":
        yield "The title comes from the front matter.", "Take the first-level heading out."
    if placed and placed["tag"] not in facts.components:
        yield "This component is not known.", f"The components are: {', '.join(sorted(facts.components))}."
    inside = any(child.type == "html_inline" for child in token.children or [])
    if inside or (token.type == "html_block" and not placed):
        yield "HTML is not allowed in a page.", "Use Markdown, or place a component: <!-- here: its-name -->"


def _placed(token: Token) -> re.Match[str] | None:
    return _COMPONENT.match(token.content.strip()) if token.type == "html_block" else None
