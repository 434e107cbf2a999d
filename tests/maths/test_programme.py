"""Programme volume: known answers, and what must hold for every programme."""

import tomllib
from pathlib import Path

import pytest
from hypothesis import assume, given, settings
from hypothesis import strategies as st
from maths.door import Door, at

from calculators.programme.timeline import LONGEST_SESSION_MS, MOST_STEPS

CASES = tomllib.loads((Path(__file__).parents[1] / "cases" / "programme.toml").read_text("utf-8"))["case"]

DOOR = Door("programme_volume")
ask, result = DOOR.ask, DOOR.result

steady = settings(derandomize=True, deadline=None, max_examples=100)


drills = st.sampled_from(["short_foot", "towel_curl", "x", "a_drill_of_ones_own_9"])
halves = st.integers(0, 12).map(lambda number: number / 2)
timed = st.fixed_dictionaries({"drill": drills, "seconds": st.integers(2, 240).map(lambda number: number / 2)})
counted = st.fixed_dictionaries(
    {"drill": drills, "reps": st.integers(1, 20), "up_s": st.just(1), "hold_s": halves, "down_s": halves},
    optional={"load_kg": st.integers(0, 400).map(lambda number: number / 10)},
)
blocks = st.fixed_dictionaries(
    {
        "parts": st.lists(timed | counted, min_size=1, max_size=3),
        "sets": st.integers(1, 5),
        "sides": st.sampled_from(["both", "each", "alternate"]),
        "rest_s": halves,
        "change_s": halves,
    },
    optional={"first_side": st.sampled_from(["left", "right"])},
)
programmes = st.fixed_dictionaries(
    {
        "blocks": st.lists(blocks, min_size=1, max_size=3),
        "days_per_week": st.integers(1, 7),
        "weeks": st.integers(1, 4),
        "block_gap_s": halves,
    }
)


@st.composite
def short_programmes(draw):
    """Programmes that are not refused for their length."""
    programme = draw(programmes)
    assume(ask(programme)["ok"])
    return programme


@pytest.mark.parametrize("case", CASES, ids=[case["name"] for case in CASES])
def test_a_known_programme_gives_its_known_answer(case):
    found = result(case["input"])
    for wanted in case["expect"]:
        value = at(found, wanted["at"])
        if wanted.get("is_null"):
            assert value is None, wanted
        else:
            assert value == wanted["is"], (wanted, value)


@steady
@given(short_programmes())
def test_the_steps_of_a_session_touch_and_fill_it(programme):
    found = result(programme)
    now = 0
    for step in found["timeline"]:
        assert step["start_s"]["value"] == now
        assert step["duration_s"]["value"] > 0
        now = step["start_s"]["value"] + step["duration_s"]["value"]
    assert found["session"]["duration_s"]["value"] == now
    assert found["timeline"][0]["kind"] == found["timeline"][-1]["kind"] == "work"


@steady
@given(short_programmes())
def test_every_total_can_be_added_up_from_the_timeline(programme):
    found = result(programme)
    for foot in ("left", "right"):
        own = [step for step in found["timeline"] if step["side"] in (foot, "both")]
        counted_steps = [step for step in own if step["repetitions"]]
        assert found["session"]["working_s"][foot]["value"] == sum(step["duration_s"]["value"] for step in own)
        if counted_steps:
            repetitions = sum(step["repetitions"]["value"] for step in counted_steps)
            assert found["session"]["repetitions"][foot]["value"] == repetitions
            assert found["session"]["hold_s"][foot]["value"] == sum(step["hold_s"]["value"] for step in counted_steps)
        else:
            assert found["session"]["repetitions"][foot] is None
            assert found["session"]["hold_s"][foot] is None
    drills_time = sum(drill["duration_s"]["value"] for drill in found["session"]["drills"].values())
    assert drills_time == sum(step["duration_s"]["value"] for step in found["timeline"] if step["kind"] == "work")


@steady
@given(short_programmes())
def test_both_feet_do_the_same_work(programme):
    session = result(programme)["session"]
    for measure in ("working_s", "hold_s", "repetitions"):
        assert session[measure]["left"] == session[measure]["right"]


@steady
@given(short_programmes(), halves, halves, halves)
def test_pauses_change_no_work(programme, rest, change, gap):
    other = programme | {
        "block_gap_s": gap,
        "blocks": [block | {"rest_s": rest, "change_s": change} for block in programme["blocks"]],
    }
    answer = ask(other)
    assume(answer["ok"])
    one, two = result(programme)["session"], answer["result"]["session"]
    for measure in ("working_s", "hold_s", "repetitions", "volume_load_kg", "drills"):
        assert one[measure] == two[measure]


@steady
@given(short_programmes(), st.sampled_from(["left", "right"]))
def test_the_foot_that_goes_first_changes_only_the_order(programme, side):
    found = result(programme)["session"]
    other = programme | {"blocks": [block | {"first_side": side} for block in programme["blocks"]]}
    assert result(other)["session"] == found


@steady
@given(short_programmes())
def test_weeks_add_up_to_the_total(programme):
    found = result(programme)
    assert len(found["weeks"]) == programme["weeks"]
    assert found["total"]["sessions"]["value"] == programme["weeks"] * programme["days_per_week"]
    seconds = sum(week["duration_s"]["value"] for week in found["weeks"])
    assert found["total"]["duration_s"]["value"] == seconds
    for week in found["weeks"]:
        per_session = found["session"]["working_s"]["left"]["value"]
        assert week["working_s"]["left"]["value"] == per_session * programme["days_per_week"]
        assert week["sessions"]["value"] == programme["days_per_week"]


@steady
@given(short_programmes())
def test_one_phase_is_the_same_programme(programme):
    plain = result(programme)
    phased = {key: value for key, value in programme.items() if key not in ("blocks", "weeks")}
    phased["phases"] = [{"weeks": programme["weeks"], "blocks": programme["blocks"]}]
    found = result(phased)
    assert found["total"] == plain["total"]
    assert found["phases"] == [
        {
            "weeks": {"value": programme["weeks"], "unit": "weeks"},
            "session": plain["session"],
            "timeline": plain["timeline"],
        }
    ]
    assert [week | {"phase": None} for week in found["weeks"]] == plain["weeks"]


@steady
@given(short_programmes())
def test_every_number_in_a_result_stands_with_its_unit_and_every_text_is_a_key(programme):
    def look(data, owner=None, key=""):
        if isinstance(data, dict):
            for name, value in data.items():
                look(value, data, name)
        elif isinstance(data, list):
            for value in data:
                look(value, owner, key)
        elif isinstance(data, (int, float)) and not isinstance(data, bool):
            assert key == "value", key
            assert owner.keys() == {"value", "unit"}
        elif isinstance(data, str):
            assert data.replace("_", "").isalnum(), data
            assert data == data.lower()
        else:
            assert data is None

    look(result(programme))


def block(**changes):
    return {"parts": [{"drill": "x", "seconds": 10}], "sets": 1, "sides": "both"} | changes


def weekly(**changes):
    return {"days_per_week": 1, "weeks": 1} | changes


def test_exactly_as_many_steps_as_allowed_and_one_more():
    fine = weekly(blocks=[block(sets=100, rest_s=1, parts=[{"drill": "x", "seconds": 1}] * 1)])
    assert len(result(fine)["timeline"]) == 199
    assert len(result(weekly(blocks=[block(sets=MOST_STEPS)]))["timeline"]) == MOST_STEPS
    refusal = ask(weekly(blocks=[block(), block(sets=101, rest_s=1)]))["refusal"]
    assert (refusal["key"], refusal["where"], refusal["high"]) == (
        "too_many_steps",
        "blocks.1",
        {"value": MOST_STEPS, "unit": "steps"},
    )


def test_exactly_four_hours_and_a_second_more():
    hours = LONGEST_SESSION_MS // 1000
    assert result(weekly(blocks=[block(parts=[{"drill": "x", "seconds": hours}])]))["session"]["duration_s"] == {
        "value": hours,
        "unit": "seconds",
    }
    over = [block(parts=[{"drill": "x", "seconds": hours}]), block(parts=[{"drill": "x", "seconds": 1}])]
    refusal = ask(weekly(blocks=over))["refusal"]
    assert (refusal["key"], refusal["where"]) == ("session_too_long", "blocks")
    phased = {"days_per_week": 1, "phases": [{"weeks": 1, "blocks": [block()]}, {"weeks": 1, "blocks": over}]}
    assert ask(phased)["refusal"]["where"] == "phases.1.blocks"


def test_a_year_of_phases_is_the_longest():
    def year(weeks):
        return {
            "days_per_week": 7,
            "phases": [{"weeks": 26, "blocks": [block()]}, {"weeks": weeks, "blocks": [block()]}],
        }

    assert len(result(year(26))["weeks"]) == 52
    refusal = ask(year(27))["refusal"]
    assert (refusal["key"], refusal["high"]) == ("too_many_weeks", {"value": 52, "unit": "weeks"})


def test_steps_are_limited_over_all_phases_too():
    long = {"weeks": 1, "blocks": [block(sets=200, parts=[{"drill": "x", "seconds": 1}])] * 20}
    answer = ask({"days_per_week": 1, "phases": [long, long]})
    assert answer["ok"]
    refusal = ask({"days_per_week": 1, "phases": [long, long, long]})["refusal"]
    assert (refusal["key"], refusal["where"]) == ("too_many_steps", "phases")


def test_a_tenth_more_every_week_for_twelve_weeks_is_three_times_as_much():
    # Computed: 1.1 ^ 12 = 3.138. Growth by a small part is not small.
    phases = [
        {"weeks": 1, "blocks": [block(parts=[{"drill": "x", "seconds": round(100 * 1.1**week, 3)}])]}
        for week in range(13)
    ]
    weeks = result({"days_per_week": 1, "phases": phases})["weeks"]
    assert {week["change"]["working_s"]["left"]["percent"]["value"] for week in weeks[1:]} == {10.0}
    assert weeks[12]["duration_s"]["value"] / weeks[0]["duration_s"]["value"] == pytest.approx(3.138, abs=0.0005)


def test_tenths_of_a_second_add_up_exactly():
    found = result(weekly(blocks=[block(sets=30, parts=[{"drill": "x", "reps": 1, "up_s": 0.1, "hold_s": 0.2}])]))
    assert found["session"]["duration_s"]["value"] == 9
    assert found["session"]["hold_s"]["left"]["value"] == 6
    assert found["timeline"][3]["start_s"]["value"] == 0.9


@pytest.mark.parametrize(
    ("sides", "sets"),
    [("both", ["both"] * 2), ("each", ["left"] * 2 + ["right"] * 2), ("alternate", ["left", "right"] * 2)],
)
def test_the_feet_work_in_their_order(sides, sets):
    steps = result(weekly(blocks=[block(sides=sides, sets=2, rest_s=30, change_s=5)]))["timeline"]
    assert [step["side"] for step in steps if step["kind"] == "work"] == sets


def test_the_pause_after_a_pair_is_named_for_the_longer_one():
    def kinds(**pauses):
        steps = result(weekly(blocks=[block(sides="alternate", sets=2, **pauses)]))["timeline"]
        return [(step["kind"], step["duration_s"]["value"]) for step in steps if step["kind"] != "work"]

    assert kinds(rest_s=30, change_s=5) == [("change", 5), ("rest", 30), ("change", 5)]
    assert kinds(rest_s=0, change_s=5) == [("change", 5), ("change", 5), ("change", 5)]
    assert kinds(rest_s=5, change_s=5) == [("change", 5), ("rest", 5), ("change", 5)]
    assert kinds(rest_s=30) == [("rest", 30)]
    assert kinds() == []
