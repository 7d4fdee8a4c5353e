# SPDX-License-Identifier: GPL-3.0-or-later
"""The chair and the bed that fit a posed body, with room for cloth between; the book it reads.

Upholstered and plain, without arms. Between body and every part lies at least the given room;
seat or mattress and back rest are that near. Where the back rest leaves the body it stays a hand's
breadth above what is sat on, so that cloth can lie in the slot. The book lies open on the fingers;
it is there to be seen and touches no cloth.
"""

import math
from collections.abc import Callable, Mapping
from dataclasses import replace
from types import MappingProxyType

import numpy as np

from ..arrays import FloatArray
from .posed_body import ARMS, PARTS, PosedBody
from .supports import Support

__all__ = ["FURNITURE", "HELD", "bed", "book", "chair"]

SLOT_M = 0.10
BEHIND_CALF_M = 0.045
OVER_SHOULDER_M = 0.03
# Seat and mattress come from below and behind: so they bring cloth that hangs behind the body
# under the thighs, as a hand does when one sits down.
FROM_BELOW: FloatArray = np.array([0.0, math.sqrt(0.5), -math.sqrt(0.5)])
BEHIND: FloatArray = np.array([0.0, 1.0, 0.0])
BOARD_HALF_M = 0.018
CALF_SHARE = 0.6  # below this share of the knee's height only calves and feet are found
FINGERS_SHARE = 0.58  # of the hand's length, from the wrist: past the thumb
PAGE_HALF_M = 0.006
PAGE_OFF_HAND_M = 0.001
PAST_FINGERS_M = 0.004  # from the middle of the fingers to the edge of the page
PAGE_BREADTH_M = (0.11, 0.17)
PAGE_HEIGHT = 1.41  # of its breadth, as of most paper
# How far the middle of the page may lie over the fingers, the best first.
OVER_FINGERS_M = (-0.02, -0.01, 0.0, 0.01, 0.02, 0.03, 0.04, 0.05, 0.06, 0.07, 0.08, 0.09, 0.10)
STEEPEST, FLATTEST = math.radians(-20.0), math.radians(70.0)


def chair(body: PosedBody, room_m: float) -> tuple[Support, ...]:
    """Back rest and seat, and what carries them, for a body that sits with its feet on the floor.

    In the order in which they are put to the body.
    """
    legs = body.vertices[~np.isin(body.part, ARMS)]
    calves = legs[legs[:, 2] < CALF_SHARE * body.joints["knee_left"][2]]
    front = float(calves[:, 1].max()) + BEHIND_CALF_M + room_m
    top = float(legs[legs[:, 1] > front, 2].min()) - room_m
    breadth = float(np.ptp(legs[:, 0])) + 0.06
    shoulder = float(body.landmarks["shoulder_point_left"][2])
    rest = _back_rest(body, room_m, (top + SLOT_M, shoulder - 0.03), (0.92 * breadth, 0.08), 0.035)
    board = _board(rest, "chair back", 0.80 * breadth, (top - 0.10, shoulder - 0.07))
    rear = float(board.mesh()[0][:, 1].min()) + 0.03
    seat = _block("seat", breadth, (front, rear), (top - 0.11, top), 0.045)
    base = _block("chair base", breadth - 0.14, (front + 0.07, rear), (0.0, top - 0.09), 0.02)
    return rest, board, seat, base


def bed(body: PosedBody, room_m: float) -> tuple[Support, ...]:
    """Back rest and mattress, and what carries them, for a body that lies half upright.

    In the order in which they are put to the body.
    """
    low, high = body.vertices.min(axis=0), body.vertices.max(axis=0)
    top = float(low[2]) - room_m
    breadth = max(0.95, float(high[0] - low[0]) + 0.30)
    head = float(body.landmarks["top_of_head"][2])
    rest = _back_rest(body, room_m, (top + SLOT_M, head - 0.12), (0.78 * breadth, 0.15), 0.06)
    feet, rear = float(low[1]) - 0.14, float(rest.mesh()[0][:, 1].max())
    board = _block("head board", breadth, (rear, rear + 0.05), (0.0, top + 0.42), 0.02, BEHIND)
    mattress = _block("mattress", breadth, (feet, rear), (top - 0.20, top), 0.06)
    base = _block("bed base", breadth - 0.04, (feet + 0.02, rear), (0.0, top - 0.17), 0.02)
    return rest, board, mattress, base


FURNITURE: Mapping[str, Callable[[PosedBody, float], tuple[Support, ...]]] = MappingProxyType(
    {"sitting": chair, "reading in bed": bed}
)
"""What a named pose rests on."""


def book(body: PosedBody) -> tuple[Support, ...]:
    """The halves of an open book on the fingers of both hands, held alike."""
    left = _page(body)
    mirror = np.array([-1.0, 1.0, 1.0])
    right = replace(
        left,
        name="right half of book",
        centre=left.centre * mirror,
        # one axis is turned back, so that they stay right-handed
        rotation=mirror[:, None] * left.rotation * mirror,
        approach=left.approach * mirror,
    )
    return left, right


HELD: Mapping[str, Callable[[PosedBody], tuple[Support, ...]]] = MappingProxyType(
    {"reading in bed": book}
)
"""What the hands hold in a named pose."""


def _page(body: PosedBody) -> Support:
    """The left half: flat on the left fingers, from the middle plane out.

    Its middle is on the fingers, or over them as far as the thumb asks for.
    """
    wrist = body.joints["wrist_left"]
    along = body.joints["finger_tip_left"] - wrist
    hand = body.vertices[body.part == PARTS.index("arm_left")]
    share = (hand - wrist) @ along / float(along @ along)
    hand, fingers = hand[share > 0.0], hand[share > FINGERS_SHARE]
    middle = fingers.mean(axis=0)
    # the hand is flat: across it its points lie closest together
    out = np.linalg.svd(fingers - middle, full_matrices=False)[2][2]
    out *= np.sign(float(out @ (body.joints["head"] - middle)))
    up = np.array([0.0, out[2], -out[1]])
    up *= np.sign(up[2]) / np.linalg.norm(up)
    side = np.cross(out, up)
    lift = float(((fingers - middle) @ out).max()) + PAGE_OFF_HAND_M + PAGE_HALF_M
    on_fingers = middle + lift * out
    reach = float(on_fingers[0] / side[0])  # from the middle plane, along the page
    breadth = float(np.clip(reach + PAST_FINGERS_M, *PAGE_BREADTH_M))
    half = 0.5 * np.array([breadth, 2.0 * PAGE_HALF_M, PAGE_HEIGHT * breadth])
    page = Support(
        name="left half of book",
        centre=on_fingers + (half[0] - reach) * side,
        half_size_m=half,
        rotation=np.stack([side, out, up], axis=1),
        edge_radius_m=0.6 * PAGE_HALF_M,
        approach=out,
    )
    places = [page.moved(over * up) for over in OVER_FINGERS_M]
    clear = (place for place in places if float(place.nearest(hand)[0].min()) > 0.0)
    return next(clear, places[-1])


def _back_plane(body: PosedBody, bottom_m: float) -> tuple[float, float]:
    """Tilt of the plane behind the back (rad, 0 upright) and its place along its own normal.

    It touches the back both above and below the waist, as a board laid to it does.
    """
    back = body.vertices[body.part == 0]
    shoulder = float(body.landmarks["shoulder_point_left"][2]) + OVER_SHOULDER_M
    back = back[(back[:, 2] > bottom_m) & (back[:, 2] < shoulder)]
    above = back[:, 2] > body.landmarks["waist"][2]

    def reach(part: FloatArray, tilt: float) -> float:
        return float((part[:, 1] * math.cos(tilt) - part[:, 2] * math.sin(tilt)).max())

    low, high = STEEPEST, FLATTEST
    for _ in range(40):
        tilt = 0.5 * (low + high)
        if reach(back[~above], tilt) < reach(back[above], tilt):
            low = tilt
        else:
            high = tilt
    return tilt, reach(back, tilt)


def _back_rest(
    body: PosedBody,
    room_m: float,
    heights_m: tuple[float, float],
    size_m: tuple[float, float],
    radius_m: float,
) -> Support:
    """A cushion behind the back, between two heights of its face; size: breadth and thickness."""
    tilt, place = _back_plane(body, heights_m[0])
    behind = np.array([0.0, math.cos(tilt), -math.sin(tilt)])
    up = np.array([0.0, math.sin(tilt), math.cos(tilt)])
    place += room_m
    low, high = ((height + place * math.sin(tilt)) / math.cos(tilt) for height in heights_m)
    half = 0.5 * np.array([size_m[0], size_m[1], high - low])
    return Support(
        name="back rest",
        centre=(place + half[1]) * behind + 0.5 * (low + high) * up,
        half_size_m=half,
        rotation=np.stack([np.array([1.0, 0.0, 0.0]), behind, up], axis=1),
        edge_radius_m=radius_m,
        approach=behind,
    )


def _board(rest: Support, name: str, breadth_m: float, heights_m: tuple[float, float]) -> Support:
    """A board along the rear of a back rest, between two heights."""
    _, behind, up = rest.rotation.T
    rear = rest.centre + rest.half_size_m[1] * behind
    low, high = ((height - rear[2]) / up[2] for height in heights_m)
    half = np.array([0.5 * breadth_m, BOARD_HALF_M, 0.5 * (high - low)])
    return Support(
        name=name,
        centre=rear + 0.5 * (low + high) * up,
        half_size_m=half,
        rotation=rest.rotation,
        edge_radius_m=0.9 * BOARD_HALF_M,
        approach=behind,
    )


def _block(
    name: str,
    breadth_m: float,
    along_m: tuple[float, float],
    heights_m: tuple[float, float],
    radius_m: float,
    approach: FloatArray = FROM_BELOW,
) -> Support:
    """A level box, between two places from front to rear and two heights."""
    low = np.array([-0.5 * breadth_m, along_m[0], heights_m[0]])
    high = np.array([0.5 * breadth_m, along_m[1], heights_m[1]])
    return Support(
        name=name,
        centre=0.5 * (low + high),
        half_size_m=0.5 * (high - low),
        rotation=np.eye(3),
        edge_radius_m=radius_m,
        approach=approach,
    )
