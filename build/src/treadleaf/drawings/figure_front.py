"""A whole person from the front, posed by joint angles; the middle between the hips is the origin.

All lengths are shares of stature. Limbs that swing towards the eye are shortened by the cosine of their angle. The
person's left is at the page's right.
"""

from __future__ import annotations

import math
from dataclasses import dataclass, field

from treadleaf.drawings import proportions as body
from treadleaf.drawings.geometry import Curve, Point, mirror, points, round_about, smooth, straight
from treadleaf.drawings.limbs import Girth, chain, finger, limb
from treadleaf.drawings.strokes import Marks, joined, mark, moved


@dataclass(frozen=True)
class FrontLeg:
    """Degrees: the thigh out to the side and forward, the knee bent."""

    out: float = 0.0
    hip: float = 0.0
    knee: float = 0.0


@dataclass(frozen=True)
class FrontArm:
    """Degrees: the upper arm out to the side, the elbow bent so that the forearm turns outward."""

    out: float = 8.0
    elbow: float = 4.0


@dataclass(frozen=True)
class FrontPose:
    """A person from the front; ``left`` and ``right`` are the person's own."""

    left_leg: FrontLeg = field(default_factory=FrontLeg)
    right_leg: FrontLeg = field(default_factory=FrontLeg)
    left_arm: FrontArm = field(default_factory=FrontArm)
    right_arm: FrontArm = field(default_factory=FrontArm)


_HIP_ACROSS = body.HIP_BREADTH * 0.26
"""The hip joints lie well inside the breadth of the hips (from memory)."""

_LEG = (
    (Girth(0, 0.05, 0.046), Girth(0.3, 0.05, 0.044), Girth(0.65, 0.041, 0.036), Girth(0.95, 0.03, 0.029)),
    (
        *(Girth(0.1, 0.029, 0.03), Girth(0.3, 0.035, 0.036), Girth(0.5, 0.031, 0.032)),
        *(Girth(0.8, 0.0185, 0.019), Girth(0.97, 0.019, 0.0195)),
    ),
)
_ARM = (
    (
        Girth(-0.06, 0.003, -0.003),
        Girth(0.05, 0.022, 0.006),
        Girth(0.22, 0.029, 0.022),
        Girth(0.5, 0.024, 0.023),
        Girth(0.9, 0.019, 0.019),
    ),
    (Girth(0.2, 0.021, 0.02), Girth(0.5, 0.018, 0.017), Girth(0.97, 0.012, 0.012)),
)


def ankle_height(leg: FrontLeg) -> float:
    """How far below the hip joint the ankle is."""
    return _bones(leg)[2].y


def person(pose: FrontPose) -> Marks:
    """The marks of a person; a raised foot is drawn over the leg that stands."""
    flip = mirror()
    legs = [(ankle_height(leg), moves, leg) for leg, moves in ((pose.left_leg, None), (pose.right_leg, flip))]
    marks: Marks = []
    for _, moves, leg in sorted(legs, key=lambda row: -row[0]):
        made = _leg(leg)
        marks += moved(made, moves) if moves else made
    return [*marks, *_trunk(), *moved(_arm(pose.right_arm), flip), *_arm(pose.left_arm)]


def hand(arm: FrontArm) -> Point:
    """Where the hand's root is, for the person's left arm; mirrored for the right."""
    return _arm_bones(arm)[2]


def _bones(leg: FrontLeg) -> list[Point]:
    """Hip, knee and ankle of a left leg. What swings to the front or back is seen shorter."""
    thigh = body.THIGH * math.cos(math.radians(leg.hip))
    shank = body.SHANK * math.cos(math.radians(leg.hip - leg.knee))
    return chain(Point(_HIP_ACROSS, 0), (270 + leg.out, thigh), (270 + leg.out * 0.3, shank))


def _leg(leg: FrontLeg) -> Marks:
    bones = _bones(leg)
    x, y = bones[2]
    hangs = leg.hip - leg.knee < -15  # the shin slopes back, so the toes point down
    stretch = 1.25 if hangs else 1.0
    outer = points(*(0.018, -0.03, 0.023, -0.006, 0.031, 0.018, 0.036, 0.03, 0.033, 0.0385, 0.022, 0.0395))
    inner = points(0.0, 0.04, -0.017, 0.0395, -0.024, 0.032, -0.022, 0.016, -0.02, -0.006, -0.0185, -0.03)
    foot = smooth([Point(x + at.x, y + at.y * stretch) for at in (*outer, *inner)])
    creases = [
        straight([Point(x + at, y + 0.0265 * stretch), Point(x + at * 1.04, y + 0.038 * stretch)]) for at in _CREASES
    ]
    way = bones[1].minus(bones[0])
    hem = bones[0].plus(way, 0.72)
    edge = smooth([hem.plus(Point(0.041, 0)), hem.plus(Point(0, 0.006)), hem.plus(Point(-0.037, 0))])
    cap = smooth([bones[1].plus(at) for at in points(-0.014, 0.012, 0, 0.018, 0.014, 0.012)])
    return [joined(limb(bones, _LEG), foot), mark("detail", edge, cap, *creases)]


_CREASES = (-0.007, 0.004, 0.0135, 0.022)
"""Between the toes of a left foot: the big toe is the widest and lies at the inner side."""


def _arm_bones(arm: FrontArm) -> list[Point]:
    start = Point(body.SHOULDER_BREADTH / 2 - 0.034, -body.TRUNK + 0.006)
    return chain(start, (270 + arm.out, body.UPPER_ARM), (270 + arm.out + arm.elbow, body.FOREARM))


def _arm(arm: FrontArm) -> Marks:
    bones = _arm_bones(arm)
    turned = 270 + arm.out + arm.elbow
    root = bones[2].plus(bones[1].minus(bones[2]), 0.12)
    palm = chain(root, (turned, body.HAND * 0.5), (turned - 4, body.HAND * 0.28), (turned - 10, body.HAND * 0.22))
    thumb = chain(root, (turned - 22, body.HAND * 0.32), (turned - 10, body.HAND * 0.26))
    way = bones[1].minus(bones[0])
    at = bones[0].plus(way, 0.5)
    side = way.aside()
    sleeve = straight([at.plus(side, 0.025), at.plus(side, -0.024)])
    outlines = (
        limb(bones, _ARM),
        finger(palm, (0.013, 0.017, 0.014, 0.009), fine=False),
        finger(thumb, (0.01, 0.008, 0.006), fine=False),
    )
    return [joined(*outlines), mark("detail", sleeve)]


def _trunk() -> Marks:
    side = points(0.026, -0.312, 0.07, -0.302, 0.098, -0.293, 0.1, -0.25, 0.093, -0.2, 0.086, -0.13, 0.089, -0.06)
    side = [*side, *points(0.098, 0.0, 0.1, 0.022)]
    other = [Point(-at.x, at.y) for at in reversed(side)]
    shirt = smooth(side, [other[0]], other[1:], closed=True)
    collar = smooth(points(-0.026, -0.312, 0, -0.292, 0.026, -0.312))
    neck = straight(points(-0.022, -0.35, -0.025, -0.31, 0.025, -0.31, 0.022, -0.35))
    return [mark("skin", shirt), mark("skin", neck), mark("skin", _head()), *_face(), mark("detail", collar)]


def _head() -> Curve:
    half = points(0.0, -0.34, 0.024, -0.346, 0.043, -0.37, 0.051, -0.405, 0.048, -0.44, 0.026, -0.466, 0, -0.47)
    return smooth([*half, *[Point(-at.x, at.y) for at in reversed(half[1:-1])]], closed=True)


def _face() -> Marks:
    brow = points(0.048, -0.44, 0.026, -0.466, 0, -0.47, -0.026, -0.466, -0.048, -0.44, -0.05, -0.41)
    brow += points(-0.038, -0.436, 0, -0.442, 0.038, -0.436, 0.05, -0.41)
    eyes = [round_about(Point(side * 0.019, -0.408), 0.0022) for side in (-1, 1)]
    return [
        mark("hair", smooth(brow, closed=True)),
        mark("solid", *eyes),
        mark(
            "detail",
            smooth(points(-0.012, -0.366, 0, -0.362, 0.012, -0.366)),
            smooth(points(0.002, -0.404, 0.006, -0.385, 0, -0.383)),
        ),
    ]
