"""Shades of the clinic's colour that can be read: text keeps the contrast with its ground that WCAG 2.2 asks for."""

from coloraide import Color

TEXT_CONTRAST = 4.5
"""Least contrast of text, WCAG 2.2 criterion 1.4.3 (AA)."""

_PAPER, _NIGHT = "#ffffff", "#14181b"
# A little above the criterion, so that a reader's own screen settings have some room.
_AIM = 4.7


def shades(colour: str) -> dict[str, str]:
    """The shades that the style sheets use, as hexadecimal colours.

    ``clinic`` is the colour as chosen, for surfaces only; ``on-clinic`` is the better of black and white on it;
    ``clinic-text`` is the colour darkened until it reads on white, ``clinic-text-dark`` lightened until it reads on
    the dark ground; the tints are quiet grounds for boxes.
    """
    chosen = Color(colour)
    tint = _hex(Color.mix(Color(_PAPER), chosen, 0.07, space="srgb"))
    tint_dark = _hex(Color.mix(Color(_NIGHT), chosen, 0.16, space="srgb"))
    return {
        "clinic": colour,
        "on-clinic": max(("#ffffff", "#000000"), key=lambda ink: chosen.contrast(ink, method="wcag21")),
        "clinic-text": _readable(chosen, (_PAPER, tint), -0.01),
        "clinic-text-dark": _readable(chosen, (_NIGHT, tint_dark), 0.01),
        "clinic-tint": tint,
        "clinic-tint-dark": tint_dark,
    }


def _readable(colour: Color, grounds: tuple[str, ...], step: float) -> str:
    """The shade nearest to the colour that reads on every one of the grounds."""
    shade = colour.convert("oklch")
    while any(Color(_hex(shade)).contrast(ground, method="wcag21") < _AIM for ground in grounds):
        shade["lightness"] = shade["lightness"] + step
    return _hex(shade)


def _hex(colour: Color) -> str:
    return str(colour.convert("srgb").fit().to_string(hex=True))
