"""What a site must say and hold: the build writes it into the site's mark, and the last look reads it there.

It stands beside what it describes. So the look finds what was spoiled, lost or added on the way; it cannot find a
change by somebody who changes the mark in the same way.
"""

from collections.abc import Mapping
from pathlib import Path

from pydantic import BaseModel, ConfigDict, ValidationError

from treadleaf import marker
from treadleaf.errors import InputProblems, Problem

LOST = "404.html"
"""The page for a wrong address, which the host shows at any depth."""


class _Facts(BaseModel):
    model_config = ConfigDict(extra="forbid", frozen=True, strict=True)


class PageFacts(_Facts):
    """One page: its kind, whether it calculates, whether it is for the staff, and the keys of its cautions."""

    kind: str
    calculates: bool = False
    for_staff: bool = False
    cautions: list[str] = []


class Expected(_Facts):
    """A whole site.

    ``address`` is where it will stand, ``purpose`` the sentence of intended use, ``cautions`` the sentence of each
    caution by its key, ``pages`` every page by its path, ``files`` the paths of what the clinic added.
    """

    address: str
    purpose: str
    cautions: dict[str, str]
    pages: dict[str, PageFacts]
    files: list[str] = []

    def sentences(self, page: str) -> list[str]:
        """The cautions that a page must show; none for a page that is not expected at all."""
        return [self.cautions[key] for key in self.pages[page].cautions] if page in self.pages else []

    def as_data(self) -> Mapping[str, object]:
        """The same as plain data for the mark, which has the address already."""
        return self.model_dump(mode="json", exclude={"address"})


def of(folder: Path) -> Expected:
    """Read what a built folder must say and hold. Raises InputProblems where its mark is missing, old or damaged."""
    facts = marker.read(folder)
    said = facts.get(marker.SITE)
    if said is None:
        raise InputProblems([Problem("This folder was built, but is not a site.", str(folder), mend=marker.AGAIN)])
    try:
        expected = Expected.model_validate({**said, "address": facts.get("address")})
        _ = [expected.sentences(page) for page in expected.pages]
    except (ValidationError, LookupError, TypeError):
        raise InputProblems([marker.damaged(folder)]) from None
    return expected
