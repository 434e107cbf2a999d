"""The two lines that a ruler laid against the sides of a print would draw, and the notch between print and ruler.

A frame here has u along the foot's axis from heel to toes, 0 at the rearmost point of the print, and v towards the side
that is looked at.
"""

import math
from typing import NamedTuple

from calculators.footprint.plane import Point, Ring, mirrored, turned, unit
from calculators.footprint.profile import Chord, Profile, profile

# The shortest tangent, as a part of the toeless length (own choice).
_SHORTEST = 0.25

# A border is followed to within this part of the tangent from its contact at the ball. Nearer, the step of one pixel
# would set an angle at that contact (own choice).
_BESIDE_BALL = 0.1


class Tangent(NamedTuple):
    """A straight line along one side of the print, from where it touches the heel to where it touches the ball."""

    heel: Point
    ball: Point

    def mirrored(self) -> "Tangent":
        """Turn v round."""
        return Tangent(*mirrored([self.ball, self.heel]))


def tangent(hull: Ring, length: float) -> Tangent | None:
    """Find the tangent of one side: the longest side of the convex hull that faces that way.

    Args:
        hull: the convex hull of the toeless print, anticlockwise.
        length: the toeless length.

    A side of the hull faces the side looked at when it turns less than 45 degrees from the axis. None where the longest
    one is shorter than a quarter of the length: then the border bulges and a ruler rocks on it. The rules are own
    choices; where a ruler rests on two places it is the ruler's line.
    """
    # Anticlockwise, so that the side of larger v is run through from the toes to the heel.
    sides = [
        Tangent(heel, ball)
        for ball, heel in zip(hull, [*hull[1:], *hull[:1]], strict=True)
        if ball[0] - heel[0] > abs(ball[1] - heel[1])
    ]
    longest = max(sides, key=lambda side: math.dist(*side), default=None)
    return longest if longest is not None and math.dist(*longest) >= _SHORTEST * length else None


class Notch(NamedTuple):
    """What lies between a tangent and the print, in the frame of the tangent.

    t runs along the tangent from 0 at the heel's contact to `length` at the ball's, d from the tangent into the print.
    In `profile`, u is t, `low` is the depth of the notch and `high` the far border. `gap` says whether a line square
    to the tangent meets no print somewhere in between. `deepest` is the chord where the notch is deepest, beside a gap
    the deepest where there is print; None where there is none at all.
    """

    tangent: Tangent
    length: float
    profile: Profile
    gap: bool
    deepest: Chord | None

    @property
    def depth(self) -> float:
        """How deep the notch is, in the unit of the print."""
        return 0.0 if self.deepest is None else max(0.0, self.deepest.low)


def notch(outlines: list[Ring], hull: Ring, length: float) -> Notch | None:
    """Look from the tangent of one side across the print, between the tangent's two contacts.

    Args:
        outlines: the outer rings of the toeless print.
        hull: their convex hull.
        length: the toeless length.

    None without a tangent, and where it does not reach from the rear half of the print into its front half: what it
    spans is then not the arch.
    """
    found = tangent(hull, length)
    if found is None or not found.heel[0] < length / 2 < found.ball[0]:
        return None
    along = unit(*found)
    seen = profile([mirrored(turned(ring, found.heel, along)) for ring in outlines], 0.0, math.dist(*found))
    depths = [low if low != math.inf else -math.inf for low in seen.low]
    deepest = seen.farthest(depths) if max(depths) > -math.inf else None
    return Notch(found, math.dist(*found), seen, math.inf in seen.low, deepest)


def deepest_deg(found: Notch) -> float | None:
    """Angle at the ball's contact between the tangent and the line to the deepest point of the notch, in degrees.

    0 where the border lies along the tangent, None beside a gap: the border then has no deepest point.
    """
    if found.gap or found.deepest is None:
        return None
    return math.degrees(math.atan2(found.depth, found.length - found.deepest.u))


def steepest_deg(found: Notch) -> float | None:
    """Find the largest angle at the ball's contact between the tangent and a line to the medial border, in degrees.

    Along a straight piece of the border the angle only grows or only shrinks, so that one of its ends has the largest.
    Never less than the angle to the deepest point; None beside a gap.
    """
    deepest = deepest_deg(found)
    if deepest is None:
        return None
    end = (1 - _BESIDE_BALL) * found.length
    seen = found.profile
    places = [(t, low) for t, low in zip(seen.at, seen.low, strict=True) if t <= end]
    last = seen.chord(end)
    if last is not None:
        places.append((end, last.low))
    return max(deepest, *(math.degrees(math.atan2(depth, found.length - t)) for t, depth in places))


def crossing_deg(medial: Tangent, lateral: Tangent) -> float:
    """Angle between the two tangents, in degrees; positive where they meet behind the heel."""
    (u0, v0), (u1, v1) = medial
    (w0, x0), (w1, x1) = lateral
    return math.degrees(math.atan2(v1 - v0, u1 - u0) - math.atan2(x1 - x0, w1 - w0))


def toe_lean_deg(medial: Tangent, big_toe: Ring) -> float | None:
    """Find how far the big toe leans away from the medial tangent, in degrees; positive towards the other toes.

    The line from the ball's contact to the medial edge of the toe: of all points of the toe the one that lies most to
    the medial side as seen from there. None where no point of the toe lies ahead of the contact.
    """
    ahead = turned(big_toe, medial.ball, unit(medial.heel, medial.ball))
    angles = [math.degrees(math.atan2(-v, u)) for u, v in ahead if u > 0]
    return min(angles) if angles else None
