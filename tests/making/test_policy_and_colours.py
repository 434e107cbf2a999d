"""The security policy of a page, and shades that can be read."""

import base64
import hashlib
import random
from html import escape

import pytest
from coloraide import Color

from treadleaf import colours, policy

PAGE = (
    '<head><meta content="<policy-goes-here>"></head><script>let a = 1 < 2</script>'
    '<script type="application/json">{}</script>'
)

KNOWN = ["let a = 1 < 2"]


def test_each_inline_script_is_named_by_its_hash_and_data_is_not():
    wanted = base64.b64encode(hashlib.sha256(b"let a = 1 < 2").digest()).decode()
    sealed = policy.seal(PAGE, computes=False, known=KNOWN)
    assert sealed.count("'sha256-") == 1
    assert f"'sha256-{wanted}'" in sealed
    assert policy.SLOT not in sealed


def test_only_a_page_that_computes_may_compile_and_start_a_blob_worker():
    plain, computing = (policy.write([], computes=computes) for computes in (False, True))
    assert "wasm-unsafe-eval" not in plain
    assert "blob:" not in plain
    assert "worker-src 'self' blob:" in computing
    assert "'wasm-unsafe-eval'" in computing
    for text in (plain, computing):
        assert "'unsafe-inline'" not in text
        assert "'unsafe-eval'" not in text
        assert "http" not in text
        for directive in (
            "default-src 'none'",
            "connect-src 'self'",
            "form-action 'self'",
            "base-uri 'none'",
            "object-src 'none'",
        ):
            assert directive in text.split("; ")


@pytest.mark.parametrize("html", ["<head></head>", PAGE + policy.SLOT], ids=["no place", "two places"])
def test_a_page_without_exactly_one_place_is_refused(html):
    with pytest.raises(ValueError, match="places for its policy"):
        policy.seal(html, computes=False, known=KNOWN)


@pytest.mark.parametrize("script", ["alert(1)", "let a = 1 < 2 ", ""])
def test_no_other_inline_script_is_let_in(script):
    with pytest.raises(ValueError, match="not the theme's own"):
        policy.seal(f"{PAGE}<SCRIPT\n>{script}</SCRIPT>", computes=False, known=KNOWN)


def test_the_themes_own_script_is_the_one_that_its_installed_template_makes(demo_site):
    for page in demo_site.rglob("*.html"):
        (script,) = policy.inline_scripts(page.read_text("utf-8"))
        assert script.startswith("__md_scope=new URL("), page.name


def test_the_text_of_a_page_or_a_clinic_cannot_hold_the_slot():
    assert policy.SLOT not in escape(policy.SLOT)


def test_text_in_the_clinics_colour_reads_whatever_was_chosen():
    """With one colour chosen; tests/making/test_clinic_colours.py has pairs, on every ground."""
    chance = random.Random(20261125)
    chosen = ["#000000", "#ffffff", "#ffff00", "#767676", *(f"#{chance.randrange(1 << 24):06x}" for _ in range(496))]
    grounds = {
        "clinic-text": ("#ffffff", "clinic-tint"),
        "clinic-text-dark": ("#14181b", "clinic-tint-dark"),
        "on-clinic": ("clinic",),
    }
    for colour in chosen:
        shades = colours.shades(colour)
        for text, places in grounds.items():
            for place in places:
                ground = shades.get(place, place)
                contrast = Color(shades[text]).contrast(ground, method="wcag21")
                assert contrast >= colours.TEXT_CONTRAST, f"{text} of {colour} on {place} {ground}: {contrast:.2f}"
