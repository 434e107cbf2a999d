"""A session as a list of timed steps: the one source for its totals, its drawing, its timer and its printed sheet.

Times are whole milliseconds and loads whole grams inside the package, so that every sum is exact in every Python.
"""

from dataclasses import dataclass

from calculators.results import Refusal, Refused, quantity

TYPE_CHECKING = False
if TYPE_CHECKING:
    from collections.abc import Callable, Iterator

    from calculators.forms_shapes import Values

    Turn = tuple[str, int]  # which side works ("both" or one), and in which of its sets
    Pause = tuple[str, int]  # what kind of pause, and its milliseconds

MOST_STEPS = 200  # in one block; own rule: nobody follows a longer list
LONGEST_SESSION_MS = 4 * 60 * 60 * 1000  # own rule: beyond it somebody has typed minutes for seconds

FEET: dict[str, tuple[str, ...]] = {"left": ("left",), "right": ("right",), "both": ("left", "right"), "none": ()}
_OTHER = {"left": "right", "right": "left"}


@dataclass(frozen=True)
class Part:
    """One drill inside a set. `repetitions` and `hold_ms`, both for one set, are None where it is timed."""

    drill: str
    duration_ms: int
    repetitions: int | None
    hold_ms: int | None
    load_g: int | None


@dataclass(frozen=True)
class Block:
    """Parts that are done one after another as a set, and how the sets are shared out between the feet."""

    parts: tuple[Part, ...]
    sets: int
    sides: str
    rest_ms: int
    change_ms: int
    first_side: str


@dataclass(frozen=True)
class Step:
    """One stretch of a session. `kind` is work, rest, change (of feet) or gap (between blocks).

    `side` is left, right, both or none. Blocks and sets are counted from 1, sets for each foot by itself. A pause has
    no drill, set, repetitions, hold or load; the gap after a block counts as part of that block.
    """

    kind: str
    side: str
    start_ms: int
    duration_ms: int
    block: int
    drill: str | None = None
    set: int | None = None
    repetitions: int | None = None
    hold_ms: int | None = None
    load_g: int | None = None


def _both(block: Block) -> "list[Turn]":
    return [("both", number) for number in range(1, block.sets + 1)]


def _each(block: Block) -> "list[Turn]":
    return [(side, number) for side in _order(block) for number in range(1, block.sets + 1)]


def _alternate(block: Block) -> "list[Turn]":
    return [(side, number) for number in range(1, block.sets + 1) for side in _order(block)]


def _order(block: Block) -> tuple[str, str]:
    return block.first_side, _OTHER[block.first_side]


def _pause_for_a_row(block: Block, before: "Turn", after: "Turn") -> "Pause":
    same_side = before[0] == after[0]
    return ("rest", block.rest_ms) if same_side else ("change", block.change_ms)


def _pause_for_pairs(block: Block, before: "Turn", after: "Turn") -> "Pause":
    # After a pair there is a rest and a change of feet at once, so the longer of the two is the pause.
    same_pair = before[1] == after[1]
    if same_pair or block.change_ms > block.rest_ms:
        return "change", block.change_ms
    return "rest", block.rest_ms


# How each word of `sides` shares the sets out, and which pause it puts between one turn and the next.
_TURNS: "dict[str, Callable[[Block], list[Turn]]]" = {"both": _both, "each": _each, "alternate": _alternate}
_PAUSES: "dict[str, Callable[[Block, Turn, Turn], Pause]]" = {
    "both": _pause_for_a_row,
    "each": _pause_for_a_row,
    "alternate": _pause_for_pairs,
}


def block_of(values: "Values", first_side: str) -> Block:
    """Turn a block as it was read from the form into one in whole milliseconds and grams."""
    return Block(
        parts=tuple(_part(part) for part in values["parts"]),
        sets=values["sets"],
        sides=values["sides"],
        rest_ms=thousandths(values["rest_s"]),
        change_ms=thousandths(values["change_s"]),
        first_side=values.get("first_side", first_side),
    )


def thousandths(number: float) -> int:
    """Seconds to milliseconds, kilograms to grams, to the nearest whole one."""
    return round(1000 * number)


def _part(values: "Values") -> Part:
    load_g = thousandths(values["load_kg"]) if "load_kg" in values else None
    if "seconds" in values:
        return Part(values["drill"], thousandths(values["seconds"]), None, None, load_g)
    repetitions = values["reps"]
    up_ms, hold_ms, down_ms = (thousandths(values[key]) for key in ("up_s", "hold_s", "down_s"))
    return Part(values["drill"], repetitions * (up_ms + hold_ms + down_ms), repetitions, repetitions * hold_ms, load_g)


def session(blocks: tuple[Block, ...], gap_ms: int, where: str) -> tuple[Step, ...]:
    """Lay out a session as steps, each starting where the one before it ends. Pauses of no length are left out.

    Args:
        blocks: in the order in which they are done.
        gap_ms: pause between two blocks.
        where: path of the blocks in the input, for refusals.

    Raises:
        Refused: too_many_steps, for a block; session_too_long, for the whole.
    """
    steps: list[Step] = []
    now_ms = 0
    for at, block in enumerate(blocks):
        laid = list(_steps(block, at + 1, now_ms))
        if len(laid) > MOST_STEPS:
            raise Refused(Refusal("too_many_steps", f"{where}.{at}", high=quantity(MOST_STEPS, "steps")))
        steps += laid
        now_ms = end_ms(steps)
        if gap_ms and at + 1 < len(blocks):
            steps.append(Step("gap", "none", now_ms, gap_ms, at + 1))
            now_ms += gap_ms
    if now_ms > LONGEST_SESSION_MS:
        raise Refused(Refusal("session_too_long", where, high=quantity(LONGEST_SESSION_MS // 1000, "seconds")))
    return tuple(steps)


def end_ms(steps: "list[Step] | tuple[Step, ...]") -> int:
    """When the last step ends."""
    return steps[-1].start_ms + steps[-1].duration_ms


def _steps(block: Block, number: int, now_ms: int) -> "Iterator[Step]":
    turns = _TURNS[block.sides](block)
    for at, (side, count) in enumerate(turns):
        for part in block.parts:
            yield _work(part, side, now_ms, number, count)
            now_ms += part.duration_ms
        if at + 1 < len(turns):
            kind, pause_ms = _PAUSES[block.sides](block, turns[at], turns[at + 1])
            if pause_ms:
                yield Step(kind, "none", now_ms, pause_ms, number)
                now_ms += pause_ms


def _work(part: Part, side: str, now_ms: int, block: int, count: int) -> Step:
    return Step(
        kind="work",
        side=side,
        start_ms=now_ms,
        duration_ms=part.duration_ms,
        block=block,
        drill=part.drill,
        set=count,
        repetitions=part.repetitions,
        hold_ms=part.hold_ms,
        load_g=part.load_g,
    )
