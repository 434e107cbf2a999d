"""How every verb answers: for people or for programs, and where the input is wrong with exit status 1."""

from __future__ import annotations

import json
import sys
from collections.abc import Iterator, Mapping
from contextlib import contextmanager
from typing import NoReturn

import click

from treadleaf import refused
from treadleaf.errors import InputProblems, Problem

json_wanted = click.option(
    "--json", "as_json", is_flag=True, help="Print one JSON object on stdout, for another program."
)


@contextmanager
def problems_end_it(as_json: bool) -> Iterator[None]:
    """Print every problem and leave with status 1, where the work inside, or the system, finds the input wrong."""
    try:
        yield
    except InputProblems as failure:
        _tell(failure, as_json)
    except OSError as failure:
        _tell(InputProblems([refused.problem(failure)]), as_json)


def _tell(failure: InputProblems, as_json: bool) -> NoReturn:
    if as_json:
        click.echo(json_text({"ok": False, "problems": [problem.as_dict() for problem in failure.problems]}))
    else:
        count = len(failure.problems)
        click.echo(f"{failure}\n{count} problem{'s' * (count != 1)}.", err=True)
    sys.exit(1)


def warn(warnings: tuple[Problem, ...], as_json: bool) -> None:
    """Print what stops nothing but should be thought over; another program finds it in the answer."""
    if warnings and not as_json:
        count = len(warnings)
        rows = "\n".join(map(str, warnings))
        click.echo(f"{rows}\n{count} thing{'s' * (count != 1)} to think over; nothing stops.", err=True)


def give(facts: Mapping[str, object], sentence: str, as_json: bool) -> None:
    """Print what a verb has done: for people a sentence, for programs facts."""
    click.echo(json_text({"ok": True, **facts}) if as_json else sentence)


def json_text(answer: Mapping[str, object]) -> str:
    """An answer for programs, on one line, with the number of its form."""
    return json.dumps({"schema": 1, **answer}, default=str)


def say(text: str) -> None:
    """Print progress, apart from the answer."""
    click.echo(text, err=True)
