"""A picture as a calculator sees it: grey, and no finer than it needs."""

from typing import NamedTuple

TYPE_CHECKING = False
if TYPE_CHECKING:
    from array import array


class Grey(NamedTuple):
    """Block means of a photograph: `scale` pixels of the buffer a cell, `values` row by row, 0 to 4080."""

    width: int
    height: int
    scale: int
    values: "array[int]"
