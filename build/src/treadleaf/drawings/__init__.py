"""The drawing kit: line drawings of feet, people and things, made by code from poses, in one visual language.

``table.DRAWINGS`` lists every drawing. Parts (a foot from the side, a hand, a chair) are functions that answer with
marks; a scene places parts in a picture; ``svg`` writes it. Nothing here reads a page or a clinic.
"""
