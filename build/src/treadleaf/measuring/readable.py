"""What was measured, for people to read: numbers in columns, sentences from the words of the site."""

from __future__ import annotations

import textwrap
from collections.abc import Iterator, Mapping, Sequence
from functools import cache
from pathlib import Path
from typing import Any

from treadleaf import places, words

Found = Sequence[tuple[Path, Mapping[str, Any]]]
"""Each picture with the answer to it."""

_WIDTH = 100
_NAME_WIDTH = 37  # the longest name of an index
CAUTIONS = ("not_a_diagnosis", "arch_changed")
_REFUSALS = ("refusals", "picture_refusals", "picture_files")


@cache
def said() -> Mapping[str, Any]:
    """The words of the command line: those of the site."""
    return words.load(places.templates(), "en")


def own() -> Mapping[str, Any]:
    """The words for footprints from photographs."""
    mine: Mapping[str, Any] = said()["footprint_photo"]
    return mine


def refused(refusal: Mapping[str, Any]) -> str:
    """Why there is no answer, and what to do."""
    sentence = next(said()[table][refusal["key"]] for table in _REFUSALS if refusal["key"] in said()[table])
    limits = {name: f"{refusal[name]['value']:,g}" for name in ("low", "high") if name in refusal}
    unit = next((refusal[name]["unit"] for name in limits), "")
    return str(sentence.format_map({**limits, "unit": said()["units"].get(unit, {}).get("short", unit)}))


def value(index: Mapping[str, Any], name: str = "value") -> str:
    """A number of an index with its unit."""
    return str(own()["unit"][index["unit"]].format(value=f"{index[name]:,}"))


def prints(answer: Mapping[str, Any]) -> Sequence[Mapping[str, Any]]:
    """The prints of an answer that was not refused: one, or the left and the right one."""
    result = answer["result"]
    found: Sequence[Mapping[str, Any]] = result.get("prints", [result])
    return found


def text(found: Found) -> str:
    """Everything that was found, picture by picture, and what holds for all of it."""
    rows = [row for path, answer in found for row in (str(path), *_told(answer), "")]
    refused_count = sum(not answer["ok"] for _, answer in found)
    if refused_count < len(found):
        rows += [*_wrapped(own()["ranges"]), *_wrapped(said()["purpose"]["sentence"])]
        rows += [row for key in CAUTIONS for row in _wrapped(said()["cautions"][key]["text"])]
    if refused_count:
        rows.append(own()["count"].format(refused=refused_count, all=len(found)))
    return "\n".join(rows)


def _told(answer: Mapping[str, Any]) -> Iterator[str]:
    if not answer["ok"]:
        yield from _wrapped(own()["not_measured"].format(why=refused(answer["refusal"])), 2)
        return
    for one in prints(answer):
        yield from _print(one)


def _print(one: Mapping[str, Any]) -> Iterator[str]:
    scale = own()["scale"][one["scale"]["from"]].format(mm=one["scale"]["mm_per_px"])
    yield from _wrapped(own()["measured"].format(foot=own()["foot"][one["foot"]], scale=scale), 2)
    for key, index in one["indices"].items():
        if index is None:  # the print has no such index: no arch to lay a ruler over, no big toe
            continue
        spread = own()["row"].format(low=value(index, "low"), high=value(index, "high"))
        largest = index["largest_cause"]
        cause = own()["cause"].format(cause=own()["causes"][largest]) if largest else ""
        yield f"  {own()['indices'][key]:<{_NAME_WIDTH}} {value(index):>11}   {spread:<24} {cause}".rstrip()
    if one["warnings"]:
        yield f"  {own()['think']}"
    for key in one["warnings"]:
        yield from _wrapped(said()["picture_warnings"][key], 4)


def _wrapped(sentence: str, indent: int = 0) -> list[str]:
    blanks = " " * indent
    return textwrap.wrap(sentence, _WIDTH, initial_indent=blanks, subsequent_indent=blanks, break_long_words=False)
