"""A camera over a floor, for tests: where a point of the floor falls in the picture."""

import math
from typing import NamedTuple

import numpy as np
from hypothesis import strategies as st

PICTURE_PX = (1500, 2000)


class Pose(NamedTuple):
    """A camera over the middle of the floor's origin.

    tilt_deg off the plumb line, falling towards towards_deg as seen; roll_deg turns the floor; focal in long sides of
    the picture.
    """

    tilt_deg: float = 0.0
    towards_deg: float = 0.0
    roll_deg: float = 0.0
    focal: float = 0.75
    height_mm: float = 500.0
    off_mm: tuple[float, float] = (0.0, 0.0)


def poses_within(focal, height_mm, off_mm):
    """Poses by chance, tilted by up to 30 degrees; focal and height between two values, off the origin by up to one."""
    aside = st.floats(-off_mm, off_mm)
    return st.builds(
        Pose,
        tilt_deg=st.floats(0, 30),
        towards_deg=st.floats(0, 360),
        roll_deg=st.floats(-180, 180),
        focal=st.floats(*focal),
        height_mm=st.floats(*height_mm),
        off_mm=st.tuples(aside, aside),
    )


def turn(axis, angle):
    c, s = math.cos(angle), math.sin(angle)
    i, j = {"x": (1, 2), "z": (0, 1)}[axis]
    matrix = np.eye(3)
    matrix[i, i], matrix[i, j], matrix[j, i], matrix[j, j] = c, -s, s, c
    return matrix


def floor_to_picture(pose, picture_px=PICTURE_PX):
    """Give the 3 x 3 matrix from floor mm (x right, y up, as seen from above at roll 0) to picture pixels."""
    tilt, towards, roll = (math.radians(value) for value in (pose.tilt_deg, pose.towards_deg, pose.roll_deg))
    # Camera: x right, y up, z towards the eye; the floor stands at z = -height before it.
    rotation = turn("z", towards) @ turn("x", tilt) @ turn("z", roll - towards)
    focal = pose.focal * max(picture_px)
    off = np.array([*pose.off_mm, 0.0])
    columns = np.column_stack([rotation[:, 0], rotation[:, 1], rotation @ -off + np.array([0, 0, -pose.height_mm])])
    lens = np.array([[-focal, 0, picture_px[0] / 2], [0, focal, picture_px[1] / 2], [0, 0, 1.0]])
    matrix = lens @ columns
    return matrix / matrix[2, 2]


def to_picture(matrix, points):
    points = np.asarray(points, dtype=float)
    raised = np.column_stack([points, np.ones(len(points))]) @ matrix.T
    return [(x / w, y / w) for x, y, w in raised.tolist()]


def corners_of(pose, size_mm, middle_mm=(0.0, 0.0), picture_px=PICTURE_PX):
    """Give the picture corners of a sheet that lies in the middle of the floor, from its lower left one round."""
    (width, height), (x, y) = size_mm, middle_mm
    plane = [(x + i * width / 2, y + j * height / 2) for i, j in ((-1, -1), (1, -1), (1, 1), (-1, 1))]
    return to_picture(floor_to_picture(pose, picture_px), plane)
