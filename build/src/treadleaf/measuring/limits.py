"""How large a picture may be: the same on the command line and on a page."""

from calculators.forms import LONGEST_SIDE_PIXELS

MOST_MEGAPIXELS = 50
"""Of the picture as it was taken: what telephones take today. Decoded, that is 200 MB at most."""
MOST_MEGABYTES = 100
"""Of the file. A WebP is read whole before it says how large it is."""
KEPT_PIXELS = 2048 * 1536
"""Of the picture as it is measured: three million, as cameras count them."""


def for_page() -> dict[str, int]:
    """The limits as the script of a page wants them."""
    return {
        "megapixels": MOST_MEGAPIXELS,
        "megabytes": MOST_MEGABYTES,
        "kept": KEPT_PIXELS,
        "longest": LONGEST_SIDE_PIXELS,
    }
