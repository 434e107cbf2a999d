"""How hard a text is to read, by two published formulas.

Flesch reading ease and Flesch-Kincaid grade, as in Kincaid and others 1975 (the formulas as reproduced in
textstat's and other public test suites; the report itself was not read). Readability formulas see word and sentence
length only: test a page with people too.
"""

import math
from collections.abc import Iterable
from dataclasses import dataclass

from treadleaf.gate import syllables


@dataclass(frozen=True)
class Amounts:
    """Words, sentences and syllables of a text, and the words whose syllables are estimated."""

    words: int
    sentences: int
    syllables: int
    estimated: tuple[str, ...] = ()

    @property
    def grade(self) -> float:
        """Flesch-Kincaid grade: the American school year in which the text should be readable; nan without a word."""
        if not self.words:
            return math.nan
        return 0.39 * self.words / self.sentences + 11.8 * self.syllables / self.words - 15.59

    @property
    def words_a_sentence(self) -> float:
        """The mean length of a sentence in words; nan without a sentence."""
        return self.words / self.sentences if self.sentences else math.nan

    @property
    def ease(self) -> float:
        """Flesch reading ease: 100 is very easy, 0 very hard; nan without a word."""
        if not self.words:
            return math.nan
        return 206.835 - 1.015 * self.words / self.sentences - 84.6 * self.syllables / self.words


def amounts(sentences: Iterable[str]) -> Amounts:
    """Count the words and syllables of sentences. A sentence without a word counts for nothing."""
    rows = [found for sentence in sentences if (found := syllables.words(sentence))]
    counted = [(word, syllables.count(word)) for row in rows for word in row]
    estimated = dict.fromkeys(word.lower() for word, number in counted if number.estimated)
    return Amounts(len(counted), len(rows), sum(number.syllables for _, number in counted), tuple(estimated))
