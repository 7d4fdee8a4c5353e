# SPDX-License-Identifier: GPL-3.0-or-later
"""Lay the garment round a body whose arms are stretched out inside the sleeves.

The folded flat garment is opened like a tube: front and back stand off from a middle plane by the
body's half depth, and roll together over a quarter circle at the fold and along the underarm
seams. Straight parts keep their lengths; what the rounded corner and the falling shoulder line
stretch is let go by the first, weightless steps of the drape.
"""

from dataclasses import dataclass

import numpy as np

from ..arrays import FloatArray, IntArray
from ..mannequin import PosedBody
from ..panels import PanelMesh

__all__ = ["lay_round"]

BIN_M = 0.02
REACH_BINS = 2
FRONTS_FADE_M = 0.1


@dataclass(frozen=True, slots=True)
class _Profile:
    """The body's outline against the distance from the middle plane x = 0 (bins of `BIN_M`)."""

    top_m: FloatArray
    middle_m: FloatArray
    half_depth_m: FloatArray

    def at(self, across: FloatArray) -> tuple[FloatArray, FloatArray, FloatArray]:
        place = np.abs(across) / BIN_M - 0.5
        bins = np.arange(len(self.top_m))
        return (
            np.interp(place, bins, self.top_m),
            np.interp(place, bins, self.middle_m),
            np.interp(place, bins, self.half_depth_m),
        )


def _profile(body: PosedBody, lowest_m: float, neck_half_width_m: float) -> _Profile:
    """Outline of the arms-out body between the hem and the neck opening."""
    points = body.vertices
    neck = body.landmarks["back_neck_point"][2]
    points = points[(points[:, 2] > lowest_m) & (points[:, 2] < neck)]
    bins = (np.abs(points[:, 0]) / BIN_M).astype(np.int64)
    count = int(bins.max()) + 1

    def extreme(values: FloatArray) -> FloatArray:
        result = np.full(count, -np.inf)
        np.maximum.at(result, bins, values)
        return result

    top, back, front = extreme(points[:, 2]), extreme(points[:, 1]), extreme(-points[:, 1])
    top[: int(neck_half_width_m / BIN_M)] = -np.inf
    # cloth that hangs from the fold passes every bin farther in: nothing grows outwards
    outward = slice(None, None, -1)
    top = np.maximum.accumulate(top[outward])[outward]
    back = np.maximum.accumulate(back[outward])[outward]
    front = np.maximum.accumulate(front[outward])[outward]
    top[: int(neck_half_width_m / BIN_M)] = top[int(neck_half_width_m / BIN_M)]
    return _Profile(
        top_m=_widened(top),
        middle_m=_smoothed((back - front) / 2),
        half_depth_m=_widened((back + front) / 2),
    )


def _smoothed(values: FloatArray) -> FloatArray:
    padded = np.pad(values, 2, mode="edge")
    smooth: FloatArray = np.convolve(padded, np.full(5, 0.2), mode="valid")
    return smooth


def _widened(values: FloatArray) -> FloatArray:
    """Largest of the neighbouring bins, smoothed, so that smoothing cuts nothing off."""
    padded = np.pad(values, REACH_BINS, mode="edge")
    windows = np.lib.stride_tricks.sliding_window_view(padded, 2 * REACH_BINS + 1)
    return _smoothed(windows.max(axis=1))


def _seam_distance(points: FloatArray, seam: FloatArray) -> tuple[FloatArray, FloatArray]:
    """Distance (n,) from flat points to a polyline (s, 2), and its unit left normal there (n, 2)."""
    start, side = seam[:-1], np.diff(seam, axis=0)
    length = np.sqrt((side**2).sum(axis=1))
    relative = points[:, None, :] - start[None]
    along = np.clip((relative * side).sum(axis=2) / length**2, 0.0, 1.0)
    gap = relative - along[..., None] * side
    squared = (gap**2).sum(axis=2)
    best = squared.argmin(axis=1)
    normal = np.stack([-side[:, 1], side[:, 0]], axis=1) / length[:, None]
    distance: FloatArray = np.sqrt(squared[np.arange(len(points)), best])
    return distance, normal[best]


def _seam_line(panel: PanelMesh) -> FloatArray:
    """The left underarm seam in (|x|, depth below the fold), from the sleeve end to the hem."""
    chain: IntArray = panel.edges["underarm_front_left"]
    line: FloatArray = np.abs(panel.flat[chain])
    line[:, 1] -= _shoulder_fall(panel)[chain]
    return line if line[0, 0] > line[-1, 0] else line[::-1]


def _shoulder_fall(panel: PanelMesh) -> FloatArray:
    """(n,) how far the shoulder line lies under the neck's height, where it is seamed aslant."""
    across = np.abs(panel.flat[:, 0])
    if "shoulder_front_left" not in panel.edges:
        return np.zeros(len(across))
    line = np.abs(panel.flat[panel.edges["shoulder_front_left"]][::-1])
    fall: FloatArray = np.interp(across, line[:, 0], line[:, 1])
    return fall


def _apart(panel: PanelMesh) -> tuple[FloatArray, FloatArray]:
    """Shares (n,) in which fronts are drawn from the middle, and in which the right one is lifted."""
    nothing = np.zeros(len(panel.flat))
    if "front_left" not in panel.edges:
        return nothing, nothing
    from_middle = panel.side * panel.flat[:, 0]
    beyond_m = -float(from_middle[panel.edges["front_left"]].min())
    share = np.clip(1 - (from_middle - beyond_m) / FRONTS_FADE_M, 0.0, 1.0)
    share = np.where(panel.flat[:, 1] < 0, share, 0.0)
    if beyond_m <= 0:
        return share, nothing
    return nothing, np.where(panel.side < 0, share, 0.0)


def lay_round(panel: PanelMesh, body: PosedBody, clearance_m: float, apart_m: float) -> FloatArray:
    """Place the vertices (n, 3) of one layer round an arms-out body; seam partners coincide.

    Parameters
    ----------
    panel
        The flat mesh of one layer.
    body
        The body with its arms straight out.
    clearance_m
        Free distance left between body and cloth.
    apart_m
        How far each front edge is drawn from the middle, so that the fronts do not touch. Where the
        fronts overlap, the right one lies twice this outside the left one.
    """
    flat = panel.flat
    depth_below_fold = np.abs(flat[:, 1]) - _shoulder_fall(panel)
    neck = np.abs(flat[panel.edges["neck"], 0]).max()
    shoulder = body.landmarks["back_neck_point"][2]
    profile = _profile(body, shoulder - depth_below_fold.max(), float(neck))
    top, middle, half_depth = profile.at(flat[:, 0])
    radius = half_depth + clearance_m
    quarter = radius * np.pi / 2

    angle = np.minimum(depth_below_fold / radius, np.pi / 2)
    down = radius * (1 - np.cos(angle)) + np.maximum(depth_below_fold - quarter, 0.0)
    out = np.sin(angle)

    line = _seam_line(panel)
    distance, normal = _seam_distance(np.stack([np.abs(flat[:, 0]), depth_below_fold], 1), line)
    turned = np.minimum(distance / radius, np.pi / 2)
    rolled_in = quarter - radius + radius * (1 - np.cos(turned)) - radius * turned
    inward = normal * rolled_in[:, None]
    side = panel.side
    parted, lifted = _apart(panel)
    across = (side * flat[:, 0] + inward[:, 0] + apart_m * parted) * side
    radius = radius + 2 * apart_m * lifted
    out = np.minimum(out, np.sin(turned))
    return np.stack(
        [
            across,
            middle + np.sign(flat[:, 1]) * radius * out,
            top + clearance_m - down - inward[:, 1],
        ],
        axis=1,
    )
