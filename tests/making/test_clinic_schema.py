"""The schema for editors and for the form says what the model says."""

from __future__ import annotations

import json
import re
import tomllib

import pytest
from pydantic import ValidationError

from treadleaf import schema, site
from treadleaf.clinic_model import Clinic

DEMOS = sorted(site.DEMO.parent.rglob("clinic.toml"))
DOCUMENT = schema.document()


def walk(node: object, path: str = ""):
    if isinstance(node, dict):
        yield path, node
        for key, value in node.items():
            yield from walk(value, f"{path}/{key}")
    elif isinstance(node, list):
        for index, value in enumerate(node):
            yield from walk(value, f"{path}/{index}")


def agrees(part: dict, value: object) -> bool:
    """Whether a value fits a part of the schema, by the few rules of JSON Schema that it uses."""
    if isinstance(value, str):
        return (
            part["type"] == "string"
            and part.get("minLength", 0) <= len(value) <= part.get("maxLength", 10_000)
            and bool(re.search(part.get("pattern", ""), value))
            and value in part.get("enum", [value])
        )
    if isinstance(value, list):
        fits = part["type"] == "array" and part.get("minItems", 0) <= len(value) <= part.get("maxItems", 10_000)
        return fits and all(agrees(part["items"], item) for item in value)
    if isinstance(value, dict):
        if part["type"] != "object" or not set(part.get("required", ())) <= set(value):
            return False
        named, patterns = part.get("properties", {}), part.get("patternProperties", {})
        for key, inner in value.items():
            fitting = [named[key]] if key in named else [sub for rule, sub in patterns.items() if re.search(rule, key)]
            if not fitting or not all(agrees(sub, inner) for sub in fitting):
                return False
        return True
    return part["type"] == "integer" and value == part["const"]


def test_it_stands_alone_and_explains_every_key():
    text = schema.text()
    assert json.loads(text) == DOCUMENT
    assert "$ref" not in text
    assert "null" not in text
    assert set(DOCUMENT["properties"]) == {field.alias or name for name, field in Clinic.model_fields.items()}
    tables = [node for _, node in walk(DOCUMENT) if "properties" in node and "type" in node]
    assert len(tables) >= 5
    for table in tables:
        assert table["additionalProperties"] is False
        for key, part in table["properties"].items():
            assert part["title"], key
            assert part["description"].endswith("."), key


@pytest.mark.parametrize("path", DEMOS, ids=[path.parent.name for path in DEMOS])
def test_the_demo_clinics_fit_it(path):
    assert agrees(DOCUMENT, tomllib.loads(path.read_text("utf-8")))


def test_what_does_not_fit_is_seen():
    values = tomllib.loads(site.DEMO.read_text("utf-8"))
    for key, value in (("paper", "A5"), ("telephone", "call us"), ("hours", ["  "]), ("extra", "x"), ("email", "a@b")):
        assert not agrees(DOCUMENT, {**values, key: value}), key


def texts() -> dict[str, dict]:
    return {path: node for path, node in walk(DOCUMENT["properties"]) if node.get("type") == "string"}


# Values by the kind of text; the model and the schema must say the same of each.
TRIED = {
    "telephone": ["112", "+44 1632 960417", "(02) 5550 0172", "1", "call", "12 a", "+", "0" * 31, " 112 "],
    "email": ["a@example.org", "a.b+c@x.example.org", "a@b", "a b@example.org", "a@example.org, b@example.org", ""],
    "web": [
        "https://a.example",
        "http://a.example/@x?y=1#z",
        "ftp://a.example",
        "javascript:x",
        "https://",
        "a.example",
    ],
    "site_address": ["https://a.example", "https://a.example/x/", "https://a.example/?q", "https://a.example/#x"],
    "colour": ["#336", "#2b5f6b", "336", "#12345", "teal", "#GGG"],
    "logo": ["a.svg", "a b.PNG", "a.gif", "svg"],
    "pages": ["pages", "my/pages", "../pages", "/pages", "pages/"],
    "name": ["A", " A ", "", "   ", "x" * 61],
}


@pytest.mark.parametrize(("key", "text"), [(key, text) for key, tried in TRIED.items() for text in tried])
def test_the_schema_and_the_model_agree_on_a_text(key, text):
    values = {**tomllib.loads(site.DEMO.read_text("utf-8")), key: text}
    try:
        Clinic.model_validate(values)
        passes = True
    except ValidationError:
        passes = False
    assert agrees(DOCUMENT["properties"][key], text) == passes


def test_every_pattern_is_read_alike_by_python_and_by_a_browser():
    """Only what both know: no look-behind, no named groups, no anchors of Python's own."""
    patterns = {node["pattern"] for node in texts().values() if "pattern" in node}
    assert len(patterns) > 5
    for pattern in patterns:
        assert not re.search(r"\(\?|\\[AZzbB]|\[:", pattern), pattern
