"""A left hand from its back, fingers up the page: the wrist at the origin, the middle finger's tip near y = -100.

The thumb is at the right; a right hand is the mirror image.
"""

from __future__ import annotations

import math
from collections.abc import Mapping
from dataclasses import dataclass, field

from treadleaf.drawings.geometry import Curve, Point, points, smooth, straight, turn
from treadleaf.drawings.limbs import chain, finger
from treadleaf.drawings.strokes import Marks, joined, mark

# Knuckle, length and half widths; from the little finger to the index finger.
_FINGERS: dict[str, tuple[Point, float, tuple[float, float, float, float]]] = {
    "little": (Point(-15.5, -48), 33, (5.2, 4.7, 4.2, 3.6)),
    "ring": (Point(-6.2, -54), 41, (5.6, 5.1, 4.6, 4)),
    "middle": (Point(4, -56), 44, (5.8, 5.3, 4.8, 4.1)),
    "index": (Point(14, -53.5), 40, (5.7, 5.2, 4.7, 4)),
}
_REST = {"little": 9.0, "ring": 3.0, "middle": -1.0, "index": -6.0, "thumb": 0.0}


@dataclass(frozen=True)
class HandPose:
    """How a hand is held: ``spread`` turns a finger against the clock, in degrees; ``folded`` shortens it, 0 to 1."""

    spread: Mapping[str, float] = field(default_factory=dict)
    folded: Mapping[str, float] = field(default_factory=dict)
    arm: float = 40.0


def hand(pose: HandPose) -> Marks:
    """The hand with a part of the forearm."""
    outlines = []
    details = []
    for name, (knuckle, _, widths) in _FINGERS.items():
        run = bones(pose, name)
        outlines.append(finger(run, widths))
        details += _nail(run, widths[3]) if pose.folded.get(name, 0.0) < 0.3 else []
        details.append(smooth([knuckle.plus(Point(-3, -1)), knuckle.plus(Point(0, -2.4)), knuckle.plus(Point(3, -1))]))
    thumb = bones(pose, "thumb")
    outlines.append(finger(thumb, (6.4, 6.8, 6, 4.8)))
    details += _nail(thumb, 4.8)
    back = points(-12.5, 0, -16.5, -10, -20.5, -26, -21, -42, -19, -52)
    front = points(18.5, -56, 20, -42, 19, -26, 15.5, -10, 12.5, 0)
    palm = smooth([*back, *points(-10, -58, 0, -60.5, 10, -60), *front], closed=True)
    arm = smooth(points(-15, pose.arm, -12.8, 14, -12.2, -4, -14, -14, 14, -14, 12.4, -4, 13.2, 14, 16, pose.arm))
    return [joined(*outlines, arm, palm), mark("detail", *details)]


def tip(pose: HandPose, name: str) -> Point:
    """Where a finger, or the thumb, ends."""
    return bones(pose, name)[3]


def bones(pose: HandPose, name: str) -> list[Point]:
    """The joints of a finger from its knuckle to its tip; of the thumb, from its root."""
    if name == "thumb":
        turned = pose.spread.get(name, 0.0)
        seen = 1 - pose.folded.get(name, 0.0)
        return chain(Point(9, -13), (50 + turned, 23), (62 + turned, 17 * seen), (70 + turned * 1.3, 15 * seen))
    knuckle, length, _ = _FINGERS[name]
    seen = 1 - pose.folded.get(name, 0.0)
    turned = 90 + _REST[name] + pose.spread.get(name, 0.0)
    return chain(knuckle, *((turned, length * share * seen) for share in (0.44, 0.3, 0.26)))


def _nail(run: list[Point], wide: float) -> list[Curve]:
    end, way = run[-1], run[-1].minus(run[-2])
    w = wide * 0.62
    place = turn(math.degrees(math.atan2(-way.y, way.x)) - 90)
    nail = [end.plus(place(at)) for at in points(-w, 3.2, -w, -0.4, 0, -2, w, -0.4, w, 3.2)]
    return [smooth(nail), straight([nail[0], nail[-1]])]


POINTING_JOINTS = points(14, -97, 14.4, -84, 14.6, -71.5, 14.4, -57)
"""The pointing finger of ``pointing``: its tip, its two joints and its root."""

_FIST = points(-13, 8, -13.4, -4, -17, -14, -20.5, -32, -19.6, -46, -15.5, -51, -11, -52)
_KNUCKLES = (points(-7.5, -56, -2, -55.5), points(2, -59, 8.6, -57.5))
_POINTING = points(9.2, -72, 9.6, -90, 14, -97, 18.4, -90, 19.4, -72, 19.8, -54, 21, -41)
_THUMB = points(29, -50, 35, -57, 39.6, -55, 39, -48, 31, -32, 22, -17, 14, -4, 13, 8)


def pointing(*, arm: float = 0.0) -> Marks:
    """The hand with its index finger stretched and the others folded, in few points; ``arm`` makes it longer."""
    wrist = (points(-15, arm), points(15, arm)) if arm > 8 else ([], [])
    outline = smooth([*wrist[0], *_FIST], *_KNUCKLES, _POINTING, [*_THUMB, *wrist[1]])
    return [mark("skin", outline), mark("detail", *(joint_line(at) for at in POINTING_JOINTS[1:3]))]


def joint_line(at: Point) -> Curve:
    return straight([at.plus(Point(-3.4, 0)), at.plus(Point(3.4, 0))])


def pointing_hidden(edge: float) -> Marks:
    """The part of the pointing finger that lies beyond ``edge``, dashed, its joints marked."""
    left = points(9.3, -72, 9.6, -90)
    right = points(18.4, -90, 19.4, -72)
    around = [Point(9.2, edge), *(at for at in left if at.y < edge - 4), POINTING_JOINTS[0]]
    around += [*(at for at in right if at.y < edge - 4), Point(19.4, edge)]
    hidden = [joint_line(at) for at in POINTING_JOINTS[1:3] if at.y < edge]
    return [mark("unseen", smooth(around)), *([mark("detail", *hidden)] if hidden else [])]
