"""Every page of a finished site: its policy, its words, its addresses."""

from collections.abc import Iterator

from treadleaf import places, policy
from treadleaf.audit import addresses, page
from treadleaf.audit.expected import Expected
from treadleaf.audit.folder import Folder
from treadleaf.audit.page import Fault, Page

_CAUTIONS = "caution-box"
_PURPOSE = "purpose"


def read(folder: Folder) -> dict[str, Page]:
    """Every page as a browser reads it, by its path."""
    tags = [path.name for path in (places.templates() / "components").iterdir() if path.is_dir()]
    return {name: page.read(html, tags, (_CAUTIONS, _PURPOSE)) for name, html in folder.pages().items()}


def look(folder: Folder, pages: dict[str, Page], expected: Expected) -> Iterator[tuple[str, Fault]]:
    """Every fault of every page, each with the page's path."""
    for name, html in folder.pages().items():
        found = (
            *pages[name].faults,
            *_policy(name, html, pages[name], expected),
            *_words(name, pages[name], expected),
            *addresses.look(name, pages, folder.sizes, expected.address),
        )
        yield from ((name, fault) for fault in found)


def _policy(name: str, html: str, read: Page, expected: Expected) -> Iterator[Fault]:
    if len(read.policies) != 1 or policy.SLOT in html:
        yield Fault("policy", "The page has no security policy, or more than one.")
        return
    scripts = policy.inline_scripts(html)
    known = [script for script in scripts if policy.source_hash(script) in read.policies[0]]
    for script in scripts:
        if script not in known:
            yield Fault("policy", "The page's policy does not know one of its scripts.", script[:60])
    computes = name in expected.pages and expected.pages[name].calculates
    if read.policies[0] != policy.write(known, computes=computes):
        yield Fault("policy", "The page's security policy is not the one that is written for it.")


def _words(name: str, read: Page, expected: Expected) -> Iterator[Fault]:
    """The cautions and the purpose must stand where they are seen, on screen and on paper, with all their words."""
    sentences = expected.sentences(name)
    boxes = read.shown[_CAUTIONS]
    if len(boxes) != (1 if sentences else 0):
        yield Fault("cautions", "The page carries no cautions, or carries them twice.", f"{len(boxes)} boxes")
    for sentence in sentences if boxes else ():
        if " ".join(sentence.split()) not in boxes[0]:
            yield Fault("cautions", "The page's cautions lack a sentence.", sentence)
    if read.shown[_PURPOSE] != [" ".join(expected.purpose.split())]:
        yield Fault("purpose", "The page does not state its intended purpose once.")
