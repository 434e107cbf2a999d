"""How long one photograph takes at the calculators' door, and how much of that its ranges are.

The same file runs in CPython and in the browser's Python: standard library only. One pass is the door's whole answer,
request and result in JSON included, without what moving threshold, toe line and axis takes; the indices themselves are
measured once more where the ranges are made, and count for the one pass.
"""

import json
import time

from calculators import api
from calculators.footprint import photo_indices, photograph


def timed(text, pixels):
    """Ask about one picture; answer with a JSON object of `whole_s`, `one_s` and the door's own `answer`."""
    made_ranges, spent = photograph.ranges, []

    def ranges(found, flat):
        began = time.perf_counter()
        photo_indices.measured(photo_indices.shape(found.placed, found.shape.big_toe))
        once = time.perf_counter()
        known = made_ranges(found, flat)
        after = time.perf_counter()
        spent.append((once - began, after - once))
        return known

    photograph.ranges = ranges
    photograph._LAST.clear()  # a picture that was asked about before would be answered from what was found then
    try:
        began = time.perf_counter()
        answer = api.call(text, pixels)
        whole = time.perf_counter() - began
    finally:
        photograph.ranges = made_ranges
    once, moved = ([one[at] for one in spent] for at in (0, 1))
    return json.dumps(
        {
            "whole_s": whole - sum(once),
            "one_s": whole - sum(moved),
            "answer": json.loads(answer),
        }
    )
