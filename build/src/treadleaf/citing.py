"""Which sources a page lists, in which order, and how one is named in a sentence."""

from collections.abc import Iterable

from calculators import doses, sources
from calculators.cautions import CAUTIONS, HELP_SIGNS
from calculators.heel.measure import LIMIT_SOURCES
from treadleaf.gate.reading import Reading
from treadleaf.pages import Page


def listed(page: Page) -> list[str]:
    """The page's sources, each once, in the order in which their numbers first stand on it.

    What only an answer names, below those, comes after them in the order of the front matter.
    """
    box = _resting(page.front.cautions)
    text = _in_text(page.reading, getattr(page.front, "drills", ()))
    # On the page on help the box of cautions comes last, as the template has it.
    shown = [*text, *box] if page.front.kind == "signs" else [*box, *text]
    # Where every component stands, every source is cited.
    rest = sources.SOURCES if page.front.kind == "samples" else ()
    return list(dict.fromkeys([*shown, *page.front.sources, *rest]))


def named(key: str) -> str:
    """Authors and year, as a sentence names a source."""
    source = sources.source(key)
    return f"{source.authors} {source.year}" if source.year else source.authors


def of_doses(drill: str) -> list[str]:
    """The sources of the doses of one drill."""
    return [dose.source for dose in doses.doses_of(drill)]


def _in_text(read: Reading, drills: Iterable[str]) -> list[str]:
    """Those that the text shows from top to bottom: at the mark of a claim, and in a component."""
    own = NUMBERED | {"drill-doses": [key for drill in drills for key in of_doses(drill)]}
    shown = [(sentence.line, mark.sources) for sentence in read.sentences for mark in sentence.marks]
    shown += [(piece.line, tuple(own.get(piece.found, ()))) for piece in read.components]
    return [key for _, keys in sorted(shown, key=lambda row: row[0]) for key in keys]


def _resting(cautions: Iterable[str]) -> list[str]:
    return [basis for key in cautions for basis in CAUTIONS[key].basis]


_DOSES = [dose.source for dose in doses.DOSES]
# Behind the words of the heel form on the standard errors of practised hands and of beginners.
_HANDS = ("haight_2005", "picciano_1993")

NUMBERED = {
    "help-signs": _resting(HELP_SIGNS),
    "heel-angle": [*LIMIT_SOURCES["method"], *_HANDS],
    "programme-volume": _DOSES,
    "dose-table": _DOSES,
}
"""Sources whose numbers a component shows, by itself or above them in its answer, in that order, by its tag."""
