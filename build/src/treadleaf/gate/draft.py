"""A page while it is looked at: its text, its front matter, and what was read in it."""

from collections.abc import Mapping
from dataclasses import dataclass
from pathlib import Path, PurePosixPath

from treadleaf import markup
from treadleaf.gate.reading import Reading
from treadleaf.kinds import Front


@dataclass(frozen=True)
class Draft:
    """One page whose front matter could be read.

    ``source`` is its path below the language's folder, ``lines`` the line of each key of the front matter,
    ``first_line`` the number of lines before ``markdown``, ``published`` the HTML as another parser made it.
    """

    path: Path
    source: str
    front: Front
    lines: Mapping[str, int]
    markdown: str
    first_line: int
    reading: Reading
    published: markup.Reading

    @property
    def address(self) -> str:
        """The finished page's address below the site's root."""
        return PurePosixPath(self.source).with_suffix(".html").as_posix()
