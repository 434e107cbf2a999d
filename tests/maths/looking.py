"""Many pictures without a print shown to the calculators' door, each in a process that can be ended.

    PYTHONPATH=tests:. python -m maths.looking 200 [--from N] [--processes 1] [--out FOLDER]

The first so many pictures, of each kind in turn, or a slice that begins later; what was measured is saved to look at.
"""

from __future__ import annotations

import argparse
import multiprocessing
import os
import sys
import time
from collections import Counter
from collections.abc import Iterator
from pathlib import Path
from typing import Any, NamedTuple

from maths import asking, non_prints

HANGS_S = 120
"""No picture of this size takes a tenth of that: whoever is not back then will not come back."""

Which = tuple[str, int]


class Seen(NamedTuple):
    """What came of pictures: how often each answer, and for those measured or broken the file and what was asked."""

    counted: Counter[str]
    measured: list[tuple[str, dict[str, Any]]]
    broken: list[tuple[str, dict[str, Any]]]
    most_mb: float
    slowest_s: float


def numbered(count: int, first: int = 0) -> list[Which]:
    """So many pictures, of each kind in turn."""
    kinds = list(non_prints.KINDS)
    return [(kinds[number % len(kinds)], number // len(kinds)) for number in range(first, first + count)]


def answers(which: list[Which], processes: int) -> Iterator[dict[str, Any]]:
    """The answers to pictures, in their order.

    Raises TimeoutError, naming the picture, where one keeps its process for longer than `HANGS_S`.
    """
    with multiprocessing.get_context("spawn").Pool(processes) as pool:
        coming = pool.imap(asking.ask, which)
        for one in which:
            try:
                yield coming.next(timeout=HANGS_S)
            except multiprocessing.TimeoutError:
                raise TimeoutError(f"no answer in {HANGS_S} s to {one}, or to one of the few asked beside it") from None


def look(which: list[Which], folder: Path, processes: int | None = None) -> Seen:
    """Ask about pictures; save those that were measured, or that broke something, to look at."""
    counted: Counter[str] = Counter()
    measured, broken, most, slowest = [], [], 0.0, 0.0
    for so_far, told in enumerate(answers(which, processes or min(4, os.cpu_count() or 1)), 1):
        answer = told["answer"]
        key = "measured" if answer["ok"] else answer["refusal"]["key"]
        counted[key] += 1
        most, slowest = max(most, told["held"] or 0), max(slowest, told["seconds"])
        if answer["ok"] or key == "internal":
            kind, number = told["which"]
            file = folder / f"{key}-{kind}-{number}.png"
            non_prints.picture(kind, number).save(file)
            (measured if answer["ok"] else broken).append((str(file), told["asked"]))
        if so_far % 100 == 0:  # so that a run that is broken off has told something
            told_so_far = f"{so_far} of {len(which)}: {len(measured)} measured, {len(broken)} broken"
            print(told_so_far, file=sys.stderr, flush=True)
    return Seen(counted, measured, broken, most, slowest)


def line(seen: Seen) -> str:
    """What came of them, in one line."""
    return (
        f"{seen.counted.total()} pictures without a print: {dict(seen.counted.most_common())}, "
        f"at most {seen.most_mb:.0f} MB held, the slowest {seen.slowest_s:.1f} s"
    )


def main(arguments: list[str] | None = None) -> int:
    parser = argparse.ArgumentParser(prog="python -m maths.looking", description=__doc__.splitlines()[0])
    parser.add_argument("count", type=int)
    parser.add_argument("--from", type=int, default=0, dest="first")
    parser.add_argument("--processes", type=int, default=1)
    parser.add_argument("--out", type=Path, default=Path("without-a-print"))
    given = parser.parse_args(arguments)
    given.out.mkdir(parents=True, exist_ok=True)
    began = time.perf_counter()
    seen = look(numbered(given.count, given.first), given.out, given.processes)
    print(f"{line(seen)}; {time.perf_counter() - began:.0f} s in all")
    for file, asked in [*seen.broken, *seen.measured]:
        print(f"  {file}  {asked}")
    return 1 if seen.broken else 0


if __name__ == "__main__":
    sys.exit(main())
