"""What every scene answers with: its marks, the size of its picture, and what its pose says in keys of ``words``."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, field

from treadleaf.drawings.strokes import Marks

WIDTH = 360
"""Width of every picture: on a phone a unit is about a pixel, so that labels keep their size."""


@dataclass(frozen=True)
class Scene:
    """One picture before it is written. ``facts`` fill the gaps of its title and description."""

    height: float
    marks: Marks
    facts: Mapping[str, str] = field(default_factory=dict)


Say = Mapping[str, str]
"""The labels of a language, by key."""
