"""From one clinic file to a finished site: the steps, in order."""

import os
import shutil
import tempfile
from collections.abc import Callable, Iterator
from contextlib import contextmanager
from dataclasses import asdict, dataclass
from pathlib import Path
from typing import Any

from calculators import bands, forms, sources, units
from calculators.cautions import CAUTIONS
from treadleaf import audit, clinic, colours, marker, mkdocs_hooks, notices, offline, pages, places, runtime, words
from treadleaf.clinic import Clinic
from treadleaf.errors import InputProblems, Problem
from treadleaf.pages import Page

LANGUAGE = "en"
DEMO = Path(__file__).parent / "demo" / "clinic.toml"

_PUBLISHED = (
    *audit.THEME,
    "**/*.html",
    "components/*/*.css",
    "components/*/*.js",
    "scripts/*.js",
    "search/search_index.json",
    "sitemap.xml",
    "styles/*.css",
    "styles/*.svg",
)
"""What MkDocs and the theme may leave in the site: they publish far more, and every file beside our templates."""

_OTHER_FOLDER = "Name a new or empty folder with --out."
_SHOWN = 5
"""How many files that stand in the way are named."""

_LENGTHS = {"metric": ("mm", 1), "imperial": ("inch", 2)}
"""Unit of length of the forms, and the digits that a default is shown with, by the clinic's choice of units."""


@dataclass(frozen=True)
class Made:
    """What was built: where, how many pages and files, and how many bytes in all."""

    out: Path
    pages: int
    files: int
    bytes: int


def check(clinic_file: Path) -> tuple[Problem, ...]:
    """Everything that would stop a build; empty when nothing would."""
    problems: list[Problem] = []
    for step in (lambda: clinic.load(clinic_file), _pages):
        try:
            step()
        except InputProblems as failure:
            problems += failure.problems
    return tuple(problems)


def make(clinic_file: Path, out: Path, say: Callable[[str], None]) -> Made:
    """Build the site of a clinic into ``out``.

    The site is built beside ``out`` and takes its place at the end, so a failure leaves what was there.
    Raises InputProblems for a wrong clinic file or page, and for a folder that this builder did not make.
    """
    clinic_file, out = clinic_file.resolve(), out.resolve()
    say("1/6 reading the clinic file")
    whose = clinic.load(clinic_file)
    _refuse_foreign(out)
    say("2/6 reading the pages")
    sheets = _pages()
    with _beside(out) as work:
        say("3/6 building the pages")
        site = work / "site"
        _build(whose, clinic_file, sheets, work, site)
        say("4/6 adding the calculators")
        runtime.put(site, say)
        say("5/6 listing what works offline")
        offline.put(site)
        say("6/6 looking the finished site over")
        audit.refuse(site, _expected(whose, sheets))
        marker.write(site, whose.site_address)
        _swap(site, out)
    files = [path for path in out.rglob("*") if path.is_file()]
    return Made(out, len(sheets), len(files), sum(path.stat().st_size for path in files))


def _pages() -> tuple[Page, ...]:
    facts = pages.Facts(
        sources=sources.SOURCES,
        cautions=CAUTIONS,
        actions=forms.FORMS,
        components=_parts(),
        required_cautions=_required_cautions(),
    )
    folder = places.content() / LANGUAGE
    return pages.load(folder, facts, mkdocs_hooks.renderer(places.mkdocs_yml(), folder))


def _required_cautions() -> dict[str, list[str]]:
    required: dict[str, list[str]] = {}
    for key, caution in CAUTIONS.items():
        for tag in caution.applies:
            required.setdefault(tag, []).append(key)
    return required


def _build(whose: Clinic, clinic_file: Path, sheets: tuple[Page, ...], work: Path, site: Path) -> None:
    docs = work / "docs"
    for sheet in sheets:
        (docs / sheet.source).parent.mkdir(parents=True, exist_ok=True)
        (docs / sheet.source).write_text(f"---\ntemplate: sheet.html\n---\n{sheet.markdown}", "utf-8")
    extra = _for_templates(whose, clinic_file, sheets)
    order = mkdocs_hooks.Order(
        settings=places.mkdocs_yml(),
        docs=docs,
        out=site,
        templates=places.templates(),
        name=whose.name,
        address=whose.site_address,
        sources=tuple(sheet.source for sheet in sheets),
        extra=extra,
    )
    mkdocs_hooks.build(order)
    _prune(site)
    (site / "styles" / "clinic.css").write_text(_clinic_style(whose), "utf-8")
    (site / "NOTICES.txt").write_text(notices.text(), "utf-8")
    if whose.logo:
        shutil.copyfile(clinic_file.parent / whose.logo, site / extra["logo"])


def _for_templates(whose: Clinic, clinic_file: Path, sheets: tuple[Page, ...]) -> dict[str, Any]:
    unit, digits = _LENGTHS[whose.units]
    return {
        "clinic": whose,
        "logo": _logo(whose) if whose.logo else None,
        "invented": clinic_file.resolve() == DEMO,
        "shades": colours.shades(whose.colour),
        "words": words.load(places.templates(), LANGUAGE),
        "sheets": {sheet.source: _sheet(sheet) for sheet in sheets},
        "parts": _parts(),
        "forms": forms.FORMS,
        "bands": {band.key: {**asdict(band), "source_name": _cited(band.source)} for band in bands.BANDS},
        "sources": sources.SOURCES,
        "cautions": CAUTIONS,
        "length": {"key": unit, "mm": units.MM_PER[unit], "digits": digits},
    }


def _expected(whose: Clinic, sheets: tuple[Page, ...]) -> audit.Expected:
    """What the last look compares the finished site with: the tables and the words, not the templates."""
    said = words.load(places.templates(), LANGUAGE)
    cautions = {sheet.address: tuple(said["cautions"][key]["text"] for key in sheet.front.cautions) for sheet in sheets}
    added = (_logo(whose),) if whose.logo else ()
    return audit.Expected(whose.site_address, said["purpose"]["sentence"], cautions, added)


def _logo(whose: Clinic) -> str:
    """The name under which a clinic's logo is published."""
    return f"logo{Path(whose.logo or '').suffix.lower()}"


def _sheet(page: Page) -> dict[str, Any]:
    calculator = getattr(page.front, "calculator", None)
    return {
        **page.front.model_dump(),
        "address": page.address,
        "sources": _sources(page),
        "components": page.components,
        "computes": calculator is not None,
        "screen_only": page.front.screen_only,
    }


def _sources(page: Page) -> list[str]:
    """Sources of the page's own text, then those that its cautions rest on, each once."""
    signs = [key for key in CAUTIONS if key.startswith("help_") and "help-signs" in page.components]
    shown = [*page.front.cautions, *signs]
    resting = [basis for key in shown for basis in CAUTIONS[key].basis]
    # What rests on no source is said last.
    named = dict.fromkeys([*page.front.sources, *resting])
    return sorted(named, key=lambda key: sources.source(key).label == "common_practice")


def _cited(key: str) -> str:
    source = sources.source(key)
    return f"{source.authors} {source.year}" if source.year else source.authors


def _parts() -> dict[str, dict[str, bool]]:
    """The components at hand: for each tag, whether it has a script and a style of its own."""
    folders = sorted(path for path in (places.templates() / "components").iterdir() if path.is_dir())
    return {
        path.name: {kind: (path / f"{path.name}.{end}").is_file() for kind, end in (("script", "js"), ("style", "css"))}
        for path in folders
    }


def _clinic_style(whose: Clinic) -> str:
    rows = "\n".join(f"  --{name}: {shade};" for name, shade in colours.shades(whose.colour).items())
    return f":root {{\n{rows}\n}}\n@page {{\n  size: {whose.paper};\n}}\n"


def _prune(site: Path) -> None:
    kept = {path for pattern in _PUBLISHED for path in site.glob(pattern)}
    for path in sorted(site.rglob("*"), reverse=True):
        if path.is_dir():
            if not any(path.iterdir()):
                path.rmdir()
        elif path not in kept:
            path.unlink()


def _refuse_foreign(out: Path) -> None:
    """Leave a folder alone that cannot be replaced, or that holds anything which the builder did not put there."""
    if out.exists() and not out.is_dir():
        raise InputProblems((Problem("This is a file, not a folder.", str(out), mend=_OTHER_FOLDER),))
    if os.path.ismount(out):
        what = "This folder is a drive or a mount point: the system does not let it be replaced."
        raise InputProblems((Problem(what, str(out), mend="Name a folder inside it with --out."),))
    strangers = marker.strangers(out) if out.is_dir() else []
    if strangers:
        what = "The folder holds files that are not on the builder's own list; nothing in it was touched."
        more = len(strangers) - _SHOWN
        found = ", ".join(strangers[:_SHOWN]) + (f" and {more} more" if more > 0 else "")
        mend = "Move them out, or name a new or empty folder with --out."
        raise InputProblems((Problem(what, str(out), found=found, mend=mend),))


@contextmanager
def _beside(out: Path) -> Iterator[Path]:
    out.parent.mkdir(parents=True, exist_ok=True)
    try:
        work = Path(tempfile.mkdtemp(prefix=f".{out.name}-", dir=out.parent))
    except OSError as failure:
        what = f"The site is built beside its own folder, and nothing can be made here: {failure.strerror}."
        mend = "Name with --out a folder inside one where you may write."
        raise InputProblems((Problem(what, str(out.parent), mend=mend),)) from None
    try:
        yield work
    finally:
        shutil.rmtree(work, ignore_errors=True)


def _swap(site: Path, out: Path) -> None:
    """Put the new site in the old one's place; if that fails half-way the old one is put back."""
    _refuse_foreign(out)  # once more: building took a while, and what is replaced is deleted
    old = site.parent / "old"
    if out.exists():
        out.replace(old)
    try:
        site.replace(out)
    except OSError:
        if old.exists():
            old.replace(out)
        raise
