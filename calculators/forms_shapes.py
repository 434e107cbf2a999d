"""The shapes of which a form is made: numbers, choices, words, points, rows of the same group, and what binds them."""

from typing import NamedTuple

TYPE_CHECKING = False
if TYPE_CHECKING:
    from collections.abc import Callable
    from typing import Any

    # What was read of one group: numbers, words, lines ((x, y), (x, y)) and lists of Values, by field key.
    Values = dict[str, Any]


class Field(NamedTuple):
    """One number to fill in, in `unit`; the limits themselves are allowed."""

    key: str
    kind: str
    unit: str
    low: float
    high: float
    required: bool = True
    default: float | None = None
    whole: bool = False


class Choice(NamedTuple):
    """One of a few words."""

    key: str
    options: tuple[str, ...]
    required: bool = True
    default: str | None = None
    kind: str = "choice"


class Word(NamedTuple):
    """A name of the caller's own: 1 to `longest` small letters, digits and underscores."""

    key: str
    longest: int
    required: bool = True
    default: None = None
    kind: str = "word"


class Line(NamedTuple):
    """Two points of a picture, [[x, y], [x, y]], the top one first; every coordinate lies within the limits."""

    key: str
    unit: str
    low: float
    high: float
    required: bool = True
    default: None = None
    kind: str = "line"


class Points(NamedTuple):
    """`least` to `most` points of a picture, [[x, y], ...]; every coordinate lies within the limits."""

    key: str
    unit: str
    least: int
    most: int
    low: float
    high: float
    required: bool = True
    default: None = None
    kind: str = "points"


class Rows(NamedTuple):
    """A list of `least` to `most` objects of one shape; `unit` is what they are counted in."""

    key: str
    row: "Group"
    unit: str
    least: int
    most: int
    required: bool = True
    default: None = None
    kind: str = "rows"


class Rule(NamedTuple):
    """Something that must hold between fields, checked as soon as `field` has been read.

    The refusal names `field`, or `at` where another field of the group is the one to mend.
    """

    field: str
    refusal: str
    broken: "Callable[[Values], bool]"
    at: str = ""


class Group(NamedTuple):
    """Fields that stand together. Key "" is the input's own top level; the others are objects inside it.

    `ways` names fields that replace one another: each way is a set of keys, and one way is used. Its fields are then
    as required as they say; those of the other ways must be left out. Without any of them the first way is asked for.
    """

    key: str
    required: bool
    fields: "tuple[Field | Choice | Word | Line | Points | Rows, ...]"
    rules: tuple[Rule, ...] = ()
    ways: tuple[tuple[str, ...], ...] = ()


class Form(NamedTuple):
    """Everything that one action asks for. At least one of the groups in `one_of` must be filled in.

    With `pixels` a picture comes beside the input, and the fields `width` and `height` at the top level tell its size.
    """

    action: str
    groups: tuple[Group, ...]
    one_of: tuple[str, ...] = ()
    pixels: bool = False
