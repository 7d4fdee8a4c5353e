# SPDX-License-Identifier: GPL-3.0-or-later
"""How a body stands and looks: the lean of its axis, the breadth of its trunk, its toes."""

import math
from dataclasses import dataclass

import numpy as np

from ..arrays import FloatArray
from ..errors import InputError
from .mesh_repair import Solid
from .outlines import UP, Outline, Slicer
from .skeleton import shortest_turn

__all__ = ["Stand", "stand", "turn_to_front"]

UPRIGHT_SHARES = (0.55, 0.62, 0.90, 0.94)  # of the height: hips to waist, and the head
# Posture alone leans less; to the back it does not lean at all
LEAST_LEAN, LEAST_SIDEWAYS, LEAST_BACKWARD = (math.radians(d) for d in (4.0, 2.0, 1.0))
MOST_LEAN = math.radians(20.0)
FORWARD_LEAN = math.radians(2.0)  # of mannequins that stand straight, by these slices: 0.8 to 3.4
LEAN_ROUNDS = 3
BACK = np.array([0.0, 1.0])

TRUNK_SHARES = (0.50, 0.53, 0.56, 0.59, 0.62, 0.65)  # of the height: hips to waist
FOOT_SHARE, ANKLE_SHARE = 0.015, 0.055
LEAST_BROADER = 1.2  # moments across over moments along, for a trunk that shows its sides
LEAST_TOES_M = 0.02  # middle of the feet before the middle of the ankles
LEAST_TURN = math.radians(5.0)  # people do not stand straighter


@dataclass(frozen=True, slots=True)
class Stand:
    """A body put on z = 0, upright, facing -y: ``lean`` and ``turn`` (radians) were taken out."""

    solid: Solid
    lean: float
    turn: float


def stand(solid: Solid) -> Stand:
    """Put a solid on z = 0 and let it face -y; where it leans, stand it upright.

    A body that leans no farther than posture does keeps its posture.

    Raises
    ------
    InputError
        It leans too far, or there is no trunk where one should be.
    """
    solid = _grounded(solid.vertices, solid)
    lean = _lean(solid)
    angle = math.atan(float(np.hypot(*lean)))
    if angle > MOST_LEAN:
        raise InputError(
            "body",
            f"leaning by {math.degrees(angle):.0f} degrees",
            f"up to {math.degrees(MOST_LEAN):.0f} degrees",
            "stand it upright in the file, and check which axis points up",
        )
    leans = angle >= LEAST_LEAN
    if leans:
        solid = _straightened(solid, 0.0)
    turn = turn_to_front(Slicer(solid), float(solid.vertices[:, 2].max()))
    if turn:
        c, s = math.cos(turn), math.sin(turn)
        about_z = np.array([[c, -s, 0.0], [s, c, 0.0], [0.0, 0.0, 1.0]])
        solid = solid.moved(solid.vertices @ about_z.T)
    # now that its front is known
    sideways, backward = np.arctan(_lean(solid)).tolist()
    if leans:
        return Stand(_straightened(solid, FORWARD_LEAN), angle, turn)
    if backward >= LEAST_BACKWARD:
        return Stand(_straightened(solid, FORWARD_LEAN), backward + FORWARD_LEAN, turn)
    if abs(sideways) >= LEAST_SIDEWAYS:
        return Stand(_straightened(solid, -backward), abs(sideways), turn)
    return Stand(solid, 0.0, turn)


def _straightened(solid: Solid, forward: float) -> Solid:
    """Turned the shortest way until its axis is upright, or leans ``forward`` to -y."""
    for _ in range(LEAN_ROUNDS):
        lean = _lean(solid) + math.tan(forward) * BACK
        axis = np.append(lean, 1.0) / math.sqrt(1.0 + float(lean @ lean))
        solid = _grounded(solid.vertices @ shortest_turn(axis, UP).T, solid)
    return solid


def _grounded(vertices: FloatArray, solid: Solid) -> Solid:
    return solid.moved(vertices - vertices[:, 2].min() * UP)


def _lean(solid: Solid) -> FloatArray:
    """How far (2,) the body's axis goes to the side for every metre that it rises.

    From the middle of the ankles to the middles of trunk and head.
    """
    slicer, height_m = Slicer(solid), float(solid.vertices[:, 2].max())
    foot = _middle_of_legs(slicer, ANKLE_SHARE * height_m)
    leans = [
        (slicer.trunk(share * height_m).middle - foot) / ((share - ANKLE_SHARE) * height_m)
        for share in UPRIGHT_SHARES
    ]
    result: FloatArray = np.mean(leans, axis=0)
    return result


def turn_to_front(slicer: Slicer, height_m: float) -> float:
    """Angle (radians) about z that turns a body to face -y; 0 where it does so or does not show.

    The trunk is broader than deep, which gives two ways to look; toes point to the front. Without
    feet it is the way that is nearer to -y.
    """
    moments = sum(_moments(slicer.trunk(share * height_m)) for share in TRUNK_SHARES)
    (least, most), axes = np.linalg.eigh(moments)
    if most < LEAST_BROADER * least:
        return 0.0
    front = axes[:, 0]
    toes = _toes(slicer, height_m)
    way = toes if np.linalg.norm(toes) >= LEAST_TOES_M else np.array([0.0, -1.0])
    if front @ way < 0.0:
        front = -front
    turn = math.atan2(-front[0], -front[1])
    return turn if abs(turn) >= LEAST_TURN else 0.0


def _toes(slicer: Slicer, height_m: float) -> FloatArray:
    """From the middle of the ankles to the middle of the feet (2,), m."""
    return _middle_of_legs(slicer, FOOT_SHARE * height_m) - _middle_of_legs(
        slicer, ANKLE_SHARE * height_m
    )


def _middle_of_legs(slicer: Slicer, height_m: float) -> FloatArray:
    result: FloatArray = np.mean([one.middle for one in slicer.outlines(height_m)[:2]], axis=0)
    return result


def _moments(outline: Outline) -> FloatArray:
    """Second moments (2, 2) of a curve about its middle, m^3."""
    length = np.linalg.norm(outline.pieces[:, 1] - outline.pieces[:, 0], axis=1)
    at = outline.pieces.mean(axis=1)
    away = at - length @ at / length.sum()
    result: FloatArray = (away * length[:, None]).T @ away
    return result
