"""The drawing kit: line drawings of feet, people and things, made by code from poses, in one visual language.

``DRAWINGS`` lists every drawing. Parts (a foot from the side, a hand, a chair) are functions that answer with marks; a
scene places parts in a picture; ``svg`` writes it. Nothing here reads a page or a clinic. A page places a drawing as it
places a component: ``<!-- here: wet-print-gap -->``.
"""

from treadleaf.drawings.table import DRAWINGS, Drawing, draw, every, silent

__all__ = ["DRAWINGS", "Drawing", "draw", "every", "silent"]
