"""Pictures for the cautions: looking at a sole in a mirror, a scale for pain, what to do when a calf cramps."""

from __future__ import annotations

from dataclasses import replace

from treadleaf.drawings import figure_side, foot_above, phrases, things
from treadleaf.drawings.figure_side import Leg, Pose
from treadleaf.drawings.geometry import Point, points, round_about, scale, shift, straight, turn
from treadleaf.drawings.scene import WIDTH, Say, Scene
from treadleaf.drawings.strokes import Label, Marks, arrow, mark, moved


def sole_mirror(_: Say) -> Scene:
    """Somebody sits, one foot held up, a hand mirror below it; large, the mirror with the sole in it."""
    tall, floor, at, lean = 226.0, 268.0, 14.0, 40.0
    lifted, stays = Leg(hip=lean + 112, knee=70, ankle=6), Leg(hip=lean + 86, knee=88, ankle=2)
    sits = Pose(lean=lean, nod=6, near_leg=lifted, far_leg=stays)
    glass = figure_side.ankle(sits, lifted).plus(Point(0.05, 0.135))
    reaches = replace(figure_side.arm_to(sits, glass.plus(Point(-0.235, -0.085)), wrist=52, grip=12), thumb=24)
    knee = figure_side.knee(sits, stays)
    rests = figure_side.arm_to(sits, knee.plus(Point(-0.06, -0.05)), wrist=-10, grip=30)
    sits = replace(sits, near_arm=reaches, far_arm=rests)
    hip = Point(0.1, -figure_side.lowest(sits, stays))
    place = shift(*hip).then(scale(tall)).then(shift(at, floor))
    here = place(glass)
    small = [mark("thing", things.box(-38, -1.8, -14, 1.8)), mark("thing", round_about(Point(0, 0), 17, 5))]
    large, radius = Point(272, 96), 70.0
    sole = moved(foot_above.sole(), scale(1.18), shift(0, 59))
    shine = [straight(points(34, -46, 50, -30)), straight(points(42, -50, 54, -38))]
    marks: Marks = things.floor(8, WIDTH - 8, floor) + moved(things.chair(), scale(tall), shift(at, floor))
    marks.append(mark("detail", straight([here.plus(Point(22, -9)), large.plus(Point(-58, 56))])))
    marks += moved(small, turn(-14), shift(*here)) + moved(figure_side.person(sits), place)
    marks += moved([*things.hand_mirror(radius), *sole, mark("detail", *shine)], shift(*large))
    return Scene(floor + 12, marks)


STOP = 4
"""From this pain on a client stops: a house rule, common practice. The words of the drawing name it, too."""


def pain_scale(say: Say) -> Scene:
    """A line from 0 to 10; from ``STOP`` on a hatched, edged bar with a word above."""
    left, each, line = 30.0, 30.0, 92.0
    spots = [left + each * number for number in range(11)]
    marks: Marks = [mark("line", straight(points(left, line, spots[-1], line)))]
    high = 30.0
    bar = things.box(spots[STOP], line - high, spots[-1] + 12, line)
    marks.append(mark("work", bar))
    hatch = [straight(points(x, line, x + 12, line - high)) for x in range(int(spots[STOP]), int(spots[-1]), 12)]
    marks.append(mark("detail", *hatch))
    marks.append(mark("line", *(straight(points(x, line - 7, x, line + 7)) for x in spots)))
    marks.append(mark("measured", straight(points(spots[STOP], line - high - 26, spots[STOP], line + 10))))
    marks += [Label(str(number), Point(x, line + 30), strong=number >= STOP) for number, x in enumerate(spots)]
    marks.append(Label(say["stop"], Point(spots[STOP] + 10, line - high - 12), anchor="start", strong=True))
    marks.append(Label(say["no_pain"], Point(left - 8, line + 56), anchor="start"))
    marks.append(Label(say["worst_pain"], Point(spots[-1] + 16, line + 56), anchor="end"))
    return Scene(line + 66, marks)


def cramp_calf(say: Say) -> Scene:
    """Somebody leans on a wall, one leg straight and far behind, its heel on the floor, its calf filled."""
    tall, floor, wall_at, lean = 262.0, 292.0, 276.0, 24.0
    behind = Leg(ankle=lean)
    ahead = Leg(hip=lean + 32, knee=43, ankle=11)
    pose = Pose(lean=lean, nod=-14, near_leg=behind, far_leg=ahead)
    down = figure_side.lowest(pose, behind)
    hip_at = 0.452
    pose = figure_side.with_arms(pose, figure_side.arm_to(pose, Point(hip_at - 0.03, -0.29), wrist=72, grip=0))
    place = scale(tall).then(shift(wall_at - hip_at * tall, floor - down * tall))
    marks: Marks = things.floor(8, WIDTH - 8, floor) + moved(things.wall(1.06), scale(tall), shift(wall_at, floor))
    marks += moved(figure_side.person(pose), place)
    marks += moved([mark("work", figure_side.calf(pose, behind))], place)
    heel = place(figure_side.ankle(pose, behind))
    marks += arrow(Point(heel.x - 28, floor - 50), Point(heel.x - 28, floor - 8))
    marks.append(Label(say["heel_stays"], Point(heel.x - 20, floor + 24), strong=True))
    return Scene(floor + 34, marks, {"heel": phrases.heel(0)})
