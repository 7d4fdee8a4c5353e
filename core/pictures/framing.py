# SPDX-License-Identifier: GPL-3.0-or-later
"""Where a camera stands so that all that a shot shows is in the frame, of all variants alike."""

import math
from collections.abc import Iterable
from dataclasses import dataclass

import numpy as np

from ..arrays import FloatArray
from ..drape import Drape
from .shots import Shot, Subject

__all__ = ["Camera", "camera_for", "frame_of"]

ABOVE_HEAD, BELOW_HEM = 0.02, 0.10  # shares of the height that are seen beside a standing body
FEET = 0.12  # a hem so near the floor, as a share of the height, is shown with the feet
MARGIN = 1.08
STEP_M = 0.05
"""Frames are as large as whole steps, so that a small change of one variant leaves all cameras."""
PLACE_M = 0.01
LENS = 4.4  # distance over the larger side of the frame: a long lens, little perspective
SLEEVE_M = 0.42  # what is seen of a sleeve, from its end inwards


@dataclass(frozen=True, slots=True, kw_only=True)
class Camera:
    """A camera that looks at a point.

    Parameters
    ----------
    target
        (x, y, z) m, the middle of the frame.
    turn_rad, tilt_rad
        Where it stands round the target, 0 in front (-y), towards the wearer's left (+x) rising;
        and how far it looks down.
    width_m, height_m
        What must be in the frame at the target's distance.
    distance_m
        From the target.
    flat
        Whether it sees without perspective, so that heights can be read off a ruler.
    """

    target: tuple[float, float, float]
    turn_rad: float
    tilt_rad: float
    width_m: float
    height_m: float
    distance_m: float
    flat: bool = False

    def place(self) -> FloatArray:
        """(3,) m, where it stands."""
        out = _axes(self.turn_rad, self.tilt_rad)[2]
        place: FloatArray = np.array(self.target) + self.distance_m * out
        return place

    def frame_m(self, width_px: int, height_px: int) -> tuple[float, float]:
        """Width and height of a frame of this shape that holds all, metres."""
        height_m = max(self.height_m, self.width_m * height_px / width_px)
        return height_m * width_px / height_px, height_m


def _axes(turn_rad: float, tilt_rad: float) -> FloatArray:
    """(3, 3) unit vectors to the right of, upwards in and out of the picture."""
    sin, cos = math.sin(turn_rad), math.cos(turn_rad)
    out = np.array([math.cos(tilt_rad) * sin, -math.cos(tilt_rad) * cos, math.sin(tilt_rad)])
    right = np.array([cos, sin, 0.0])
    return np.stack([right, np.cross(out, right), out])


def frame_of(drape: Drape, shot: Shot) -> FloatArray:
    """Points (n, 3) m that a worn shot must show; of a standing body what is above or near the hem.

    Of chair or bed what is in the frame of the body is shown, as a photographer would step near.
    """
    if shot.subject is Subject.SLEEVE:
        return _sleeve(drape)
    if drape.body.furniture:
        return np.concatenate([drape.body.vertices, drape.outer])
    height_m = float(drape.body.vertices[:, 2].max())
    low_m = float(drape.outer[:, 2].min()) - BELOW_HEM * height_m
    if low_m < (FEET - BELOW_HEM) * height_m:
        low_m = -BELOW_HEM * height_m / 4
    shown = drape.body.vertices[drape.body.vertices[:, 2] >= low_m]
    middle = drape.outer[:, :2].mean(axis=0)
    ends = np.array([[*middle, low_m], [*middle, (1.0 + ABOVE_HEAD) * height_m]])
    return np.concatenate([shown, drape.outer, ends])


def _sleeve(drape: Drape) -> FloatArray:
    """The outer end of the wearer's left sleeve."""
    end = drape.panel.edges["sleeve_end_left"]
    middle = drape.outer[end].mean(axis=0)
    left = drape.panel.side > 0
    near = np.linalg.norm(drape.outer - middle, axis=1) < SLEEVE_M
    wrist = drape.panel.flat[end, 0].max()
    sleeve = drape.panel.flat[:, 0] > wrist - SLEEVE_M
    shown: FloatArray = drape.outer[left & near & sleeve]
    return shown


def camera_for(shot: Shot, shown: Iterable[FloatArray], *, turn_rad: float | None = None) -> Camera:
    """The one camera for all that is shown, point clouds (n, 3) m; ``turn_rad`` turns it elsewhere.

    Its frame is as large as its largest subject; the middle is that of them all.
    """
    turn = math.radians(shot.turn_degrees) if turn_rad is None else turn_rad
    tilt = math.radians(shot.tilt_degrees)
    axes = _axes(turn, tilt)
    seen = np.concatenate([points @ axes.T for points in shown])
    low, high = seen.min(axis=0), seen.max(axis=0)
    target = np.round((low + high) / 2 @ axes / PLACE_M) * PLACE_M
    off = seen - target @ axes.T
    distance_m = LENS * float(np.ptp(off[:, :2], axis=0).max()) + float(off[:, 2].max())
    # what is nearer looks larger
    larger = distance_m / (distance_m - off[:, 2:])
    size = 2 * MARGIN * np.abs(off[:, :2] * larger).max(axis=0)
    width_m, height_m = (math.ceil(side / STEP_M - 1e-9) * STEP_M for side in size)
    return Camera(
        target=(float(target[0]), float(target[1]), float(target[2])),
        turn_rad=turn,
        tilt_rad=tilt,
        width_m=width_m,
        height_m=height_m,
        distance_m=round(distance_m, 3),
    )
