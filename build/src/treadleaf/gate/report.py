"""One page on every page of a handout: how it reads, what it rests on, when it was reviewed, what was told of it."""

from collections import defaultdict
from collections.abc import Iterable
from dataclasses import dataclass

import jinja2

from calculators.cautions import CAUTIONS
from calculators.sources import SOURCES, Source
from treadleaf.errors import Problem
from treadleaf.gate import quality, syllables, words
from treadleaf.gate.draft import Draft
from treadleaf.gate.facts import Facts
from treadleaf.gate.marks import STRENGTHS
from treadleaf.gate.readability import Amounts
from treadleaf.gate.rules import DATA


@dataclass(frozen=True)
class Row:
    """What the report says of one page. ``longest`` is the length of its longest sentence in words."""

    page: Draft
    amounts: Amounts
    longest: int
    cautions: list[tuple[str, str]]
    sources: list[tuple[Source, str, list[str]]]
    labels: dict[str, int]
    strengths: dict[str, int]
    passed: bool
    items: list[tuple[quality.Item, quality.Seen]]
    problems: list[Problem]


def made(drafts: Iterable[Draft], problems: Iterable[Problem], facts: Facts) -> str:
    """The report as one HTML file that loads nothing. What belongs to no page that could be read stands at its end."""
    by_file = defaultdict(list)
    for problem in problems:
        by_file[problem.file].append(problem)
    rows = [_row(draft, by_file.pop(str(draft.path), []), facts) for draft in drafts]
    folder = jinja2.FileSystemLoader(DATA)
    template = jinja2.Environment(loader=folder, autoescape=True, undefined=jinja2.StrictUndefined, trim_blocks=True)
    return template.get_template("report.html").render(
        rows=rows,
        others=[problem for some in by_file.values() for problem in some],
        today=facts.today,
        strengths=STRENGTHS,
        person=[item for item in quality.items() if not item.check],
        longest=words.LONGEST,
        hardest=words.HARDEST,
        fewest=words.FEWEST,
    )


def _row(page: Draft, problems: list[Problem], facts: Facts) -> Row:
    front, read = page.front, page.reading
    prose = words.prose(read, facts.fixed_sentences)
    rests: dict[str, list[str]] = defaultdict(list)
    strengths = dict.fromkeys(STRENGTHS, 0)
    for mark in (mark for sentence in read.sentences for mark in sentence.marks if not mark.fault):
        strengths[mark.strength] += 1
        for key in mark.sources:
            rests[key].append(mark.strength)
    sources = [
        (SOURCES[key], ", ".join(tag for tag in read.placed if key in facts.component_sources.get(tag, ())), rests[key])
        for key in front.sources
        if key in SOURCES
    ]
    labels: dict[str, int] = defaultdict(int)
    for source, _, _ in sources:
        labels[source.label] += 1
    return Row(
        page,
        words.measured(read, front, facts.fixed_sentences),
        max((len(syllables.words(sentence.text)) for sentence in prose), default=0),
        [(key, CAUTIONS[key].tier) for key in front.cautions if key in CAUTIONS],
        sources,
        labels,
        strengths,
        facts.passed(front.next_review),
        [(item, quality.seen(item, page)) for item in quality.items() if item.check],
        problems,
    )
