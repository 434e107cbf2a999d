"""The clinic's logo: a cleaned copy of the picture that the clinic file names, which alone is published.

A picture in an `<img>` runs no script, but its file can also be opened by itself; the copy holds only what draws.
"""

from dataclasses import dataclass
from pathlib import Path

from treadleaf import logo_png, logo_svg
from treadleaf.errors import InputProblems, Problem

_LARGEST = 200_000
_MEND = {
    ".svg": "Export it again as a plain SVG drawing, or as PNG.",
    ".png": "Save it as PNG again, smaller if need be.",
}
_CLEAN = {".svg": logo_svg.clean, ".png": logo_png.clean}


@dataclass(frozen=True)
class Logo:
    """A picture that may be published: its file name in the site, its bytes, and what was left out on the way."""

    name: str
    data: bytes
    left_out: tuple[str, ...]


def cleaned(clinic_file: Path, name: str) -> Logo:
    """The cleaned copy of a clinic's logo.

    Raises InputProblems, without a line, for a file that is not there, stands elsewhere, is too large or cannot be
    cleaned.
    """
    folder = clinic_file.resolve().parent
    path = (folder / name).resolve()
    if not path.is_relative_to(folder):
        raise _refusal(clinic_file, "The logo must stand in the clinic file's own folder.", name, "Copy it there.")
    if not path.is_file():
        mend = "Put it beside the clinic file, or take the key out."
        raise _refusal(clinic_file, "The logo was not found.", name, mend)
    data = path.read_bytes()
    if len(data) > _LARGEST:
        found, mend = f"{len(data):,} bytes", f"Save it at {_LARGEST:,} bytes or less."
        raise _refusal(clinic_file, "The logo is too large.", found, mend)
    kind = Path(name).suffix.lower()
    try:
        clean, left_out = _CLEAN[kind](data)
    except ValueError as failure:
        raise _refusal(clinic_file, f"The logo is refused: {failure}.", name, _MEND[kind]) from None
    return Logo(f"logo{kind}", clean, left_out)


def _refusal(clinic_file: Path, what: str, found: str, mend: str) -> InputProblems:
    return InputProblems((Problem(what, str(clinic_file), None, "logo", found, mend),))
