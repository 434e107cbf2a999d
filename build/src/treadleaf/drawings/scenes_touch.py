"""Pictures of three kinds of touch: one small point, a whole hand, a firm press with a ball."""

from __future__ import annotations

from treadleaf.drawings import foot_above, foot_side, hand, things
from treadleaf.drawings.foot_side import SidePose
from treadleaf.drawings.geometry import Point, mirror, points, round_about, scale, shift, straight, turn
from treadleaf.drawings.hand import HandPose
from treadleaf.drawings.scene import WIDTH, Say, Scene
from treadleaf.drawings.strokes import Label, Marks, arrow, mark, moved

_PINCH = HandPose(
    folded={"middle": 0.55, "ring": 0.6, "little": 0.6, "thumb": 0.0, "index": 0.12},
    spread={"thumb": 24, "index": -8},
    arm=80,
)
_OPEN = HandPose(spread={"little": 6, "ring": 3, "index": -3, "thumb": 4}, arm=80)


def point(say: Say) -> Scene:
    """A sole, and a hand that sets the capped end of a pen on one spot."""
    marks: Marks = moved(foot_above.sole(), scale(2.6), shift(104, 286))
    spot = Point(100, 176)
    ways = (mirror(), turn(62), scale(1.5), shift(282, 238))
    tip = Point(166, 170)
    marks += [mark("thing", *_pen(spot, tip.plus(Point(60, 6))))]
    marks += moved(hand.hand(_PINCH), *ways)
    marks += [mark("work", round_about(spot, 6)), mark("sight", round_about(spot, 15))]
    marks.append(Label(say["one_point"], Point(196, 60), anchor="start", strong=True))
    return Scene(300, marks)


def _pen(spot: Point, end: Point) -> list:  # type: ignore[type-arg]
    way = end.minus(spot)
    ahead = Point(way.x / way.length(), way.y / way.length())
    side = Point(-ahead.y * 4.5, ahead.x * 4.5)
    cap = spot.plus(ahead, 34)
    return [
        straight([spot.plus(side), end.plus(side), end.plus(side, -1), spot.plus(side, -1)], closed=True),
        straight([cap.plus(side), cap.plus(side, -1)]),
    ]


def palm(say: Say) -> Scene:
    """A sole, and a whole hand laid across it."""
    marks: Marks = moved(foot_above.sole(), scale(2.6), shift(104, 286))
    marks += moved(hand.hand(_OPEN), mirror(), turn(70), scale(1.75), shift(218, 214))
    marks.append(Label(say["whole_hand"], Point(196, 60), anchor="start", strong=True))
    return Scene(300, marks)


def ball(say: Say) -> Scene:
    """A foot from its inner side presses its arch on a ball on the floor."""
    size, floor = 2.2, 262.0
    radius = 13 * size
    pose = SidePose(arch=5, lean=-4, ankle=-4)
    middle = 46.0
    left = 50.0
    marks: Marks = things.floor(8, WIDTH - 8, floor)
    marks += things.ball(Point(left + middle * size, floor - radius), radius)
    marks += moved(foot_side.foot(pose, work=("arch",)), scale(size), shift(left, floor - radius * 2 + 10))
    marks += arrow(Point(left + 62 * size, 60), Point(left + 62 * size, 112))
    marks.append(Label(say["firm_press"], Point(left + 62 * size + 14, 84), anchor="start", strong=True))
    return Scene(280, marks)


_ = points
