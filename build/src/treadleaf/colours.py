"""Shades of the clinic's two colours that can be read: text has the contrast with its ground that WCAG 2.2 asks for."""

from coloraide import Color

TEXT_CONTRAST = 4.5
"""Least contrast of text, WCAG 2.2 criterion 1.4.3 (AA)."""

LIGHT, DARK = ("#ffffff", "#fff6e0"), ("#14181b", "#2b2412")
"""Grounds of the style sheets that hold for every clinic, by day and by night: the page, and the caution box."""

# A little above the criterion, so that a reader's own screen settings have some room.
_AIM = 4.7
# Where no second colour is given: as light as the first, a third of the way round the circle of hues.
_TURN_DEGREES = 120
_LEAST_CHROMA = 0.06


def shades(colour: str, second: str | None = None) -> dict[str, str]:
    """The shades that the style sheets use, as hexadecimal colours.

    ``clinic`` is the colour as chosen, for surfaces only; ``on-clinic`` is the better of black and white on it;
    ``clinic-text`` is the colour darkened until it reads on every light ground, ``clinic-text-dark`` lightened until
    it reads on every dark one; the tints are quiet grounds for boxes. ``second`` and its kin are the same for the
    second colour. Every text reads on the tints of both.
    """
    chosen = {"clinic": colour, "second": second or _beside(colour)}
    tints = {name: _mixed(LIGHT[0], shade, 0.07) for name, shade in chosen.items()}
    tints_dark = {name: _mixed(DARK[0], shade, 0.16) for name, shade in chosen.items()}
    found: dict[str, str] = {}
    for name, shade in chosen.items():
        found |= {
            name: shade,
            f"on-{name}": max(("#ffffff", "#000000"), key=lambda ink: _contrast(ink, shade)),
            f"{name}-text": _readable(shade, (*LIGHT, *tints.values()), -0.01),
            f"{name}-text-dark": _readable(shade, (*DARK, *tints_dark.values()), 0.01),
            f"{name}-tint": tints[name],
            f"{name}-tint-dark": tints_dark[name],
        }
    return found


def _beside(colour: str) -> str:
    """A second colour for a clinic that named one only."""
    turned = Color(colour).convert("oklch", norm=False)
    hue = turned["hue"] if turned["chroma"] > 0.01 else 0.0
    turned["hue"] = (hue + _TURN_DEGREES) % 360
    turned["chroma"] = max(turned["chroma"], _LEAST_CHROMA)
    turned["lightness"] = min(max(turned["lightness"], 0.35), 0.8)
    return _hex(turned)


def _readable(colour: str, grounds: tuple[str, ...], step: float) -> str:
    """The shade nearest to the colour that reads on every one of the grounds."""
    shade = Color(colour).convert("oklch")
    while any(_contrast(_hex(shade), ground) < _AIM for ground in grounds):
        shade["lightness"] = shade["lightness"] + step
    return _hex(shade)


def _contrast(one: str, other: str) -> float:
    return Color(one).contrast(other, method="wcag21")


def _mixed(ground: str, colour: str, share: float) -> str:
    return _hex(Color.mix(Color(ground), Color(colour), share, space="srgb"))


def _hex(colour: Color) -> str:
    return str(colour.convert("srgb").fit().to_string(hex=True))
