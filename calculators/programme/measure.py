"""From blocks of exercises to a result: the session, its timeline, the weeks and the whole programme."""

from calculators.programme.phases import Phase, weeks_of
from calculators.programme.timeline import Step, block_of, session, thousandths
from calculators.programme.volume import amounts_of, by_drill, plain, plus, shown, times
from calculators.results import Refusal, Refused, quantity

TYPE_CHECKING = False
if TYPE_CHECKING:
    from calculators.forms_shapes import Values
    from calculators.programme.volume import Amounts

LONGEST_PROGRAMME_WEEKS = 52  # the limit of the form for `weeks`, for phases together
MOST_STEPS_IN_ALL = 10_000  # own rule: keeps an answer within a few megabytes, far above any real programme


def programme_volume(values: "dict[str, Values]") -> dict[str, object]:
    """Add up a programme.

    Args:
        values: the one group of the form `programme_volume`, already read and checked, under the key "".

    Returns:
        With blocks: `session` (totals and `drills`), its `timeline`, and `phases` None. With phases: `phases`, each
        with its weeks, session and timeline, and the other two None. Always `weeks`, one object a week, and `total`.

    Raises:
        Refused: too_many_steps, session_too_long or too_many_weeks.
    """
    given = values[""]
    days_per_week = given["days_per_week"]
    numbered = "phases" in given
    phases = tuple(_phases(given)) if numbered else (_phase(given, given, "blocks"),)
    _refuse_too_much(phases)
    sessions = [_session(phase.steps) for phase in phases]
    return {
        "session": None if numbered else sessions[0],
        "timeline": None if numbered else _timeline(phases[0].steps),
        "phases": [
            {"weeks": quantity(phase.weeks, "weeks"), "session": held, "timeline": _timeline(phase.steps)}
            for phase, held in zip(phases, sessions, strict=True)
        ]
        if numbered
        else None,
        "weeks": weeks_of(phases, days_per_week, numbered),
        "total": _total(phases, days_per_week),
    }


def _phases(given: "Values") -> list[Phase]:
    return [_phase(given, phase, f"phases.{at}.blocks") for at, phase in enumerate(given["phases"])]


def _phase(general: "Values", given: "Values", where: str) -> Phase:
    blocks = tuple(block_of(block, general["first_side"]) for block in given["blocks"])
    return Phase(given["weeks"], session(blocks, thousandths(general["block_gap_s"]), where))


def _refuse_too_much(phases: tuple[Phase, ...]) -> None:
    weeks = steps = 0
    for phase in phases:
        weeks += phase.weeks
        steps += len(phase.steps)
    if weeks > LONGEST_PROGRAMME_WEEKS:
        raise Refused(Refusal("too_many_weeks", "phases", high=quantity(LONGEST_PROGRAMME_WEEKS, "weeks")))
    if steps > MOST_STEPS_IN_ALL:
        raise Refused(Refusal("too_many_steps", "phases", high=quantity(MOST_STEPS_IN_ALL, "steps")))


def _session(steps: tuple[Step, ...]) -> dict[str, object]:
    return plain(amounts_of(steps)) | {"drills": {drill: plain(own) for drill, own in by_drill(steps).items()}}


def _total(phases: tuple[Phase, ...], days_per_week: int) -> dict[str, object]:
    weeks = 0
    total = amounts_of(())
    drills: dict[str, Amounts] = {}
    for phase in phases:
        weeks += phase.weeks
        count = phase.weeks * days_per_week
        total = plus(total, times(amounts_of(phase.steps), count))
        for drill, own in by_drill(phase.steps).items():
            drills[drill] = plus(drills.get(drill, amounts_of(())), times(own, count))
    return {
        "weeks": quantity(weeks, "weeks"),
        "sessions": quantity(weeks * days_per_week, "sessions"),
        **plain(total),
        "drills": {drill: plain(own) for drill, own in drills.items()},
    }


def _timeline(steps: tuple[Step, ...]) -> list[dict[str, object]]:
    return [
        {
            "kind": step.kind,
            "side": step.side,
            "drill": step.drill,
            "block": quantity(step.block, "block"),
            "set": None if step.set is None else quantity(step.set, "set"),
            "start_s": shown("duration_s", step.start_ms),
            "duration_s": shown("duration_s", step.duration_ms),
            "repetitions": shown("repetitions", step.repetitions),
            "hold_s": shown("hold_s", step.hold_ms),
            "load_kg": shown("volume_load_kg", step.load_g),
        }
        for step in steps
    ]
