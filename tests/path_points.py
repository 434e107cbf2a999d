"""Points of a path of a drawing, for tests."""

from __future__ import annotations

import re

_STEPS = re.compile(r"[Mclz]|-?(?:\d+\.?\d*|\.\d+)")


def strokes(data: str) -> list[list[tuple[float, float]]]:
    """Every point of a path, hulls of curves included, as a browser would find them."""
    found, numbers, letter, here = [], [], "", (0.0, 0.0)
    for word in _STEPS.findall(data):
        if word.isalpha():
            letter = word
            continue
        numbers.append(float(word))
        if len(numbers) < {"M": 2, "l": 2, "c": 6}[letter]:
            continue
        pairs = list(zip(numbers[::2], numbers[1::2], strict=True))
        numbers = []
        if letter == "M":
            found.append(pairs)
        else:
            pairs = [(here[0] + x, here[1] + y) for x, y in pairs]
            found[-1] += pairs
        here = pairs[-1]
    return found
