"""What the gate reads in Markdown: sentences, headings, links, pictures, components, each with its line."""

from __future__ import annotations

import pytest

from treadleaf.gate import reading, sentences
from treadleaf.gate.marks import marks

PAGE = """\
## What you need {#need}

A tape, 9.5 cm wide. Ask first,
e.g. by telephone. See [the
other page](b.md#make).

1. Stand still. Breathe
2. **Lift** the heel; hold it

- One thing
- `code` is not read

> Somebody else said so.

### A smaller one

| A | B |
|---|---|
| in a cell | more |

![Two prints](prints.svg)

<!-- here: look-sheet -->

It works [some: a_2001, b_2002]. It may not. [weak: c_2003] And so on [sic].
"""

SENTENCES = {
    "two": ("One here. Two here.", ["One here.", "Two here."]),
    "no stop at the end": ("One here. Two", ["One here.", "Two"]),
    "nothing": ("  ", []),
    "decimal": ("It is 9.5 wide. Good.", ["It is 9.5 wide.", "Good."]),
    "abbreviation": ("Ask e.g. Dr. Low first. Then go.", ["Ask e.g. Dr. Low first.", "Then go."]),
    "i.e. before a capital": ("One foot, i.e. Left, is up. Go.", ["One foot, i.e. Left, is up.", "Go."]),
    "number sign": ("See no. 4 there. No. 4 is last.", ["See no. 4 there.", "No. 4 is last."]),
    "the answer no": ("Does it hurt? No. Then go on.", ["Does it hurt?", "No.", "Then go on."]),
    "initial": ("Ask J. Low. Go.", ["Ask J. Low.", "Go."]),
    "I at the end": ("So do I. You too.", ["So do I.", "You too."]),
    "question in quotes": ("He asks “Why?” and goes. End.", ["He asks “Why?” and goes.", "End."]),
    "quote at the end": ("He says “Stop.” Then go.", ["He says “Stop.”", "Then go."]),
    "three dots": ("Wait... Then go.", ["Wait...", "Then go."]),
    "small letter after a stop": ("See clinic.toml. it is small.", ["See clinic.toml. it is small."]),
    "starts with a number": ("Stop. 3 more.", ["Stop.", "3 more."]),
    "mark before the stop": ("True [some: a_1]. Next.", ["True [some: a_1].", "Next."]),
    "mark after the stop": ("True. [some: a_1] Next.", ["True. [some: a_1]", "Next."]),
    "two marks after the stop": ("True. [some: a] [weak: b]\nNext.", ["True. [some: a] [weak: b]", "Next."]),
    "brackets": ("(He stops.) Go on.", ["(He stops.)", "Go on."]),
}


@pytest.mark.parametrize(("text", "parts"), SENTENCES.values(), ids=SENTENCES)
def test_a_text_is_cut_into_its_sentences(text, parts):
    assert [part for _, part in sentences.split(text)] == parts
    assert all(text[start:].startswith(part) for start, part in sentences.split(text))


def test_each_sentence_knows_its_line_its_kind_and_its_section():
    read = reading.read(PAGE, first_line=10)
    found = [(one.line, one.kind, one.text) for one in read.sentences]
    assert found == [
        (13, "paragraph", "A tape, 9.5 cm wide."),
        (13, "paragraph", "Ask first, e.g. by telephone."),
        (14, "paragraph", "See the other page."),
        (17, "step", "Stand still."),
        (17, "step", "Breathe"),
        (18, "step", "Lift the heel; hold it"),
        (20, "item", "One thing"),
        (21, "item", "\ufffc is not read"),
        (23, "quote", "Somebody else said so."),
        (27, "cell", "A"),
        (27, "cell", "B"),
        (29, "cell", "in a cell"),
        (29, "cell", "more"),
        (31, "paragraph", "\ufffc"),
        (35, "paragraph", "It works."),
        (35, "paragraph", "It may not."),
        (35, "paragraph", "And so on [sic]."),
    ]
    assert {one.section for one in read.sentences} == {"need"}


def test_headings_links_pictures_and_components_are_found_with_their_lines():
    read = reading.read(PAGE)
    assert [(one.level, one.text, one.name, one.line) for one in read.headings] == [
        (2, "What you need", "need", 1),
        (3, "A smaller one", "", 15),
    ]
    assert read.links == [reading.Pointer("b.md#make", "the\nother page", 4)]
    assert read.pictures == [reading.Pointer("prints.svg", "Two prints", 21)]
    assert read.components == [reading.Piece("look-sheet", 23)]
    assert read.html == []


def test_a_mark_belongs_to_the_sentence_that_it_ends():
    read = reading.read(PAGE)
    marked = [(one.text, [(mark.strength, mark.sources) for mark in one.marks]) for one in read.sentences if one.marks]
    assert marked == [
        ("It works.", [("some", ("a_2001", "b_2002"))]),
        ("It may not.", [("weak", ("c_2003",))]),
    ]


@pytest.mark.parametrize(
    ("text", "fault"),
    [
        ("[some: a_1]", ""),
        ("[common practice]", ""),
        ("[none found]", ""),
        ("[conflicting: a_1, b_2]", ""),
        ("[strong]", "This strength needs a source."),
        ("[some:]", "This strength needs a source."),
        ("[some a_1]", "This is no strength word."),
        ("[sone: a_1]", "This is no strength word."),
    ],
)
def test_what_is_meant_as_a_mark_is_read_as_one(text, fault):
    (mark,) = marks(f"It is so {text}.")
    assert (mark.text, mark.fault) == (text, fault)


@pytest.mark.parametrize("text", ["[sic]", "[a page](b.md)", "[1]", "[Some: words]", "[ ]"])
def test_other_brackets_are_no_mark(text):
    assert list(marks(f"It is so {text}.")) == []


def test_the_words_of_a_component_are_not_the_pages_own():
    assert reading.read("<!-- here: look-sheet -->\n").sentences == []


def test_html_inside_a_line_is_found_on_its_own_line():
    assert reading.read("One\ntwo <b>three</b>\n").html == [reading.Piece("<b>", 2)]
