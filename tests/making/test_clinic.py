"""The clinic file: what passes, and what each fault is told."""

import re

import pytest
from making.clinic_files import problems

from treadleaf import clinic, site, starter
from treadleaf.clinic_model import Clinic

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
