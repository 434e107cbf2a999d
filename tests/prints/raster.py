"""Polygons to pixels by exact area: the edge stands where the outline says, to a few thousandths of a pixel."""

from __future__ import annotations

from itertools import pairwise

import numpy as np
import shapely


def rings(shape) -> list[np.ndarray]:
    """Closed rings of a shape: outer ones anticlockwise in its own plane, holes clockwise."""
    found = []
    for part in shapely.get_parts(shape):
        oriented = shapely.geometry.polygon.orient(part)
        found += [np.asarray(oriented.exterior.coords), *(np.asarray(hole.coords) for hole in oriented.interiors)]
    return found


def coverage(loops: list[np.ndarray], width: int, height: int, rows: int = 4) -> np.ndarray:
    """How much of each pixel lies inside, 0 to 1 (float32).

    The loops are in pixels (x right, y down, the first pixel's middle at 0.5, 0.5). Across a row the area is exact;
    down, `rows` lines to a pixel are taken. What is left of the picture counts, what is right of it is cut off.
    """
    out = np.zeros((height * rows, width + 2), np.float64)
    for loop in loops:
        points = loop * [1.0, rows]
        for (x0, y0), (x1, y1) in pairwise(points):
            if y0 == y1:
                continue
            sign = 1.0 if y1 > y0 else -1.0
            low, high = min(y0, y1), max(y0, y1)
            lines = np.arange(max(0, int(np.ceil(low - 0.5))), min(height * rows, int(np.ceil(high - 0.5))))
            if lines.size == 0:
                continue
            x = np.clip(x0 + (lines + 0.5 - y0) * (x1 - x0) / (y1 - y0), 0.0, width)
            cell = x.astype(int)
            part = x - cell
            # Each edge crosses a line once, so no index comes twice in one call.
            out[lines, cell] += sign * (1 - part)
            out[lines, cell + 1] += sign * part
    filled = np.abs(np.cumsum(out, axis=1)[:, :width])
    return np.clip(filled.reshape(height, rows, width).mean(axis=1), 0, 1).astype(np.float32)
