"""What a pose says, as keys of ``words``: the text alternative follows the numbers that the picture is drawn from."""

from __future__ import annotations

from collections.abc import Sequence

_Steps = Sequence[tuple[float, str]]
"""From the lowest: the value up to which a word holds, and the word's key."""

_CONTACT: _Steps = ((0.0, "gap"), (0.5, "narrow"), (float("inf"), "wide"))
_TILT: _Steps = ((-2.5, "tilt_in"), (2.5, "tilt_none"), (float("inf"), "tilt_out"))
_ANKLE: _Steps = ((-10.0, "foot_down"), (9.0, "foot_level"), (float("inf"), "foot_up"))
_TOES: _Steps = ((-20.0, "toes_curled"), (8.0, "toes_flat"), (float("inf"), "toes_up"))
_ARCH: _Steps = ((4.5, "arch_low"), (7.5, "arch_middle"), (float("inf"), "arch_high"))
_HEEL: _Steps = ((3.0, "heel_down"), (float("inf"), "heel_up"))
_TICKS: _Steps = ((0.0, "ticks_none"), (0.999, "ticks_some"), (float("inf"), "ticks_all"))


def contact(share: float) -> str:
    """Of a print: how much of its middle touched."""
    return _word(_CONTACT, share)


def tilt(degrees: float) -> str:
    """Of a heel from behind."""
    return _word(_TILT, degrees)


def ankle(degrees: float) -> str:
    return _word(_ANKLE, degrees)


def toes(bends: Sequence[float]) -> str:
    """Of a toe: its bends added, a curl further on counting as a curl."""
    return _word(_TOES, min(bends) if min(bends) < -20 else sum(bends))


def arch(height: float) -> str:
    return _word(_ARCH, height)


def heel(degrees_up: float) -> str:
    return _word(_HEEL, degrees_up)


def ticks(share: float) -> str:
    """Of a row of boxes: how much of it is ticked."""
    return _word(_TICKS, share)


def _word(steps: _Steps, value: float) -> str:
    return next(word for limit, word in steps if value <= limit)
