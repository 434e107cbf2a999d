"""The only file that knows MkDocs: its settings, its build and its events."""

import logging
import re
from collections.abc import Callable
from dataclasses import dataclass
from datetime import date
from importlib.resources import files
from io import BytesIO
from pathlib import Path
from typing import Any
from urllib.parse import quote, unquote, urlsplit, urlunsplit

import jinja2
import markdown  # type: ignore[import-untyped]
from babel.dates import format_date
from markupsafe import Markup, escape
from mkdocs.commands import build as builder
from mkdocs.config import load_config
from mkdocs.config.defaults import MkDocsConfig
from mkdocs.exceptions import BuildError, ConfigurationError
from mkdocs.plugins import event_priority
from mkdocs.structure.files import Files
from mkdocs.structure.nav import Navigation
from mkdocs.structure.pages import Page as MkDocsPage
from mkdocs.utils import get_relative_url

from calculators.forms import Field
from treadleaf import drawings, pieces, policy
from treadleaf.errors import InputProblems, Problem
from treadleaf.markup import Render

_BEFORE_UNIT = re.compile(r"(?<=\d) (?=(?:[ap]\.?m|h|min)\b)", re.IGNORECASE)


@dataclass(frozen=True)
class Order:
    """One build: where the pages, the settings and the templates are, and where the site goes.

    ``sources`` lists the pages in reading order; ``extra`` is what the templates may use.
    """

    settings: Path
    docs: Path
    out: Path
    templates: Path
    name: str
    address: str
    sources: tuple[str, ...]
    extra: dict[str, Any]


def build(order: Order) -> None:
    """Build the pages of an order.

    Raises InputProblems with MkDocs's own words when it reports any warning.
    """
    heard = _Listener()
    logging.getLogger("mkdocs").addHandler(heard)
    try:
        config = load_config(
            BytesIO(order.settings.read_bytes()),
            config_file_path=str(order.settings),
            docs_dir=str(order.docs),
            site_dir=str(order.out),
            site_name=order.name,
            site_url=_quoted(order.address),
            nav=list(order.sources),
            theme={"name": "material", "custom_dir": str(order.templates), "font": False},
            hooks=[__file__],
            extra={**order.extra, "policy_slot": pieces.made(policy.SLOT), "theme_script": _theme_script()},
            strict=True,
        )
        config.plugins.on_startup(command="build", dirty=False)
        builder.build(config)
        config.plugins.on_shutdown()
    except (BuildError, ConfigurationError, SystemExit) as failure:
        mend = "Mend the page that is named here."
        told = [Problem(warning, mend=mend) for warning in heard.warnings]
        raise InputProblems(told or [Problem(f"The pages could not be built: {failure}.")]) from failure
    finally:
        logging.getLogger("mkdocs").removeHandler(heard)


def renderer(settings: Path, docs: Path) -> Render:
    """Markdown to HTML with the parser and the extensions that MkDocs builds the pages with."""
    config = load_config(BytesIO(settings.read_bytes()), config_file_path=str(settings), docs_dir=str(docs))

    def render(text: str) -> str:
        parser = markdown.Markdown(extensions=config.markdown_extensions, extension_configs=config.mdx_configs)
        made: str = parser.convert(text)
        return made

    return render


def _quoted(address: str) -> str:
    """The address with its path as a browser sends it: the theme writes that path into a script of its own."""
    parts = urlsplit(address)
    return urlunsplit(parts._replace(path=quote(parts.path, safe="/%:@!$&()*+,;=~")))


def _theme_script() -> str:
    """Where the theme's own script stands in the site: its name carries a hash that changes with the version."""
    templates = files("material") / "templates"
    found = [path.name for path in (templates / "assets" / "javascripts").iterdir() if path.name.startswith("bundle.")]
    return f"assets/javascripts/{min(found, key=len)}"


class _Listener(logging.Handler):
    """Keeps MkDocs's warnings. A logger set to show errors only would let its strict mode pass a broken link."""

    def __init__(self) -> None:
        super().__init__(logging.WARNING)
        self.warnings: list[str] = []

    def emit(self, record: logging.LogRecord) -> None:
        self.warnings.append(record.getMessage())


def on_env(env: jinja2.Environment, config: MkDocsConfig, files: Files) -> jinja2.Environment:
    """Escape everything that our own templates print. The theme's were written without, so they stay as they are."""
    ours = Path(str(config.theme.custom_dir))
    env.autoescape = lambda name: name is not None and (ours / name).is_file()
    env.filters |= FILTERS
    return env


@event_priority(100)  # before the search index is made from the page
def on_page_context(context: dict[str, Any], page: MkDocsPage, config: MkDocsConfig, nav: Navigation) -> dict[str, Any]:
    """Hand the template the page's sections, each cut at the components placed in it and at the marks of claims.

    What is left as the page's content is for the search index only: there each component becomes its words, below the
    page's own title and summary.
    """
    content = page.content or ""
    sheet = config.extra["sheets"][page.file.src_uri]
    context["parts"] = pieces.parts(content, sheet["sources"], config.extra["drawings"])
    page.meta["title"] = sheet["title"]
    page.content = pieces.searched(content, sheet, config.extra)
    return context


def on_post_page(output: str, page: MkDocsPage, config: MkDocsConfig) -> str:
    """Fill in the page's security policy."""
    sheet = config.extra["sheets"][page.file.src_uri]
    known = _theme_inline(config, get_relative_url(".", page.url))
    return policy.seal(output, computes=sheet["computes"], known=known)


def on_template_context(context: dict[str, Any], template_name: str, config: MkDocsConfig) -> dict[str, Any]:
    """Name only the clients' pages to search engines: those for the clinic's staff stay off the site map.

    Each is dated by its last review: MkDocs would say that all changed on the day of the build.
    """
    if template_name == "sitemap.xml":
        sheets = config.extra["sheets"]
        context["pages"] = [file for file in context["pages"] if not sheets[file.src_uri]["for_staff"]]
        for file in context["pages"]:
            file.page.update_date = sheets[file.src_uri]["reviewed"].isoformat()
    return context


def on_post_template(output_content: str, template_name: str, config: MkDocsConfig) -> str:
    """The page for a wrong address carries a policy too: it is the only one that stands outside the reading order."""
    if not template_name.endswith(".html"):
        return output_content
    known = _theme_inline(config, urlsplit(config.site_url or "/").path)
    return policy.seal(output_content, computes=False, known=known)


def _theme_inline(config: MkDocsConfig, base_url: str) -> list[str]:
    """The inline scripts that the theme writes into every page, made from its own template for one page's place."""
    template = files("material") / "templates" / "partials" / "javascripts" / "base.html"
    made = config.theme.get_env().from_string(template.read_text("utf-8")).render(config=config, base_url=base_url)
    return policy.inline_scripts(made)


def _fill(text: str, **values: object) -> Markup:
    """A sentence with its gaps filled; what goes in is escaped."""
    return escape(text).format(**values)


def _day(when: date) -> str:
    return format_date(when, "d MMMM y", locale="en")


def _month(when: date) -> str:
    return format_date(when, "MMM y", locale="en")


def _dial(number: str) -> str:
    """The number as a telephone link wants it: digits, with a leading plus."""
    return ("+" if number.startswith("+") else "") + "".join(letter for letter in number if letter.isdigit())


def _unbroken(text: str) -> str:
    """A clinic's line with each time of day kept together, so that no line ends between 6 and pm."""
    return _BEFORE_UNIT.sub("\u00a0", text)


def _plain_address(address: str) -> str:
    """A web address as people write it on paper."""
    bare = re.sub(r"^https?://", "", address).rstrip("/")
    return re.sub(r"(?:%[89A-F][0-9A-F])+", lambda letters: unquote(letters[0]), bare)


def _in_unit(field: Field, value: float, unit: dict[str, Any]) -> str:
    """A default of a field as the form shows it: lengths in the form's own unit."""
    shown = value / unit["mm"] if field.kind == "length" else value
    return f"{shown:.{unit['digits']}f}".rstrip("0").rstrip(".")


FILTERS: dict[str, Callable[..., Any]] = {
    "drawn": pieces.made,
    "silent": drawings.silent,
    "fill": _fill,
    "day": _day,
    "month": _month,
    "dial": _dial,
    "plain_address": _plain_address,
    "unbroken": _unbroken,
    "in_unit": _in_unit,
}
