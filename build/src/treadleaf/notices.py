"""The licences that travel with a built site: ours, the theme's, and where the runtime's are."""

from importlib.metadata import Distribution, distribution

_OWN = """\
This site was made with Treadleaf.
The program (scripts, styles, templates, calculators): Apache License 2.0.
The texts and drawings that come with it: Creative Commons Attribution 4.0 International (CC BY 4.0).
What the clinic added (its name, logo and own words) belongs to the clinic.
"""
_THEIRS = {
    "mkdocs": "page generator; its search index format and search plug-in are used in this site",
    "mkdocs-material": "text styles and search in this site; its script holds further open-source parts, named there",
}


def text() -> str:
    """The notices as plain text: our own licence lines, then each third party's name, version, use and licence."""
    parts = [_OWN, "Python in the browser: see runtime/NOTICES.txt in this site.\n"]
    for name, use in _THEIRS.items():
        found = distribution(name)
        parts.append(f"{'-' * 70}\n{name} {found.version}: {use}\n\n{_licence(found)}\n")
    return "\n".join(parts)


def _licence(found: Distribution) -> str:
    for path in found.files or []:
        if path.name.upper().startswith("LICENSE") and ".dist-info" in path.as_posix():
            return path.read_text()
    return f"Licence: {found.metadata['License-Expression']}"
