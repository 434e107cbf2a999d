"""The clinic file's JSON Schema: for editors that help while one types, and for the form on the staff page."""

import json
from typing import Any

from treadleaf.clinic_model import Clinic

FILE_NAME = "clinic.schema.json"
_DIALECT = "https://json-schema.org/draft/2020-12/schema"


def text() -> str:
    """The schema as the text of a file."""
    return json.dumps(document(), indent=2, ensure_ascii=False) + "\n"


def document() -> dict[str, Any]:
    """The schema as plain data, with every table written where it is used.

    Keys that begin with ``x-`` are for the form; editors pass them over.
    """
    made = Clinic.model_json_schema(by_alias=True)
    tables = made.pop("$defs", {})
    plain = _plain(made, tables)
    return {"$schema": _DIALECT, **plain, "title": "Clinic file"}


def _plain(node: Any, tables: dict[str, Any]) -> Any:
    """A part of the schema without references, and without the null that TOML does not have."""
    if isinstance(node, list):
        return [_plain(item, tables) for item in node]
    if not isinstance(node, dict):
        return node
    if "$ref" in node:
        name = node["$ref"].rpartition("/")[2]
        return _plain({**tables[name], **{key: value for key, value in node.items() if key != "$ref"}}, tables)
    if "anyOf" in node:
        (kept,) = (choice for choice in node["anyOf"] if choice.get("type") != "null")
        node = {**kept, **{key: value for key, value in node.items() if key != "anyOf"}}
    return {key: _plain(value, tables) for key, value in node.items() if not (key == "default" and value is None)}
