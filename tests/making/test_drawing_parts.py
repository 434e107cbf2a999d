"""Parts of the drawing kit: mirrored exactly, proportioned like people, and moved by the joints that are bent."""

from __future__ import annotations

import pytest
from path_points import strokes as _strokes

from treadleaf.drawings import (
    figure_side,
    foot_above,
    foot_inside,
    foot_side,
    hand,
    heels,
    prints,
    proportions,
    scenes_checks,
    svg,
    things,
)
from treadleaf.drawings.figure_side import Leg, Pose
from treadleaf.drawings.foot_side import SidePose
from treadleaf.drawings.geometry import Point, mirror, points, scale, shift, smooth, turn
from treadleaf.drawings.strokes import moved


def _highest(marks) -> float:
    return min(point.y for one in marks for point in one.every_point())


def _lowest(marks) -> float:
    return max(point.y for one in marks for point in one.every_point())


@pytest.mark.parametrize(
    "part",
    [foot_above.foot(), prints.wet_print(0.3), heels.heel(9)],
    ids=["foot from above", "print", "heel"],
)
def test_left_and_right_are_exact_mirrors(part):
    """Each written number of one side is the other's with its sign changed."""
    one, other = ([_strokes(svg.path_data(mark.curves)) for mark in side] for side in (part, moved(part, mirror())))
    assert [[[(-x or 0.0, y) for x, y in stroke] for stroke in mark] for mark in other] == [
        [[(x or 0.0, y) for x, y in stroke] for stroke in mark] for mark in one
    ]
    assert moved(moved(part, mirror()), mirror()) == part


def test_the_big_toe_is_at_the_inner_side():
    """A left foot from above, toes up the page: the big toe at the right; from below it is at the left."""
    big = foot_above.toe_area("big").every_point()
    little = foot_above.toe_area("little").every_point()
    assert min(point.x for point in big) > max(point.x for point in little)
    below = foot_above.sole(work=("big",))
    filled = next(mark for mark in below if mark.kind == "work")
    assert max(point.x for point in filled.every_point()) < 0


def test_toes_are_shorter_than_the_ball_is_wide():
    outline = foot_above.outline().every_point()
    ball = max(point.x for point in outline) - min(point.x for point in outline)
    for toe in foot_above.TOES:
        run = foot_above.toe_area(toe).every_point()
        assert max(point.y for point in run) - min(point.y for point in run) < ball


def test_a_figure_has_the_proportions_of_the_table():
    """Heights of ankle, knee and hip of somebody who stands, and the top of the head at one stature."""
    stands = Pose()
    leg = stands.near_leg
    floor = figure_side.lowest(stands, leg)
    assert floor == pytest.approx(proportions.HIP_HEIGHT, abs=0.005)
    assert floor - figure_side.ankle(stands, leg).y == pytest.approx(proportions.ANKLE_HEIGHT, abs=0.005)
    assert floor - figure_side.knee(stands, leg).y == pytest.approx(proportions.KNEE_HEIGHT, abs=0.005)
    assert floor - _highest(figure_side.person(stands)) == pytest.approx(1.0, abs=0.02)


def test_a_childs_head_is_larger_for_its_body():
    child, adult = (figure_side.person(Pose(head=head)) for head in (1.5, 1.0))
    assert _lowest(child) == pytest.approx(_lowest(adult))
    assert _highest(child) < _highest(adult) - 0.05


def test_joint_angles_move_what_they_should():
    straight = Pose()
    bent = Pose(near_leg=Leg(hip=60, knee=90))
    hip, knee, ankle = (figure_side.bones(bent, bent.near_leg).every_point())[:3]
    assert knee.x > 0.15, "a bent hip brings the knee forward"
    assert ankle.x < knee.x, "a bent knee brings the foot back"
    for one, two, length in ((hip, knee, proportions.THIGH), (knee, ankle, proportions.SHANK)):
        assert one.minus(two).length() == pytest.approx(length)
    assert figure_side.ankle(straight, straight.near_leg).x == pytest.approx(0)
    leans = _highest(figure_side.person(Pose(lean=40)))
    assert leans > _highest(figure_side.person(straight)), "a trunk that leans is lower"


def test_a_hand_goes_where_it_is_sent():
    pose = Pose(lean=15)
    target = Point(0.2, -0.1)
    arm = figure_side.arm_to(pose, target)
    upper = turn(pose.down() + arm.shoulder)(Point(proportions.UPPER_ARM, 0))
    fore = turn(pose.down() + arm.shoulder + arm.elbow)(Point(proportions.FOREARM, 0))
    shoulder = turn(-pose.lean)(Point(-0.006, -proportions.TRUNK))
    assert shoulder.plus(upper).plus(fore).minus(target).length() < 1e-6


def test_a_raised_heel_leaves_the_toes_on_the_floor():
    flat, raised = foot_side.foot(SidePose()), foot_side.foot(SidePose(heel_up=40, ankle=-40))
    assert _lowest(raised) == pytest.approx(_lowest(flat), abs=1.5)
    heel = foot_side.joint(SidePose(heel_up=40), Point(1, -5))
    assert heel.y < -35
    assert foot_side.joint(SidePose(), Point(1, -5)) == Point(1, -5)


@pytest.mark.parametrize(("pose", "higher"), [(SidePose(big=(30, 0)), "big"), (SidePose(lesser=(30, 0)), "lesser")])
def test_big_toe_and_lesser_toes_move_apart(pose, higher):
    marks = foot_side.foot(pose, work=("big", "lesser"))
    rest = foot_side.foot(SidePose(), work=("big", "lesser"))
    tops = [[_highest([mark]) for mark in side if mark.kind == "work"] for side in (marks, rest)]
    lesser_moved, big_moved = (tops[0][index] < tops[1][index] - 2 for index in (0, -1))
    assert (big_moved, lesser_moved) == (higher == "big", higher == "lesser")


def test_a_higher_arch_is_a_wider_gap_above_the_floor():
    gaps = []
    for arch in (2, 6, 11):
        sole = foot_side._sole(SidePose(arch=arch))
        gaps.append(-min(point.y for point in sole if 30 < point.x < 60))
    assert gaps == sorted(gaps)
    assert gaps[2] > gaps[0] + 8


@pytest.mark.parametrize("part", [foot_inside.tendon, lambda: foot_inside.band(7)], ids=["tendon", "band"])
def test_what_holds_the_arch_lies_inside_the_foot(part):
    outline = foot_side.outline(SidePose(arch=7)).curves[0].every_point()
    (drawn,) = part()
    assert [at for at in drawn.every_point() if not _inside(at, outline)] == []


def _inside(at: Point, outline: list[Point]) -> bool:
    """Whether a straight line to the right crosses the outline an odd number of times."""
    crossed = 0
    for one, two in zip(outline, [*outline[1:], outline[0]], strict=True):
        if (one.y > at.y) != (two.y > at.y):
            crossed += at.x < one.x + (at.y - one.y) / (two.y - one.y) * (two.x - one.x)
    return crossed % 2 == 1


def test_a_tilted_heel_moves_its_bottom_and_not_the_leg():
    straight, tilted = heels.heel(0), heels.heel(12)
    lines = {mark.kind: mark.every_point() for mark in tilted}
    assert lines["measured"][1].x > 10
    assert lines["sight"] == {mark.kind: mark.every_point() for mark in straight}["sight"]


def test_a_tilted_heel_stands_flat_on_the_floor():
    """Neither edge of its underside lifts off or sinks; the outer edge moves outward."""
    for tilt in (-9, 13):
        bulb = heels.heel(tilt, lines=False)[2].curves[1].every_point()
        low = [point for point in bulb if point.y > -4]
        assert max(point.y for point in low) == pytest.approx(0, abs=0.5)
        assert max(point.x for point in low) - min(point.x for point in low) > 25


def test_a_heel_that_tilts_outward_shows_more_toes():
    """Two show beside a straight heel, three beside one tilted outward, all of them at the outer side."""
    shown = []
    for tilt in (0, 13):
        bulb = max(point.x for point in heels.heel(tilt, lines=False)[2].curves[1].every_point())
        tips = [middle + heels._further(tilt) for middle, *_ in heels._TOES]
        shown.append(sum(tip > bulb for tip in tips))
        assert max(point.x for point in heels.outlines(tilt)[2].every_point()) > bulb + 10
    assert shown == [2, 3]


def test_the_outer_side_shows_four_toes_that_bend_onto_the_floor():
    curled = foot_side.outer_side(SidePose(lesser=(16, -98)), work=("lesser",))
    straight = foot_side.outer_side(SidePose(), work=("lesser",))
    ends = [
        [max(point.x for point in mark.every_point()) for mark in side if mark.kind == "work"]
        for side in (curled, straight)
    ]
    assert [len(side) for side in ends] == [4, 4]
    assert ends[0] == sorted(ends[0], reverse=True), "the little toe ends first"
    assert all(bent < long - 3 for bent, long in zip(*ends, strict=True))
    tips = [_lowest([mark]) for mark in curled if mark.kind == "work"]
    assert tips == pytest.approx([-1.0] * 4, abs=2.5)


def test_two_legs_show_where_both_are_held_alike():
    both, one = (figure_side.person(Pose(), behind=behind) for behind in (True, False))
    assert [mark.kind for mark in both].count("far") == 1
    assert "far" not in [mark.kind for mark in one]
    apart = figure_side.person(Pose(near_leg=Leg(hip=60, knee=80)))
    assert "far" not in [mark.kind for mark in apart], "a leg held otherwise is drawn as a leg"


def test_the_pointing_finger_is_hidden_as_far_as_it_is_told():
    tip, first, second, root = hand.POINTING_JOINTS
    hidden = [hand.pointing_hidden(edge) for edge in (tip.y + 8, first.y, second.y, root.y)]
    assert [-min(p.y for p in marks[0].every_point()) for marks in hidden] == pytest.approx([-tip.y] * 4, abs=1)
    assert [max(p.y for p in marks[0].every_point()) for marks in hidden] == pytest.approx(
        [tip.y + 8, first.y, second.y, root.y]
    )
    assert [sum(len(mark.curves) for mark in marks[1:]) for marks in hidden] == [0, 0, 1, 2]


def test_a_finger_under_the_arch_ends_well_before_the_outer_edge():
    """How much of the foot's width where it lies: further each time, and in the last about three quarters."""
    shares = []
    for edge in scenes_checks._UNDER:
        drawn = scenes_checks._finger_in(edge)
        (foot,) = (one for one in drawn[1:] if one.kind == "skin")
        (finger,) = (one for one in drawn if one.kind == "unseen")
        tip = min(finger.every_point())
        run = foot.every_point()
        sides = [
            one.x + (tip.y - one.y) / (two.y - one.y) * (two.x - one.x)
            for one, two in zip(run, [*run[1:], run[0]], strict=True)
            if (one.y > tip.y) != (two.y > tip.y)
        ]
        shares.append((max(sides) - tip.x) / (max(sides) - min(sides)))
    assert shares == sorted(shares)
    assert shares[-1] == pytest.approx(0.75, abs=0.05), shares


def test_a_print_has_a_gap_or_a_strip_of_the_width_that_is_asked():
    assert len(prints.areas(0)) == 7, "five toes, ball and heel apart"
    widths = []
    for middle in (0.3, 0.6, 0.9):
        around = prints.areas(middle)[-1].every_point()
        strip = [point.x for point in around if point.y == prints.MIDDLE_HEIGHT]
        widths.append(max(strip) - min(strip))
    assert widths == pytest.approx([prints._WHOLE_WIDTH * middle for middle in (0.3, 0.6, 0.9)])


def test_every_thing_stands_on_the_floor_or_lies_on_it():
    for thing in (things.chair(), things.wall(1.0)):
        assert _lowest(thing) == pytest.approx(0, abs=0.04)
    towel = things.towel(0, 100, [(50, 20, 8)])
    assert (_lowest(towel), _highest(towel) < -20) == (pytest.approx(0, abs=1), True)


@pytest.mark.parametrize(
    ("value", "text"), [(0.0, "0"), (-0.04, "0"), (1.25, "1.2"), (-3.0, "-3"), (10.0, "10"), (0.5, "0.5")]
)
def test_numbers_are_written_short(value, text):
    assert svg.number(value) == text


def test_a_path_is_read_as_it_was_meant():
    curve = smooth(points(0, 0, 10.04, -0.5, 20, 3), closed=True)
    (read,) = _strokes(svg.path_data([curve]))
    meant = curve.every_point()
    assert len(read) == len(meant)
    for (x, y), point in zip(read, meant, strict=True):
        assert (x, y) == (pytest.approx(point.x, abs=0.051), pytest.approx(point.y, abs=0.051))


def test_text_cannot_break_out_of_a_drawing():
    element = svg.Element("text", {"class": '"><script>'}, "<b>&")
    assert svg.write(element) == "<text class='\"&gt;&lt;script&gt;'>&lt;b&gt;&amp;</text>"


def test_the_result_of_a_heel_angle_is_drawn_with_the_same_outlines(repo):
    """The ankle is at 122 and the floor at 206 there; its script and its picture hold the outlines as text."""
    place = scale(84 / -heels.PIVOT.y).then(shift(0, 206))
    for name in ("heels.js", "figure.svg"):
        text = (repo / "site_templates" / "components" / "heel-angle" / name).read_text("utf-8")
        assert [svg.path_data([curve.moved(place)]) in text for curve in heels.outlines()] == [True] * 3
    script = (repo / "site_templates" / "components" / "heel-angle" / "heels.js").read_text("utf-8")
    moves = [round(way * place.a, 2) for way in (heels.TOES_OUT, heels.TOES_IN)]
    assert f"[TOES_OUT, TOES_IN, TOES_MOST] = [{moves[0]}, {moves[1]}, {heels._MOST:.0f}]" in script
