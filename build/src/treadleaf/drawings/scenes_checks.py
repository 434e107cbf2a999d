"""Pictures for the checks: wet prints, the reach under the arch, heels and the photo of them."""

from __future__ import annotations

from treadleaf.drawings import figure_side, foot_above, hand, heels, phrases, prints, things
from treadleaf.drawings.figure_side import Arm, Leg, Pose
from treadleaf.drawings.geometry import Point, mirror, points, round_about, scale, shift, smooth, straight, turn
from treadleaf.drawings.scene import WIDTH, Say, Scene
from treadleaf.drawings.strokes import Label, Marks, arrow, mark, moved


def wet_prints(say: Say, left: float, right: float) -> Scene:
    """Two prints side by side on paper, each with the share of its middle that touched."""
    marks: Marks = things.paper(12, 10, WIDTH - 12, 318)
    size, foot_at = scale(2.55), 288
    marks += moved(prints.wet_print(left), size, shift(90, foot_at))
    marks += moved(prints.wet_print(right), mirror(), size, shift(WIDTH - 90, foot_at))
    names = {share: say[phrases.contact(share)] for share in (left, right)}
    middle = foot_at - 100
    if left == right:
        marks.append(Label(names[left], Point(WIDTH / 2, middle + 6), strong=True))
        marks.append(mark("detail", straight(points(148, middle, 128, middle)), straight(points(212, middle, 232, middle))))
    marks += [Label(say["left"], Point(90, 342)), Label(say["right"], Point(WIDTH - 90, 342))]
    if left != right:
        marks += [
            Label(names[left], Point(148, middle - 14), strong=True),
            Label(names[right], Point(212, middle + 26), strong=True),
        ]
    return Scene(352, marks, {"left": phrases.contact(left), "right": phrases.contact(right)})


_STANDS = Pose()
_HOLDS = 0.53
"""Height of what a person holds on to: the back of a chair."""


def _holding(pose: Pose, ahead: float) -> Pose:
    """The person with both hands on the back of a chair that stands ``ahead`` of the hips."""
    down = figure_side.lowest(pose, pose.near_leg)
    held = figure_side.arm_to(pose, Point(ahead - 0.035, down - _HOLDS - 0.02), wrist=-18, grip=35)
    return figure_side.with_arms(pose, held)


def arch_reach(say: Say) -> Scene:
    """Somebody stands holding a chair; a helper kneels and puts a finger under the arch from its inner side."""
    tall, floor = 236.0, 268.0
    client = _holding(_STANDS, 0.25)
    down = figure_side.lowest(client, client.near_leg)
    hips = shift(212, floor - down * tall)
    kneels = Pose(
        lean=52, nod=-18, near_leg=Leg(hip=82, knee=122, ankle=-48, toes=48), far_leg=Leg(hip=128, knee=100, ankle=2)
    )
    low = figure_side.lowest(kneels, kneels.far_leg)
    there = Point(212 + 0.035 * tall, floor - 0.022 * tall)
    helper_at = Point(112, floor - low * tall)
    target = Point((there.x - helper_at.x) / tall - 0.09, (there.y - helper_at.y) / tall)
    reaching = figure_side.arm_to(kneels, target, wrist=12, grip=0)
    resting = figure_side.arm_to(kneels, figure_side.knee(kneels, kneels.far_leg), grip=10)
    kneels = figure_side.with_arms(kneels, reaching, resting)
    marks: Marks = things.floor(8, WIDTH - 8, floor)
    marks += moved(things.chair(), scale(tall), shift(212 + 0.25 * tall, floor))
    marks += moved(figure_side.person(client), scale(tall), hips)
    marks += moved(figure_side.person(kneels), scale(tall), shift(*helper_at))
    marks += [Label(say["helper"], Point(66, 120)), Label(say["client"], Point(170, 24), anchor="end")]
    return Scene(286, marks)


def arch_reach_finger(say: Say) -> Scene:
    """A foot from above: a finger goes under the arch from the inner side; what is hidden is dashed."""
    size = 2.5
    foot = moved(foot_above.foot(), scale(size), shift(96, 268))
    pose = hand.HandPose(
        folded={"middle": 0.62, "ring": 0.64, "little": 0.6, "thumb": 0.2}, spread={"thumb": -6, "index": 6}, arm=70
    )
    # A right hand that points to the left; its index finger is 4.3 hundredths of a foot above the middle of the arch.
    start = Point(194, 205)
    ways = (mirror(), turn(90), scale(1.75), shift(*start))
    marks: Marks = moved(hand.hand(pose), *ways) + foot
    under, chain = hand.index_outline(pose)
    marks += moved(under, *ways)
    whole = turn(90)
    ticks = []
    for number, joint in enumerate(reversed(chain), 1):
        at = whole(mirror()(joint))
        at = Point(at.x * 1.75 + start.x, at.y * 1.75 + start.y)
        ticks.append(straight([at.plus(Point(0, -13)), at.plus(Point(0, 13))]))
        marks.append(Label(str(number), at.plus(Point(0, -19)), strong=True))
    marks.append(mark("line", *ticks[1:]))
    marks += [
        Label(f"1 {say['fingertip']}", Point(172, 40), anchor="start"),
        Label(f"2 {say['first_joint']}", Point(172, 64), anchor="start"),
        Label(f"3 {say['second_joint']}", Point(172, 88), anchor="start"),
        Label(f"4 {say['all_the_way']}", Point(172, 112), anchor="start"),
    ]
    return Scene(282, marks)


def heels_from_behind(say: Say, left: float, right: float) -> Scene:
    """Both legs from behind, each heel tilted below its ankle; positive moves its bottom outward."""
    floor = 228.0
    marks: Marks = things.floor(8, WIDTH - 8, floor)
    marks += moved(heels.heel(left), mirror(), shift(95, floor)) + moved(heels.heel(right), shift(WIDTH - 95, floor))
    marks += [Label(say["left"], Point(95, 252)), Label(say["right"], Point(WIDTH - 95, 252))]
    return Scene(262, marks, {"left": phrases.tilt(left), "right": phrases.tilt(right)})


def heel_photo(say: Say) -> Scene:
    """A phone on a support looks at the heels from behind, at their height; what it sees stands in a frame."""
    tall, floor = 232.0, 262.0
    pose = _holding(_STANDS, 0.25)
    down = figure_side.lowest(pose, pose.near_leg)
    at = 238.0
    marks: Marks = things.floor(8, WIDTH - 8, floor)
    marks += moved(things.chair(), scale(tall), shift(at + 0.25 * tall, floor))
    marks += moved(figure_side.person(pose), scale(tall), shift(at, floor - down * tall))
    lens = floor - 13
    heel = at - 0.042 * tall
    marks += things.phone(Point(46, floor), wide=6, high=20, lens=False) + [mark("solid", things.box(49, lens - 3, 52, lens + 3))]
    marks += moved([mark("thing", things.box(26, -13, 43, 0))], shift(0, floor))
    marks.append(mark("sight", straight(points(56, lens, heel - 4, lens))))
    seen = [
        *moved(heels.heel(0, lines=False), mirror(), scale(0.42), shift(50, 112)),
        *moved(heels.heel(0, lines=False), scale(0.42), shift(98, 112)),
    ]
    marks += [mark("thing", things.box(16, 14, 132, 120)), *seen]
    marks.append(mark("detail", straight(points(46, floor - 26, 60, 124)), straight(points(18, 112, 130, 112))))
    marks += [Label(say["photo"], Point(74, 141)), Label(say["heel_height"], Point(122, lens - 10))]
    return Scene(280, marks)


def lens(centre: Point, radius: float) -> Marks:
    """A round frame for a part that is shown larger."""
    return [mark("thing", round_about(centre, radius))]


__all__ = ["arch_reach", "arch_reach_finger", "heel_photo", "heels_from_behind", "wet_prints"]
_ = (Arm, arrow, smooth)
