"""The last look at a finished site: every rule, over every file of the folder."""

from collections import Counter
from dataclasses import dataclass
from pathlib import Path

from treadleaf.audit import expected as expectations
from treadleaf.audit import files, folder, html_checker, pages, published, service_worker, weight
from treadleaf.audit.expected import Expected
from treadleaf.audit.html_checker import Checker
from treadleaf.audit.rules import RULES, broken
from treadleaf.audit.weight import Weight
from treadleaf.errors import InputProblems, Problem


@dataclass(frozen=True)
class Looked:
    """What a look found: every fault, every weight, and by its key each rule that was not checked, with the reason."""

    faults: tuple[Problem, ...]
    weights: tuple[Weight, ...]
    unchecked: dict[str, str]

    def counted(self) -> dict[str, int]:
        """The number of faults of every rule, in the order of the rules."""
        count = Counter(fault.rule for fault in self.faults)
        return {key: count[key] for key in RULES}


def audit(site: Path, checker: Checker | None) -> Looked:
    """Look over a folder that was built some time ago.

    Raises InputProblems where it has no mark to go by, or where the HTML checker does not run.
    """
    return look(site, expectations.of(site), checker)


def refuse(site: Path, expected: Expected) -> None:
    """Raise InputProblems when anything in a site that has just been built must not be published.

    The HTML checker takes seconds and needs Java: it is for `treadleaf audit` and for the tests.
    """
    faults = look(site, expected).faults
    if faults:
        raise InputProblems(faults)


def look(site: Path, expected: Expected, checker: Checker | None = None) -> Looked:
    """Every fault of a finished site: the files as such, page by page, then what pages load, then the weights."""
    found = folder.read(site)
    read = pages.read(found)
    loads = {name: weight.at_once(name, found, read, expected.address) for name in read}
    weights = weight.weigh(found, loads, expected)
    faults = [
        *found.faults,
        *published.look(found, expected),
        *(broken(fault.rule, name, fault.what, fault.found) for name, fault in pages.look(found, read, expected)),
        *files.look(found),
        *service_worker.look(found, loads),
        *weight.look(weights),
        *(html_checker.look(found, checker) if checker else ()),
    ]
    return Looked(tuple(faults), weights, {} if checker else {"html": html_checker.MISSING})
