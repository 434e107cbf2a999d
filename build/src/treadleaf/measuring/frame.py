"""From the pixels that are measured to the picture's own pixels, and back."""

from __future__ import annotations

import math
from typing import Any, NamedTuple


class Axis(NamedTuple):
    """One direction of a picture: how many pixels it has, how many are measured, how many of its own each one holds.

    ``reversed``: blocks were counted from the far end, so that the first, not the last, may reach over the edge.
    """

    own: int
    measured: int
    each: float
    reversed: bool = False

    def to_own(self, place: float) -> float:
        return place * self.each + self._first()

    def to_measured(self, place: float) -> float:
        return (place - self._first()) / self.each

    def _first(self) -> float:
        return self.own - self.each * self.measured if self.reversed else 0.0


class Frame(NamedTuple):
    """Both directions of a picture, upright as it is shown. Places are continuous; the left and top edges are 0."""

    across: Axis
    down: Axis

    @property
    def each(self) -> float:
        """The side of a measured pixel, in pixels of the picture; over the whole, the directions differ by a pixel."""
        return math.sqrt(self.across.each * self.down.each)

    def to_own(self, places: Any) -> Any:
        """Points of what is measured as points of the picture: one, or lists of them of any depth; None stays None."""
        if places is None:
            return None
        if _is_point(places):
            return [round(self.across.to_own(places[0]), 2), round(self.down.to_own(places[1]), 2)]
        return [self.to_own(one) for one in places]

    def to_measured(self, places: Any) -> Any:
        """The way back."""
        if _is_point(places):
            return [self.across.to_measured(places[0]), self.down.to_measured(places[1])]
        return [self.to_measured(one) for one in places]


def _is_point(places: Any) -> bool:
    return len(places) == 2 and not any(isinstance(one, (list, tuple)) for one in places)
