"""Pictures of three kinds of touch: one small point, a whole hand, a firm press with a ball."""

from __future__ import annotations

from treadleaf.drawings import figure_side, foot_above, foot_side, grip, hand, things
from treadleaf.drawings.figure_side import Leg, Pose
from treadleaf.drawings.foot_side import SidePose
from treadleaf.drawings.geometry import Point, mirror, round_about, scale, shift, turn
from treadleaf.drawings.hand import HandPose
from treadleaf.drawings.scene import WIDTH, Say, Scene
from treadleaf.drawings.strokes import Label, Marks, arrow, mark, moved

_OPEN = HandPose(spread={"little": 6, "ring": 3, "index": -3, "thumb": 4}, arm=80)


def point(say: Say) -> Scene:
    """A sole, and a hand that sets the capped end of a pen on one spot."""
    marks: Marks = moved(foot_above.sole(), scale(2.6), shift(78, 286))
    spot = Point(72, 170)
    marks += moved(grip.hand_with_pen(), turn(14), shift(*spot))
    marks.append(mark("detail", round_about(spot, 11)))
    marks.append(Label(say["one_point"], Point(352, 30), anchor="end", strong=True))
    return Scene(300, marks)


def palm(say: Say) -> Scene:
    """A sole, and a whole hand laid across it."""
    marks: Marks = moved(foot_above.sole(), scale(2.6), shift(104, 286))
    marks += moved(hand.hand(_OPEN), mirror(), turn(70), scale(1.75), shift(218, 214))
    marks.append(Label(say["whole_hand"], Point(352, 30), anchor="end", strong=True))
    return Scene(300, marks)


def ball(say: Say) -> Scene:
    """A foot from its inner side, its heel on the floor, presses its arch on a ball; the person sits on a chair."""
    size, floor, left = 2.1, 276.0, 20.0
    radius = 8.5
    pose = SidePose(arch=5, lean=_TIPPED, ankle=_TIPPED, shin=0.86)
    foot = moved(foot_side.foot(pose, work=("arch",)), scale(size))
    down = max(point.y for one in foot for point in one.every_point())
    marks: Marks = things.floor(8, WIDTH - 8, floor)
    marks += moved(things.ball(Point(50, -radius), radius), scale(size), shift(left, floor))
    marks += moved(foot, shift(left, floor - down))
    instep = Point(left, floor - down).plus(foot_side.joint(pose, Point(61, -24)), size)
    marks += arrow(instep.plus(Point(0, -62)), instep)
    marks.append(Label(say["firm_press"], instep.plus(Point(10, -22)), anchor="start", strong=True))
    return Scene(294, marks + _sits(say, Point(258, 146)))


_TIPPED = 14.0
"""How far a ball under its arch tips the foot of somebody who sits, toes up, in degrees."""


def _sits(say: Say, at: Point) -> Marks:
    """A small person on a chair whose back stands at a place on the floor, the near foot on a ball."""
    tall = 164.0
    leg = Leg(hip=79, knee=79, ankle=_TIPPED)
    rests = figure_side.arm_to(Pose(), Point(0.13, -0.06), wrist=-6, grip=10)
    person = figure_side.with_arms(Pose(near_leg=leg, far_leg=leg), rests)
    hip = Point(0.1, -figure_side.lowest(person, leg))
    ball = figure_side.ankle(person, leg).plus(hip).plus(Point(0.052, 0))
    marks: Marks = things.floor(at.x - 12, WIDTH - 8, at.y)
    marks += moved(things.chair(), scale(tall), shift(*at))
    marks += moved(figure_side.person(person, behind=False), shift(*hip), scale(tall), shift(*at))
    marks += [mark("thing", round_about(Point(ball.x * tall, -2.4), 2.4)).moved(shift(*at))]
    marks.append(Label(say["sitting"], Point(at.x - 10, at.y - 100), anchor="end", strong=True))
    return marks
