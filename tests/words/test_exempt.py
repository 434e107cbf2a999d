"""What the rules on words, claims and numbers pass over on purpose, and what they do not."""

from __future__ import annotations

from types import SimpleNamespace

import pytest

from treadleaf.gate import evidence, reading, spelling, wording
from treadleaf.gate.facts import Facts

FACTS = Facts((), (), (), (), {}, table_numbers={"table_2003": {("percent", 45.0), ("sets", 3.0)}})


def rules(text: str) -> list[str]:
    return [found.rule for found in evidence.findings(SimpleNamespace(reading=reading.read(text)), FACTS)]


@pytest.mark.parametrize(
    "text",
    [
        "Are flat feet common?",
        "Stop if it causes pain.",
        "Ask when your foot often hurts.",
        "> Flat feet are common.",
        "## Nobody knows {#unknown}\n\nHow common it is.",
        "It is an uncommon word.",
        "Flat feet are common [common practice].",
        "Hold the phone as you always do.",
    ],
)
def test_this_claims_nothing(text):
    assert rules(text) == []


@pytest.mark.parametrize(
    "text",
    [
        "Flat feet are common.",
        "It causes pain.",
        "A study says so.",
        "- Most people can.",
        "1. It is rarely so.",
        "It causes pain if you run.",
        "It may lower your risk.",
        "It is so in 1 in 5.",
    ],
)
def test_this_is_a_claim(text):
    assert rules(text) == ["claim"]


@pytest.mark.parametrize(
    "text",
    [
        "Count to 5.",
        "Make 3 prints on 1 day.",
        "Pain reaches 4 on a scale from 0 to 10.",
        "A child of 6.",
        "Revised in November 2026.",
        "Say that a page shows 6 degrees.",
        "Suppose it is 30 mm wide.",
        "Type `5 mm` there.",
        "The middle grew by 12 % [some: table_2003].",
        "At most 10 % more a week [common practice].",
        "> Hold it for 5 seconds.",
    ],
)
def test_this_number_may_be_typed(text):
    assert rules(text) == []


@pytest.mark.parametrize(
    "text",
    [
        "Hold it for 5 seconds.",
        "Hold it for 5 to 10 s.",
        "Do 3 sets.",
        "A 5-minute walk.",
        "It tilts by 4 degrees.",
        "It tilts by 4°.",
        "Half of them, or 45 % [some: table_2003].",
        "Do 2-3 sets [weak: table_2003].",
        "On 3 days a week.",
        "It is 9.5 mm.",
        "Stand 2 m away.",
        "Do it 3 × 10 times.",
    ],
)
def test_this_number_belongs_to_a_table(text):
    assert rules(text) == ["typed-number"]


@pytest.mark.parametrize("text", ["Feet differ (Smith 2001).", "Smith and others 2001 saw it.", "See Smith, 2001."])
def test_this_names_a_source_by_hand(text):
    assert rules(text) == ["typed-citation"]


@pytest.mark.parametrize("text", ["In May 2026.", "By June, 2026.", "It was in 2001."])
def test_a_date_names_no_source(text):
    assert rules(text) == []


@pytest.mark.parametrize(
    ("text", "words"),
    [
        ("Lift the heel.", []),
        ("Ask Doctor Oakhollow in Marrowby.", []),
        ("Marrowby is a place.", ["Marrowby"]),
        ("The client's heels, the clients' shoes.", []),
        ("Practise it, organise it, in colour.", []),
        ("Practice it? Organize it, in color.", ["Organize", "color"]),
        ("See clinic.toml, desk@example.org and https://www.example.org/xyzzy.", []),
        ("An NHS page.", []),
        ("re-test and self-timer", []),
        ("The hallux and the navicular.", []),
        ("It wobels.", ["wobels"]),
        ("He says: “Lfit it.”", ["Lfit"]),
    ],
)
def test_spelling_is_british_and_passes_names_over(text, words):
    assert list(spelling.unknown(text)) == words


@pytest.mark.parametrize("text", ["One\ntwo three.\nIt is common\nto do so."])
def test_a_claim_in_the_middle_of_a_paragraph_is_told_on_its_own_line(text):
    page = SimpleNamespace(reading=reading.read(text, first_line=20))
    assert [found.line for found in evidence.findings(page, FACTS)] == [23]


@pytest.mark.parametrize("text", ["a healthy foot", "the shelf is fixed", "health", "prefix", "normally"])
def test_words_that_only_look_like_promises_pass(text):
    assert list(wording.remarks(text)) == []


@pytest.mark.parametrize(
    "word", ["diagnose", "cures", "healing", "guaranteed", "abnormal", "deformity", "normal", "proven"]
)
def test_words_that_promise_or_judge_are_found(word):
    assert [one.word for one in wording.remarks(f"It is {word} here.")] == [word]
