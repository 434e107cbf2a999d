"""Which sources a page lists, in which order, and how one is named in a sentence."""

from collections.abc import Iterable

from calculators import doses, sources
from calculators.cautions import CAUTIONS, HELP_SIGNS
from treadleaf.pages import Page


def listed(page: Page) -> list[str]:
    """The page's sources, each once, in the order in which their numbers first stand on it.

    Those that its text alone names, and those of an answer, come after them in the order of its front matter.
    """
    box = _resting(page.front.cautions)
    text = [key for tag in page.components for key in _SHOWN_BY.get(tag, ())]
    # On the page on help the box of cautions comes last, as the template has it.
    shown = [*text, *box] if page.front.kind == "caution" else [*box, *text]
    # Where every component stands, every source is cited.
    rest = sources.SOURCES if page.front.kind == "samples" else ()
    return list(dict.fromkeys([*shown, *page.front.sources, *rest]))


def named(key: str) -> str:
    """Authors and year, as a sentence names a source."""
    source = sources.source(key)
    return f"{source.authors} {source.year}" if source.year else source.authors


def _resting(cautions: Iterable[str]) -> list[str]:
    return [basis for key in cautions for basis in CAUTIONS[key].basis]


_SHOWN_BY = {"help-signs": _resting(HELP_SIGNS), "dose-table": [dose.source for dose in doses.DOSES]}
"""Sources whose numbers a component shows before any script runs, by the component's tag."""
