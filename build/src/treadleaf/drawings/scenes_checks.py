"""Pictures for the checks: wet prints, the reach under the arch, heels and the photo of them."""

from __future__ import annotations

from treadleaf.drawings import figure_side, foot_above, hand, heels, phrases, prints, things
from treadleaf.drawings.figure_side import Leg, Pose
from treadleaf.drawings.geometry import Point, mirror, points, round_about, scale, shift, straight, turn
from treadleaf.drawings.scene import WIDTH, Say, Scene
from treadleaf.drawings.strokes import Label, Marks, mark, moved


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
        wide = len(names[left]) * 5 + 8
        marks += _pointers(90 + _aim(left), WIDTH / 2 - wide, middle)
        marks += _pointers(WIDTH - 90 - _aim(right), WIDTH / 2 + wide, middle)
    marks += [Label(say["left"], Point(90, 342)), Label(say["right"], Point(WIDTH - 90, 342))]
    if left != right:
        marks += [
            Label(names[left], Point(172, middle - 22), strong=True),
            Label(names[right], Point(188, middle + 34), strong=True),
        ]
        marks += _pointers(90 + _aim(left), 140, middle - 14)
        marks += _pointers(WIDTH - 90 - _aim(right), 212, middle + 20)
    return Scene(352, marks, {"left": phrases.contact(left), "right": phrases.contact(right)})


def _aim(share: float) -> float:
    """Where the word for a print's middle points: into the gap, or on the strip."""
    return 0.0 if share <= 0 else 2.55 * (-16 + share * 12)


def _pointers(to: float, start: float, at: float) -> Marks:
    """A thin line from a word to a spot, with a dot on the spot."""
    return [mark("detail", straight(points(start, at, to, at))), mark("solid", round_about(Point(to, at), 2.4))]


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
    tall, floor, at = 236.0, 268.0, 222.0
    client = _holding(_STANDS, 0.25)
    down = figure_side.lowest(client, client.near_leg)
    leg = Leg(hip=136, knee=161, ankle=-58, toes=-4)
    kneels = Pose(lean=66, nod=-30, near_leg=leg, far_leg=leg)
    low = figure_side.knee(kneels, leg).y + 0.034
    helper_at = Point(at - 122, floor - low * tall)
    target = Point((at - 7 - helper_at.x) / tall, (floor - 7 - helper_at.y) / tall)
    reaching = figure_side.arm_to(kneels, target, wrist=20, grip=0)
    kneels = figure_side.with_arms(kneels, reaching)
    centre, radius = Point(72, 74), 62.0
    marks: Marks = [mark("detail", straight([Point(at, floor - 10), centre]))]
    marks += things.floor(8, WIDTH - 8, floor)
    marks += moved(things.chair(), scale(tall), shift(at + 0.25 * tall, floor))
    # The helper's hand goes behind the near foot, to its inner side.
    marks += moved(figure_side.person(kneels), scale(tall), shift(*helper_at))
    marks += moved(figure_side.person(client), scale(tall), shift(at, floor - down * tall))
    close, _ = _finger_under_foot(arm=24)
    marks += lens(centre, radius)
    marks += moved((one for one in close if isinstance(one, Label) or one.kind != "detail"), scale(0.37), shift(16, 21))
    marks += [Label(say["helper"], Point(70, 190)), Label(say["client"], Point(at + 40, 56), anchor="start")]
    return Scene(286, marks)


def arch_reach_finger(say: Say) -> Scene:
    """A foot from above: a finger goes under the arch from the inner side; what is hidden is dashed."""
    marks, joints = _finger_under_foot()
    marks.append(mark("line", *(straight([at.plus(Point(0, -12)), at.plus(Point(0, 12))]) for at in joints[1:])))
    names = ("fingertip", "first_joint", "second_joint", "all_the_way")
    for number, (at, name) in enumerate(zip(joints, names, strict=True), 1):
        marks.append(Label(str(number), at.plus(Point(-6 if number == 1 else 0, 31)), strong=True))
        marks.append(Label(f"{number} {say[name]}", Point(190, 6 + 22 * number), anchor="start"))
    return Scene(282, marks)


def _finger_under_foot(arm: float = 56) -> tuple[Marks, list[Point]]:
    """A left foot from above, a right hand at its inner side; and the joints of the finger, the tip first."""
    foot = moved(foot_above.foot(), scale(2.5), shift(96, 268))
    pose = hand.HandPose(
        folded={"middle": 0.7, "ring": 0.72, "little": 0.68, "thumb": 0.2}, spread={"thumb": -6, "index": 6}, arm=arm
    )
    ways = (mirror(), turn(90), scale(1.75), shift(256, 146))
    under = hand.hidden_index(pose)
    whole = ways[0].then(ways[1]).then(ways[2]).then(ways[3])
    return [*moved(hand.hand(pose), *ways), *foot, *moved(under, *ways)], [
        whole(joint) for joint in reversed(hand.bones(pose, "index"))
    ]


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
    marks += things.phone(Point(46, floor), wide=6, high=20)
    marks += moved([mark("thing", things.box(26, -13, 43, 0))], shift(0, floor))
    marks.append(mark("sight", straight(points(56, lens, heel - 4, lens))))
    seen = [
        *moved(heels.heel(0, lines=False), mirror(), scale(0.42), shift(50, 112)),
        *moved(heels.heel(0, lines=False), scale(0.42), shift(98, 112)),
    ]
    marks += [mark("thing", things.box(16, 14, 132, 120)), *seen]
    marks.append(mark("detail", straight(points(46, floor - 26, 46, 124)), straight(points(18, 112, 130, 112))))
    marks += [Label(say["photo"], Point(56, 142), anchor="start"), Label(say["heel_height"], Point(122, lens - 10))]
    return Scene(280, marks)


def lens(centre: Point, radius: float) -> Marks:
    """A round frame for a part that is shown larger."""
    return [mark("thing", round_about(centre, radius))]
