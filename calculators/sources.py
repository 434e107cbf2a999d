"""Where each number and each caution comes from, and how much of it was read.

Only pages and builders need this table; the calculators pass source keys along without opening it.
"""

from dataclasses import dataclass

from calculators.data import table


@dataclass(frozen=True)
class Source:
    """One source. `title` is empty where no title was seen; `about` then says what it is."""

    key: str
    authors: str
    label: str
    read: str
    year: int | None = None
    title: str = ""
    about: str = ""
    container: str = ""
    doi: str = ""
    address: str = ""


SOURCES: dict[str, Source] = {key: Source(key=key, **row) for key, row in table("sources").items()}


def source(key: str) -> Source:
    """Look a source up by its key.

    Raises:
        LookupError: the key is not in data/sources.toml.
    """
    if key not in SOURCES:
        raise LookupError(f"no source called {key!r}; add it to calculators/data/sources.toml")
    return SOURCES[key]
