"""Rules on what the front matter refers to: tables, cautions, sources, dates."""

import difflib
from collections.abc import Collection, Iterator

from treadleaf.gate.draft import Draft
from treadleaf.gate.facts import Facts
from treadleaf.gate.finding import Finding
from treadleaf.kinds import Exercise, Practice


def findings(page: Draft, facts: Facts) -> Iterator[Finding]:
    """Every key that the page names stands in its table, no required caution is missing, the dates are in order."""
    yield from _names(page, facts)
    yield from _cautions(page, facts)
    yield from _sources(page, facts)
    yield from _dates(page, facts)


def near(value: str, table: Collection[str], otherwise: str = "") -> str:
    """A mend that names the nearest key of a table, if one is near."""
    found = difflib.get_close_matches(value, table, 1)
    return f"Did you mean `{found[0]}`?" if found else otherwise


def _names(page: Draft, facts: Facts) -> Iterator[Finding]:
    front = page.front
    named = [("unknown-source", "sources", key, facts.sources) for key in front.sources]
    named += [("unknown-caution", "cautions", key, facts.cautions) for key in front.cautions]
    if isinstance(front, Practice):
        named += [("tag", "tags", key, facts.required_cautions) for key in front.tags]
        named += [("calculator", "calculator", front.calculator, facts.actions)] if front.calculator else []
    if isinstance(front, Exercise):
        named += [("drill", "drills", key, facts.dose_sources) for key in front.drills]
    for rule, key, value, table in named:
        if value not in table:
            yield Finding(rule, page.lines.get(key), value, mend=near(value, table), key=key)


def _cautions(page: Draft, facts: Facts) -> Iterator[Finding]:
    front = page.front
    tags = (front.kind, *(front.tags if isinstance(front, Practice) else ()))
    for tag in tags:
        for caution in facts.required_cautions.get(tag, ()):
            if caution not in front.cautions:
                what = f"A page tagged `{tag}` must carry this caution."
                mend = f"Add `{caution}` to the page's cautions."
                yield Finding("missing-caution", page.lines.get("cautions"), caution, what, mend, "cautions")


def _sources(page: Draft, facts: Facts) -> Iterator[Finding]:
    used: set[str] = set()
    for sentence in page.reading.sentences:
        for key in (key for mark in sentence.marks for key in mark.sources):
            used.add(key)
            if key not in facts.sources:
                yield Finding("unknown-source", sentence.line, key, mend=near(key, facts.sources))
            elif key not in page.front.sources:
                yield Finding("unlisted-source", sentence.line, key)
    if not set(page.reading.placed) <= set(facts.components):
        return  # what an unknown component rests on cannot be said
    for tag in page.reading.placed:
        used.update(facts.component_sources.get(tag, ()))
    if isinstance(page.front, Exercise) and "drill-doses" in page.reading.placed:
        used.update(key for drill in page.front.drills for key in facts.dose_sources.get(drill, ()))
    for key in page.front.sources:
        if key in facts.sources and key not in used:
            yield Finding("unused-source", page.lines.get("sources"), key, key="sources")


def _dates(page: Draft, facts: Facts) -> Iterator[Finding]:
    front, line = page.front, page.lines.get("next_review")
    if front.next_review <= front.reviewed:
        yield Finding("review-order", line, str(front.next_review), key="next_review")
    elif facts.passed(front.next_review):
        yield Finding("review-passed", line, str(front.next_review), key="next_review")
