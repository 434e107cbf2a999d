"""The verb `measure`: options, progress and what is printed. The options are made from the calculator's own form."""

from __future__ import annotations

import re
import sys
from collections.abc import Callable, Iterator, Mapping
from contextlib import contextmanager
from pathlib import Path
from typing import Any

import click

from calculators import forms
from calculators.forms import FORMS, Choice, Field
from calculators.results import Refused
from treadleaf import answers

_FIELDS: Mapping[str, Any] = {field.key: field for field in FORMS["footprint_photo"].groups[0].fields}
_OPTIONS = {"sheet_width_mm": "sheet", "sheet_height_mm": "sheet", "age_years": "age", "threshold_percent": "threshold"}
"""Options that are not called as the field is."""
_WIDE_HIGH = re.compile(r"(\d+(?:\.\d+)?)[xX×](\d+(?:\.\d+)?)")
_SHAPES = ("outline", "toes", "lines", "upright")
"""What only a drawing shows: not printed as JSON, where it would outweigh the numbers a hundred times."""


class _Sheet(click.ParamType[dict[str, Any]]):
    name = "sheet"

    def convert(self, value: Any, param: click.Parameter | None, ctx: click.Context | None) -> dict[str, Any]:
        """A sheet's name, or its width and height in mm, as fields of the form."""
        if isinstance(value, dict):
            return value
        sizes = _WIDE_HIGH.fullmatch(value)
        if sizes:
            return {"sheet_width_mm": float(sizes[1]), "sheet_height_mm": float(sizes[2])}
        if value not in _FIELDS["sheet"].options:
            names = ", ".join(_FIELDS["sheet"].options)
            self.fail(f"{value!r} is none of {names}, nor a width and height in mm such as 210x297.", param, ctx)
        return {"sheet": value}


class _Points(click.ParamType[list[list[float]]]):
    name = "points"

    def convert(self, value: Any, param: click.Parameter | None, ctx: click.Context | None) -> list[list[float]]:
        """Points of the picture, "x,y x,y"."""
        if isinstance(value, list):
            return value
        try:
            return [[float(number) for number in pair.split(",")] for pair in value.split()]
        except ValueError:
            self.fail(f'{value!r} is not points such as "120,80 640,75".', param, ctx)


def _output(ending: str) -> Callable[[click.Context, click.Parameter, Path | None], Path | None]:
    """Refuse a file to write that is called like no drawing or page: a picture may have slipped into its place."""

    def checked(_: click.Context, __: click.Parameter, path: Path | None) -> Path | None:
        if path is not None and path.suffix.lower() != ending:
            raise click.BadParameter(f"the name of the file to write must end with {ending}.")
        return path

    return checked


def _chosen(key: str, says: str) -> Callable[[Callable[..., None]], Callable[..., None]]:
    field: Choice = _FIELDS[key]
    return click.option(
        f"--{key}", type=click.Choice(field.options), default=field.default, show_default=True, help=says
    )


def _points(key: str, metavar: str, says: str) -> Callable[[Callable[..., None]], Callable[..., None]]:
    return click.option(f"--{key.replace('_', '-')}", key, type=_Points(), metavar=metavar, help=says)


_AGE: Field = _FIELDS["age_years"]
_FEET: Field = _FIELDS["feet"]
_THRESHOLD: Field = _FIELDS["threshold_percent"]


@click.group(no_args_is_help=True)
def measure() -> None:
    """Measure from photographs on this machine."""


@measure.command("footprint")
@click.argument("pictures", metavar="PICTURE...", nargs=-1, required=True, type=click.Path(path_type=Path))
@_chosen("foot", "Which foot it is; auto asks the shape.")
@click.option(
    "--sheet",
    type=_Sheet(),
    default=_FIELDS["sheet"].default,
    metavar="a4|letter|a3|card|scale|WxH|none",
    help="What in the picture has a known size: scale is the clinic's scale sheet, W and H are in mm. Without it there "
    "are no lengths.  [default: none]",
)
@_points(
    "corners",
    '"x,y x,y x,y x,y"',
    "The four corners of the sheet, or middles of the scale sheet's large dots, if not found.",
)
@_points("axis", '"x,y x,y"', "The middle of the heel, then the tip of the second toe.")
@_points("toe_line", '"x,y x,y ..."', "A line behind the toes; what lies in front of it is left out.")
@click.option(
    "--threshold",
    type=click.FloatRange(_THRESHOLD.low, _THRESHOLD.high),
    default=_THRESHOLD.default,
    show_default=True,
    metavar="PERCENT",
    help="Where between ground and print the edge is drawn; more for a clearer part of the print.",
)
@_chosen("view", "The print on the floor from above, or the sole itself from below.")
@click.option("--age", type=click.FloatRange(_AGE.low, _AGE.high), metavar="N", help="Age in years.")
@click.option(
    "--feet",
    type=click.IntRange(int(_FEET.low), int(_FEET.high)),
    default=_FEET.default,
    show_default=True,
    help="How many prints the picture shows.",
)
@click.option("--json", "as_json", is_flag=True, help="Print one JSON object a picture, one a line.")
@click.option(
    "--drawing",
    metavar="OUT.svg",
    type=click.Path(dir_okay=False, path_type=Path),
    callback=_output(".svg"),
    help="Also draw the print of one picture with its lines, without the photograph.",
)
@click.option(
    "--contact-sheet",
    metavar="OUT.html",
    type=click.Path(dir_okay=False, path_type=Path),
    callback=_output(".html"),
    help="Also write one page with the drawing or the refusal of every picture.",
)
def footprint(
    pictures: tuple[Path, ...],
    foot: str,
    sheet: Mapping[str, Any],
    corners: list[list[float]] | None,
    axis: list[list[float]] | None,
    toe_line: list[list[float]] | None,
    threshold: float,
    view: str,
    age: float | None,
    feet: int,
    as_json: bool,
    drawing: Path | None,
    contact_sheet: Path | None,
) -> None:
    """Measure the print of a foot in each PICTURE.

    JPEG, PNG or WebP. Points are pixels of the picture as it is shown, from its upper left corner. A picture that
    cannot be measured is refused with its reason, and the others are measured all the same; the exit status is then 1.
    """
    asked = {"foot": foot, "view": view, "feet": feet, "threshold_percent": threshold, **sheet}
    asked |= _given(corners=corners, axis=axis, toe_line=toe_line, age_years=age)
    _refuse_what_fits_no_picture(asked, pictures, drawing)
    from treadleaf.measuring import footprint as measuring

    found = []
    asking = measuring.measure_all(pictures, asked, measuring.workers(len(pictures)))
    with _progress(len(pictures)) as step:
        for path, answer in zip(pictures, asking, strict=True):
            found.append((path, answer))
            step()
            if as_json:
                click.echo(answers.json_text(_for_programs(path, answer)))
    if not as_json:
        from treadleaf.measuring import readable

        click.echo(readable.text(found))
    with answers.problems_end_it(as_json):
        _draw(found, drawing, contact_sheet)
    if not all(answer["ok"] for _, answer in found):
        sys.exit(1)


def _given(**values: Any) -> dict[str, Any]:
    return {key: value for key, value in values.items() if value is not None}


def _refuse_what_fits_no_picture(asked: Mapping[str, Any], pictures: tuple[Path, ...], drawing: Path | None) -> None:
    """Say before any work what is wrong with the command itself."""
    if len(pictures) > 1:
        for key in ("corners", "axis", "toe_line"):
            if key in asked:
                raise click.UsageError(f"--{key.replace('_', '-')} goes with one picture: points fit no other.")
        if drawing:
            raise click.UsageError("--drawing goes with one picture; for several, ask for a --contact-sheet.")
    try:
        forms.read(FORMS["footprint_photo"], {**asked, "width": 1, "height": 1})
    except Refused as refused:
        from treadleaf.measuring import readable

        key = refused.refusal.where.partition(".")[0]
        option = _OPTIONS.get(key, key).replace("_", "-")
        raise click.UsageError(f"--{option}: {readable.refused(refused.refusal.plain())}") from None


@contextmanager
def _progress(count: int) -> Iterator[Callable[[], None]]:
    """Show on a terminal how many pictures are done; elsewhere, and for one picture, nothing."""
    if count == 1 or not sys.stderr.isatty():
        yield lambda: None
        return
    with click.progressbar(length=count, label="Measuring", file=sys.stderr, show_pos=True) as bar:
        yield lambda: bar.update(1)


def _for_programs(path: Path, answer: Mapping[str, Any]) -> dict[str, Any]:
    if not answer["ok"]:
        return {"picture": str(path), "ok": False, "refusal": answer["refusal"]}
    result = answer["result"]
    if "prints" in result:
        return {"picture": str(path), "ok": True, "prints": [_without_shapes(one) for one in result["prints"]]}
    return {"picture": str(path), "ok": True, **_without_shapes(result)}


def _without_shapes(result: Mapping[str, Any]) -> dict[str, Any]:
    return {key: value for key, value in result.items() if key not in _SHAPES}


def _draw(found: list[tuple[Path, dict[str, Any]]], drawing: Path | None, sheet: Path | None) -> None:
    if drawing and found[0][1]["ok"]:
        from treadleaf.measuring import drawing as drawn

        drawing.write_text(drawn.alone(*found[0]), "utf-8", newline="\n")
    if sheet:
        from treadleaf.measuring import contact_sheet as pages

        sheet.write_text(pages.page(found), "utf-8", newline="\n")
