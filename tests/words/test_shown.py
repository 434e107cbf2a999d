"""What a reader sees of a claim's mark: how strong the evidence is in words, and the number of its source."""

from __future__ import annotations

import re

import pytest
from hypothesis import given
from hypothesis import strategies as st

from treadleaf import places, words
from treadleaf.gate import readability, reading, sentences
from treadleaf.pieces import cut_at_marks

STRENGTHS = words.load(places.templates(), "en")["strengths"].values()


@pytest.mark.parametrize(
    ("html", "cut"),
    [
        ("<p>So [some: a].</p>", ["some"]),
        ("<p>So [some: a, b] and [common practice].</p>", ["some", "common practice"]),
        ("<p>So [some: a], or so [weak: b]?</p>", ["some", "weak"]),
        ("<p>So [some: c].</p>", []),
        ("<p>So [certain: a].</p>", []),
        ("<p>So [strong].</p>", []),
        ("<p>So [sic].</p>", []),
        ("<p><code>[some: a]</code> [weak: b]</p>", ["weak"]),
        ('<p><a href="https://e.org/[some: a]">x</a></p>', []),
        ('<p><img alt="[some: a]" src="a.svg"></p>', []),
        ("<pre><code>[some: a]\n</code></pre>", []),
    ],
)
def test_only_a_sound_mark_in_words_is_shown_as_one(html, cut):
    pieces = list(cut_at_marks(html, ["a", "b"]))
    assert [mark.strength for _, mark in pieces if mark] == cut
    assert "".join(text for text, _ in pieces) == html


def test_every_mark_of_the_demo_is_words_and_a_number_that_leads_to_its_source(demo_site):
    shown = 0
    for path in demo_site.rglob("*.html"):
        html = path.read_text("utf-8")
        for found in re.finditer(
            r'<span class="strength">\((?P<words>[^)]+)\)</span>[.,;:!?]?(?P<after>(?:<sup.*?</sup>)*)', html
        ):
            shown += 1
            assert found["words"] in STRENGTHS
            for key, number in re.findall(r'<a href="#source-(\w+)">(\d+)</a>', found["after"]):
                listed = re.findall(r'<li id="source-(\w+)">', html)
                assert listed[int(number) - 1] == key
        assert not re.search(r"\[(?:strong|some|weak|conflicting|advice|common practice|none found)\b", html), path
    assert shown > 20


def test_the_search_finds_a_mark_as_the_words_that_stand_on_the_page(demo_site):
    index = (demo_site / "search" / "search_index.json").read_text("utf-8")
    assert "to about 2 degrees (weak evidence)." in index
    assert "haight_2005]" not in index


@given(st.text(alphabet="Ab .!?[]:,'\"()0\n", max_size=60))
def test_sentences_lose_nothing_but_blanks(text):
    parts = list(sentences.split(text))
    assert "".join("".join(part.split()) for _, part in parts) == "".join(text.split())
    assert all(text[start : start + len(part)] == part for start, part in parts)


@given(st.text(alphabet="ab #*_[]()!<>`-|>{}:.1\n\\", max_size=80))
def test_any_text_can_be_read(text):
    read = reading.read(text)
    lines = text.count("\n") + 1
    assert all(1 <= one.line <= lines for one in (*read.sentences, *read.links, *read.headings, *read.html))
    readability.amounts(one.text for one in read.sentences)
