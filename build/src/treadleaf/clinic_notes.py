"""The clinic's own words on a page: plain text or light Markdown, made into markup that can only be read and linked."""

from collections.abc import Sequence

from markdown_it import MarkdownIt
from markdown_it.renderer import RendererHTML
from markdown_it.token import Token
from markdown_it.utils import EnvType, OptionsDict
from markupsafe import Markup

SCHEMES = ("https:", "mailto:", "tel:")
_RULES = ("newline", "escape", "emphasis", "link", "autolink", "list", "entity", "image")


def refused(text: str) -> list[str]:
    """What of a note cannot be published: links to elsewhere than https, mailto and tel, and pictures."""
    faults = []
    for token in _all(_reader().parse(text)):
        address = str(token.attrGet("href") or "")
        if token.type == "link_open" and not address.lower().startswith(SCHEMES):
            faults.append(f"a link to {address!r}")
        if token.type == "image":
            faults.append("a picture")
    return faults


def render(text: str) -> Markup:
    """A note that has passed the check, as HTML. Tags that stand in it are shown as text."""
    return Markup(_reader().render(text))  # noqa: S704 - the reader escapes all that it does not make itself


def _reader() -> MarkdownIt:
    reader = MarkdownIt("zero", {"html": False, "breaks": True}).enable(_RULES)
    # The library would leave such a link standing as text without a word; `refused` names it.
    reader.validateLink = lambda url: bool(url) or True  # type: ignore[method-assign]
    reader.add_render_rule("link_open", _link)
    return reader


def _link(renderer: RendererHTML, tokens: Sequence[Token], index: int, options: OptionsDict, env: EnvType) -> str:
    tokens[index].attrSet("rel", "noreferrer")
    return renderer.renderToken(tokens, index, options, env)


def _all(tokens: Sequence[Token]) -> list[Token]:
    return [found for token in tokens for found in (token, *_all(token.children or []))]
