"""The angle between a lower leg and its heel in a picture taken from behind.

Coordinates are those of a picture, x to the right and y down, not mirrored: the left foot is at the picture's left, so
outward is leftward for the left foot and rightward for the right. A line is its top and its bottom point.

The heel is held against the leg, not against a vertical (construction of haight_2005, the standing angle of leg to
heel). Turning the camera turns both lines and leaves the angle as it was; an angle against a vertical would be wrong by
the whole turn, in opposite directions on the two feet. Values from the two constructions must not be mixed.
"""

import math

Point = tuple[float, float]
Line = tuple[Point, Point]

# Where outward is in the picture: +1 to the right.
_OUTWARD: dict[str, int] = {"left": -1, "right": 1}

# What a direction makes of an angle that was read without a sign. Published signs disagree (levinger_2004 counts
# outward as positive; other tables count it as negative), so the word always goes with the number.
SIGNS: dict[str, int] = {"outward": 1, "inward": -1, "straight": 0}


def tilt_deg(line: Line) -> float:
    """How far a line leans from the picture's vertical, in degrees; positive when its bottom lies to the right."""
    (top_x, top_y), (bottom_x, bottom_y) = line
    return math.degrees(math.atan2(bottom_x - top_x, bottom_y - top_y))


def rearfoot_angle_deg(side: str, leg: Line, heel: Line) -> float:
    """Angle of the heel against the leg, in degrees; positive (valgus) when the bottom of the heel tilts outward."""
    return _OUTWARD[side] * (tilt_deg(heel) - tilt_deg(leg))


def direction(angle_deg: float) -> str:
    """Say in a word which way an angle goes: outward, inward or straight."""
    return next(word for word, sign in SIGNS.items() if sign == (angle_deg > 0) - (angle_deg < 0))
