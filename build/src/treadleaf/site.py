"""From one clinic file to a finished site: the steps, in order."""

from collections.abc import Callable, Iterator
from dataclasses import asdict, dataclass
from datetime import date
from pathlib import Path
from typing import Any

from calculators import bands, doses, forms, sources, units
from calculators.cautions import CAUTIONS, HELP_SIGNS
from calculators.results import DIGITS
from treadleaf import (
    citing,
    clinic,
    clinic_notes,
    colours,
    drawings,
    hosting,
    known,
    logo,
    marker,
    markup,
    mkdocs_hooks,
    notices,
    offline,
    own_pages,
    pages,
    places,
    placing,
    promises,
    runtime,
    samples,
    schema,
    words,
)
from treadleaf.audit import last_look, published
from treadleaf.audit.expected import LOST, Expected, PageFacts
from treadleaf.clinic_model import ALWAYS_THERE, Clinic
from treadleaf.errors import InputProblems, Problem
from treadleaf.gate import report as gate_report
from treadleaf.gate.facts import Facts
from treadleaf.pages import Page

LANGUAGE = "en"
DEMO = Path(__file__).parent / "demo" / "clinic.toml"

_PUBLISHED = (
    *published.THEME,
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

_MATTER = {False: "template: sheet.html\n", True: "template: sheet.html\nsearch:\n  exclude: true\n"}
"""Front matter as MkDocs is given it; a page for the clinic's staff is not found by the clients' search."""

_LENGTHS = {"metric": ("mm", 1), "imperial": ("inch", 2)}
"""Unit of length of the forms, and the digits that a default is shown with, by the clinic's choice of units."""


@dataclass(frozen=True)
class Made:
    """What was built: where, how many pages and files, how many bytes in all, and what to think over.

    ``hosting`` is the folder of the files for the web host; None where the site's address allows none.
    """

    out: Path
    hosting: Path | None
    pages: int
    files: int
    bytes: int
    warnings: tuple[Problem, ...]


@dataclass(frozen=True)
class Found:
    """What a look at a clinic file found: what would stop a build, and what only asks to be thought over."""

    problems: tuple[Problem, ...] = ()
    warnings: tuple[Problem, ...] = ()


@dataclass(frozen=True)
class _Material:
    """All that a site is made from; ``shipped`` are the builder's own pages, also those that the clinic leaves out."""

    clinic_file: Path
    whose: Clinic
    logo: logo.Logo | None
    pages: tuple[Page, ...]
    shipped: tuple[Page, ...]
    warnings: tuple[Problem, ...]


def check(clinic_file: Path, today: date | None = None) -> Found:
    """Everything that would stop a build on a day, or that a clinic should think over before it publishes."""
    try:
        return Found(warnings=_read(clinic_file, today).warnings)
    except InputProblems as failure:
        return Found(problems=failure.problems)


def report(clinic_file: Path, found: Found, out: Path, today: date | None = None) -> None:
    """Write one HTML page on all pages of a clinic's handout, its own among them, whatever was found wrong."""
    facts = known.facts(LANGUAGE, today)
    wishes = clinic.wishes(clinic_file)
    shipped = pages.drafts(places.content() / LANGUAGE, facts, _render())
    kept = [draft for draft in shipped if draft.address not in wishes.leave_out]
    folder = clinic_file.parent / wishes.folder
    own = pages.drafts(folder, facts, _render()) if wishes.folder and folder.is_dir() else []
    out.write_text(gate_report.made([*kept, *own], [*found.problems, *found.warnings], facts), "utf-8")


def make(clinic_file: Path, out: Path, say: Callable[[str], None], today: date | None = None) -> Made:
    """Build the site of a clinic into ``out``. Review dates are held against ``today``, if one is given.

    The site is built beside ``out`` and takes its place at the end, so a failure leaves what was there. The same goes
    for the files for the web host, which stand in a folder of their own beside it.
    Raises InputProblems for a wrong clinic file or page, and for a folder that this builder did not make.
    """
    clinic_file, out = clinic_file.resolve(), out.resolve()
    say("1/5 reading the clinic file and the pages")
    material = _read(clinic_file, today)
    address, odd = material.whose.site_address, hosting.odd(clinic_file, material.whose.site_address)
    targets = (out,) if odd else (out, hosting.place(out))
    for target in targets:
        placing.refuse_foreign(target)
    with placing.beside(out) as work:
        say("2/5 building the pages")
        site, for_host = work / "site", work / "hosting"
        _build(material, work, site)
        say("3/5 adding the calculators")
        runtime.put(site, say)
        say("4/5 listing what works offline")
        offline.put(site)
        say("5/5 looking the finished site over")
        expected = _expected(material)
        last_look.refuse(site, expected)
        if odd:
            marker.write(site, address, expected.as_data())
        else:
            hosting.put(site, address, expected.as_data(), for_host, out)
        placing.swap(*zip((site, for_host), targets, strict=False))
    if not odd:
        say(f"Files for the web host are beside the site: {targets[-1] / hosting.READ_ME} tells")
    files = [path for path in out.rglob("*") if path.is_file()]
    size = sum(path.stat().st_size for path in files)
    return Made(out, None if odd else targets[-1], len(material.pages), len(files), size, material.warnings)


def _read(clinic_file: Path, today: date | None = None) -> _Material:
    """Read everything that a site is made from; what is wrong anywhere is told at once."""
    facts = known.facts(LANGUAGE, today)
    problems: list[Problem] = []
    whose, chosen = None, None
    shipped: tuple[Page, ...] = ()
    try:
        whose = clinic.load(clinic_file)
    except InputProblems as failure:
        problems += failure.problems
    try:
        shipped = _pages(facts)
        chosen = own_pages.choose(clinic_file, clinic.wishes(clinic_file), shipped, facts, _render())
    except InputProblems as failure:
        problems += failure.problems
    if problems or not whose or not chosen:
        raise InputProblems(problems)
    picture = logo.cleaned(clinic_file, whose.logo) if whose.logo else None
    warnings = (*chosen.warnings, *_of_logo(clinic_file, whose, picture))
    odd = hosting.odd(clinic_file, whose.site_address)
    warnings = (*warnings, odd) if odd else warnings
    return _Material(clinic_file, whose, picture, chosen.pages, shipped, warnings)


def _of_logo(clinic_file: Path, whose: Clinic, picture: logo.Logo | None) -> Iterator[Problem]:
    if picture and picture.left_out and picture.name.endswith(".svg"):
        what = "Parts of the logo were left out of the published copy."
        mend = "Look at the logo in the built site; if something is missing, export it again as a plain drawing."
        yield Problem(what, str(clinic_file.parent / str(whose.logo)), None, "", ", ".join(picture.left_out), mend)


def _pages(facts: Facts | None = None) -> tuple[Page, ...]:
    return pages.load(places.content() / LANGUAGE, facts or known.facts(LANGUAGE, None), _render())


def _render() -> markup.Render:
    return mkdocs_hooks.renderer(places.mkdocs_yml(), places.content() / LANGUAGE)


def _build(material: _Material, work: Path, site: Path) -> None:
    docs = work / "docs"
    for sheet in material.pages:
        (docs / sheet.source).parent.mkdir(parents=True, exist_ok=True)
        (docs / sheet.source).write_text(f"---\n{_MATTER[sheet.front.for_staff]}---\n{sheet.markdown}", "utf-8")
    order = mkdocs_hooks.Order(
        settings=places.mkdocs_yml(),
        docs=docs,
        out=site,
        templates=places.templates(),
        name=material.whose.name,
        address=material.whose.site_address,
        sources=tuple(sheet.source for sheet in material.pages),
        extra=_for_templates(material),
    )
    mkdocs_hooks.build(order)
    _prune(site)
    (site / "styles" / "clinic.css").write_text(_clinic_style(material.whose), "utf-8")
    (site / "NOTICES.txt").write_text(notices.text(), "utf-8")
    if material.logo:
        (site / material.logo.name).write_bytes(material.logo.data)


def _for_templates(material: _Material) -> dict[str, Any]:
    whose = material.whose
    unit, digits = _LENGTHS[whose.units]
    return {
        "clinic": whose,
        "logo": material.logo.name if material.logo else None,
        "invented": material.clinic_file.resolve().is_relative_to(DEMO.parent),
        "shades": colours.shades(whose.colour, whose.second_colour),
        "notes": {page: clinic_notes.render(note) for page, note in whose.notes.items()},
        "clinic_form": _clinic_form(material),
        "words": words.load(places.templates(), LANGUAGE),
        "sheets": {sheet.source: _sheet(sheet) for sheet in material.pages},
        "parts": known.parts(),
        "drawings": {drawing.key: drawing for drawing in drawings.every()},
        "samples": {path.name: samples.shown(path, units.MM_PER[unit], digits) for path in known.components()},
        "forms": forms.FORMS,
        "bands": {band.key: {**band._asdict(), "source_name": citing.named(band.source)} for band in bands.BANDS},
        "doses": {drill: [asdict(dose) for dose in doses.doses_of(drill)] for drill in doses.DRILLS},
        "sources": sources.SOURCES,
        "cautions": CAUTIONS,
        "promises": promises.checked(),
        "help_signs": HELP_SIGNS,
        "digits": {measure: places._asdict() for measure, places in DIGITS.items()},
        "length": {"key": unit, "mm": units.MM_PER[unit], "digits": digits},
    }


def _clinic_form(material: _Material) -> dict[str, Any]:
    """What the form that writes a clinic file is made from: the keys, the pages that it may name, today's values."""
    named = {page.address: page.front.title for page in (*material.shipped, *material.pages)}
    return {
        "schema": schema.document(),
        "pages": named,
        "may_go": [page for page in named if page not in ALWAYS_THERE],
        "values": material.whose.model_dump(mode="json", by_alias=True, exclude_unset=True),
    }


def _expected(material: _Material) -> Expected:
    """What the last look compares the finished site with: the tables and the words, not the templates."""
    said = words.load(places.templates(), LANGUAGE)
    facts = {
        sheet.address: PageFacts(
            kind=sheet.front.kind,
            calculates=_computes(sheet),
            for_staff=sheet.front.for_staff,
            cautions=list(sheet.front.cautions),
        )
        for sheet in material.pages
    }
    carried = sorted({key for page in facts.values() for key in page.cautions})
    return Expected(
        address=material.whose.site_address,
        purpose=said["purpose"]["sentence"],
        cautions={key: said["cautions"][key]["text"] for key in carried},
        pages={**facts, LOST: PageFacts(kind="lost")},
        files=[material.logo.name] if material.logo else [],
    )


def _computes(page: Page) -> bool:
    return getattr(page.front, "calculator", None) is not None


def _sheet(page: Page) -> dict[str, Any]:
    return {
        **page.front.model_dump(),
        "address": page.address,
        "door": page.front.door,
        "sources": citing.listed(page),
        "components": page.components,
        "computes": _computes(page),
        "for_staff": page.front.for_staff,
        "screen_only": page.front.screen_only,
    }


def _clinic_style(whose: Clinic) -> str:
    shades = colours.shades(whose.colour, whose.second_colour)
    rows = "\n".join(f"  --{name}: {shade};" for name, shade in shades.items())
    return f":root {{\n{rows}\n}}\n@page {{\n  size: {whose.paper};\n}}\n"


def _prune(site: Path) -> None:
    kept = {path for pattern in _PUBLISHED for path in site.glob(pattern)}
    for path in sorted(site.rglob("*"), reverse=True):
        if path.is_dir():
            if not any(path.iterdir()):
                path.rmdir()
        elif path not in kept:
            path.unlink()
