"""A pin-hole camera over the floor. Floor: mm, x right, y away, seen from above. Picture: pixels, x right, y down."""

from __future__ import annotations

import math
from dataclasses import dataclass

import numpy as np


@dataclass(frozen=True)
class Camera:
    """Where it is and how it looks: `tilt_deg` from straight down towards `toward_deg` on the floor, then rolled."""

    width: int
    height: int
    focal_px: float
    height_mm: float
    tilt_deg: float
    toward_deg: float
    roll_deg: float
    target: tuple[float, float]  # the place on the floor in the middle of the picture

    def homography(self) -> np.ndarray:
        """The 3 x 3 matrix from the floor to the picture."""
        tilt, toward, roll = (math.radians(angle) for angle in (self.tilt_deg, self.toward_deg, self.roll_deg))
        look = np.array([math.sin(tilt) * math.cos(toward), math.sin(tilt) * math.sin(toward), -math.cos(tilt)])
        place = np.array([*self.target, 0.0]) - look * self.height_mm / math.cos(tilt)
        # The shortest turn that takes "straight down" to the direction of sight, by Rodrigues.
        hinge = np.array([-math.sin(toward), math.cos(toward), 0.0])

        def turned(v: np.ndarray) -> np.ndarray:
            c, s = math.cos(tilt), math.sin(-tilt)
            return v * c + np.cross(hinge, v) * s + hinge * (hinge @ v) * (1 - c)

        right, down = turned(np.array([1.0, 0, 0])), turned(np.array([0, -1.0, 0]))
        right, down = math.cos(roll) * right + math.sin(roll) * down, math.cos(roll) * down - math.sin(roll) * right
        turn = np.stack([right, down, look])
        lens = np.array([[self.focal_px, 0, self.width / 2], [0, self.focal_px, self.height / 2], [0, 0, 1]])
        return lens @ np.column_stack([turn[:, 0], turn[:, 1], -turn @ place])


def project(matrix: np.ndarray, points: np.ndarray) -> np.ndarray:
    """Points (n x 2) through a homography."""
    with_one = np.c_[np.asarray(points, float), np.ones(len(points))] @ matrix.T
    return with_one[:, :2] / with_one[:, 2:]


def mm_per_px(matrix: np.ndarray, at: tuple[float, float]) -> float:
    """The length of a pixel on the floor at a place, as the root of its area."""
    step = 0.01
    around = project(matrix, np.array([at, (at[0] + step, at[1]), (at[0], at[1] + step)]))
    one, other = around[1] - around[0], around[2] - around[0]
    return step / math.sqrt(abs(one[0] * other[1] - one[1] * other[0]))
