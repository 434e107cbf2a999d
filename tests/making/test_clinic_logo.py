"""The clinic's logo: what is published is harmless whatever the file held, and what cannot be cleaned is refused."""

from __future__ import annotations

import random
import struct
import zlib
from xml.etree import ElementTree

import pytest

from treadleaf import logo, logo_png, logo_svg, site
from treadleaf.errors import InputProblems

SPACES = 'xmlns="http://www.w3.org/2000/svg" xmlns:xlink="http://www.w3.org/1999/xlink"'
DRAWN = '<path d="M0 0h9v9z" fill="#2b5f6b"/>'
NAMESPACE = "{http://www.w3.org/2000/svg}"


def svg(inside: str, attributes: str = "") -> bytes:
    return f"<svg {SPACES} {attributes}>{inside}{DRAWN}</svg>".encode()


# What stands in the file beside the drawing, and a name by which the person is told that it was left out.
ACTING = {
    "script": ("<script>alert(1)</script>", "script"),
    "script of another kind": ('<script xmlns="http://www.w3.org/1999/xhtml">alert(1)</script>', "script"),
    "page inside": ('<foreignObject><p xmlns="http://www.w3.org/1999/xhtml">x</p></foreignObject>', "foreignObject"),
    "handler": ('<g onclick="alert(1)"/>', "onclick"),
    "handler in capitals": ('<g OnLoad="alert(1)"/>', "OnLoad"),
    "copy from elsewhere": ('<use href="https://example.net/x.svg#a"/>', "href"),
    "copy from elsewhere, old way": ('<use xlink:href="https://example.net/x.svg#a"/>', "href"),
    "script as a link": ('<a href="javascript:alert(1)"><path d="M0 0h1"/></a>', "a"),
    "sheet from elsewhere": ("<style>@import 'https://example.net/x.css'; .a{fill:red}</style>", "style @import"),
    "ground from elsewhere": ("<style>.a{fill:url(https://example.net/x)}</style>", "style fill"),
    "hidden letters": (r'<rect style="fill:\75 rl(https://example.net/x)"/>', "style fill"),
    "hidden letters in an attribute": (r'<rect fill="\75 rl(https://example.net/x)"/>', "fill"),
    "paint from elsewhere": ('<rect fill="url(https://example.net/x#a)"/>', "fill"),
    "two paints": ('<rect fill="url(#a) url(//example.net/x)"/>', "fill"),
    "picture set": ("""<rect style="mask:image-set('https://example.net/x')"/>""", "style mask"),
    "movement": ('<set attributeName="href" to="javascript:alert(1)"/>', "set"),
    "another base": ('<g xml:base="https://example.net/"/>', ""),
    "instruction": ("<?xml-stylesheet href='https://example.net/x.css'?>", "?xml-stylesheet"),
    "ping": ('<a ping="https://example.net/"><path d="M0 0h1"/></a>', "ping"),
}


def assert_harmless(data: bytes) -> None:
    """Judged by another reader and by other rules than those that cleaned it."""
    text = data.decode()
    for word in ("script", "example.net", "http:", "https:", "//", "@", "\\", "<?", "<!", "data:", "base", "foreign"):
        assert word not in text.replace('xmlns="http://www.w3.org/2000/svg"', "").lower(), f"{word}: {text}"
    for element in ElementTree.fromstring(text).iter():  # noqa: S314 - made by this test
        assert element.tag.startswith(NAMESPACE), element.tag
        assert element.tag.removeprefix(NAMESPACE) not in ("a", "image", "set", "animate", "iframe", "audio", "video")
        for name, value in element.attrib.items():
            assert not name.lower().startswith("on")
            assert "{" not in name
            assert name != "href" or value.startswith("#")


@pytest.mark.parametrize(("inside", "told"), ACTING.values(), ids=ACTING)
def test_what_could_act_is_not_in_the_published_drawing_and_the_drawing_is(inside, told):
    clean, left_out = logo_svg.clean(svg(inside))
    assert_harmless(clean)
    assert b'd="M0 0h9v9z"' in clean
    assert not told or told in left_out


def test_the_judge_can_find_something():
    for inside, _ in ACTING.values():
        with pytest.raises((AssertionError, ElementTree.ParseError)):
            assert_harmless(svg(inside))


def test_pieces_put_together_at_random_are_harmless_too():
    chance = random.Random(20261125)
    pieces = [inside for inside, _ in ACTING.values() if not inside.startswith("<?")]
    for _ in range(300):
        inside = ""
        for piece in chance.choices(pieces, k=6):
            wrap = chance.choice(["g", "defs", "symbol", "style", "title", "text", "metadata", "switch"])
            inside = f"<{wrap}>{piece}{inside}</{wrap}>"
        assert_harmless(logo_svg.clean(svg(inside, 'onload="alert(1)"'))[0])


LOOKS = {
    "paints": '<g fill="url(#a)" stroke="rgb(1, 2, 3)" transform="rotate(4 5 6)" opacity=".5"/>',
    "styles": "<style>.a{fill:#fff;stroke-width:2}</style>",
    "style of one": '<g style="fill:#fff;stroke:url(#b)"/>',
    "fade": '<linearGradient id="a" x1="0"><stop offset="1" stop-color="#fff"/></linearGradient>',
    "copy": '<use href="#a" x="3"/>',
    "words": '<text x="3" font-family="Arial, sans-serif">A &lt; B</text>',
}


@pytest.mark.parametrize("inside", LOOKS.values(), ids=LOOKS)
def test_what_draws_stays_as_it_is(inside):
    given = svg(inside, 'viewBox="0 0 9 9"')
    clean, left_out = logo_svg.clean(given)
    assert left_out == ()
    found, wanted = (
        [(element.tag, element.attrib, element.text) for element in ElementTree.fromstring(data).iter()]  # noqa: S314 - made by this test
        for data in (clean, given)
    )
    assert found == wanted


def test_what_drawing_programs_note_goes_without_a_word():
    clean, left_out = logo_svg.clean(
        b'<?xml version="1.0"?><!DOCTYPE svg PUBLIC "-//W3C//DTD SVG 1.1//EN" "svg11.dtd"><!-- made by hand -->'
        + svg(
            '<x:view xmlns:x="urn:an-editor" x:zoom="2"><x:grid/></x:view><g data-name="Layer 1" xml:space="preserve"/>'
        )
    )
    assert left_out == ()
    assert_harmless(clean)
    assert b"made by hand" not in clean


REFUSED = {
    "entities": (b'<!DOCTYPE svg [<!ENTITY a "b">]>' + svg("<text>&a;</text>"), "entities"),
    "entity from elsewhere": (
        b'<!DOCTYPE svg [<!ENTITY % x SYSTEM "http://example.net/x"> %x;]>' + svg(""),
        "entities",
    ),
    "not well-formed": (b"<svg", "not well-formed"),
    "not a drawing": (b"<html/>", "svg element"),
    "nothing that draws": (f"<svg {SPACES}><script/></svg>".encode(), "nothing in it"),
    "a photo": (svg('<image href="data:image/png;base64,AAAA"/>'), "photo"),
    "too deep": (svg("<g>" * 200 + "</g>" * 200), "deep"),
    "too many parts": (svg("<g/>" * 6000), "parts"),
    "too many copies": (svg('<use href="#a"/>' * 30), "copies"),
    "styles that change": (svg("<style>@media print{path{fill:red}}</style>"), "change"),
    "nothing": (b"", "not well-formed"),
}


@pytest.mark.parametrize(("data", "why"), REFUSED.values(), ids=REFUSED)
def test_what_cannot_be_cleaned_is_refused_with_the_reason(data, why):
    with pytest.raises(ValueError, match=why):
        logo_svg.clean(data)


def chunk(name: bytes, body: bytes) -> bytes:
    return struct.pack(">I", len(body)) + name + body + struct.pack(">I", zlib.crc32(name + body))


def png(width: int = 3, height: int = 2, *more: bytes, pixels: bytes | None = None, interlace: int = 0) -> bytes:
    header = struct.pack(">IIBBBBB", width, height, 8, 2, 0, 0, interlace)
    rows = (b"\0" + b"\1\2\3" * 3) * 2 if pixels is None else pixels
    body = b"".join((chunk(b"IHDR", header), *more, chunk(b"IDAT", zlib.compress(rows)), chunk(b"IEND", b"")))
    return b"\x89PNG\r\n\x1a\n" + body


def test_a_png_is_written_again_without_what_is_not_picture():
    secrets = [
        chunk(b"tEXt", b"Author\0Somebody"),
        chunk(b"eXIf", b"place"),
        chunk(b"iCCP", b"x"),
        chunk(b"acTL", b"y"),
    ]
    clean, left_out = logo_png.clean(png(3, 2, chunk(b"sRGB", b"\0"), *secrets) + b"and a tail")
    assert clean == png(3, 2, chunk(b"sRGB", b"\0"))
    assert left_out == ("acTL", "eXIf", "iCCP", "tEXt")


def test_an_interlaced_png_passes():
    # 3 x 2 pixels: passes 1, 4, 6 and 7 hold 1, 1, 1 and 3 of them, in rows of their own with a byte for the filter.
    rows = b"".join(b"\0" + b"\1\2\3" * count for count in (1, 1, 1, 3))
    assert logo_png.clean(png(pixels=rows, interlace=1))[1] == ()


PNG_REFUSED = {
    "another kind": (b"GIF89a", "no PNG"),
    "too many pixels": (png(3000, 3000), "3000 x 3000"),
    "cut off": (png()[:-6], "cut off"),
    "a wrong sum": (png().replace(b"IDAT", b"IDAt"), "damaged"),
    "more than it states": (png(pixels=b"\0" * 1_000_000), "not of the size"),
    "less than it states": (png(pixels=b"\0" * 5), "not of the size"),
    "no header": (b"\x89PNG\r\n\x1a\n" + chunk(b"IEND", b""), "missing"),
    "no pixels": (png(0, 2), "header"),
    "no palette": (png().replace(png()[8:33], chunk(b"IHDR", struct.pack(">IIBBBBB", 3, 2, 8, 3, 0, 0, 0))), "missing"),
}


@pytest.mark.parametrize(("data", "why"), PNG_REFUSED.values(), ids=PNG_REFUSED)
def test_a_png_that_is_damaged_or_too_large_is_refused(data, why):
    with pytest.raises(ValueError, match=why):
        logo_png.clean(data)


def test_the_demo_logos_lose_nothing():
    for path in site.DEMO.parent.rglob("*.svg"):
        assert logo.cleaned(path.parent / "clinic.toml", path.name).left_out == (), path


def test_a_logo_of_more_than_200_kb_is_refused(tmp_path):
    (tmp_path / "logo.svg").write_bytes(svg("<!-- " + "x" * 200_000 + " -->"))
    with pytest.raises(InputProblems, match="too large"):
        logo.cleaned(tmp_path / "clinic.toml", "logo.svg")


def test_a_link_out_of_the_folder_is_not_followed(tmp_path):
    (tmp_path / "clinic").mkdir()
    (tmp_path / "secret.svg").write_bytes(svg(""))
    (tmp_path / "clinic" / "logo.svg").symlink_to(tmp_path / "secret.svg")
    with pytest.raises(InputProblems, match="own folder"):
        logo.cleaned(tmp_path / "clinic" / "clinic.toml", "logo.svg")
