"""From a photograph of a footprint to its indices, each with its range, or to a refusal with a reason."""

from calculators.footprint.flat import Flat
from calculators.footprint.look import beside_the_sheet, on_the_sheet
from calculators.footprint.picture import lightness, reduced
from calculators.footprint.rectify import rectify
from calculators.footprint.search import search
from calculators.footprint.sheet import find_sheet
from calculators.results import Refusal, Refused


def measured(pixels: bytes, width: int, height: int, asked: dict) -> dict:
    """Prototype."""
    grey = lightness(*reduced(pixels, width, height))
    warnings: list[str] = []
    sheet = None
    corners = asked.get("corners")
    size = asked.get("size_mm")
    if size and not corners:
        found = find_sheet(grey, size)
        if found is None:
            warnings.append("sheet_not_found")
        else:
            corners = found.corners
    if corners and size:
        sheet = rectify(corners, size, (width, height))
    flat = Flat(sheet, asked.get("view") == "sole")
    best = []
    if sheet and min(size) > 150:
        best = search(on_the_sheet(pixels, width, height, sheet), flat, None)
    if not best or best[0].likeness < 0.5:
        best += search(beside_the_sheet(grey, corners), flat, None)
        best.sort(key=lambda f: -f.rank)
    if not best:
        raise Refused(Refusal("no_print", "pixels"))
    return {"flat": flat, "warnings": warnings, "sheet": sheet, "found": best}
