"""Rules on words: spelling, banned words, the length of sentences, how hard the page is to read."""

from collections.abc import Iterable, Iterator

from treadleaf.gate import readability, spelling, syllables, wording
from treadleaf.gate.draft import Draft
from treadleaf.gate.facts import Facts
from treadleaf.gate.finding import Finding
from treadleaf.gate.readability import Amounts
from treadleaf.gate.reading import Reading, Sentence
from treadleaf.kinds import Front

LONGEST = 20  # words; nhsuk-service-manual, how-we-write: "sentences 20 words or fewer" in our words
HARDEST = 6.0  # US school grade on average over a page; AMA and NIH as quoted by Eltorai 2014
FEWEST = 50  # words; a formula made for long texts says nothing about fewer (common practice, our own line)
_FRONT = ("title", "short", "summary")


def findings(page: Draft, facts: Facts) -> Iterator[Finding]:
    """Everything that the words of a page should not be: those of its text, its headings and its front matter."""
    told: set[str] = set()
    for key, line, text in _texts(page):
        if text in facts.fixed_sentences:
            continue
        for word in spelling.unknown(text):
            if word not in told:
                yield Finding("spelling", line, word, key=key)
            told.add(word)
        for remark in wording.remarks(text):
            yield Finding("banned-word", line, remark.word, remark.why, remark.instead, key)
    for sentence in prose(page.reading, facts.fixed_sentences):
        length = len(syllables.words(sentence.text))
        if length > LONGEST:
            what = f"This sentence has {length} words; {LONGEST} are the most."
            yield Finding("sentence-length", sentence.line, sentence.text, what)
    yield from _hard(page, facts)


def _texts(page: Draft) -> Iterator[tuple[str, int | None, str]]:
    for key in _FRONT:
        yield key, page.lines.get(key), str(getattr(page.front, key))
    for heading in page.reading.headings:
        yield "", heading.line, heading.text
    for sentence in page.reading.sentences:
        yield "", sentence.line, sentence.text


def _hard(page: Draft, facts: Facts) -> Iterator[Finding]:
    counted = measured(page.reading, page.front, facts.fixed_sentences)
    if counted.words >= FEWEST and counted.grade > HARDEST:
        what = f"The page reads at school grade {counted.grade:.1f}; {HARDEST:.0f} is the highest."
        yield Finding("readability", page.first_line + 1, what=what)


def prose(reading: Reading, fixed: Iterable[str] = ()) -> list[Sentence]:
    """The sentences that people read as text: no cells of tables, no fixed sentence."""
    passed_over = set(fixed)
    return [one for one in reading.sentences if one.kind != "cell" and one.text not in passed_over]


def measured(reading: Reading, front: Front, fixed: Iterable[str] = ()) -> Amounts:
    """Words, sentences and syllables of a page's text with its summary."""
    return readability.amounts([front.summary, *(sentence.text for sentence in prose(reading, fixed))])
