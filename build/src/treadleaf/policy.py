"""The content security policy that stands first on every page, with the hash of each inline script of that page."""

import base64
import hashlib
from collections.abc import Collection, Iterable
from html.parser import HTMLParser

SLOT = "<policy-goes-here>"
"""What a template writes, unescaped, where the finished policy will stand: text of a page or a clinic is escaped."""

_DATA_TYPES = ("application/json", "application/ld+json")


def seal(html: str, *, computes: bool, known: Collection[str]) -> str:
    """The page with its policy filled in.

    ``computes`` is true on a page with a calculator: only there may WebAssembly be compiled and a worker start from a
    blob. ``known`` are the inline scripts that may run. Raises ValueError for any other, and when the page has no slot,
    or more than one.
    """
    if html.count(SLOT) != 1:
        raise ValueError(f"a page has {html.count(SLOT)} places for its policy, not one")
    scripts = inline_scripts(html)
    for script in scripts:
        if script not in known:
            raise ValueError(f"a page has an inline script that is not the theme's own: {script[:80]}")
    return html.replace(SLOT, write(scripts, computes=computes))


def write(scripts: list[str], *, computes: bool) -> str:
    """The policy's text for a page with these inline scripts. It goes into an attribute in double quotes as it is."""
    hashes = sorted({source_hash(script) for script in scripts})
    directives = {
        "default-src": ["'none'"],
        "script-src": ["'self'", *(["'wasm-unsafe-eval'"] if computes else []), *hashes],
        # The theme's search runs in a worker from a file. The calculators' starts from a blob: it inherits this policy.
        "worker-src": ["'self'", *(["blob:"] if computes else [])],
        "style-src": ["'self'"],
        "img-src": ["'self'", "data:"],
        "font-src": ["'self'"],
        "connect-src": ["'self'"],
        "manifest-src": ["'self'"],
        "form-action": ["'self'"],
        "base-uri": ["'none'"],
        "object-src": ["'none'"],
    }
    return "; ".join(f"{name} {' '.join(values)}" for name, values in directives.items())


def joined(policies: Iterable[str]) -> str:
    """One policy that allows what any of these allows, each of them written by `write`.

    Raises ValueError where they do not speak of the same things: one that is silent about a thing may allow all of it.
    """
    allowed: dict[str, set[str]] = {}
    for number, text in enumerate(policies):
        rules = [rule.split() for rule in text.split(";")]
        if number and [name for name, *_ in rules] != list(allowed):
            raise ValueError(f"a page's policy speaks of other things than another's: {text[:200]}")
        for name, *values in rules:
            allowed.setdefault(name, set()).update(values)
    if not allowed:
        raise ValueError("there are no policies to join")
    return "; ".join(f"{name} {' '.join(_tidy(values))}" for name, values in allowed.items())


def _tidy(values: set[str]) -> list[str]:
    """In an order that the pages do not decide, and without the word for nothing where there is something."""
    something = values - {"'none'"} or values
    return sorted(something, key=lambda value: (value.startswith("'sha256-"), value))


def stated(html: str) -> str:
    """The policy that a finished page states. Raises ValueError where it states none, or more than one."""
    reader = _Policies()
    reader.feed(html)
    if len(reader.found) != 1:
        raise ValueError(f"a page states {len(reader.found)} policies, not one")
    return reader.found[0]


def source_hash(script: str) -> str:
    """How a policy names one inline script."""
    return f"'sha256-{base64.b64encode(hashlib.sha256(script.encode()).digest()).decode()}'"


def inline_scripts(html: str) -> list[str]:
    """The text of every script of a page that a browser would run, in order."""
    reader = _Scripts()
    reader.feed(html)
    return reader.found


class _Scripts(HTMLParser):
    def __init__(self) -> None:
        super().__init__(convert_charrefs=False)
        self.found: list[str] = []
        self._inside = False

    def handle_starttag(self, tag: str, attrs: list[tuple[str, str | None]]) -> None:
        given = dict(attrs)
        self._inside = tag == "script" and "src" not in given and given.get("type") not in _DATA_TYPES
        if self._inside:
            self.found.append("")

    def handle_data(self, data: str) -> None:
        if self._inside:
            self.found[-1] += data

    def handle_endtag(self, tag: str) -> None:  # noqa: ARG002 - the parser's own signature
        self._inside = False


class _Policies(HTMLParser):
    def __init__(self) -> None:
        super().__init__()
        self.found: list[str] = []

    def handle_starttag(self, tag: str, attrs: list[tuple[str, str | None]]) -> None:
        given = dict(attrs)
        if tag == "meta" and (given.get("http-equiv") or "").lower() == "content-security-policy":
            self.found.append(given.get("content") or "")
