"""One page with every picture that was asked about: its drawing and numbers, or why it was refused."""

from __future__ import annotations

from collections.abc import Mapping
from importlib.resources import files
from pathlib import Path
from typing import Any

from jinja2 import Environment
from markupsafe import Markup

from treadleaf.drawings import svg
from treadleaf.measuring import drawing, readable


def page(found: readable.Found) -> str:
    """The page as HTML: it loads nothing, runs nothing, holds no photograph, and prints on paper."""
    template = (files("treadleaf.measuring") / "contact_sheet.html").read_text("utf-8")
    made = Environment(autoescape=True, trim_blocks=True, lstrip_blocks=True).from_string(template)
    rows = [_row(number, path.name, answer) for number, (path, answer) in enumerate(found, 1)]
    measured = sum(answer["ok"] for _, answer in found)
    lead = readable.own()["sheet_lead"].format(measured=measured, all=len(found))
    # Our own: the look is a style sheet of ours, and the writer of drawings escapes every text.
    look = Markup(drawing.style())  # noqa: S704
    said = readable.said()
    cautions = [said["cautions"][key] for key in readable.CAUTIONS]
    return made.render(rows=rows, look=look, lead=lead, words=readable.own(), said=said, cautions=cautions) + "\n"


def _row(number: int, name: str, answer: Mapping[str, Any]) -> dict[str, Any]:
    if not answer["ok"]:
        return {"name": name, "why": readable.refused(answer["refusal"])}
    drawn = Markup(svg.write(drawing.picture(Path(name), answer, f"print-{number}")))  # noqa: S704
    said = readable.said()["picture_warnings"]
    warnings = [said[key] for one in readable.prints(answer) for key in one["warnings"]]
    return {"name": name, "drawn": drawn, "warnings": list(dict.fromkeys(warnings))}
