"""Every drawing as a file that stands alone, and a sheet of paper that shows them all."""

from __future__ import annotations

import re
from collections.abc import Mapping
from importlib.resources import files
from pathlib import Path

from jinja2 import Environment
from markupsafe import Markup

from treadleaf import colours, places
from treadleaf.drawings import svg
from treadleaf.drawings.svg import Element
from treadleaf.drawings.table import DRAWINGS, draw, element
from treadleaf.errors import InputProblems, Problem

CONTACT_SHEET = "contact-sheet.html"

_DAY = {"ground": colours.LIGHT[0], "ink": "#1f2427", "ink-soft": "#4c565c"}
_NIGHT = {"ground": colours.DARK[0], "ink": "#e8ecee", "ink-soft": "#b4bec3"}
"""As in ``styles/site.css``; on a page the drawings follow that."""

_COMMENT = re.compile(r"/\*.*?\*/", re.DOTALL)


def put(out: Path, shades: Mapping[str, str]) -> tuple[str, ...]:
    """Write every drawing and the contact sheet into a folder; answer with the files' names.

    ``shades`` are those of ``colours.shades``. Raises InputProblems for a folder that holds anything else.
    """
    names = (*(f"{key}.svg" for key in DRAWINGS), CONTACT_SHEET)
    out.mkdir(parents=True, exist_ok=True)
    strangers = sorted({path.name for path in out.iterdir()} - set(names))
    if strangers:
        mend = "Name a new or empty folder with --out."
        raise InputProblems((Problem("The folder holds other files.", str(out), found=strangers[0], mend=mend),))
    look = style(shades)
    for key in DRAWINGS:
        (out / f"{key}.svg").write_text(alone(key, look), "utf-8", newline="\n")
    (out / CONTACT_SHEET).write_text(contact_sheet(look), "utf-8", newline="\n")
    return names


def alone(key: str, look: str) -> str:
    """A drawing with its own style, for a picture viewer or a word processor."""
    whole = element(key)
    assert not isinstance(whole.inside, str)  # noqa: S101 - a picture holds elements
    return svg.write(
        Element(whole.name, whole.attributes, (*whole.inside[:2], Element("style", {}, look), *whole.inside[2:]))
    )


def contact_sheet(look: str) -> str:
    """One page with every drawing and its title: it loads nothing and prints on paper."""
    template = (files("treadleaf.drawings") / "contact_sheet.html").read_text("utf-8")
    made = Environment(autoescape=True, trim_blocks=True, lstrip_blocks=True).from_string(template)
    rows = [draw(key) for key in DRAWINGS]
    # Both are our own, made by the writer and from a style sheet of ours.
    drawn = [(row, Markup(row.svg)) for row in rows]  # noqa: S704
    return made.render(rows=drawn, look=Markup(look)) + "\n"  # noqa: S704


def style(shades: Mapping[str, str]) -> str:
    """The lines' style sheet with its colours, by day, by night and on paper, in as few letters as it needs."""
    rules = (places.templates() / "styles" / "drawings.css").read_text("utf-8")
    day = {**_DAY, "accent": shades["clinic-text"]}
    night = {**_NIGHT, "accent": shades["clinic-text-dark"]}
    paper = {"ground": "#ffffff", "ink": "#000000", "ink-soft": "#000000"}
    declared = "".join(
        (
            f":root{{{_declared(day)}}}",
            f"@media (prefers-color-scheme:dark){{:root{{{_declared(night)}}}}}",
            f"@media print{{:root{{{_declared({**day, **paper})}}}}}",
        )
    )
    short = re.sub(r"\s+", " ", _COMMENT.sub("", rules))
    # Before a colon a blank may matter: in a selector it stands for "inside".
    short = re.sub(r": ", ":", re.sub(r" ?([{};,]) ?", r"\1", short))
    return declared + short.replace(";}", "}").strip()


def _declared(inks: Mapping[str, str]) -> str:
    return ";".join(f"--{name}:{ink}" for name, ink in inks.items())
