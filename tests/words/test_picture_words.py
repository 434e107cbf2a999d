"""What is said about a photograph is as easy to read as a page: short, plain, spelled as British English spells it."""

from __future__ import annotations

import pytest

from treadleaf import places, words
from treadleaf.gate import readability, sentences, spelling, syllables, wording
from treadleaf.gate.words import HARDEST, LONGEST

SAID = words.load(places.templates(), "en")
TABLES = ("picture_refusals", "picture_warnings", "picture_files")


def told(text):
    """The sentences of a text with a number in its gaps."""
    return [sentence for _, sentence in sentences.split(text.format(low=40, high=100))]


@pytest.mark.parametrize("table", TABLES)
def test_the_words_of_a_table_are_easy_on_average(table):
    counted = readability.amounts(sentence for text in SAID[table].values() for sentence in told(text))
    assert counted.grade <= HARDEST


@pytest.mark.parametrize(("table", "key"), [(table, key) for table in TABLES for key in SAID[table]])
def test_what_is_said_is_short_plain_and_spelled_right(table, key):
    for sentence in told(SAID[table][key]):
        assert len(syllables.words(sentence)) <= LONGEST, sentence
        assert list(spelling.unknown(sentence)) == []
        assert list(wording.remarks(sentence)) == []
