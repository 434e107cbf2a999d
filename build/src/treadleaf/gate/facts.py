"""What a page may refer to, and the day on which it is looked at."""

from collections.abc import Collection, Mapping
from dataclasses import dataclass, field
from datetime import date


@dataclass(frozen=True)
class Facts:
    """What a page may refer to; each is the set of keys of one table.

    ``required_cautions`` maps a page's tag, or its kind, to the cautions that such a page must carry.
    ``component_sources`` maps a component to the sources that it cites by itself.
    ``dose_sources`` maps a drill of the table of doses to the sources of its doses.
    ``table_numbers`` maps a source to the numbers of it that stand in our tables, each with its unit.
    ``fixed_sentences`` may stand in a page whatever their words are. ``today`` is the day of the look; without it no
    review date is compared.
    """

    sources: Collection[str]
    cautions: Collection[str]
    actions: Collection[str]
    components: Collection[str]
    required_cautions: Mapping[str, Collection[str]]
    component_sources: Mapping[str, Collection[str]] = field(default_factory=dict)
    dose_sources: Mapping[str, Collection[str]] = field(default_factory=dict)
    table_numbers: Mapping[str, Collection[tuple[str, float]]] = field(default_factory=dict)
    fixed_sentences: Collection[str] = ()
    today: date | None = None

    def passed(self, due: date) -> bool:
        """Whether a day lies before the day of the look."""
        return self.today is not None and due < self.today
