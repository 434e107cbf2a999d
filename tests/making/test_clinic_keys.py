"""The keys beside the first ones: each can be given, and each fault in them is told with its place."""

from pathlib import Path

import pytest
from making.clinic_files import problems

from treadleaf import clinic, site
from treadleaf.clinic_model import Clinic
from treadleaf.errors import InputProblems, Problem

FULL = """\
schema = 1
name = "Test Room"
strapline = "Feet and more"
colour = "#336"
telephone = "+1 (555) 010-9999"
web = "https://www.example.org"
paper = "Letter"
units = "imperial"
site_address = "https://www.example.org/room"

short_name = "Room"
second_colour = "#8a2"
email = "desk@example.org"
booking = "https://www.example.org/book?first=yes"
address = ["1 Weir Lane", "Marrowby"]
hours = [
  "Monday to Friday", # a comment
  "8 to 4",
]
languages = ["en"]
local_rules = \"\"\"
One rule,
on two lines.\"\"\"
leave_out = ["checks/wet-print.html"]

[emergency]
number = "911"
name = "emergency line"

[[urgent_advice]]
name = "Night line"
number = "(02) 5550 0111"
when = "at night"

[[services]]
name = "First visit"

[[practitioners]]
name = "Ines Oakhollow"
role = "Therapist"

[[practitioners]]
name = "Tom Quill"
role = "Coach"
registered_with = "Invented Register"
registration_number = "IR 1"

[notes]
"index.html" = "Ring *us*."
"""


def test_every_key_can_be_given(write):
    whose = clinic.load(write(FULL))
    assert whose.hours == ("Monday to Friday", "8 to 4")
    assert whose.local_rules == "One rule, on two lines."
    assert [person.registration_number for person in whose.practitioners] == [None, "IR 1"]
    assert whose.urgent_advice[0].number == "(02) 5550 0111"
    given = set(whose.model_fields_set)
    assert given >= set(Clinic.model_fields) - {"logo", "pages"}, "this test gives every key but those that name files"


MORE_FAULTS = [
    # name of the fault, text to replace, replacement, key path, how the line begins, a word of the mend
    ("number for text, in the second table", 'role = "Coach"', "role = 7", "practitioners.2.role", "role = 7", '"..."'),
    ("missing key", 'when = "at night"\n', "", "urgent_advice.1.when", "[[urgent_advice]]", "Days and hours when"),
    ("misspelt key", 'role = "Coach"', 'roll = "Coach"', "practitioners.2.roll", "roll", "Did you mean `role`"),
    (
        "top key below a table",
        'when = "at night"',
        'when = ""\nweb = ""',
        "urgent_advice.1.web",
        "web",
        "above the first",
    ),
    (
        "key of another table",
        'name = "First visit"',
        'name = "x"\nrole = "x"',
        "services.1.role",
        "role",
        "practitioners",
    ),
    ("second item of a list", '"8 to 4"', '""', "hours.2", '  ""', "When you are open"),
    ("text for a list", '["1 Weir Lane", "Marrowby"]', '"1 Weir Lane"', "address", "address", 'address = ["..."]'),
    ("one table for a list of tables", "[[services]]", "[services]", "services", "[services]", "[[services]]"),
    ("language without pages", '["en"]', '["en", "de"]', "languages.2", "languages", "English (en)"),
    ("language twice", '["en"]', '["en", "en"]', "languages", "languages", "English (en)"),
    ("no language", '["en"]', "[]", "languages", "languages", "English (en)"),
    ("no e-mail address", '"desk@example.org"', '"desk at example.org"', "email", "email", "write to"),
    ("script for a page", '"https://www.example.org/book?first=yes"', '"javascript:x()"', "booking", "booking", "book"),
    ("the start left out", '["checks/wet-print.html"]', '["index.html"]', "leave_out.1", "leave_out", "stay"),
    (
        "the page on help left out",
        '["checks/wet-print.html"]',
        '["cautions/when-to-get-help.html"]',
        "leave_out.1",
        "leave_out",
        "stay",
    ),
    ("a script in a note", '"Ring *us*."', '"[x](javascript:x())"', "notes.index.html", '"index', "own words"),
    ("a relative link in a note", '"Ring *us*."', '"[x](../x)"', "notes.index.html", '"index', "own words"),
    ("a picture in a note", '"Ring *us*."', '"![x](https://x.example/)"', "notes.index.html", '"index', "own words"),
    ("no page", '"index.html" = ', '"../index.html" = ', "notes.../index.html", '"../index', "own words"),
    ("folder elsewhere", 'languages = ["en"]', 'pages = "../pages"', "pages", "pages", "beside this file"),
]


@pytest.mark.parametrize(
    ("fault", "old", "new", "key", "row", "mend"), MORE_FAULTS, ids=[row[0] for row in MORE_FAULTS]
)
def test_each_fault_of_the_other_keys_names_file_key_line_and_mend(write, fault, old, new, key, row, mend):
    assert FULL.count(old) >= 1
    text = FULL.replace(old, new, 1)
    path = write(text)
    found = [problem for problem in problems(path) if problem.key == key]
    assert len(found) == 1, problems(path)
    assert text.splitlines()[(found[0].line or 0) - 1].startswith(row)
    assert found[0].file == str(path)
    assert mend in found[0].mend
    assert found[0].what


ODD = (
    *(
        "7",
        "1.5",
        "true",
        "nan",
        "1979-05-27",
        "[]",
        "[[]]",
        '[1, "a"]',
        "{}",
        "{a = 1}",
        '"x"',
        '"../../x"',
        '"\\u0000"',
    ),
    *('["x\\n"]', "[{}]", "[{name = 1}]", '{"index.html" = ["a"]}', '{"..\\\\x" = "a"}', f'"{"x" * 5000}"'),
    '[{name = "a", role = "b", number = "c", when = "d", extra = 1}]',
)


BARE = FULL.partition("[[urgent_advice]]")[0]


@pytest.mark.parametrize("key", [field.alias or name for name, field in Clinic.model_fields.items()])
def test_whatever_a_key_holds_is_either_good_or_told_with_line_and_mend(write, key):
    for value in ODD:
        path = write(f"{key} = {value}\n{BARE.replace(f'{key} = ', f'was_{key} = ')}")
        for problem in told(path, with_pages=key in ("leave_out", "pages", "notes")):
            assert problem.what, value
            assert problem.mend, value
            assert problem.line, value


def told(path: Path, *, with_pages: bool) -> tuple[Problem, ...]:
    """Reading the pages too takes a while; only some keys have to do with them."""
    if with_pages:
        return site.check(path).problems
    try:
        clinic.load(path)
    except InputProblems as failure:
        return failure.problems
    return ()
