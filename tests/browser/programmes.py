"""Programmes that the tests of that page fill in, invented but for the doses of the trials and of common practice."""

from __future__ import annotations

from typing import Any

from browser.sheets import ProgrammeSheet, answer

ACTION = "programme_volume"

CURLS = {
    "parts": [{"drill": "towel_curl_big_toe", "seconds": 45}, {"drill": "towel_curl_lesser_toes", "seconds": 45}],
    "sets": 4,
    "sides": "alternate",
    "change_s": 5,
}
ARCHES = {"parts": [{"drill": "short_foot", "reps": 10, "hold_s": 5}], "sets": 3, "sides": "both", "rest_s": 30}
RAISES = {
    "parts": [{"drill": "heel_raise_toes_up", "reps": 8, "up_s": 3, "hold_s": 2, "down_s": 3, "load_kg": 4}],
    "sets": 1,
    "sides": "each",
}
ONE = {"days_per_week": 5, "weeks": 6, "blocks": [CURLS]}
TWO = {"days_per_week": 3, "weeks": 8, "block_gap_s": 20, "first_side": "right", "blocks": [CURLS, ARCHES]}
GROWING = {
    "days_per_week": 5,
    "phases": [
        {"weeks": 2, "blocks": [CURLS, ARCHES]},
        {"weeks": 4, "blocks": [CURLS, {**ARCHES, "parts": [{"drill": "short_foot", "reps": 12, "hold_s": 5}]}]},
    ],
}


def growing(phases: int) -> dict[str, Any]:
    """A full programme that grows from phase to phase: three blocks in each."""
    arches = [{**ARCHES, "parts": [{"drill": "short_foot", "reps": 10 + 2 * at, "hold_s": 5}]} for at in range(phases)]
    rows = [{"weeks": 2 + at % 3, "blocks": [CURLS, arch, RAISES]} for at, arch in enumerate(arches)]
    return {"days_per_week": 5, "phases": rows}


def filled(sheet: ProgrammeSheet, given: dict[str, Any]) -> dict[str, Any]:
    """Fill the sheet in, wait for its card, and give back what the calculators say here."""
    sheet.fill(given)
    sheet.press()
    sheet.wait()
    said = answer(ACTION, given)
    assert said["ok"], said
    result: dict[str, Any] = said["result"]
    return result
