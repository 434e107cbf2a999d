"""Syllables and grades: words counted by hand, and the published worked examples of the formulas."""

from __future__ import annotations

import tomllib
from pathlib import Path

import pytest

from treadleaf.gate import readability, spelling, syllables

HERE = Path(__file__).parent
COUNTED = tomllib.loads((HERE / "syllables.toml").read_text("utf-8"))["counted"]
EXAMPLES = tomllib.loads((HERE / "readability.toml").read_text("utf-8"))


def test_sixty_words_are_counted_by_hand():
    assert len(COUNTED) == 60


@pytest.mark.parametrize(("word", "number"), COUNTED.items())
def test_a_word_has_as_many_syllables_as_a_person_counts(word, number):
    assert syllables.count(word) == syllables.Counted(number)


@pytest.mark.parametrize(("word", "number"), syllables.trade_words().items())
def test_a_trade_word_is_in_small_letters_and_not_in_both_lists(word, number):
    assert word == word.lower()
    assert number > 0
    assert not (word in syllables._dictionary() and word in spelling._list()), "the word needs no row"
    assert syllables.count(word).estimated is False


@pytest.mark.parametrize(
    ("written", "number"),
    [
        ("0", 2),
        ("7", 2),
        ("11", 3),
        ("17", 3),
        ("20", 2),
        ("75", 4),
        ("95", 3),
        ("100", 3),
        ("309", 4),
        ("1000", 3),
        ("9.5", 3),
        ("2,800", 6),
        ("%", 2),
        ("°", 2),
        ("re-test", 2),
        ("client's", 2),
        ("clients'", 2),
        ("don’t", 1),
        ("Towel", 2),
    ],
)
def test_numbers_signs_and_joined_words_are_read_aloud(written, number):
    assert syllables.words(written) == [written.rstrip("'")]
    assert syllables.count(written) == syllables.Counted(number)


def test_a_word_in_no_list_is_estimated_and_named():
    counted = readability.amounts(["Zebroid wibblesome feet.", "Wibblesome, twice."])
    assert counted.estimated == ("zebroid", "wibblesome")
    assert readability.amounts(["Feet."]).estimated == ()


@pytest.mark.parametrize("example", EXAMPLES["counts"], ids=lambda row: row["name"])
def test_the_formulas_give_the_published_values_from_counts(example):
    made = readability.Amounts(example["words"], example["sentences"], example["syllables"])
    assert made.grade == pytest.approx(example["grade"], abs=example["within"])
    assert made.ease == pytest.approx(example["ease"], abs=example["within"])
    assert example["source"]


@pytest.mark.parametrize("example", EXAMPLES["texts"], ids=lambda row: row["text"])
def test_the_published_texts_come_out_within_one_syllable(example):
    made = readability.amounts([example["text"]])
    assert made.words == example["words"]
    assert abs(made.syllables - example["syllables"]) <= 1
    assert made.grade == pytest.approx(example["grade"], abs=example["within"])


def test_the_licences_stand_beside_the_lists():
    from treadleaf.gate.rules import DATA

    for name, holder in (("syllables", "Carnegie Mellon University"), ("spelling", "Kevin Atkinson")):
        assert (DATA / f"{name}.txt.gz").is_file()
        assert holder in (DATA / f"{name}.LICENSE.txt").read_text("utf-8")
