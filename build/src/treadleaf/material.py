"""All that a site is made from, and what the page templates are given of it."""

from dataclasses import asdict, dataclass
from pathlib import Path
from typing import Any

from calculators import bands, doses, forms, sources, units
from calculators.cautions import CAUTIONS, HELP_SIGNS
from calculators.results import DIGITS
from treadleaf import (
    citing,
    clinic_notes,
    colours,
    drawings,
    known,
    logo,
    places,
    promises,
    samples,
    scale_sheet,
    schema,
    words,
)
from treadleaf.clinic_model import ALWAYS_THERE, Clinic
from treadleaf.errors import Problem
from treadleaf.measuring import limits
from treadleaf.pages import Page

LANGUAGE = "en"
DEMO = Path(__file__).parent / "demo" / "clinic.toml"

_LENGTHS = {"metric": ("mm", 1), "imperial": ("inch", 2)}
"""Unit of length of the forms, and the digits that a default is shown with, by the clinic's choice of units."""


@dataclass(frozen=True)
class Material:
    """All that a site is made from; ``shipped`` are the builder's own pages, also those that the clinic leaves out."""

    clinic_file: Path
    whose: Clinic
    logo: logo.Logo | None
    pages: tuple[Page, ...]
    shipped: tuple[Page, ...]
    warnings: tuple[Problem, ...]


def for_templates(material: Material) -> dict[str, Any]:
    """What the page templates see: the clinic, the words, the pages, and the tables of the calculators."""
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
        "promises": promises.PROMISES,
        "help_signs": HELP_SIGNS,
        "digits": {measure: places._asdict() for measure, places in DIGITS.items()},
        "photo_limits": limits.for_page(),
        "scale_sheet": scale_sheet.layout(whose.paper),
        "length": {"key": unit, "mm": units.MM_PER[unit], "digits": digits},
    }


def _clinic_form(material: Material) -> dict[str, Any]:
    """What the form that writes a clinic file is made from: the keys, the pages that it may name, today's values."""
    named = {page.address: page.front.title for page in (*material.shipped, *material.pages)}
    return {
        "schema": schema.document(),
        "pages": named,
        "may_go": [page for page in named if page not in ALWAYS_THERE],
        "values": material.whose.model_dump(mode="json", by_alias=True, exclude_unset=True),
    }


def computes(page: Page) -> bool:
    """Whether a calculator runs on a page."""
    return getattr(page.front, "calculator", None) is not None


def _sheet(page: Page) -> dict[str, Any]:
    return {
        **page.front.model_dump(),
        "address": page.address,
        "door": page.front.door,
        "sources": citing.listed(page),
        "components": page.components,
        "computes": computes(page),
        "for_staff": page.front.for_staff,
        "screen_only": page.front.screen_only,
    }
