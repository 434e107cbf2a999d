"""How much a visitor loads: worked out from the files, against the marks of `data/budget.toml`.

A page weighs what it makes a browser load before anybody touches anything: itself, its styles, scripts and pictures,
the modules that its scripts import, the pictures that its styles name. Each file counts as a host sends it that packs
with gzip; `tests/browser/test_weight.py` holds the sum against what a browser asks for.
"""

import gzip
import tomllib
from collections.abc import Collection, Iterator, Mapping
from dataclasses import dataclass

from treadleaf.audit import addresses, files
from treadleaf.audit.expected import Expected, PageFacts
from treadleaf.audit.folder import Folder
from treadleaf.audit.page import Page
from treadleaf.audit.rules import DATA, broken
from treadleaf.errors import Problem

RUNTIME = "runtime/"
# What a host sends as it is: packed already, so that packing it again gains nothing.
_PACKED = (".gz", ".png", ".jpg", ".jpeg", ".webp", ".woff2")
_LEVEL = 6  # what hosts use


@dataclass(frozen=True)
class Budget:
    """The marks for one kind of thing, in bytes: above ``limit`` is a fault, above ``target`` is shown."""

    title: str
    limit: int
    target: int
    source: str


BUDGETS: dict[str, Budget] = {
    key: Budget(row["title"], row["pass"], row["target"], row["source"])
    for key, row in tomllib.loads((DATA / "budget.toml").read_text("utf-8")).items()
}


@dataclass(frozen=True)
class Weight:
    """What one page, or all that the calculators need, weighs in bytes, in how many files, and its kind of budget.

    ``clinics`` is what the clinic's own files weigh of it: its logo has a limit of its own and spoils no page's budget.
    """

    name: str
    budget: str
    bytes: int
    files: int
    clinics: int = 0

    @property
    def too_heavy(self) -> bool:
        """Whether it is above the limit of its budget."""
        return self.bytes - self.clinics > BUDGETS[self.budget].limit


def weigh(folder: Folder, loads: Mapping[str, Collection[str]], expected: Expected) -> tuple[Weight, ...]:
    """The weight of every page that is expected and there, in order, and of the runtime."""
    packed: dict[str, int] = {}
    found = []
    for name in sorted(loads.keys() & expected.pages.keys()):
        total = sum(_packed(path, folder, packed) for path in loads[name])
        clinics = sum(_packed(path, folder, packed) for path in set(loads[name]) & set(expected.files))
        found.append(Weight(name, budget_of(expected.pages[name]), total, len(loads[name]), clinics))
    runtime = [name for name in folder.sizes if name.startswith(RUNTIME)]
    total = sum(_packed(name, folder, packed) for name in runtime)
    return (*found, Weight(RUNTIME, "runtime", total, len(runtime)))


def at_once(name: str, folder: Folder, pages: Mapping[str, Page], base: str) -> set[str]:
    """Every file that a page makes a browser load, itself among them, as far as it is there."""
    reached: set[str] = set()
    waiting = {name, *addresses.loaded(name, pages[name], base)}
    while waiting:
        path = waiting.pop()
        reached.add(path)
        waiting |= files.loaded(path, folder.texts.get(path, "")) - reached
    return reached & folder.sizes.keys()


def budget_of(page: PageFacts) -> str:
    """The key of the budget that a page has to keep."""
    if page.for_staff:
        return "staff"
    return "calculator" if page.calculates else "reading"


def look(weights: tuple[Weight, ...]) -> Iterator[Problem]:
    """Every weight above its limit."""
    for weight in weights:
        if weight.too_heavy:
            budget = BUDGETS[weight.budget]
            rule = "runtime-weight" if weight.name == RUNTIME else "weight"
            what = f"There is more to load than {budget.title} may have: {budget.limit / 1000:.0f} kB."
            yield broken(rule, weight.name, what, f"{weight.bytes / 1000:.1f} kB in {weight.files} files")


def over_the_wire(data: bytes, name: str) -> int:
    """The bytes of one file from a host that packs with gzip at its usual level."""
    return len(data) if name.endswith(_PACKED) else len(gzip.compress(data, _LEVEL))


def _packed(name: str, folder: Folder, known: dict[str, int]) -> int:
    if name not in known:
        known[name] = over_the_wire((folder.root / name).read_bytes(), name)
    return known[name]
