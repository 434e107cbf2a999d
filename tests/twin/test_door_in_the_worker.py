"""The door as the browser's worker opens it: texts and pixels arrive in Python as they were sent."""

import json
import shutil
import zipfile
from pathlib import Path

import pytest

from treadleaf import pyodide_package

OPENER = Path(__file__).with_name("door.mjs")

# Calculators of the same shape that say what they were given.
API = """
import json

def call(text, pixels=None):
    if text == "break":
        raise RecursionError
    return json.dumps([text, type(pixels).__name__, None if pixels is None else list(pixels)])
"""


@pytest.fixture(scope="module")
def ask(repo, demo_site, tmp_path_factory):  # the demo site has been built: Pyodide is in the cache
    folder = tmp_path_factory.mktemp("door")
    shutil.copytree(repo / "site_templates" / "scripts", folder / "scripts")
    # Without it, Node takes these files for scripts of the older kind.
    (folder / "scripts" / "package.json").write_text('{"type": "module"}')
    calculators = folder / "calculators.zip"
    with zipfile.ZipFile(calculators, "w") as archive:
        archive.writestr("calculators/__init__.py", "")
        archive.writestr("calculators/api.py", API)

    def asked(*requests):
        with pyodide_package.unpacked(pyodide_package.pin(), lambda text: None) as pyodide:
            program = [pyodide_package.tool("node"), str(OPENER), str(folder / "scripts"), str(pyodide)]
            answers = pyodide_package.run([*program, str(calculators)], failed="no answers", mend="", given=requests)
        return [answer and json.loads(answer) for answer in json.loads(answers)]

    return asked


def test_texts_and_pixels_arrive_as_they_were_sent_and_a_break_is_thrown(ask):
    pixels = [0, 1, 127, 128, 255, 13, 10, 0]
    assert ask(
        {"text": "ÅÄÖ \u0000 😀"},
        {"text": "with pixels", "pixels": pixels},
        {"text": "no pixels at all", "pixels": []},
        {"text": "break"},
        {"text": "after it", "pixels": [9]},
    ) == [
        ["ÅÄÖ \u0000 😀", "NoneType", None],
        ["with pixels", "bytearray", pixels],
        ["no pixels at all", "bytearray", []],
        None,
        ["after it", "bytearray", [9]],
    ]
