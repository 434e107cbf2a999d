"""Pictures of three kinds of touch: one small point, a whole hand, a firm press with a ball."""

from __future__ import annotations

from treadleaf.drawings import foot_above, foot_side, hand, things
from treadleaf.drawings.foot_side import SidePose
from treadleaf.drawings.geometry import Curve, Point, mirror, round_about, scale, shift, smooth, straight, turn
from treadleaf.drawings.hand import HandPose
from treadleaf.drawings.scene import WIDTH, Say, Scene
from treadleaf.drawings.strokes import Label, Marks, arrow, mark, moved

_PINCH = HandPose(
    folded={"middle": 0.55, "ring": 0.6, "little": 0.6, "thumb": 0.0, "index": 0.12},
    spread={"thumb": 30, "index": -6},
    arm=34,
)
_OPEN = HandPose(spread={"little": 6, "ring": 3, "index": -3, "thumb": 4}, arm=80)


def point(say: Say) -> Scene:
    """A sole, and a hand that sets the capped end of a pen on one spot."""
    marks: Marks = moved(foot_above.sole(), scale(2.6), shift(104, 286))
    spot = Point(100, 176)
    ways = (mirror(), turn(62), scale(1.5), shift(296, 236))
    whole = ways[0].then(ways[1]).then(ways[2]).then(ways[3])
    index, thumb = (whole(hand.tip(_PINCH, name)) for name in ("index", "thumb"))
    held = Point((index.x + thumb.x) / 2, (index.y + thumb.y) / 2)
    pen, cap = _pen(spot, held)
    marks += [mark("thing", pen), mark("solid", cap), *moved(hand.hand(_PINCH), *ways)]
    marks.append(mark("sight", round_about(spot, 17)))
    marks.append(Label(say["one_point"], Point(352, 60), anchor="end", strong=True))
    return Scene(300, marks)


def _pen(spot: Point, held: Point) -> tuple[Curve, Curve]:
    """The pen's barrel, past where it is held, and its cap with a round end on the spot."""
    way = held.minus(spot)
    ahead = Point(way.x / way.length(), way.y / way.length())
    side = Point(-ahead.y, ahead.x)
    far, near = spot.plus(way, 1.32), spot.plus(ahead, 36)
    barrel = straight([near.plus(side, 5), far.plus(side, 5), far.plus(side, -5), near.plus(side, -5)], closed=True)
    tip = [spot.plus(ahead, along).plus(side, out) for along, out in ((6, 6), (1.7, 4.2), (0, 0), (1.7, -4.2), (6, -6))]
    return barrel, smooth([near.plus(side, 6), tip[0]], tip[1:], [near.plus(side, -6)], closed=True)


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
