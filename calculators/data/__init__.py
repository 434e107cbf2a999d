"""The data tables that pages, forms and calculators share, read from the package itself."""

import json
from pathlib import Path

TYPE_CHECKING = False
if TYPE_CHECKING:
    from typing import Any


def table(name: str) -> "dict[str, Any]":
    """Read one data table by its bare name, such as `bands`.

    Works from a folder, a wheel or a zip. In the browser the tables are JSON, into which the builder turns them: to
    import a reader of TOML there costs more than all that is read.

    Raises:
        LookupError: there is no table of that name.
    """
    ready = _text(f"{name}.json")
    if ready is not None:
        return dict(json.loads(ready))
    text = _text(f"{name}.toml")
    if text is None:
        raise LookupError(f"no data table called {name!r}; the tables are the .toml files in calculators/data")
    import tomllib  # noqa: PLC0415  (the browser never comes this far)

    return tomllib.loads(text)


def _text(file: str) -> str | None:
    # The loader reads from wherever this package came. pkgutil would ask it the same, after an import of its own.
    read: Any = __spec__.loader
    try:
        return str(read.get_data(str(Path(__file__).with_name(file))), "utf-8")
    except OSError:
        return None
