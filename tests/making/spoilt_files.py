"""Files that are no still picture of a sensible size, and why each is refused: for command line and page."""

from __future__ import annotations

from making import photographs
from making.photographs import png, saved
from PIL import Image


def moving(kind):
    return saved(photographs.spot(), kind, save_all=True, append_images=[Image.new("RGB", (240, 360), "white")])


FILES = {
    "nothing in it": (b"", "picture_empty"),
    "words": (b"hello, this is no picture", "picture_not_a_picture"),
    "one byte": (b"\xff", "picture_not_a_picture"),
    "another kind of picture": (saved(photographs.spot(), "GIF"), "picture_not_a_picture"),
    "a drawing": (b'<svg xmlns="http://www.w3.org/2000/svg"/>', "picture_not_a_picture"),
    "half a JPEG": (saved(photographs.spot(), "JPEG")[:2000], "picture_damaged"),
    "half a PNG": (saved(photographs.spot(), "PNG")[:600], "picture_damaged"),
    "half a WebP": (saved(photographs.spot(), "WEBP")[:400], "picture_damaged"),
    "a PNG that moves": (moving("PNG"), "picture_moving"),
    "a WebP that moves": (moving("WEBP"), "picture_moving"),
    "30,000 x 30,000": (png(30_000, 30_000, 8, 2, b"\0" * 100), "picture_too_large"),
    "30,000 x 30,000 and nothing": (png(30_000, 30_000, 8, 2, b""), "picture_too_large"),
    "a little too large": (png(7072, 7072, 8, 0, b"\0" * 100), "picture_too_large"),
    "the largest PNG of all": (png(2**31 - 1, 2**31 - 1, 16, 6, b"\0" * 100), "picture_too_large"),
    "no pixel": (png(0, 10, 8, 2, b""), "picture_not_a_picture"),
    "a colour that no PNG has": (png(9, 9, 8, 5, b"\0" * 100), "picture_not_a_picture"),
    "fewer rows than it says": (png(200, 200, 8, 2, b"\0" * 3000), "picture_damaged"),
    "a large WebP header": (
        b"RIFF\x1e\0\0\0WEBPVP8X\x0a\0\0\0\0\0\0\0" + (29_999).to_bytes(3, "little") * 2 + b"\0" * 12,
        "picture_too_large",
    ),
}
