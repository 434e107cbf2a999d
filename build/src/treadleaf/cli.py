"""The command line: verbs, options and help text. The work is done elsewhere.

Exit status: 0 good, 1 the user's input is wrong, 2 the command itself is wrong. Progress goes to stderr; stdout holds
the answer alone. The modules behind a verb are imported when the verb runs: help should not wait for the site builder.
"""

from __future__ import annotations

import difflib
import io
import os
import sys
from collections.abc import Callable
from dataclasses import asdict
from datetime import UTC, date, datetime
from importlib.metadata import version
from pathlib import Path

import click

from treadleaf import answers
from treadleaf.errors import InputProblems, Problem
from treadleaf.measuring.command import measure

_CLINIC_FILE = "clinic.toml"
# Missing files are left to the loader, which says how to make one.
_clinic_file = click.argument("clinic_file", metavar="CLINIC.toml", type=click.Path(path_type=Path))
_built_folder = click.argument(
    "folder", metavar="[DIR]", default="site", type=click.Path(exists=True, file_okay=False, path_type=Path)
)
_REPORT_HELP = "Also write one page on every page: grade, sentences, cautions, sources, review dates, checklists."


def _out_folder(says: str) -> Callable[[Callable[..., None]], Callable[..., None]]:
    """The folder that a verb fills, under one name for all of them."""
    folder = click.Path(file_okay=False, path_type=Path)
    return click.option("--out", required=True, metavar="DIR", type=folder, help=says)


@click.group(context_settings={"help_option_names": ["-h", "--help"]}, no_args_is_help=True)
@click.version_option(version("treadleaf"), message="%(prog)s %(version)s")
def main() -> None:
    """Build a clinic's handout site: exercise sheets, self-checks and cautions under the clinic's own name."""
    for stream in (sys.stdout, sys.stderr):
        if isinstance(stream, io.TextIOWrapper):
            # A terminal that knows few letters shows the others as escapes. No answer may be lost over a letter.
            stream.reconfigure(errors="backslashreplace")


@main.command()
@click.argument("folder", type=click.Path(file_okay=False, path_type=Path))
def new(folder: Path) -> None:
    """Start a clinic file in FOLDER.

    Writes a clinic.toml to fill in; each key in it says what it is for. A schema beside it lets an editor help.
    """
    from treadleaf import schema, starter

    file = folder / _CLINIC_FILE
    with answers.problems_end_it(as_json=False):
        try:
            folder.mkdir(parents=True, exist_ok=True)
            with file.open("x", encoding="utf-8", newline="\n") as target:
                target.write(starter.text())
            (folder / schema.FILE_NAME).write_text(schema.text(), "utf-8", newline="\n")
        except FileExistsError:
            mend = "Choose another folder, or edit the file that is there."
            raise InputProblems(
                [Problem("There is a clinic file here already; it is left as it is.", str(file), mend=mend)]
            ) from None
    click.echo(f"Wrote {file}\nFill it in with any text editor. Then check it:\n  {_command()} check {_typed(file)}")


def _list_rules(context: click.Context, _: click.Parameter, wanted: bool) -> None:
    if wanted and not context.resilient_parsing:
        from treadleaf.gate import rules

        click.echo(rules.listed())
        context.exit()


def _explain_rule(context: click.Context, _: click.Parameter, key: str | None) -> None:
    if key and not context.resilient_parsing:
        from treadleaf.gate import rules

        if key not in rules.RULES:
            near = difflib.get_close_matches(key, rules.RULES, 1)
            hint = f"Did you mean {near[0]}?" if near else f"{context.command_path} --rules lists them."
            raise click.BadParameter(f"no rule is called {key!r}. {hint}")
        click.echo(rules.explained(key))
        context.exit()


@main.command()
@_clinic_file
@click.option("--report", metavar="FILE.html", type=click.Path(dir_okay=False, path_type=Path), help=_REPORT_HELP)
@click.option(
    "--explain", metavar="RULE", is_eager=True, expose_value=False, callback=_explain_rule, help="Explain one rule."
)
@click.option(
    "--rules", is_flag=True, is_eager=True, expose_value=False, callback=_list_rules, help="List the rules for pages."
)
@answers.json_wanted
def check(clinic_file: Path, report: Path | None, as_json: bool) -> None:
    """Say all that is wrong with CLINIC.toml and its pages.

    Everything at once, each with its line and how to mend it. Builds nothing.
    """
    from treadleaf import site

    with answers.problems_end_it(as_json):
        found = site.check(clinic_file, _today())
        if report:
            site.report(clinic_file, found, report, _today())
        if found.problems:
            raise InputProblems(found.problems)
    answers.warn(found.warnings, as_json)
    facts = {"warnings": [warning.as_dict() for warning in found.warnings]}
    answers.give(facts, f"{clinic_file}: nothing is wrong.", as_json)


@main.command("site")
@_clinic_file
@_out_folder("The folder of the finished site.")
@answers.json_wanted
def make_site(clinic_file: Path, out: Path, as_json: bool) -> None:
    """Build the site of CLINIC.toml.

    DIR becomes a folder of plain files for any web host. It must be new, empty, or built by this command before.
    """
    from treadleaf import site

    with answers.problems_end_it(as_json):
        made = site.make(clinic_file, out, answers.say, _today())
    answers.warn(made.warnings, as_json)
    answers.give(
        {"made": asdict(made)}, f"The site is in {out}. Look at it:\n  {_command()} serve {_typed(out)}", as_json
    )


@main.command("schema")
@click.option("--out", metavar="FILE", type=click.Path(dir_okay=False, path_type=Path), help="Write it to this file.")
def print_schema(out: Path | None) -> None:
    """Print the JSON Schema of a clinic file.

    With it beside the file, many editors explain and check each key as you type; `new` writes it there.
    """
    from treadleaf import schema

    if out is None:
        click.echo(schema.text(), nl=False)
        return
    with answers.problems_end_it(as_json=False):
        try:
            out.write_text(schema.text(), "utf-8", newline="\n")
        except OSError as failure:
            raise InputProblems([Problem(f"The file cannot be written: {failure.strerror}.", str(out))]) from None
    click.echo(f"Wrote {out}")


@main.command("drawings")
@_out_folder("The folder of the drawings; new, empty, or written by this command before.")
@click.option(
    "--clinic",
    "clinic_file",
    metavar="CLINIC.toml",
    type=click.Path(path_type=Path),
    help="Draw in this clinic's colour.",
)
def put_drawings(out: Path, clinic_file: Path | None) -> None:
    """Write every drawing, and a sheet that shows them all.

    One SVG file each, and a page to look at or print. Without a clinic they have the colour of the demo.
    """
    from treadleaf import clinic, colours, site
    from treadleaf.drawings import on_disk

    with answers.problems_end_it(as_json=False):
        names = on_disk.put(out, colours.shades(clinic.load(clinic_file or site.DEMO).colour))
    click.echo(f"Wrote {len(names) - 1} drawings. Look at them all:\n  {out / on_disk.CONTACT_SHEET}")


@main.command()
@_built_folder
@click.option("--port", type=click.IntRange(1, 65535), help="The port to listen on; without it, one that is free.")
def serve(folder: Path, port: int | None) -> None:
    """Show a finished site on this machine.

    DIR is the folder that `site` built; without it, the folder called site. Only this machine's own browsers can
    reach it.
    """
    from treadleaf import marker, serving

    with answers.problems_end_it(as_json=False):
        if not (folder / "index.html").is_file():
            mend = f"Build one first: {_command()} site {_CLINIC_FILE} --out {_typed(folder)}"
            raise InputProblems([Problem("There is no finished site in this folder.", str(folder), mend=mend)])
        # As it will be published, sub-folder and all: what breaks there breaks here.
        serving.serve(folder, port, answers.say, marker.published_path(folder))


@main.command("audit")
@_built_folder
@click.option(
    "--vnu",
    "jar",
    metavar="FILE.jar",
    type=click.Path(exists=True, dir_okay=False, path_type=Path),
    help="The Nu Html Checker; without it, the program vnu if this machine has one.",
)
@answers.json_wanted
def audit_site(folder: Path, jar: Path | None, as_json: bool) -> None:
    """Look a finished site over before you publish it.

    DIR is the folder that `site` built; without it, the folder called site. Nothing in it is changed.
    """
    from treadleaf.audit import html_checker, last_look, report

    with answers.problems_end_it(as_json):
        found = last_look.audit(folder, html_checker.find(jar))
    good = not found.faults
    click.echo(answers.json_text({"ok": good, **report.as_data(found)}) if as_json else report.text(found))
    if not good:
        sys.exit(1)


main.add_command(measure)


def _today() -> date:
    """The day on which the command runs; SOURCE_DATE_EPOCH sets it for builds that must be the same on any day."""
    fixed = os.environ.get("SOURCE_DATE_EPOCH", "")
    if fixed.isdigit():
        return datetime.fromtimestamp(int(fixed), UTC).date()
    return datetime.now().astimezone().date()


def _command() -> str:
    """What the person typed to get here, for hints that can be typed again."""
    return click.get_current_context().find_root().command_path


def _typed(path: Path) -> str:
    """A path as it has to be typed: in quotes where it holds a blank."""
    return f'"{path}"' if " " in str(path) else str(path)
