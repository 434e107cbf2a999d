"""The rows of the list of photographs; see `photographs` for what they are and how they are divided."""

from __future__ import annotations

from dataclasses import dataclass, field

import numpy as np


@dataclass(frozen=True)
class Photograph:
    """One row of the list."""

    name: str
    seed: int
    kind: str  # easy, hard, extreme, spoilt
    unseen: bool
    feet: tuple[dict, ...]  # arguments of feet.make
    ground: str
    laid: str  # how the sheet lies: under, beside, none
    sheet: str  # a4, letter, a3, card, none: the option, and what lies there
    tilt: float
    light: str = "mild"  # mild, uneven, shadow
    extras: dict = field(default_factory=dict)  # what else a Scene can be told
    refused: tuple[str, ...] = ()  # the keys that are right for a spoilt one, the best first
    spoil: str = ""

    @property
    def options(self) -> dict[str, object]:
        """What the user says."""
        asked = 1 if self.refused else len(self.feet)
        return {"foot": "auto", "sheet": self.sheet, "feet": asked, "view": "floor"}


# All cycles of this list have lengths that share no factor with 3, so that the seen and the unseen are alike mixed.
# Arches in the order of the list, from a gap to flat; lengths step through 215 to 285 mm beside them.
ARCHES = (0.55, 0.3, 0.8, 0.12, 0.65, -0.5, 0.45, 0.95, 0.2, 0.7, 0.38, 1.05, 0.6, 0.04, 0.5, 0.85, -0.9)

# Ground, how the sheet lies, which sheet.
EASY = (
    ("dark wood", "under", "a4"),
    ("blue card", "beside", "card"),
    ("dark floor", "under", "a3"),
    ("paper", "beside", "card"),
    ("wood", "under", "letter"),
    ("paper", "none", "none"),
    ("dark floor", "under", "a4"),
    ("yellow card", "beside", "card"),
    ("dark wood", "under", "a3"),
    ("kraft card", "none", "none"),
    ("grey card", "beside", "a4"),
)
HARD = (
    ("concrete", "beside", "card"),
    ("tile", "beside", "a4"),
    ("wood", "beside", "card"),
    ("light floor", "under", "a4"),
    ("concrete", "none", "none"),
    ("tile", "beside", "card"),
    ("dark floor", "under", "letter"),
    ("wood", "beside", "a4"),
    ("green card", "beside", "card"),
    ("tile", "none", "none"),
    ("light floor", "under", "a3"),
    ("wood", "none", "none"),
    ("concrete", "beside", "a4"),
)
EXTREME = (
    ("concrete", "beside", "a4"),
    ("dark wood", "under", "a4"),
    ("tile", "beside", "card"),
    ("wood", "none", "none"),
    ("pink card", "beside", "card"),
    ("light floor", "under", "a3"),
    ("concrete", "none", "none"),
    ("wood", "beside", "card"),
)
HARD_TOES = ("separate", "close", "merged", "separate", "touching", "merged", "close")
EXTREME_TOES = ("broad", "separate", "touching", "none", "merged")
HARD_LIGHTS = ("shadow", "uneven", "shadow", "mild")
EXTREME_LIGHTS = ("shadow", "uneven", "shadow", "shadow")

# The longest foot that goes on a sheet with a finger's breadth around it.
LONGEST_ON = {"a4": 270.0, "letter": 252.0, "a3": 285.0}


def _foot(rng: np.random.Generator, i: int, laid: str, sheet: str, toes: str, missing: tuple[int, ...] = ()) -> dict:
    length = 215.0 + (i * 43) % 71 + float(rng.uniform(-0.5, 0.5))
    if laid == "under":
        length = min(length, LONGEST_ON[sheet] - float(rng.uniform(0, 6)))
    side = "left" if (i * 5 + i // 4) % 2 else "right"
    second = float(rng.choice([0.0, 0.0, 0.0, 5.0, -4.0])) if toes != "none" else 0.0
    return {
        "seed": int(rng.integers(1 << 30)),
        "side": side,
        "length": length,
        "arch": ARCHES[i % len(ARCHES)],
        "toes": toes,
        "missing": missing,
        "second_mm": second,
    }


def _both(foot: dict) -> tuple[dict, dict]:
    """A left and a right foot of one invented person."""
    other = {"side": "right", "arch": foot["arch"] + 0.06, "length": foot["length"] - 1.5}
    return ({**foot, "side": "left"}, {**foot, **other})


def _extras(rng: np.random.Generator, kind: str, ground: str, laid: str, i: int) -> dict:
    """Strengths of the disturbances, by kind."""
    on = "white sheet" if laid == "under" else ground
    low, high = {"easy": (0.58, 0.76), "hard": (0.58, 0.80), "extreme": (0.62, 0.85)}[kind]
    extras = {
        "factor": float(rng.uniform(low, high)),
        "soft_mm": float(rng.uniform(0.2, {"easy": 0.45, "hard": 0.7, "extreme": 0.9}[kind])),
        "uneven": float(rng.uniform(0.02, {"easy": 0.07, "hard": 0.14, "extreme": 0.20}[kind])),
        "blur_px": float(rng.uniform(0.4, {"easy": 0.9, "hard": 1.3, "extreme": 1.8}[kind])),
        "noise": float(rng.uniform(0.8, {"easy": 2.0, "hard": 3.5, "extreme": 5.0}[kind])),
        "jpeg": int(rng.integers({"easy": 85, "hard": 75, "extreme": 60}[kind], 96)),
    }
    if on in {"blue card", "green card", "grey card"} and i % 4 == 1:
        extras["factor"] = float(rng.uniform(1.2, 1.45))  # chalk or soap: the print is the lighter
    if kind != "easy" or i % 4 == 0:
        extras["specks"] = int(rng.integers(2, {"easy": 5, "hard": 14, "extreme": 24}[kind]))
    if kind == "extreme" or (kind == "hard" and i % 5 < 2):
        extras["drips"] = int(rng.integers(1, {"hard": 4, "extreme": 7}[kind]))
    if kind == "extreme" or (kind == "hard" and i % 2 == 0):
        extras["halo_mm"], extras["halo"] = float(rng.uniform(1, 3)), float(rng.uniform(0.12, 0.32))
    if kind != "easy" and i % 2:
        extras["holes"] = int(rng.integers(1, 7))
    return extras


def _measurable(first: int, easy: range, hard: range, extreme: range, prefix: str = "") -> list[Photograph]:
    """Rows numbered from the first on; how they are made hangs on that number, and on one within each kind."""
    made = []

    def add(kind, i, ground, laid, sheet, tilt, toes, light, missing=(), both=False):
        number = first + len(made)
        rng = np.random.default_rng([number, 20])
        foot = _foot(rng, number, laid, sheet, toes, missing)
        made.append(
            Photograph(
                name=f"{prefix}{kind}-{i:02d}-{ground.replace(' ', '-')}-{sheet}" + ("-both" if both else ""),
                seed=1000 + number,
                kind=kind,
                unseen=not prefix and number % 3 == 2,
                feet=_both(foot) if both else (foot,),
                ground=ground,
                laid=laid,
                sheet=sheet,
                tilt=tilt,
                light=light,
                extras=_extras(rng, kind, ground, laid, i),
            )
        )

    for i in easy:
        ground, laid, sheet = EASY[i % len(EASY)]
        tilt = (i * 3.7) % (3.5 if sheet == "none" else 10.0)
        add("easy", i, ground, laid, sheet, tilt, "separate", "mild")
    for i in hard:
        ground, laid, sheet = HARD[i % len(HARD)]
        tilt = (i * 2.9) % 6.0 if sheet == "none" else 5 + (i * 5.3) % 13
        missing = (4,) if i % 8 == 4 else (1,) if i % 13 == 6 else ()
        add("hard", i, ground, laid, sheet, tilt, HARD_TOES[i % 7], HARD_LIGHTS[i % 4], missing)
    for i in extreme:
        ground, laid, sheet = EXTREME[i % len(EXTREME)]
        tilt = 8 + (i * 3.1) % 8 if sheet == "none" else 15 + (i * 3) % 11
        missing = (3, 4) if i % 7 == 1 else ()
        add("extreme", i, ground, laid, sheet, tilt, EXTREME_TOES[i % 5], EXTREME_LIGHTS[i % 4], missing)
    if prefix:
        return made
    two = (
        ("easy", "paper", "beside", "card"),
        ("easy", "dark floor", "under", "a3"),
        ("hard", "concrete", "beside", "card"),
        ("hard", "tile", "beside", "a4"),
        ("hard", "wood", "none", "none"),
        ("easy", "kraft card", "beside", "card"),
    )
    for i, (kind, ground, laid, sheet) in enumerate(two):
        toes = "separate" if kind == "easy" else HARD_TOES[i]
        add(kind, 50 + i, ground, laid, sheet, 2.0 + i, toes, "mild" if kind == "easy" else "uneven", both=True)
    return made


# What is wrong, the right keys (the best first), ground, how the sheet lies, which sheet.
SPOILT = (
    ("cut", ("cut_by_edge",), "concrete", "none", "none"),
    ("cut", ("cut_by_edge",), "paper", "none", "none"),
    ("cut", ("cut_by_edge",), "wood", "beside", "card"),
    ("blurred", ("blurred", "too_faint"), "tile", "none", "none"),
    ("blurred", ("blurred", "too_faint"), "dark floor", "under", "a4"),
    ("faint", ("too_faint", "no_print"), "concrete", "none", "none"),
    ("faint", ("too_faint", "no_print"), "paper", "none", "none"),
    ("empty", ("no_print", "too_faint"), "tile", "none", "none"),
    ("empty", ("no_print", "too_faint"), "wood", "beside", "card"),
    ("empty", ("no_print", "too_faint"), "dark wood", "under", "a4"),
    ("two", ("more_prints", "two_candidates"), "concrete", "none", "none"),
    ("two", ("more_prints", "two_candidates"), "paper", "beside", "card"),
    ("over", ("over_sheet_edge",), "dark floor", "under", "a4"),
    ("over", ("over_sheet_edge",), "wood", "under", "letter"),
    ("small", ("print_too_small", "no_print"), "concrete", "none", "none"),
    ("small", ("print_too_small", "no_print"), "paper", "none", "none"),
)


def _spoilt(before: int) -> list[Photograph]:
    made = []
    for i, (spoil, refused, ground, laid, sheet) in enumerate(SPOILT):
        number = before + i
        rng = np.random.default_rng([number, 20])
        foot = _foot(rng, number, laid, sheet, "separate")
        extras = _extras(rng, "hard", ground, laid, 1)
        if spoil == "over":
            extras["factor"] = 0.62  # seen on the sheet and beside it
        made.append(
            Photograph(
                name=f"spoilt-{i:02d}-{spoil}-{ground.replace(' ', '-')}",
                seed=1000 + number,
                kind="spoilt",
                unseen=number % 3 == 2,
                feet=_both(foot) if spoil == "two" else () if spoil == "empty" else (foot,),
                ground=ground,
                laid=laid,
                sheet=sheet,
                tilt=float(rng.uniform(0, 8)),
                extras=extras,
                refused=refused,
                spoil=spoil,
            )
        )
    return made


def photographs() -> list[Photograph]:
    """The whole list, always the same."""
    measurable = _measurable(0, range(40), range(38), range(24))
    return [*measurable, *_spoilt(len(measurable))]


def further() -> list[Photograph]:
    """220 more by the same recipe, with other feet and seeds: none of the list, for whoever tunes an engine."""
    return _measurable(200, range(40, 120), range(38, 118), range(24, 84), "further-")


def fresh(pool: int) -> list[Photograph]:
    """102 more by the same recipe, other ones for each number from 1 on: how an engine does on what it never saw."""
    first = 1000 * pool
    easy, hard, extreme = (range(first, first + count) for count in (40, 38, 24))
    return _measurable(5000 + first, easy, hard, extreme, f"fresh{pool}-")
