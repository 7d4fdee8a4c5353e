# SPDX-License-Identifier: GPL-3.0-or-later
"""Poses: their angles, the room that they leave for cloth, and what they do to the skin."""

import math
import tomllib
from functools import cache
from pathlib import Path

import numpy as np
import pytest
from napfold.core.arrays import FloatArray, IntArray
from napfold.core.mannequin import (
    POSES,
    Mannequin,
    Pose,
    PosedBody,
    between,
    build_mannequin,
    symmetric,
)
from napfold.core.mannequin.body_tape import BIND
from napfold.core.mannequin.clearance import (
    FAR_M,
    HAND_BREADTH_M,
    HAND_LENGTH_M,
    PINCHED_SHARE,
    free_arms,
    pose_with_room,
)
from napfold.core.mannequin.measuring import hull_girth, section_points
from napfold.core.mannequin.posed_body import PARTS
from napfold.core.mannequin.self_crossings import crossing_pairs
from napfold.core.mannequin.skeleton import BONES
from napfold.core.slices import finished
from napfold.core.tape import Tape
from napfold.core.units import parse_quantity

ROOM_M = 0.03
FOLDER = Path(__file__).parents[2] / "sample_avatars"
QUICK = ("woman_medium_average", "woman_short_large")
BODIES = [
    pytest.param(path.stem, marks=() if path.stem in QUICK else pytest.mark.slow)
    for path in sorted(FOLDER.glob("*.toml"))
]
every_body = pytest.mark.parametrize("stem", BODIES)
every_pose = pytest.mark.parametrize("name", sorted(POSES))


@cache
def body_of(stem: str) -> Mannequin:
    table = tomllib.loads((FOLDER / f"{stem}.toml").read_text(encoding="utf-8"))["tape"]
    given = {
        name: parse_quantity("length", f"tape.{name}", text)
        for name, text in table.items()
        if name != "sex"
    }
    return build_mannequin(Tape(sex=table["sex"], given=given))


@cache
def in_pose(stem: str, name: str) -> PosedBody:
    mannequin = body_of(stem)
    return mannequin.posed(mannequin.pose_with_room(name, ROOM_M))


# Ranges in degrees. Standing and sitting upright: as usual in rest, sitting nominally at right
# angles between thigh and trunk, of which the pelvis takes 20 to 30. Reaching up: means and
# spreads of Namdari et al. 2012. Reading: a bed at 45 to 60 degrees to the level whose upper part
# may be steeper, thigh to trunk 110 to 135; what the arms do is a design assumption.
ANGLES = {
    "standing": {
        "shoulder_abduction": (5, 10),
        "shoulder_flexion": (0, 5),
        "elbow_flexion": (10, 15),
        "hip_flexion": (0, 0),
        "knee_flexion": (0, 0),
    },
    "reaching up": {"shoulder_flexion": (114, 128), "elbow_flexion": (20, 40)},
    "sitting": {
        "shoulder_flexion": (0, 10),
        "elbow_flexion": (70, 90),
        "knee_flexion": (85, 95),
        "recline": (20, 30),
    },
    "reading in bed": {
        "shoulder_flexion": (35, 60),
        "shoulder_abduction": (10, 25),
        "elbow_flexion": (90, 110),
        "hip_flexion": (45, 70),
        "knee_flexion": (20, 90),
        "recline": (30, 45),
    },
}


@pytest.mark.parametrize("name", sorted(ANGLES))
def test_named_poses_follow_the_published_angles(name: str) -> None:
    pose = POSES[name]
    for angle, (low, high) in ANGLES[name].items():
        owner = pose if hasattr(pose, angle) else pose.left
        value = math.degrees(getattr(owner, angle))
        assert low - 1e-9 <= value <= high + 1e-9, angle
    assert pose.left == pose.right


def test_sitting_is_at_right_angles_and_reading_is_half_upright() -> None:
    sitting, reading = POSES["sitting"], POSES["reading in bed"]
    # the thigh is level, the upper trunk upright
    assert math.degrees(sitting.left.hip_flexion + sitting.recline) == pytest.approx(90.0, abs=5.0)
    assert math.degrees(sitting.recline - sitting.trunk_flexion) == pytest.approx(0.0, abs=5.0)
    # lower trunk 45 to 60 degrees to the level, upper trunk about 60
    assert 45.0 <= 90.0 - math.degrees(reading.recline) <= 60.0
    upper = 90.0 - math.degrees(reading.recline - reading.trunk_flexion)
    assert upper == pytest.approx(60.0, abs=5.0)


# --- room -----------------------------------------------------------------------------------------


def least_distance(points: FloatArray, body: PosedBody, part: int) -> float:
    """From points to the middles and corners of a part's near triangles, each cut in 16."""
    corners = body.vertices[body.triangles[(body.part == part)[body.triangles].all(axis=1)]]
    square = squares(points, corners.mean(axis=1)).min(axis=0)
    corners = corners[square < (math.sqrt(square.min()) + 0.02) ** 2]
    for _ in range(2):
        a, b, c = corners.transpose(1, 0, 2)
        ab, bc, ca = (a + b) / 2, (b + c) / 2, (c + a) / 2
        quarters = ((a, ab, ca), (ab, b, bc), (ca, bc, c), (ab, bc, ca))
        corners = np.concatenate([np.stack(quarter, axis=1) for quarter in quarters])
    places = np.concatenate([corners.mean(axis=1), corners[:, 0]])
    return math.sqrt(squares(points, places).min())


def squares(first: FloatArray, second: FloatArray) -> FloatArray:
    """Squared distances (n, m) of points (n, 3) to points (m, 3)."""
    result = (first**2).sum(axis=1)[:, None] - 2.0 * first @ second.T + (second**2).sum(axis=1)
    return np.maximum(result, 0.0)


@every_body
@every_pose
def test_cloth_has_room_beside_the_arms(stem: str, name: str) -> None:
    mannequin, body = body_of(stem), in_pose(stem, name)
    gaps = mannequin.arm_gaps(body)
    for gap in (gaps.trunk, gaps.legs, gaps.other_arm):
        assert gap.width_m >= ROOM_M - 0.0003
    if gaps.trunk.width_m > 0.06:
        return
    # narrow: the same by another way. A hand's breadth under the armpit cloth is pinched; from
    # there the room grows to all of it a hand's length under the armpit
    shoulder = mannequin.skeleton.joints["upper_arm_left"]
    elbow = mannequin.skeleton.joints["forearm_left"]
    along = (elbow - shoulder) / np.linalg.norm(elbow - shoulder)
    below = (mannequin.vertices - shoulder) @ along - (
        shoulder[2] - mannequin.landmarks["axilla"][2]
    )
    on_arm = mannequin.part == PARTS.index("arm_left")
    middle = 0.5 * (HAND_BREADTH_M + HAND_LENGTH_M)
    for start, end, share in (
        (HAND_BREADTH_M, middle, PINCHED_SHARE),
        (middle, HAND_LENGTH_M, 0.5 * (1.0 + PINCHED_SHARE)),
        (HAND_LENGTH_M, np.inf, 1.0),
    ):
        band = on_arm & (below > start) & (below <= end)
        found = least_distance(body.vertices[band], body, PARTS.index("trunk"))
        assert found >= share * ROOM_M - 0.001


def test_an_arm_in_the_trunk_has_a_negative_gap() -> None:
    mannequin = body_of("woman_short_large")

    def gap_m(pose: Pose) -> float:
        return mannequin.arm_gaps(mannequin.posed(pose)).trunk.width_m

    assert gap_m(symmetric(shoulder_abduction=0.0)) < -0.02
    assert gap_m(POSES["arms out"]) > 0.1


@every_body
@every_pose
def test_the_way_into_a_pose_is_clear(stem: str, name: str) -> None:
    mannequin = body_of(stem)
    out, wanted = POSES["arms out"], mannequin.pose_with_room(name, ROOM_M)
    for step in range(1, 9):
        gaps = mannequin.arm_gaps(mannequin.posed(between(out, wanted, step / 8.0)))
        for gap in (gaps.trunk, gaps.legs, gaps.other_arm):
            assert gap.width_m >= min(ROOM_M, FAR_M) - 0.001, step


def test_arms_held_out_by_a_wide_trunk_hang_down_from_the_elbow() -> None:
    body = in_pose("woman_short_large", "standing")
    upper = body.joints["elbow_left"] - body.joints["shoulder_left"]
    fore = body.joints["wrist_left"] - body.joints["elbow_left"]
    out = [math.degrees(math.atan2(part[0], -part[2])) for part in (upper, fore)]
    assert out[0] > 15.0  # there is no room for less
    assert out[1] < 0.65 * out[0]
    # on a slim body the arm hangs as the pose says
    slim, usual = in_pose("woman_short_slim", "standing").pose.left, POSES["standing"].left
    assert math.degrees(slim.shoulder_abduction - usual.shoulder_abduction) < 2.0
    assert math.degrees(slim.elbow_flexion - usual.elbow_flexion) < 2.0


def test_room_is_given_to_one_arm_alone() -> None:
    mannequin = body_of("woman_medium_average")
    wide = symmetric(shoulder_abduction=60.0)
    low = symmetric(shoulder_abduction=5.0)
    joints, axilla_m = mannequin.skeleton.joints, float(mannequin.landmarks["axilla"][2])
    ends = joints["upper_arm_left"], joints["forearm_left"]
    arms = free_arms(mannequin.vertices, mannequin.part, *ends, axilla_m)

    def with_room(pose: Pose) -> Pose:
        return finished(pose_with_room(mannequin.posed, arms, pose, ROOM_M))

    pose = with_room(Pose(left=wide.left, right=low.right))
    assert pose.left == wide.left
    other = with_room(low)
    assert pose.right.shoulder_abduction == pytest.approx(other.left.shoulder_abduction, abs=1e-3)


@every_body
def test_hands_that_hold_a_book_are_a_book_apart(stem: str) -> None:
    joints = in_pose(stem, "reading in bed").joints
    apart = np.linalg.norm(joints["knuckles_left"] - joints["knuckles_right"])
    assert 0.20 <= apart <= 0.33
    # before the face: higher than the shoulders, in front of the head by a reading distance
    assert joints["knuckles_left"][2] > joints["shoulder_left"][2]
    assert 0.25 <= joints["head"][1] - joints["knuckles_left"][1] <= 0.60


# --- skin -----------------------------------------------------------------------------------------


def bend_girth(body: PosedBody, before: str, joint: str, after: str) -> float:
    """Tape girth round a bent elbow or knee, across the line that halves the bend."""
    at = body.joints[joint]
    ways = (at - body.joints[before], body.joints[after] - at)
    along = sum(way / np.linalg.norm(way) for way in ways)
    along /= np.linalg.norm(along)
    limb = joint.replace("elbow", "arm").replace("knee", "leg")
    mine = (body.part == PARTS.index(limb))[body.triangles].all(axis=1)
    segments, _ = section_points(body.vertices, body.triangles[mine], at, along)
    points = segments.reshape(-1, 3) - at
    first = np.cross(along, np.eye(3)[np.argmin(np.abs(along))])
    first /= np.linalg.norm(first)
    flat = points @ np.stack([first, np.cross(along, first)], axis=1)
    # a bent limb is cut twice: what is farther does not count
    return hull_girth(flat[np.hypot(*flat.T) <= 0.16])


@every_body
@every_pose
def test_arm_girths_are_kept(stem: str, name: str) -> None:
    bind, body = body_of(stem).posed(BIND), in_pose(stem, name)
    for side in ("left", "right"):
        shoulder, elbow, wrist = (f"{joint}_{side}" for joint in ("shoulder", "elbow", "wrist"))
        for start, end in ((shoulder, elbow), (elbow, wrist)):
            now, then = (one.limb_girth(start, end, 0.5) for one in (body, bind))
            assert now == pytest.approx(then, rel=0.03)
        now, then = (bend_girth(one, shoulder, elbow, wrist) for one in (body, bind))
        assert now == pytest.approx(then, rel=0.03)
        hip, knee, ankle = (f"{joint}_{side}" for joint in ("hip_joint", "knee", "ankle"))
        now, then = (bend_girth(one, hip, knee, ankle) for one in (body, bind))
        assert now == pytest.approx(then, rel=0.03)


@every_body
def test_the_chest_keeps_its_girth_whatever_the_arms_do(stem: str) -> None:
    # with the arms up the axilla rises and takes skin along, but not that of the chest
    girths = []
    for name in ("arms out", "standing", "reaching forward", "reaching up"):
        body = in_pose(stem, name)
        bust = float(body.landmarks["bust"][2])
        heights = (bust + 0.015, bust, float(body.landmarks["underbust"][2]))
        girths.append([hull_girth(body.trunk_slice(height)) for height in heights])
    above, at_bust, below = np.ptp(girths, axis=0)
    assert above < 0.005
    assert at_bust < 0.001
    assert below < 0.001


def enclosed(vertices: FloatArray, triangles: IntArray) -> float:
    """Volume within faces whose open rims are closed by fans to each rim's middle."""
    edges = np.concatenate([triangles[:, [0, 1]], triangles[:, [1, 2]], triangles[:, [2, 0]]])
    count = len(vertices)
    rim = edges[~np.isin(edges @ [count, 1], edges @ [1, count])]
    parent = np.arange(count)
    for _ in range(count):  # each loop of the rim takes the least of its vertices as its name
        least = np.minimum(parent[rim[:, 0]], parent[rim[:, 1]])
        before = parent.copy()
        np.minimum.at(parent, rim[:, 0], least)
        np.minimum.at(parent, rim[:, 1], least)
        if np.array_equal(before, parent):
            break
    volume = 0.0
    faces = [vertices[triangles]]
    for name in np.unique(parent[rim[:, 0]]):
        loop = rim[parent[rim[:, 0]] == name]
        middle = np.broadcast_to(vertices[loop[:, 0]].mean(axis=0), (len(loop), 3))
        faces.append(np.stack([vertices[loop[:, 1]], vertices[loop[:, 0]], middle], axis=1))
    for corners in faces:
        a, b, c = corners.transpose(1, 0, 2)
        volume += float(np.einsum("ij,ij->i", a, np.cross(b, c)).sum()) / 6.0
    return volume


@every_body
@pytest.mark.parametrize("name", ["sitting", "reading in bed"])
def test_volume_is_kept_at_hip_and_knee(stem: str, name: str) -> None:
    mannequin = body_of(stem)
    bind, body, mark = mannequin.posed(BIND), in_pose(stem, name), mannequin.landmarks
    height = mannequin.vertices[mannequin.triangles].mean(axis=1)[:, 2]
    arms = np.isin(mannequin.part, (1, 2))[mannequin.triangles].any(axis=1)
    levels = {"hip": ("mid_thigh", "waist"), "knee": ("calf", "mid_thigh")}
    for region, (low, high) in levels.items():
        mine = mannequin.triangles[(height > mark[low][2]) & (height < mark[high][2]) & ~arms]
        then, now = (enclosed(one.vertices, mine) for one in (bind, body))
        assert now == pytest.approx(then, rel=0.05), region


@every_body
@every_pose
def test_skin_passes_through_itself_nowhere_but_in_folds(stem: str, name: str) -> None:
    mannequin, body = body_of(stem), in_pose(stem, name)
    pairs, _ = crossing_pairs(body.vertices, body.triangles)
    assert outside_of_folds(mannequin, body, body.triangles[pairs].reshape(-1)) == 0
    assert len(pairs) <= 80


@every_body
def test_a_reader_in_thin_cloth_does_not_press_the_arms_into_the_chest(stem: str) -> None:
    mannequin = body_of(stem)
    body = mannequin.posed(mannequin.pose_with_room("reading in bed", 0.012))
    pairs, _ = crossing_pairs(body.vertices, body.triangles)
    assert outside_of_folds(mannequin, body, body.triangles[pairs].reshape(-1)) == 0


def outside_of_folds(mannequin: Mannequin, body: PosedBody, vertices: IntArray) -> int:
    """How many vertices are neither at a bent groin nor at the back of a bent knee."""
    place, mark = mannequin.vertices[vertices], mannequin.landmarks
    groin = (place[:, 1] < 0.0) & (place[:, 2] > mark["gluteal_fold"][2] - 0.02)
    groin &= (place[:, 2] < mark["navel_waist"][2]) & (body.pose.left.hip_flexion > 0.5)
    knee = (place[:, 1] > 0.0) & (np.abs(place[:, 2] - mark["knee"][2]) < 0.12)
    knee &= body.pose.left.knee_flexion > 0.5
    return int((~(groin | knee)).sum())


@every_pose
def test_both_sides_are_alike(name: str) -> None:
    mannequin, body = body_of(QUICK[0]), in_pose(QUICK[0], name)
    mirrored = body.vertices[mannequin.mirror] * [-1.0, 1.0, 1.0]
    assert np.abs(mirrored - body.vertices).max() < 1e-12


def test_a_turn_of_the_forearm_is_spread_along_it() -> None:
    mannequin = body_of("woman_medium_average")
    bent = symmetric(shoulder_abduction=30.0, elbow_flexion=80.0)
    turned = symmetric(shoulder_abduction=30.0, elbow_flexion=80.0, forearm_rotation=70.0)
    first, second = mannequin.posed(bent), mannequin.posed(turned)
    for joint in ("shoulder_left", "elbow_left", "wrist_left"):
        assert np.allclose(first.joints[joint], second.joints[joint], atol=1e-12)
    # skin near the wrist turns by nearly all of it about the forearm, half way by about half
    elbow, wrist = (first.joints[f"{joint}_left"] for joint in ("elbow", "wrist"))
    along = (wrist - elbow) / np.linalg.norm(wrist - elbow)
    arm = mannequin.part == PARTS.index("arm_left")
    share = (first.vertices - elbow) @ along / np.linalg.norm(wrist - elbow)
    for low, high, expected in ((0.48, 0.58, 35.0), (0.98, 1.05, 69.0)):
        ring = arm & (share > low) & (share < high)
        radial = [
            one.vertices[ring] - elbow - np.outer((one.vertices[ring] - elbow) @ along, along)
            for one in (first, second)
        ]
        cross = np.cross(radial[0], radial[1]) @ along
        angle = np.degrees(np.arctan2(cross, (radial[0] * radial[1]).sum(axis=1)))
        assert abs(np.median(angle)) == pytest.approx(expected, abs=6.0)


def test_a_pronated_left_hand_shows_its_back_from_above() -> None:
    # forearm forward, thumb up at zero; pronation turns the palm down and the thumb to the middle
    mannequin = body_of("woman_medium_average")
    thumb = []
    for rotation in (0.0, 80.0):
        body = mannequin.posed(
            symmetric(shoulder_abduction=20.0, elbow_flexion=90.0, forearm_rotation=rotation)
        )
        hand = (mannequin.part == PARTS.index("arm_left")) & (
            mannequin.weights[:, BONES.index("hand_left")] > 0.9
        )
        # the vertex that sticks out most from the line of the hand is on the thumb
        wrist, tip = body.joints["wrist_left"], body.joints["finger_tip_left"]
        along = (tip - wrist) / np.linalg.norm(tip - wrist)
        offset = body.vertices[hand] - wrist
        aside = offset - np.outer(offset @ along, along)
        thumb.append(aside[np.argmax((aside**2).sum(axis=1))])
    assert thumb[0][2] > 0.03
    assert thumb[1][0] < -0.03


def test_a_pose_far_over_the_floor_is_refused() -> None:
    with pytest.raises(ValueError, match=r"above_floor_m is 9"):
        symmetric(above_floor_m=9.0)
