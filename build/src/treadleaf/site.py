"""From one clinic file to a finished site: the steps, in order."""

from collections.abc import Callable, Iterator
from dataclasses import dataclass
from datetime import date
from pathlib import Path

from treadleaf import (
    clinic,
    colours,
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
    runtime,
    words,
)
from treadleaf.audit import last_look, published
from treadleaf.audit.expected import LOST, Expected, PageFacts
from treadleaf.clinic_model import Clinic
from treadleaf.errors import InputProblems, Problem
from treadleaf.gate import report as gate_report
from treadleaf.gate.facts import Facts
from treadleaf.material import DEMO as DEMO  # noqa: PLC0414 - callers know the demo by this door
from treadleaf.material import LANGUAGE, Material, computes, for_templates
from treadleaf.pages import Page

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


def _read(clinic_file: Path, today: date | None = None) -> Material:
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
    return Material(clinic_file, whose, picture, chosen.pages, shipped, warnings)


def _of_logo(clinic_file: Path, whose: Clinic, picture: logo.Logo | None) -> Iterator[Problem]:
    if picture and picture.left_out and picture.name.endswith(".svg"):
        what = "Parts of the logo were left out of the published copy."
        mend = "Look at the logo in the built site; if something is missing, export it again as a plain drawing."
        yield Problem(what, str(clinic_file.parent / str(whose.logo)), None, "", ", ".join(picture.left_out), mend)


def _pages(facts: Facts | None = None) -> tuple[Page, ...]:
    return pages.load(places.content() / LANGUAGE, facts or known.facts(LANGUAGE, None), _render())


def _render() -> markup.Render:
    return mkdocs_hooks.renderer(places.mkdocs_yml(), places.content() / LANGUAGE)


def _build(material: Material, work: Path, site: Path) -> None:
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
        extra=for_templates(material),
    )
    mkdocs_hooks.build(order)
    _prune(site)
    (site / "styles" / "clinic.css").write_text(_clinic_style(material.whose), "utf-8")
    (site / "NOTICES.txt").write_text(notices.text(), "utf-8")
    if material.logo:
        (site / material.logo.name).write_bytes(material.logo.data)


def _expected(material: Material) -> Expected:
    """What the last look compares the finished site with: the tables and the words, not the templates."""
    said = words.load(places.templates(), LANGUAGE)
    facts = {
        sheet.address: PageFacts(
            kind=sheet.front.kind,
            calculates=computes(sheet),
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
