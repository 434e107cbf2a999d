"""Run an engine over the photographs and make the table of how near it comes to the truth, seen and unseen apart.

    PYTHONPATH=tests:. python -m prints.score [--quick | --further | --fresh POOL] [--kind KIND] [--name PART]

Of the unseen set only the table is shown, unless `--reveal`: who tunes an engine must not learn from it.
"""

from __future__ import annotations

import argparse
import importlib
import json
import math
import statistics
import sys
import time
from collections.abc import Callable, Iterable
from concurrent.futures import ProcessPoolExecutor
from dataclasses import dataclass
from pathlib import Path

import cv2
import numpy as np

from prints.photographs import Photograph, fresh, further, photographs, render

Engine = Callable[[str, bytes], str]

ENGINE = "calculators.api:call"
INDICES = ("arch_index", "chippaux_smirak_index", "staheli_index")
WIDTHS = ("ball_mm", "middle_mm", "heel_mm")
WRONG = 0.02  # an arch index off by more than this must carry a warning


@dataclass(frozen=True)
class Judged:
    """One print of an answer beside its truth: errors are found minus true."""

    errors: dict[str, float]
    covered: dict[str, bool]
    half_width: float  # of the arch index
    side_given: bool
    side_right: bool
    warnings: tuple[str, ...]


@dataclass(frozen=True)
class Outcome:
    """What came of one photograph."""

    name: str
    kind: str
    unseen: bool
    refusal: str | None
    right_keys: tuple[str, ...]
    scaled: bool  # lengths are given, or were not to be expected
    prints: tuple[Judged, ...]
    seconds: float

    @property
    def warned(self) -> bool:
        return any(judged.warnings for judged in self.prints)


def number(value: object) -> float:
    """A bare number, or one in an object with its unit."""
    found = value["value"] if isinstance(value, dict) else value
    return float(found)


def request(photograph: Photograph, width: int, height: int) -> str:
    """What the door is asked."""
    inputs = {"width": width, "height": height, **photograph.options}
    return json.dumps({"schema": 1, "action": "footprint_photo", "input": inputs})


def judge(found: dict, true: dict, warnings: Iterable[str] = ()) -> Judged:
    """One print of a result beside its truth."""
    indices = found["indices"]
    errors = {key: number(indices[key]) - true[key] for key in INDICES}
    lengths = found.get("lengths")
    if lengths:
        errors |= {key: number(lengths[key]) - true[key] for key in ("toeless_mm", *WIDTHS)}
    # Ends are written to a last digit: what is true may be outside by half of it.
    half_digit = {"arch_index": 0.0005, "chippaux_smirak_index": 0.05, "staheli_index": 0.0005}
    covered = {
        key: number(indices[key]["low"]) - half_digit[key]
        <= true[key]
        <= number(indices[key]["high"]) + half_digit[key]
        for key in INDICES
    }
    arch = indices["arch_index"]
    return Judged(
        errors=errors,
        covered=covered,
        half_width=(number(arch["high"]) - number(arch["low"])) / 2,
        side_given=found["foot"] != "unknown",
        side_right=found["foot"] == true["side"],
        warnings=tuple(sorted({*found.get("warnings", ()), *warnings})),
    )


def outcome(photograph: Photograph, true: dict, answer: dict, seconds: float = 0.0) -> Outcome:
    """An answer of the door (`{"ok": ...}`) beside the truth of its photograph."""
    judged: tuple[Judged, ...] = ()
    refusal, scaled = None, True
    if not answer["ok"]:
        refusal = answer["refusal"]["key"]
    elif not photograph.refused:
        result = answer["result"]
        found = result.get("prints") or [result]
        if len(found) != len(true["prints"]):
            raise ValueError(
                f"{photograph.name}: {len(found)} prints in the answer, {len(true['prints'])} in the picture"
            )
        judged = tuple(
            judge(one, its, result.get("warnings", ())) for one, its in zip(found, true["prints"], strict=True)
        )
        scaled = photograph.sheet == "none" or all("toeless_mm" in one.errors for one in judged)
    return Outcome(
        photograph.name, photograph.kind, photograph.unseen, refusal, photograph.refused, scaled, judged, seconds,
    )  # fmt: skip


def named(engine: str) -> Engine:
    """The function that `module:name` names."""
    module, _, name = engine.partition(":")
    found: Engine = getattr(importlib.import_module(module), name)
    return found


def run_one(photograph: Photograph, engine: str = ENGINE) -> Outcome:
    """Render one photograph, ask the engine, judge the answer."""
    cv2.setNumThreads(1)
    rgb, true = render(photograph)
    height, width = rgb.shape[:2]
    pixels = np.dstack([rgb, np.full((height, width), 255, np.uint8)]).tobytes()
    asked = request(photograph, width, height)
    start = time.perf_counter()
    answer = json.loads(named(engine)(asked, pixels))
    return outcome(photograph, true, answer, time.perf_counter() - start)


def _run(pair: tuple[Photograph, str]) -> Outcome:
    return run_one(*pair)


def run(chosen: list[Photograph], engine: str = ENGINE, processes: int = 2) -> list[Outcome]:
    """All outcomes, in the order of the list."""
    with ProcessPoolExecutor(processes) as pool:
        return list(pool.map(_run, [(photograph, engine) for photograph in chosen]))


def quick() -> list[Photograph]:
    """About two dozen of all kinds, the same each time: every fifth of the list."""
    return photographs()[::5]


# -- the table -----------------------------------------------------------------------------------------------------

# Key: what it is, digits shown, "<=" or ">=", pass mark, target. A mark of None is only shown.
ROWS: dict[str, tuple[str, int, str, float | None, float | None]] = {
    "pictures": ("pictures that can be measured", 0, "", None, None),
    "measured": ("measured without help, % (with its lengths where a sheet lies there)", 1, ">=", 95, 98),
    "unwarned_wrong": ("arch index off by more than 0.02 without a warning", 0, "<=", 0, 0),
    "easy_warned": ("easy pictures with a warning, %", 1, "<=", 20, 20),
    "arch_index": ("arch index, mean |error|", 4, "<=", 0.004, 0.002),
    "arch_index_worst": ("arch index, largest |error|", 4, "", None, None),
    "chippaux_smirak_index": ("Chippaux-Smirak index, mean |error|, points", 2, "<=", 1.0, 0.5),
    "staheli_index": ("Staheli index, mean |error|", 4, "<=", 0.02, 0.01),
    "length_mm": ("toeless length with a sheet, mean |error|, mm", 2, "<=", 1.0, 0.5),
    "width_mm": ("widths with a sheet, mean |error|, mm", 2, "<=", 1.0, 0.5),
    "covered_arch_index": ("arch index inside low-high, %", 1, ">=", 90, 90),
    "covered_chippaux_smirak_index": ("Chippaux-Smirak index inside low-high, %", 1, ">=", 90, 90),
    "covered_staheli_index": ("Staheli index inside low-high, %", 1, ">=", 90, 90),
    "half_width": ("arch index, median half-width of low-high", 4, "<=", 0.015, 0.015),
    "sides_given": ("side given, %", 1, "", None, None),
    "sides_wrong": ("side given and wrong", 0, "<=", 0, 0),
    "refused": ("spoilt pictures refused, %", 1, "", None, None),
    "refused_rightly": ("spoilt pictures refused with the right key, %", 1, "", None, None),
    "seconds": ("seconds a picture, median", 2, "", None, None),
}  # fmt: skip


def _mean(values: list[float]) -> float:
    return math.fsum(values) / len(values) if values else math.nan


def _percent(flags: list[bool]) -> float:
    return 100 * _mean([float(flag) for flag in flags])


def table(outcomes: list[Outcome]) -> dict[str, float]:
    """The numbers of ROWS for some outcomes; nan where there is nothing to count."""
    whole = [one for one in outcomes if one.kind != "spoilt"]
    spoilt = [one for one in outcomes if one.kind == "spoilt"]
    prints = [judged for one in whole for judged in one.prints]

    def errors(*keys: str) -> list[float]:
        return [abs(judged.errors[key]) for judged in prints for key in keys if key in judged.errors]

    sides = [judged for judged in prints if judged.side_given]
    return {
        "pictures": len(whole),
        "measured": _percent([one.refusal is None and one.scaled for one in whole]),
        "unwarned_wrong": sum(abs(judged.errors["arch_index"]) > WRONG and not judged.warnings for judged in prints),
        "easy_warned": _percent([one.warned for one in whole if one.kind == "easy" and one.prints]),
        **{key: _mean(errors(key)) for key in INDICES},
        "arch_index_worst": max(errors("arch_index"), default=math.nan),
        "length_mm": _mean(errors("toeless_mm")),
        "width_mm": _mean(errors(*WIDTHS)),
        **{f"covered_{key}": _percent([judged.covered[key] for judged in prints]) for key in INDICES},
        "half_width": statistics.median([judged.half_width for judged in prints]) if prints else math.nan,
        "sides_given": _percent([judged.side_given for judged in prints]),
        "sides_wrong": sum(not judged.side_right for judged in sides),
        "refused": _percent([one.refusal is not None for one in spoilt]),
        "refused_rightly": _percent([one.refusal in one.right_keys for one in spoilt]),
        "seconds": statistics.median([one.seconds for one in outcomes]) if outcomes else math.nan,
    }


def missed(numbers: dict[str, float]) -> list[str]:
    """What does not reach its pass mark; a number that could not be made misses it too."""
    found = []
    for key, (label, digits, way, mark, _) in ROWS.items():
        if mark is None:
            continue
        value = numbers[key]
        if not (value <= mark if way == "<=" else value >= mark):
            found.append(f"{label}: {value:.{digits}f}, not {way} {mark:g}")
    return found


def parted(outcomes: list[Outcome]) -> dict[str, list[Outcome]]:
    """The seen and the unseen."""
    return {
        "seen": [one for one in outcomes if not one.unseen],
        "unseen": [one for one in outcomes if one.unseen],
    }


def lines(outcomes: list[Outcome]) -> list[str]:
    """The table as text."""
    sets = {name: table(part) for name, part in parted(outcomes).items()}
    wide = max(len(row[0]) for row in ROWS.values())
    out = [f"{'':{wide}}  {'seen':>9} {'unseen':>9}   mark [target]"]
    for key, (label, digits, way, mark, target) in ROWS.items():
        shown = " ".join(f"{sets[name][key]:9.{digits}f}" for name in sets)
        out.append(f"{label:{wide}}  {shown}" + (f"   {way} {mark:g} [{target:g}]" if mark is not None else ""))
    return out


def worst(outcomes: list[Outcome], *, reveal: bool = False, number: int = 12) -> list[str]:
    """Names of what went wrong, the worst first; of the seen set only unless `reveal`."""
    shown = [one for one in outcomes if reveal or not one.unseen]
    out = [f"refused: {one.name} ({one.refusal})" for one in shown if one.refusal and one.kind != "spoilt"]
    out += [f"no lengths: {one.name}" for one in shown if not one.scaled]
    for one in shown:
        if one.kind == "spoilt" and one.refusal not in one.right_keys:
            out.append(f"spoilt: {one.name} ({one.refusal or 'measured'}, not {' or '.join(one.right_keys)})")
        out += [f"wrong side: {one.name}" for judged in one.prints if judged.side_given and not judged.side_right]
    pairs = [(one, judged) for one in shown for judged in one.prints]
    pairs.sort(key=lambda pair: -abs(pair[1].errors["arch_index"]))
    for one, judged in pairs[:number]:
        errors = ", ".join(f"{key.removesuffix('_mm')} {value:+.4g}" for key, value in judged.errors.items())
        out.append(f"{one.name}: {errors}; {' '.join(judged.warnings) or 'no warning'}")
    return out


def main(arguments: list[str] | None = None) -> int:
    parser = argparse.ArgumentParser(prog="python -m prints.score", description=__doc__.splitlines()[0])
    parser.add_argument("--engine", default=ENGINE, help="module:function that takes JSON text and pixels")
    parser.add_argument("--quick", action="store_true", help="every fifth picture")
    parser.add_argument("--further", action="store_true", help="220 more pictures, none of the list")
    parser.add_argument("--fresh", type=int, metavar="POOL", help="102 more, other ones for each number from 1 on")
    parser.add_argument("--kind", help="easy, hard, extreme or spoilt")
    parser.add_argument("--name", default="", help="only pictures with this in their name")
    parser.add_argument("--seen", action="store_true", help="leave the unseen set alone")
    parser.add_argument("--reveal", action="store_true", help="name pictures of the unseen set too")
    parser.add_argument("--processes", type=int, default=2)
    parser.add_argument("--json", type=Path, help="write the table there")
    asked = parser.parse_args(arguments)
    others = fresh(asked.fresh) if asked.fresh else further() if asked.further else None
    chosen = [
        one
        for one in (others or (quick() if asked.quick else photographs()))
        if asked.kind in (None, one.kind) and asked.name in one.name and not (asked.seen and one.unseen)
    ]
    outcomes = run(chosen, asked.engine, asked.processes)
    print("\n".join([*lines(outcomes), "", *worst(outcomes, reveal=asked.reveal)]))
    if asked.json:
        sets = {name: table(part) for name, part in parted(outcomes).items()}
        asked.json.write_text(json.dumps(sets, indent=1) + "\n", encoding="utf-8")
    return 0


if __name__ == "__main__":
    sys.exit(main())
