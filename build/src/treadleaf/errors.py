"""What the user's input got wrong: where it is, what was found there, and how to mend it."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import asdict, dataclass


@dataclass(frozen=True)
class Problem:
    """One thing that is wrong in one place of the user's input.

    ``file`` and ``line`` (counted from 1) say where; ``key`` is the path of the key inside the file, such as
    ``telephone`` or ``practitioners.2.role`` (places in a list are counted from 1); ``found`` is what stands there
    now; ``mend`` is what to do about it; ``rule`` is the key of the rule of the gate that a page broke. What is unknown
    stays empty.
    """

    what: str
    file: str = ""
    line: int | None = None
    key: str = ""
    found: str = ""
    mend: str = ""
    rule: str = ""

    def __str__(self) -> str:
        place = self.file if self.line is None else f"{self.file}:{self.line}"
        head = ": ".join(part for part in (place, self.key, self.what) if part)
        rows = [f"{head} [{self.rule}]" if self.rule else head]
        if self.found:
            rows.append(f"    found: {self.found}")
        if self.mend:
            rows.append(f"    mend:  {self.mend}")
        return "\n".join(rows)

    def as_dict(self) -> dict[str, str | int | None]:
        """The same facts as plain data, for a program that reads them."""
        return asdict(self)


class InputProblems(Exception):
    """The user's input cannot be used as it is. Carries every problem found, not only the first.

    The command line prints them all and ends with exit status 1.
    """

    problems: tuple[Problem, ...]

    def __init__(self, problems: Iterable[Problem]) -> None:
        self.problems = tuple(problems)
        if not self.problems:
            raise ValueError("InputProblems needs at least one Problem")
        super().__init__("\n".join(str(problem) for problem in self.problems))
