"""The text of a new clinic file, made from the model: every key with what it is for."""

from typing import Any

from pydantic import BaseModel
from pydantic.fields import FieldInfo

from treadleaf import schema
from treadleaf.clinic_faults import inner_model
from treadleaf.clinic_model import Clinic

_HEAD = f"""\
#:schema ./{schema.FILE_NAME}
# The clinic file. What is empty must be filled in; then run the check.
# "# " before a line explains; "#" close to a key leaves that key out: take it away to use the key.
# Keys that stand above the first line in [brackets] stay there.
# Many editors follow the first line: with {schema.FILE_NAME} beside this file they explain each key as you type.
"""


def text() -> str:
    """A clinic file to fill in. Keys that must be filled in are there; the others stand behind a #."""
    fields = [(field.alias or name, field) for name, field in Clinic.model_fields.items()]
    tables = [row for row in fields if inner_model(row[1]) or row[0] == "notes"]
    plain = [row for row in fields if row not in tables]
    parts = [_HEAD, *(_key(name, field) for name, field in plain), *(_table(name, field) for name, field in tables)]
    return "\n".join(parts)


def _key(name: str, field: FieldInfo) -> str:
    return f"# {field.description}\n{_mark(field)}{name} = {_toml(_example(field))}\n"


def _table(name: str, field: FieldInfo) -> str:
    rows = [f"# {field.description}"]
    model = inner_model(field)
    mark = _mark(field)
    if model is None:
        rows.append(f"{mark}[{name}]")
        rows += [f"{mark}{_toml(page)} = {_toml(note)}" for page, note in _example(field).items()]
    else:
        rows.append(f"{mark}[{name}]" if field.is_required() else f"{mark}[[{name}]]")
        rows += _rows(model, mark)
    return "\n".join(rows) + "\n"


def _rows(model: type[BaseModel], mark: str) -> list[str]:
    return [
        row
        for name, field in model.model_fields.items()
        for row in (f"# {field.description}", f"{mark}{name} = {_toml(_example(field))}")
    ]


def _mark(field: FieldInfo) -> str:
    return "" if field.is_required() or field.default else "#"


def _example(field: FieldInfo) -> Any:
    return (field.examples or [""])[0]


def _toml(value: Any) -> str:
    if isinstance(value, list):
        return f"[{', '.join(_toml(item) for item in value)}]"
    return str(value) if isinstance(value, int) else f'"{value}"'
