"""A whole person from the side, facing right, posed by joint angles; all lengths are shares of stature.

Segment lengths come from ``proportions``; girths are drawn, not measured. Shirt and shorts are two hems.
"""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass, field, replace

from treadleaf.drawings import foot_side, things
from treadleaf.drawings import proportions as body
from treadleaf.drawings.geometry import Curve, Point, moved, points, round_about, scale, shift, smooth, straight, turn
from treadleaf.drawings.limbs import Girth, chain, finger, limb
from treadleaf.drawings.strokes import Mark, Marks, joined, mark


@dataclass(frozen=True)
class Arm:
    """Degrees from an arm that hangs: forward at the shoulder, elbow bent, hand up, fingers curled, thumb off."""

    shoulder: float = 6.0
    elbow: float = 12.0
    wrist: float = 0.0
    grip: float = 15.0
    thumb: float = 48.0


@dataclass(frozen=True)
class Leg:
    """Degrees from a leg that stands: the thigh forward of the trunk, knee bent, toes to the shin, toes up."""

    hip: float = 0.0
    knee: float = 0.0
    ankle: float = 0.0
    toes: float = 0.0


@dataclass(frozen=True)
class Pose:
    """A person: ``lean`` and ``nod`` bend trunk and head forward; near and far limbs, as the eye sees them.

    ``head``: its size by an adult's; a small child's is larger for the body.
    """

    lean: float = 0.0
    nod: float = 0.0
    near_arm: Arm = field(default_factory=Arm)
    far_arm: Arm = field(default_factory=Arm)
    near_leg: Leg = field(default_factory=Leg)
    far_leg: Leg = field(default_factory=Leg)
    arch: float = 2.0
    head: float = 1.0

    def down(self) -> float:
        """Direction of a leg in line with the trunk."""
        return 270 - self.lean


_LEG = (
    (Girth(0.05, 0.053, 0.061), Girth(0.5, 0.049, 0.048), Girth(0.9, 0.037, 0.031)),
    (
        *(Girth(0.1, 0.033, 0.032), Girth(0.36, 0.028, 0.0445)),
        *(Girth(0.75, 0.021, 0.028), Girth(0.88, 0.0205, 0.0246)),
    ),
)
_ARM = (
    (Girth(0.0, 0.026, 0.026), Girth(0.18, 0.031, 0.03), Girth(0.5, 0.026, 0.027), Girth(0.88, 0.021, 0.022)),
    (Girth(0.15, 0.022, 0.022), Girth(0.4, 0.021, 0.019), Girth(0.97, 0.013, 0.013)),
)
_BEHIND = 3.5
"""How far a far leg stands ahead of the near one, in degrees at the hip."""
_SHIRT_FRONT = points(0.06, -0.012, 0.063, 0.06, 0.057, 0.13, 0.064, 0.205, 0.05, 0.262, 0.024, 0.298)
_SHIRT_BACK = points(
    -0.032, 0.312, -0.058, 0.285, -0.068, 0.22, -0.055, 0.12, -0.059, 0.06, -0.072, 0.012, -0.07, -0.012
)
_HEAD = points(
    *(0.024, -0.01, 0.02, 0.036, 0.05, 0.042, 0.06, 0.052, 0.0585, 0.068, 0.07, 0.085, 0.06, 0.107, 0.058, 0.133),
    *(0.034, 0.163, -0.012, 0.17, -0.052, 0.146, -0.064, 0.105, -0.05, 0.064, -0.037, 0.035, -0.04, -0.006),
)
_HAIR = points(
    *(0.058, 0.133, 0.034, 0.163, -0.012, 0.17, -0.052, 0.146, -0.064, 0.105, -0.05, 0.064),
    *(-0.03, 0.066, -0.016, 0.088, -0.002, 0.112, 0.014, 0.136, 0.04, 0.14),
)
_EAR = points(-0.002, 0.095, 0.006, 0.1, 0.01, 0.09, 0.003, 0.074)
_EYE = points(0.042, 0.108, 0.046, 0.104)
_NECK = Point(-0.002, 0.3)


def knee(pose: Pose, leg: Leg) -> Point:
    return _leg_bones(pose, leg)[1]


def ankle(pose: Pose, leg: Leg) -> Point:
    return _leg_bones(pose, leg)[2]


def lowest(pose: Pose, leg: Leg) -> float:
    """How far below the hip a foot's lowest point is."""
    return max(point.y for point in _foot(pose, leg).every_point())


def arm_to(pose: Pose, target: Point, *, wrist: float = 0.0, grip: float = 15.0) -> Arm:
    """The arm whose hand's root lies at a place, told from the hip; stretched towards it where it is out of reach."""
    way = target.minus(_shoulder(pose))
    reach = min(way.length(), (body.UPPER_ARM + body.FOREARM) * 0.999)
    straightness = (body.UPPER_ARM**2 + body.FOREARM**2 - reach**2) / (2 * body.UPPER_ARM * body.FOREARM)
    bend = 180 - math.degrees(math.acos(max(-1.0, min(1.0, straightness))))
    off = (body.UPPER_ARM**2 + reach**2 - body.FOREARM**2) / (2 * body.UPPER_ARM * reach)
    direction = math.degrees(math.atan2(-way.y, way.x)) - math.degrees(math.acos(max(-1.0, min(1.0, off))))
    return Arm((direction - pose.down() + 180) % 360 - 180, bend, wrist, grip)


def person(pose: Pose, *, behind: bool = True) -> Marks:
    """The marks of a person whose hip joint lies at the origin. A far arm held as the near one is hidden by it.

    ``behind``: a far leg held as the near one shows beside it.
    """
    marks: Marks = []
    if pose.far_arm != pose.near_arm:
        marks += _arm(pose, pose.far_arm)
    if pose.far_leg != pose.near_leg:
        marks += _leg(pose, pose.far_leg)
    elif behind:
        marks += _leg_behind(pose)
    marks += [*_leg(pose, pose.near_leg), *_trunk(pose), *_arm(pose, pose.near_arm)]
    return marks


def _leg_bones(pose: Pose, leg: Leg) -> list[Point]:
    thigh = pose.down() + leg.hip
    return chain(Point(0, 0), (thigh, body.THIGH), (thigh - leg.knee, body.SHANK))


def _foot(pose: Pose, leg: Leg) -> Mark:
    turned = pose.down() + leg.hip - leg.knee + leg.ankle - 270
    held = foot_side.SidePose(
        arch=pose.arch, ankle=leg.ankle, big=(leg.toes, 0), lesser=(leg.toes, 0), lean=turned, shin=0.75
    )
    size = body.FOOT_LENGTH / 100
    at = foot_side.joint(held, foot_side.ANKLE)
    where = _leg_bones(pose, leg)[2]
    to_ankle = shift(-at.x, -at.y).then(scale(size)).then(shift(where.x, where.y))
    return foot_side.outline(held).moved(to_ankle)


def _leg(pose: Pose, leg: Leg) -> Marks:
    bones = _leg_bones(pose, leg)
    foot = _foot(pose, leg).curves
    hem = [bones[0].plus(bones[1].minus(bones[0]), 0.62)]
    way = bones[1].minus(bones[0])
    side = way.aside()
    ends = [hem[0].plus(side, 0.047), hem[0].plus(way, 0.02), hem[0].plus(side, -0.044)]
    seat = bones[0].plus(side, -0.006)  # round at the back, where the seat is; the thigh's own girth at the front
    return [joined(round_about(seat, 0.056), limb(bones, _LEG), *foot), mark("detail", smooth(ends))]


def _leg_behind(pose: Pose) -> Marks:
    """A far leg that is held as the near one: a little ahead of it, so that there are two."""
    near = pose.near_leg
    leg = replace(near, hip=near.hip + _BEHIND, ankle=near.ankle - _BEHIND)
    return [replace(joined(limb(_leg_bones(pose, leg), _LEG), *_foot(pose, leg).curves), kind="far")]


def hidden_hand(pose: Pose, arm: Arm) -> Mark:
    """The fingers of an arm, dashed: for where they lie behind something."""
    return mark("unseen", finger(_fingers(_arm_bones(pose, arm), pose, arm)[1:], _FINGERS[1:], fine=False))


def _arm_bones(pose: Pose, arm: Arm) -> list[Point]:
    upper = pose.down() + arm.shoulder
    return chain(_shoulder(pose), (upper, body.UPPER_ARM), (upper + arm.elbow, body.FOREARM))


def _fingers(bones: Sequence[Point], pose: Pose, arm: Arm) -> list[Point]:
    """From the root of the hand along the fingers, which are drawn as one."""
    palm = pose.down() + arm.shoulder + arm.elbow + arm.wrist
    return chain(
        bones[2].plus(bones[1].minus(bones[2]), 0.12),
        (palm, body.HAND * 0.48),
        (palm - arm.grip, body.HAND * 0.28),
        (palm - arm.grip * 2.2, body.HAND * 0.36),
    )


_FINGERS = (0.014, 0.017, 0.012, 0.0085)


def _arm(pose: Pose, arm: Arm) -> Marks:
    bones = _arm_bones(pose, arm)
    way = bones[1].minus(bones[0])
    at = bones[0].plus(way, 0.48)
    side = way.aside()
    sleeve = straight([at.plus(side, 0.028), at.plus(side, -0.028)])
    hand = _fingers(bones, pose, arm)
    palm = pose.down() + arm.shoulder + arm.elbow + arm.wrist
    thumb = chain(hand[0], (palm + arm.thumb, body.HAND * 0.34), (palm + arm.thumb / 2, body.HAND * 0.3))
    outlines = (
        limb(bones, _ARM),
        finger(hand, _FINGERS, fine=False),
        finger(thumb, (0.011, 0.009, 0.006), fine=False),
    )
    return [joined(*outlines), mark("detail", sleeve)]


def _shoulder(pose: Pose) -> Point:
    return turn(-pose.lean)(Point(-0.006, -body.TRUNK))


def _trunk(pose: Pose) -> Marks:
    upright = turn(-pose.lean)
    nod = turn(-pose.nod, Point(_NECK.x, -_NECK.y))

    def head(run: Sequence[Point]) -> list[Point]:
        return moved([nod(Point(_NECK.x + at.x * pose.head, -_NECK.y - at.y * pose.head)) for at in run], upright)

    def shirt(run: Sequence[Point]) -> list[Point]:
        return moved([Point(at.x, -at.y) for at in run], upright)

    face = head(_HEAD)
    front, back = shirt(_SHIRT_FRONT), shirt(_SHIRT_BACK)
    return [
        mark("skin", smooth(face)),
        mark("hair", smooth(head(_HAIR), closed=True)),
        mark("detail", smooth(head(_EAR)), straight(head(_EYE))),
        mark("skin", smooth(front, [back[0]], back[1:], [front[0]], closed=True)),
    ]


def holding(pose: Pose, ahead: float) -> Pose:
    """The person with both hands on the back of a chair that stands ``ahead`` of the hips, the far leg on the floor."""
    top = lowest(pose, pose.far_leg) - things.CHAIR_BACK
    held = arm_to(pose, Point(ahead - 0.034, top - 0.02), wrist=44, grip=42)
    return with_arms(pose, replace(held, thumb=-80))


def with_arms(pose: Pose, arms: Arm) -> Pose:
    """The person with both arms held alike."""
    return replace(pose, near_arm=arms, far_arm=arms)


def bones(pose: Pose, leg: Leg) -> Curve:
    """The line through hip, knee and ankle, for a test or a drawing of lines."""
    return straight(_leg_bones(pose, leg))


def calf(pose: Pose, leg: Leg) -> Curve:
    """The muscle at the back of the shin, to be filled."""
    _, above, below = _leg_bones(pose, leg)
    way = below.minus(above)
    aside = way.aside()
    outer = ((0.1, 0.03), (0.3, 0.043), (0.5, 0.04), (0.66, 0.031))
    inner = ((0.5, 0.014), (0.3, 0.01), (0.14, 0.016))
    around = [above.plus(way, at).plus(aside, -out) for at, out in (*outer, *inner)]
    return smooth(around, closed=True)
