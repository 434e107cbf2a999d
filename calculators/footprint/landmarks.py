"""Where a print's heel, ball, middle and axis lie: the frame that its indices are measured in.

The plane handed in is that of the floor seen from above, right-handed: x to the right, y up, in mm or in pixels. The
frame of the foot has u along the axis from heel to toes and v across it, growing towards the medial (big-toe) side.
u is 0 at the rearmost point of the print, v is 0 on the axis.
"""

import math
from typing import NamedTuple

from calculators.footprint.plane import Point, Ring, hull, mean, mirrored, outer, turned, unit
from calculators.footprint.profile import Chord, profile, widest
from calculators.footprint.tangents import Notch, Tangent, notch, tangent

# Where the widest and the narrowest chord are looked for, as parts of the toeless length from the heel. The three
# stretches are own choices; the thirds are those of the arch index (van_schie_boulton_2000, murley_2009).
HEEL = (0.0, 1 / 3)
MIDDLE = (0.25, 0.75)
BALL = (0.6, 1.0)
# Where the axis crosses the widest ball chord where no second toe is seen, as a part of it from the medial side: about
# where that toe stands (own choice, from memory). The middle is further to the side of the little toe.
SECOND_TOE = 0.4

# The axis is settled when a further round turns it by less than this, in degrees. That moves the arch index by less
# than 0.0001, and each round turns it many times less than the one before.
SETTLED_DEG = 0.01
# It settles within 3 or 4 rounds on smooth prints. Where it goes round between a few directions (the heel's widest
# chord jumps between two vertices), it stops as soon as one comes back, and after so many rounds in any case.
MOST_ROUNDS = 10

Line = tuple[Point, Point]

# Two notches whose depths differ by less than this part of the length are equally deep.
_SAME_DEPTH = 1e-9

# The medial side, by where it lies to somebody who looks along the axis from the heel to the toes.
LEFTWARD, RIGHTWARD = 1, -1


class Frame(NamedTuple):
    """The frame of a foot: where its origin lies in the plane, which way its axis runs, on which side medial is."""

    origin: Point
    along: Point
    medial: int

    def to_foot(self, ring: Ring) -> Ring:
        """Give a ring of the plane in (u, v). An outer ring stays anticlockwise."""
        ring = turned(ring, self.origin, self.along)
        return ring if self.medial == LEFTWARD else mirrored(ring)

    def to_plane(self, point: Point) -> Point:
        """Give a point (u, v) in the plane."""
        u, v = point[0], self.medial * point[1]
        (x, y), (dx, dy) = self.origin, self.along
        return x + u * dx - v * dy, y + u * dy + v * dx


class Axis(NamedTuple):
    """The axis of a foot in the plane, and how it was found.

    `comes_from` is toes (heel centre to the tip of the second toe), fallback (heel centre to the place of that toe on
    the widest ball chord, or to the chord's middle where no side is known to be medial) or given. `settled` is False
    where the rounds went round between a few directions; `along` is then the mean of those.
    """

    heel: Point
    along: Point
    comes_from: str
    rounds: int = 0
    settled: bool = True


class Placed(NamedTuple):
    """A toeless print in the frame of its foot, with its landmarks. All lengths are in the unit of the plane.

    `thirds` are the four lines u that bound the thirds. `middle` is None where a line across the middle meets no print.
    `medial_from` is given, notch (the side of the deeper notch) or undecided (both are equally deep, or neither side
    has one; the medial side is then taken to be leftward).
    """

    rings: list[Ring]
    frame: Frame
    axis: Axis
    medial_from: str
    length: float
    thirds: tuple[float, float, float, float]
    ball: Chord
    middle: Chord | None
    heel: Chord

    def sides(self) -> "Sides":
        """Lay a ruler against both sides."""
        outlines = outer(self.rings)
        around = hull([point for ring in outlines for point in ring])
        lateral = tangent(mirrored(around), self.length)
        return Sides(notch(outlines, around, self.length), None if lateral is None else lateral.mirrored())


class Sides(NamedTuple):
    """The notch under the medial tangent, and the lateral tangent; None where a ruler would rock on that side."""

    medial: Notch | None
    lateral: Tangent | None


def find_axis(
    outlines: list[Ring],
    towards_toes: Point,
    second_toe: Point | None,
    given: tuple[Point, Point] | None,
    medial: int | None = None,
) -> Axis:
    """Find the axis of a toeless print.

    Args:
        outlines: its outer rings in the plane.
        towards_toes: any vector that points roughly from the heel to the toes; where the rounds begin.
        second_toe: the tip of the second toe, where it is seen.
        given: two points of the axis, the one nearer to the heel first; used as they are.
        medial: `LEFTWARD` or `RIGHTWARD`, seen along the axis towards the toes; None where it is not known.

    The heel centre is the middle of the widest heel chord square to the axis, in the rear third of the toeless length;
    both hang on each other, so each round finds one from the other until the axis stands. The line from the heel centre
    to the tip of the second toe is that of van_schie_boulton_2000, which does not say what the heel centre is;
    wikilectures_plantography allows the middle of its widest chord. The fallback is an own choice.

    Raises:
        ValueError: no print has an area, or two points that give a direction are in one place.
    """
    if given is not None:
        return Axis(given[0], unit(*given), "given")
    along, kind = unit((0.0, 0.0), towards_toes), "fallback" if second_toe is None else "toes"
    tried: list[tuple[Point, Point]] = []
    for number in range(1, MOST_ROUNDS + 1):
        heel, found = _round(outlines, along, second_toe, medial)
        if _apart_deg(found, along) < SETTLED_DEG:
            return Axis(heel, found, kind, number)
        back = next((place for place, (_, old) in enumerate(tried) if _apart_deg(found, old) < SETTLED_DEG), None)
        if back is not None:
            tried = tried[back:]
            break
        tried.append((heel, found))
        along = found
    # All of one turn where a direction came back; the last two where none did.
    turn = tried if number < MOST_ROUNDS else tried[-2:]
    heel = mean([heel for heel, _ in turn])
    return Axis(heel, unit((0.0, 0.0), mean([found for _, found in turn])), kind, number, settled=False)


def _apart_deg(one: Point, other: Point) -> float:
    turn = math.atan2(one[0] * other[1] - one[1] * other[0], one[0] * other[0] + one[1] * other[1])
    return abs(math.degrees(turn))


def _round(outlines: list[Ring], along: Point, second_toe: Point | None, medial: int | None) -> tuple[Point, Point]:
    """Find the heel centre for a direction of the axis, and the direction for that centre."""
    frame = Frame((0.0, 0.0), along, LEFTWARD)
    rings = [frame.to_foot(ring) for ring in outlines]
    rear, front = _ends(rings)
    heel = frame.to_plane(_widest(rings, rear, front, HEEL).middle)
    if second_toe is None:
        ball = _widest(rings, rear, front, BALL)
        from_right = {LEFTWARD: 1 - SECOND_TOE, RIGHTWARD: SECOND_TOE, None: 0.5}[medial]
        second_toe = frame.to_plane((ball.u, ball.low + from_right * ball.width))
    return heel, unit(heel, second_toe)


def _ends(rings: list[Ring]) -> tuple[float, float]:
    if not rings:
        raise ValueError("no ring of the print has an area")
    ends = [(min(ring)[0], max(ring)[0]) for ring in rings]
    return min(low for low, _ in ends), max(high for _, high in ends)


def _widest(rings: list[Ring], rear: float, front: float, stretch: tuple[float, float]) -> Chord:
    length = front - rear
    chord = widest(rings, rear + stretch[0] * length, rear + stretch[1] * length)
    if chord is None or chord.width <= 0:
        raise ValueError("the print has no width where its heel or its ball should be")
    return chord


def place(
    rings: list[Ring],
    towards_toes: Point,
    *,
    second_toe: Point | None = None,
    given_axis: tuple[Point, Point] | None = None,
    medial: int | None = None,
) -> Placed:
    """Put a toeless print into the frame of its foot and find its landmarks.

    Args:
        rings: the print's rings in the plane, outer rings anticlockwise, holes clockwise.
        towards_toes: any vector that points roughly from the heel to the toes.
        second_toe: the tip of the second toe, where it is seen.
        given_axis: two points of the axis, the one nearer to the heel first; used as they are.
        medial: `LEFTWARD` or `RIGHTWARD`, seen along the axis towards the toes (leftward for a right foot on the floor,
            seen from above); None takes the side of the deeper notch.

    Raises:
        ValueError: the rings hold no print (no area, no width at heel or ball), or two points that give a direction
            are in one place.
    """
    outlines = outer(rings)
    axis = find_axis(outlines, towards_toes, second_toe, given_axis, medial)
    frame = Frame(axis.heel, axis.along, LEFTWARD)
    rear, front = _ends([frame.to_foot(ring) for ring in outlines])
    frame, length = frame._replace(origin=frame.to_plane((rear, 0.0))), front - rear
    side, medial_from = (medial, "given") if medial is not None else _deeper(frame, outlines, length)
    frame = frame._replace(medial=side)
    laid = [frame.to_foot(ring) for ring in rings]
    own = outer(laid) if len(laid) > len(outlines) else laid
    return Placed(
        laid,
        frame,
        axis,
        medial_from,
        length,
        (0.0, length / 3, 2 * length / 3, length),
        _widest(own, 0.0, length, BALL),
        profile(own, *(part * length for part in MIDDLE)).narrowest(),
        _widest(own, 0.0, length, HEEL),
    )


def _deeper(frame: Frame, outlines: list[Ring], length: float) -> tuple[int, str]:
    """Choose the side of the deeper notch, and say whether there is one."""
    around = hull([point for ring in outlines for point in ring])
    depths = []
    for side in (LEFTWARD, RIGHTWARD):
        seen = frame._replace(medial=side)
        found = notch([seen.to_foot(ring) for ring in outlines], seen.to_foot(around), length)
        depths.append(0.0 if found is None else found.depth)
    leftward, rightward = depths
    if abs(leftward - rightward) <= _SAME_DEPTH * length:
        return LEFTWARD, "undecided"
    return (LEFTWARD if leftward > rightward else RIGHTWARD), "notch"


class Lines(NamedTuple):
    """The lines to draw on a print, each by its two ends in the plane; None where the print has no such line.

    The two lines between the thirds are as long as the print is wide and run from medial to lateral; chords run from
    lateral to medial, the tangent and the axis from the heel forwards. The axis is as long as the print.
    """

    axis: Line
    thirds: tuple[Line, Line]
    ball: Line
    middle: Line | None
    heel: Line
    medial_tangent: Line | None


def lines(placed: Placed) -> Lines:
    """Give back what there is to draw, in the plane that the print was placed from."""

    def back(start: Point, end: Point) -> Line:
        return placed.frame.to_plane(start), placed.frame.to_plane(end)

    def across(chord: Chord) -> Line:
        return back((chord.u, chord.low), (chord.u, chord.high))

    widths = [v for ring in placed.rings for _, v in ring]
    low, high = min(widths), max(widths)
    _, first, second, _ = placed.thirds
    medial = placed.sides().medial
    return Lines(
        back((0.0, 0.0), (placed.length, 0.0)),
        (back((first, high), (first, low)), back((second, high), (second, low))),
        across(placed.ball),
        None if placed.middle is None else across(placed.middle),
        across(placed.heel),
        None if medial is None else back(*medial.tangent),
    )
