"""The data tables that pages, forms and calculators share, read from the package itself."""

import pkgutil
import tomllib

TYPE_CHECKING = False
if TYPE_CHECKING:
    from typing import Any


def table(name: str) -> "dict[str, Any]":
    """Read one data table by its bare name, such as `bands`.

    Works from a folder, a wheel or a zip. pkgutil is used because it costs less than half of importlib.resources to
    import (7 ms against 16 ms in the browser's Python, both from source).

    Raises:
        LookupError: there is no table of that name.
    """
    try:
        raw = pkgutil.get_data(__name__, f"{name}.toml")
    except OSError:
        raw = None
    if raw is None:
        raise LookupError(f"no data table called {name!r}; the tables are the .toml files in calculators/data")
    return tomllib.loads(raw.decode("utf-8"))
