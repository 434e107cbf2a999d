"""What the calculators say to one picture of a footprint, in that picture's own pixels; and to many, on every core."""

from __future__ import annotations

import json
import math
import os
from collections.abc import Iterator, Mapping, Sequence
from concurrent.futures import Future, ProcessPoolExecutor
from concurrent.futures.process import BrokenProcessPool
from multiprocessing import get_context
from pathlib import Path
from typing import Any

from calculators import api
from calculators.results import Refusal, Refused
from treadleaf.measuring import decode
from treadleaf.measuring.frame import Frame

ACTION = "footprint_photo"
# What a picture's place has in an answer, and in what is asked; each is points, in lists of any depth.
_PLACES = ("corners", "toe_line", "outline", "toes")
_ASKED_PLACES = ("corners", "axis", "toe_line")
_POWERS = {"px": 1, "px2": 2}
"""Units that change with the size of a pixel."""
_MOST_WORKERS = 61  # what Windows can wait for


def measure(path: Path, asked: Mapping[str, Any]) -> dict[str, Any]:
    """The calculators' answer to one picture: ``{"ok": True, "result"}`` or ``{"ok": False, "refusal"}``.

    ``asked`` are fields of the form `footprint_photo` without the picture's size; its points, and those of the answer,
    are places in the picture as it is shown. Depends on the picture and on what is asked alone.
    """
    try:
        picture = decode.picture(path)
    except Refused as refused:
        return {"ok": False, "refusal": refused.refusal.plain()}
    except MemoryError:
        return _ended()
    frame = picture.frame
    places = {key: frame.to_measured(asked[key]) for key in _ASKED_PLACES if key in asked}
    given = {**asked, **places, "width": picture.width, "height": picture.height}
    answer = json.loads(api.call(json.dumps({"schema": api.SCHEMA, "action": ACTION, "input": given}), picture.pixels))
    if answer["ok"]:
        return {"ok": True, "result": _in_own_pixels(answer["result"], frame)}
    return {"ok": False, "refusal": _refusal_in_own_pixels(answer["refusal"], frame)}


def measure_all(paths: Sequence[Path], asked: Mapping[str, Any], workers: int) -> Iterator[dict[str, Any]]:
    """The answers to many pictures in their order, each as soon as it and those before it are there.

    With one worker all happens in this process. Else a worker that the system stops takes the others with it; each
    picture that has no answer then is measured in a process of its own, and only the one that ends that too is refused.
    """
    if workers == 1:
        yield from (measure(path, asked) for path in paths)
        return
    # Started afresh, not forked: the same on every system, and nothing of this process is copied.
    with ProcessPoolExecutor(min(workers, _MOST_WORKERS), get_context("spawn")) as pool:
        waiting = [pool.submit(measure, path, asked) for path in paths]
        try:
            for path, answer in zip(paths, waiting, strict=True):
                yield _answer(answer, path, asked)
        finally:
            # Whoever stops listening waits for no picture that has not begun.
            pool.shutdown(wait=False, cancel_futures=True)


def workers(pictures: int) -> int:
    """One for each core that this process may use, and no more than there are pictures."""
    may = len(os.sched_getaffinity(0)) if hasattr(os, "sched_getaffinity") else os.cpu_count() or 1
    return max(1, min(pictures, may))


def _answer(answer: Future[dict[str, Any]], path: Path, asked: Mapping[str, Any]) -> dict[str, Any]:
    try:
        return answer.result()
    except BrokenProcessPool:
        with ProcessPoolExecutor(1, get_context("spawn")) as alone:
            try:
                return alone.submit(measure, path, asked).result()
            except BrokenProcessPool:
                return _ended()


def _ended() -> dict[str, Any]:
    return {"ok": False, "refusal": Refusal("measuring_ended").plain()}


def _in_own_pixels(result: Mapping[str, Any], frame: Frame) -> dict[str, Any]:
    if "prints" in result:
        return {"prints": [_in_own_pixels(one, frame) for one in result["prints"]]}
    found = {**result, **{key: frame.to_own(result[key]) for key in _PLACES}}
    axis, scale = result["axis"], result["scale"]
    found["axis"] = {**axis, "heel": frame.to_own(axis["heel"]), "second_toe": frame.to_own(axis["second_toe"])}
    found["lines"] = {name: frame.to_own(line) for name, line in result["lines"].items()}
    if scale["mm_per_px"] is not None:
        found["scale"] = {**scale, "mm_per_px": _short(scale["mm_per_px"] / frame.each)}
    found["areas"] = _sized(result["areas"], frame)
    found["indices"] = {key: index and _sized(index, frame) for key, index in result["indices"].items()}
    return found


def _refusal_in_own_pixels(refusal: Mapping[str, Any], frame: Frame) -> dict[str, Any]:
    """A limit in pixels is one of the picture as it was taken: nobody sees the smaller one."""
    return {
        key: {**said, "value": math.ceil(said["value"] * frame.each)} if _counts_pixels(said) else said
        for key, said in refusal.items()
    }


def _counts_pixels(said: Any) -> bool:
    return isinstance(said, dict) and said.get("unit") in ("px", "pixels")


def _sized(numbers: Mapping[str, Any], frame: Frame) -> dict[str, Any]:
    """Numbers that stand beside a unit, larger or smaller where that is pixels."""
    power = _POWERS.get(numbers.get("unit", ""))
    if power is None:
        return dict(numbers)
    factor = frame.each**power
    return {key: _short(said * factor) if isinstance(said, (int, float)) else said for key, said in numbers.items()}


def _short(number: float) -> float:
    """Six digits: more than any of them holds."""
    return float(f"{number:.6g}")
