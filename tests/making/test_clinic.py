"""The clinic file: what passes, and what each fault is told."""

import re
from pathlib import Path

import pytest

from treadleaf import clinic, site, starter
from treadleaf.clinic_model import Clinic
from treadleaf.errors import InputProblems, Problem

GOOD = """\
schema = 1
name = "Test Room"
strapline = "Feet and more"
colour = "#336"
telephone = "+1 (555) 010-9999"
web = "https://www.example.org"
paper = "Letter"
units = "imperial"
site_address = "https://www.example.org/room"

[emergency]
number = "911"
name = "emergency line"
"""


@pytest.fixture
def write(tmp_path: Path):
    def written(text: str) -> Path:
        path = tmp_path / "clinic.toml"
        path.write_text(text, "utf-8")
        return path

    return written


def problems(path: Path) -> tuple[Problem, ...]:
    with pytest.raises(InputProblems) as caught:
        clinic.load(path)
    return caught.value.problems


def test_a_good_file_becomes_a_clinic(write):
    whose = clinic.load(write(GOOD))
    assert (whose.name, whose.paper, whose.units, whose.emergency.number) == ("Test Room", "Letter", "imperial", "911")
    assert whose.colour == "#333366"
    assert whose.site_address == "https://www.example.org/room/"
    assert whose.logo is None


DEMOS = sorted(site.DEMO.parent.rglob("clinic.toml"))


def test_there_are_three_demo_clinics_that_differ_in_all_that_shows():
    whose = [clinic.load(path) for path in DEMOS]
    assert len(whose) == 3
    for key in ("name", "short_name", "strapline", "colour", "second_colour", "telephone", "address", "site_address"):
        assert len({getattr(one, key) for one in whose}) == 3, key
    assert {one.paper for one in whose} == {"A4", "Letter"}
    assert {one.units for one in whose} == {"metric", "imperial"}


@pytest.mark.parametrize("path", DEMOS, ids=[path.parent.name for path in DEMOS])
def test_a_demo_clinic_says_in_its_first_line_that_it_is_invented_and_nobody_can_be_reached(path):
    text = path.read_text("utf-8")
    assert "invented" in text.splitlines()[0].lower()
    whose = clinic.load(path)
    # Number ranges that are kept free for drama and examples, from memory: Britain, North America, Australia.
    kept_free = re.compile(r"01632 960 \d{3}|\(555\) 555-01\d\d|\(02\) 5550 \d{4}")
    for number in (whose.telephone, *(line.number for line in whose.urgent_advice)):
        assert kept_free.fullmatch(number), number
    for address in filter(None, (whose.web, whose.booking, whose.site_address, f"https://{whose.email}")):
        assert re.search(r"[/.@]example\.org(/|$)", address), address


FULL = (
    GOOD.replace(
        "\n[emergency]",
        """
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

[emergency]""",
    )
    + """
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
)


def test_every_key_can_be_given(write):
    whose = clinic.load(write(FULL))
    assert whose.hours == ("Monday to Friday", "8 to 4")
    assert whose.local_rules == "One rule, on two lines."
    assert [person.registration_number for person in whose.practitioners] == [None, "IR 1"]
    assert whose.urgent_advice[0].number == "(02) 5550 0111"
    given = set(whose.model_fields_set)
    assert given >= set(Clinic.model_fields) - {"logo", "pages"}, "this test gives every key but those that name files"


FAULTS = [
    # name of the fault, text to replace, replacement, key path, line, a word of the mend
    ("unknown key", 'strapline = "Feet and more"', 'straplin = "Feet and more"', "straplin", 3, "`strapline`"),
    ("unknown inner key", 'number = "911"', 'number = "911"\nnumer = "1"', "emergency.numer", 13, "`number`"),
    ("number for text", 'name = "Test Room"', "name = 7", "name", 2, '"..."'),
    ("empty text", 'name = "Test Room"', 'name = "  "', "name", 2, "clinic's name"),
    ("too long", "Feet and more", "x" * 121, "strapline", 3, "line under the name"),
    ("bad colour", '"#336"', '"teal"', "colour", 4, "colour"),
    ("letters in a telephone number", "+1 (555) 010-9999", "call us", "telephone", 5, "clients call"),
    ("script for a web address", 'https://www.example.org"\npaper', 'javascript:alert(1)"\npaper', "web", 6, "website"),
    ("unknown paper", '"Letter"', '"A5"', "paper", 7, "'A4' or 'Letter'"),
    ("unknown units", '"imperial"', '"feet"', "units", 8, "'metric' or 'imperial'"),
    ("address with a query", "example.org/room", "example.org/room?x=1", "site_address", 9, "finished site"),
    ("no default emergency number", 'number = "911"', 'number = ""', "emergency.number", 12, "dial"),
    ("two lines in one", '"Feet and more"', '"Feet\\nand more"', "strapline", 3, "line under"),
]


@pytest.mark.parametrize(("fault", "old", "new", "key", "line", "mend"), FAULTS, ids=[row[0] for row in FAULTS])
def test_each_fault_names_file_key_line_and_mend(write, fault, old, new, key, line, mend):
    assert old in GOOD
    path = write(GOOD.replace(old, new, 1))
    found = [problem for problem in problems(path) if problem.key == key]
    assert len(found) == 1, problems(path)
    assert (found[0].file, found[0].line) == (str(path), line)
    assert mend in found[0].mend
    assert found[0].what


MORE_FAULTS = [
    # name of the fault, text to replace, replacement, key path, how the line begins, a word of the mend
    ("number for text, in the second table", 'role = "Coach"', "role = 7", "practitioners.2.role", "role = 7", '"..."'),
    ("missing key", 'when = "at night"\n', "", "urgent_advice.1.when", "[[urgent_advice]]", "When to ring it"),
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


def test_a_missing_key_is_named(write):
    found = problems(write(GOOD.replace('number = "911"\n', "").replace('paper = "Letter"\n', "")))
    assert [problem.key for problem in found] == ["emergency.number"], (
        "paper has a default, the emergency number has none"
    )
    assert found[0].line == 10


def test_everything_wrong_is_told_at_once(write):
    text = GOOD.replace('"#336"', '"x"').replace('"Letter"', '"A5"').replace('number = "911"', "number = 911")
    assert [problem.key for problem in problems(write(text))] == ["colour", "paper", "emergency.number"]


@pytest.mark.parametrize(
    ("text", "line"),
    [("name = 'a\n", 1), (GOOD + "name =\n", 14), (GOOD.replace('paper = "Letter"', 'name = "again"'), 7), ("\x00", 1)],
    ids=["open quote", "no value", "key twice", "null byte"],
)
def test_text_that_is_not_toml_is_told_with_its_line(write, text, line):
    (found,) = problems(write(text))
    assert "not TOML" in found.what
    assert found.line == line


def test_a_file_that_is_not_utf8_or_not_there_is_told(tmp_path):
    path = tmp_path / "clinic.toml"
    assert "no such" in problems(path)[0].what
    path.write_bytes(GOOD.encode() + b'web2 = "\xff"')
    assert (problems(path)[0].line, "UTF-8" in problems(path)[0].what) == (14, True)


def test_a_byte_order_mark_and_windows_lines_are_read(tmp_path):
    path = tmp_path / "clinic.toml"
    path.write_bytes(b"\xef\xbb\xbf" + GOOD.replace("\n", "\r\n").encode())
    assert clinic.load(path).name == "Test Room"


def test_a_newer_layout_is_refused_untouched(write):
    text = GOOD.replace("schema = 1", "schema = 2") + "new_key = 1\n"
    (found,) = problems(write(text))
    assert (found.key, found.line) == ("schema", 1)
    assert "newer" in found.what


def test_the_starter_names_every_key_and_asks_for_what_it_cannot_know(write):
    text = starter.text()
    for name, field in Clinic.model_fields.items():
        assert (field.alias or name) in text
        assert (field.description or "?") in text
    assert {problem.key for problem in problems(write(text))} == {"telephone", "emergency.number", "emergency.name"}


def test_each_key_of_the_starter_can_be_taken_into_use(write, tmp_path):
    """Every example is good: with all # taken away from keys and the blanks filled in, the file passes."""
    text = re.sub(r'^#(?=[a-z"[])', "", starter.text(), flags=re.MULTILINE)
    text = text.replace('number = ""', 'number = "112"').replace('name = ""', 'name = "x"')
    text = text.replace('telephone = ""', 'telephone = "01632 960 417"')
    (tmp_path / "logo.svg").write_text('<svg xmlns="http://www.w3.org/2000/svg"><path d="M0 0h9"/></svg>')
    whose = clinic.load(write(text))
    assert set(whose.model_fields_set) == set(Clinic.model_fields)


@pytest.mark.parametrize("name", ["../logo.svg", "/etc/passwd.svg", "missing.png", "logo.gif"])
def test_a_logo_elsewhere_missing_or_of_another_kind_is_refused(write, name):
    (found,) = problems(write(f'logo = "{name}"\n' + GOOD))
    assert (found.key, found.line) == ("logo", 1)
    assert found.mend


def test_a_logo_that_cannot_be_cleaned_is_refused_with_the_line_of_its_key(write, tmp_path):
    (tmp_path / "logo.png").write_bytes(b"GIF89a")
    (found,) = problems(write('logo = "logo.png"\n' + GOOD))
    assert "no PNG" in found.what
    assert (found.key, found.line, found.found) == ("logo", 1, "logo.png")


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


@pytest.mark.parametrize("key", [field.alias or name for name, field in Clinic.model_fields.items()])
def test_whatever_a_key_holds_is_either_good_or_told_with_line_and_mend(write, key):
    for value in ODD:
        for problem in site.check(write(f"{key} = {value}\n{GOOD.replace(f'{key} = ', f'was_{key} = ')}")).problems:
            assert problem.what, value
            assert problem.mend, value
            assert problem.line, value
