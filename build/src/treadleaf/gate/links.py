"""Rules on links and pictures: every link inside the handout arrives, every drawing has words in place of it."""

import posixpath
from collections.abc import Collection, Iterator, Mapping

from treadleaf.gate.draft import Draft
from treadleaf.gate.finding import Finding

_OUTSIDE = ("https:", "mailto:", "tel:")

Targets = Mapping[str, Collection[str]]
"""The addresses of a handout's pages, each with the names of its headings."""


def address(source: str, link: str) -> str:
    """The address of the page that a link to a Markdown file means."""
    return posixpath.normpath(posixpath.join(posixpath.dirname(source), link)).removesuffix(".md") + ".html"


def findings(page: Draft, targets: Targets) -> Iterator[Finding]:
    """Links that lead nowhere; ``targets`` holds every page of the handout, this one too."""
    for link in page.reading.links:
        to, _, anchor = link.to.partition("#")
        if link.to.lower().startswith(_OUTSIDE):
            continue
        place = address(page.source, to) if to else page.address
        if to and (":" in to or not to.endswith(".md") or place not in targets):
            yield Finding("dead-link", link.line, link.to)
        elif anchor and anchor not in targets[place]:
            yield Finding("dead-anchor", link.line, link.to)
    for picture in page.reading.pictures:
        if not picture.words:
            yield Finding("picture-alt", picture.line, picture.to)
        if not (page.path.parent / picture.to).is_file():
            mend = "Put the picture beside the page, or take it out."
            yield Finding("dead-link", picture.line, picture.to, mend=mend)
