"""Whatever two colours a clinic chooses, every text reads on every ground that it stands on, by day and by night."""

from __future__ import annotations

import random
import re

import pytest
from coloraide import Color

from treadleaf import colours, places

# Texts and grounds of the style sheets by their names there. A card, a caution box and a footer each may hold any text.
TEXTS = ("ink", "ink-soft", "accent", "fault")
GROUNDS = ("ground", "tint", "warm")
SIDES = {"light": "", "dark": "-dark"}


def contrast(one: str, other: str) -> float:
    """By the formula of WCAG 2.2, "relative luminance" and "contrast ratio", written out here a second time."""

    def luminance(colour: str) -> float:
        shares = [part / 255 for part in bytes.fromhex(Color(colour).convert("srgb").to_string(hex=True)[1:7])]
        red, green, blue = (share / 12.92 if share <= 0.04045 else ((share + 0.055) / 1.055) ** 2.4 for share in shares)
        return 0.2126 * red + 0.7152 * green + 0.0722 * blue

    lighter, darker = sorted((luminance(one), luminance(other)), reverse=True)
    return (lighter + 0.05) / (darker + 0.05)


def hexadecimal(colour: str) -> str:
    return str(Color(colour).to_string(hex=True, compress=False))


@pytest.fixture(scope="module")
def fixed() -> dict[str, dict[str, str]]:
    """The colours that hold for every clinic, as the style sheet has them."""
    style = (places.templates() / "styles" / "site.css").read_text("utf-8")
    light, dark = style.split("prefers-color-scheme: dark", 1)
    found = {}
    for side, text in (("light", light), ("dark", dark.split("}\n}")[0])):
        found[side] = dict(re.findall(r"--([a-z-]+):\s*(#[0-9a-f]{6});", text))
    return found


def pairs() -> list[tuple[str, str | None]]:
    chance = random.Random(20261125)
    drawn = [tuple(f"#{chance.randrange(1 << 24):06x}" for _ in range(2)) for _ in range(500)]
    edges = ["#000000", "#ffffff", "#ffff00", "#00ffff", "#ff00ff", "#767676", "#808080", "#14181b"]
    return [*drawn, *((one, other) for one in edges for other in edges), *((one, None) for one in edges)]


def test_every_text_reads_on_every_ground_for_500_random_pairs_of_colours(fixed):
    """WCAG 2.2, criterion 1.4.3 (AA): 4.5 to 1."""
    worst = 21.0
    for first, second in pairs():
        shades = colours.shades(first, second)
        for side, end in SIDES.items():
            given = fixed[side]
            texts = [given[name] for name in TEXTS if name in given]
            texts += [shades[f"{name}-text{end}"] for name in ("clinic", "second")]
            grounds = [given[name] for name in GROUNDS if name in given]
            grounds += [shades[f"{name}-tint{end}"] for name in ("clinic", "second")]
            assert len(texts) >= 5, "the style sheet gives its inks in its own file"
            assert len(grounds) >= 4
            for text in texts:
                for ground in grounds:
                    found = contrast(text, ground)
                    worst = min(worst, found)
                    assert found >= colours.TEXT_CONTRAST, f"{first} {second} {side}: {text} on {ground}: {found:.2f}"
            # The label of a filled button has the ground's colour on the accent.
            assert contrast(given["ground"], shades[f"clinic-text{end}"]) >= colours.TEXT_CONTRAST
        for name in ("clinic", "second"):
            assert contrast(shades[f"on-{name}"], shades[name]) >= colours.TEXT_CONTRAST
    assert worst < 5.2, "some pair comes near the limit, so the test sees it"


def test_the_grounds_that_shades_are_derived_for_are_those_of_the_style_sheet(fixed):
    assert (fixed["light"]["ground"], fixed["light"]["warm"]) == colours.LIGHT
    assert (fixed["dark"]["ground"], fixed["dark"]["warm"]) == colours.DARK


def test_a_second_colour_that_is_given_is_used_and_a_missing_one_differs_from_the_first():
    assert colours.shades("#2b5f6b", "#b8862b")["second"] == "#b8862b"
    for first, _ in pairs()[:100]:
        shades = colours.shades(first)
        assert shades["second"] == colours.shades(first)["second"]
        assert Color(shades["second"]).delta_e(Color(first), method="2000") > 10, first


def test_a_colour_that_reads_already_stays_as_it_is():
    shades = colours.shades("#2b5f6b", "#7a1f4b")
    assert (shades["clinic-text"], shades["second-text"]) == ("#2b5f6b", "#7a1f4b")


def test_the_formula_written_here_gives_the_known_values():
    """Known values on white (computed from the same formula for exercise-safety, section 5.5): 4.542 and 4.478."""
    assert contrast("#767676", "#ffffff") == pytest.approx(4.542, abs=0.001)
    assert contrast("#777777", "#ffffff") == pytest.approx(4.478, abs=0.001)
    assert contrast("#000000", "#ffffff") == pytest.approx(21)
