"""Pictures of three kinds of touch: one small point, a whole hand, a firm press with a ball."""

from __future__ import annotations

from treadleaf.drawings import foot_above, foot_side, grip, hand, things
from treadleaf.drawings.foot_side import SidePose
from treadleaf.drawings.geometry import Point, mirror, round_about, scale, shift, turn
from treadleaf.drawings.hand import HandPose
from treadleaf.drawings.scene import WIDTH, Say, Scene
from treadleaf.drawings.strokes import Label, Marks, arrow, mark, moved

_OPEN = HandPose(spread={"little": 6, "ring": 3, "index": -3, "thumb": 4}, arm=80)


def point(say: Say) -> Scene:
    """A sole, and a hand that sets the capped end of a pen on one spot."""
    marks: Marks = moved(foot_above.sole(), scale(2.6), shift(104, 286))
    spot = Point(98, 170)
    marks += moved(grip.hand_with_pen(), turn(14), shift(*spot))
    marks.append(mark("detail", round_about(spot, 11)))
    marks.append(Label(say["one_point"], Point(352, 60), anchor="end", strong=True))
    return Scene(300, marks)


def palm(say: Say) -> Scene:
    """A sole, and a whole hand laid across it."""
    marks: Marks = moved(foot_above.sole(), scale(2.6), shift(104, 286))
    marks += moved(hand.hand(_OPEN), mirror(), turn(70), scale(1.75), shift(218, 214))
    marks.append(Label(say["whole_hand"], Point(352, 60), anchor="end", strong=True))
    return Scene(300, marks)


def ball(say: Say) -> Scene:
    """A foot from its inner side presses its arch on a ball on the floor."""
    size, floor = 2.2, 262.0
    radius = 13 * size
    pose = SidePose(arch=5, lean=-4, ankle=-4, shin=0.74)
    middle = 46.0
    left = 50.0
    marks: Marks = things.floor(8, WIDTH - 8, floor)
    marks += things.ball(Point(left + middle * size, floor - radius), radius)
    marks += moved(foot_side.foot(pose, work=("arch",)), scale(size), shift(left, floor - radius * 2 + 10))
    marks += arrow(Point(left + 62 * size, 60), Point(left + 62 * size, 112))
    marks.append(Label(say["firm_press"], Point(left + 62 * size + 14, 84), anchor="start", strong=True))
    return Scene(280, marks)
