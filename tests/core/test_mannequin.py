# SPDX-License-Identifier: GPL-3.0-or-later
"""The mannequin against its tape, survey figures and laws of surfaces and motions."""

import math
from dataclasses import replace

import numpy as np
import pytest
from napfold.core.errors import InputError
from napfold.core.mannequin import (
    POSES,
    BodyDistance,
    Limbs,
    Mannequin,
    Pose,
    between,
    build_mannequin,
    symmetric,
)
from napfold.core.mannequin.body_tape import BIND, measure_body
from napfold.core.mannequin.measuring import top_of_section
from napfold.core.mannequin.sections import depth_ratio
from napfold.core.tape import Tape

# The density of the human body is 0.98 to 1.06 kg/l (Durnin and Womersley 1974).
DENSITY_KG_M3 = 1010.0
LARGE_MAN = {"height": 1.82, "chest_girth": 1.12, "waist_girth": 1.00, "hip_girth": 1.10}
WOMAN = {"height": 1.64, "bust_girth": 0.96, "waist_girth": 0.80, "hip_girth": 1.04}


@pytest.fixture(scope="module", params=["female", "male"])
def mannequin(request: pytest.FixtureRequest) -> Mannequin:
    return build_mannequin(
        Tape(sex=request.param, given=WOMAN if request.param == "female" else LARGE_MAN)
    )


def test_surface_is_closed_mirrored_and_of_moderate_size(mannequin: Mannequin) -> None:
    count, faces = len(mannequin.vertices), mannequin.triangles
    assert 8_000 <= count <= 20_000
    edges = np.concatenate([faces[:, [0, 1]], faces[:, [1, 2]], faces[:, [2, 0]]])
    key, back = edges @ [count, 1], edges @ [1, count]
    assert len(np.unique(key)) == len(key)
    assert np.array_equal(np.sort(key), np.sort(back))
    # one closed surface without handles: V - E + F = 2
    assert count - len(key) // 2 + len(faces) == 2
    assert len(np.unique(faces)) == count
    mirrored = mannequin.vertices[mannequin.mirror] * np.array([-1.0, 1.0, 1.0])
    assert np.array_equal(mirrored, mannequin.vertices)
    assert np.allclose(mannequin.weights.sum(axis=1), 1.0, atol=1e-12)


def test_given_tape_is_met(mannequin: Mannequin) -> None:
    found, tape = measure_body(mannequin), mannequin.measures
    for name, (value, _, given) in tape.items():
        if given and name.endswith("_girth"):
            assert found[name] == pytest.approx(value, abs=0.002), name
    assert found["height"] == pytest.approx(tape.value("height"), abs=0.003)
    assert found["shoulder_length"] == pytest.approx(tape.value("shoulder_length"), abs=0.005)


def test_estimated_measures_are_met(mannequin: Mannequin) -> None:
    found, tape = measure_body(mannequin), mannequin.measures
    for name in ("upper_arm", "elbow", "forearm", "neck", "thigh", "knee", "calf", "ankle"):
        name = f"{name}_girth"
        assert found[name] == pytest.approx(tape.value(name), abs=0.003), name
    assert found["shoulder_point_height"] == pytest.approx(
        tape.value("shoulder_point_height"), abs=0.003
    )


def test_sections_have_the_survey_s_depth_over_breadth(mannequin: Mannequin) -> None:
    found = measure_body(mannequin)
    for level in ("waist", "navel_waist", "hip"):
        ratio = found[f"{level}_depth"] / found[f"{level}_breadth"]
        # half the survey's spread of about 0.045
        assert ratio == pytest.approx(depth_ratio(mannequin.measures, level), abs=0.022), level


def test_volume_agrees_with_body_mass(mannequin: Mannequin) -> None:
    # nothing in the fitting knows the mass: an independent check of all shapes together
    a, b, c = mannequin.vertices[mannequin.triangles].transpose(1, 0, 2)
    volume = np.einsum("ij,ij->i", a, np.cross(b, c)).sum() / 6.0
    assert volume * DENSITY_KG_M3 == pytest.approx(mannequin.measures.value("body_mass"), rel=0.06)


def test_a_taped_arm_sets_the_arm() -> None:
    tape = WOMAN | {"upper_arm_girth": 0.36, "wrist_girth": 0.17, "back_neck_point_to_wrist": 0.86}
    found = measure_body(build_mannequin(Tape(sex="female", given=tape)))
    assert found["back_neck_point_to_wrist"] == pytest.approx(0.86, abs=0.005)
    assert found["upper_arm_girth"] == pytest.approx(0.36, abs=0.002)
    assert found["wrist_girth"] == pytest.approx(0.17, abs=0.002)


def test_bind_pose_moves_nothing(mannequin: Mannequin) -> None:
    posed = mannequin.posed(BIND)
    shift = posed.vertices - mannequin.vertices
    assert np.allclose(shift, shift[0], atol=1e-9)
    assert np.allclose(shift[0, :2], 0.0, atol=1e-9)


@pytest.mark.parametrize("name", sorted(POSES))
def test_named_poses_keep_the_arm_and_touch_the_floor(mannequin: Mannequin, name: str) -> None:
    posed = mannequin.posed(POSES[name])
    assert posed.vertices[:, 2].min() == pytest.approx(POSES[name].above_floor_m, abs=1e-12)
    bind = mannequin.posed(BIND)
    for start, end in (("shoulder_left", "elbow_left"), ("elbow_right", "wrist_right")):
        girth = posed.limb_girth(start, end, 0.5)
        assert girth == pytest.approx(bind.limb_girth(start, end, 0.5), rel=0.03)
    for side in ("left", "right"):
        for a, b in (("shoulder", "elbow"), ("elbow", "wrist"), ("hip_joint", "knee")):
            now, then = (
                np.linalg.norm(body.joints[f"{a}_{side}"] - body.joints[f"{b}_{side}"])
                for body in (posed, bind)
            )
            assert now == pytest.approx(then, abs=1e-9)
    assert np.allclose(np.linalg.norm(posed.normals, axis=1), 1.0)


def test_arms_go_where_the_pose_says(mannequin: Mannequin) -> None:
    out = mannequin.posed(POSES["arms out"]).joints
    assert out["wrist_left"][2] == pytest.approx(out["shoulder_left"][2], abs=1e-6)
    assert out["wrist_left"][0] > out["elbow_left"][0] > out["shoulder_left"][0] > 0.0
    standing = mannequin.posed(POSES["standing"])
    assert standing.joints["wrist_left"][2] < standing.landmarks["waist"][2]
    up = mannequin.posed(POSES["reaching up"])
    assert up.joints["wrist_left"][2] > up.landmarks["top_of_head"][2]
    forward = mannequin.posed(POSES["reaching forward"]).joints
    reach = forward["shoulder_left"][1] - forward["wrist_left"][1]
    assert reach > 0.9 * np.linalg.norm(forward["wrist_left"] - forward["shoulder_left"])
    sitting = mannequin.posed(POSES["sitting"]).joints
    assert sitting["knee_left"][2] == pytest.approx(sitting["hip_joint_left"][2], abs=0.03)
    assert sitting["knee_left"][1] < sitting["hip_joint_left"][1] - 0.3


def test_shoulder_points_stay_when_the_arms_hang(mannequin: Mannequin) -> None:
    # the survey took their height on standing people; they are of the bone, with skin over it
    standing = mannequin.posed(mannequin.pose_with_room("standing", 0.02))
    tip, neck = (standing.landmarks[f"{name}_point_left"] for name in ("shoulder", "side_neck"))
    wanted = mannequin.measures.value
    assert tip[2] == pytest.approx(wanted("shoulder_point_height"), abs=0.002)
    assert np.linalg.norm(tip - neck) == pytest.approx(wanted("shoulder_length"), abs=0.003)
    skin = top_of_section(standing.vertices, standing.triangles, tip)
    assert 0.0 <= skin[2] - tip[2] <= 0.006


def test_swapped_limbs_give_the_mirrored_body(mannequin: Mannequin) -> None:
    raised = Limbs(shoulder_abduction=1.2, elbow_flexion=0.6)
    low = Limbs(shoulder_abduction=0.3, hip_flexion=0.4)
    one = mannequin.posed(Pose(left=raised, right=low))
    other = mannequin.posed(Pose(left=low, right=raised))
    flipped = other.vertices[mannequin.mirror] * np.array([-1.0, 1.0, 1.0])
    assert np.allclose(one.vertices, flipped, atol=1e-9)


def test_skin_moves_evenly_between_poses(mannequin: Mannequin) -> None:
    # on the way from arms out to standing, no vertex jumps: with steps of 1/16 the farthest
    # point (a finger tip, 0.75 m from the shoulder) turns by under 5 degrees a step
    last = mannequin.posed(POSES["arms out"]).vertices
    for step in range(1, 17):
        pose = between(POSES["arms out"], POSES["standing"], step / 16.0)
        now = mannequin.posed(pose).vertices
        assert np.abs(now - last).max() < 0.09
        last = now


def test_standing_leaves_room_for_cloth(mannequin: Mannequin) -> None:
    pose = mannequin.pose_with_room("standing", 0.030)
    assert mannequin.arm_gaps(mannequin.posed(pose)).trunk.width_m >= 0.029
    assert math.degrees(pose.left.shoulder_abduction) <= 32.0


def test_the_skin_does_not_cut_itself_in_the_bind_pose(mannequin: Mannequin) -> None:
    # a point 1 mm outside of every vertex is 1 mm from the body, not inside another part of it;
    # over the crease of the crotch the sides are nearer
    body = mannequin.posed(BIND)
    distance = BodyDistance(mannequin)
    distance.set_pose(body)
    found = distance.nearest(body.vertices + 0.001 * body.normals).distance
    assert found.min() > 0.0002
    assert np.median(found) == pytest.approx(0.001, abs=1e-5)


def test_impossible_angles_are_refused() -> None:
    with pytest.raises(InputError, match=r"elbow_flexion is 160 degrees"):
        symmetric(elbow_flexion=160.0)
    with pytest.raises(InputError):
        replace(POSES["standing"], recline=-0.5)


def test_between_is_linear_in_every_angle() -> None:
    middle = between(POSES["arms out"], symmetric(shoulder_abduction=10.0, neck_flexion=20.0), 0.5)
    assert math.degrees(middle.left.shoulder_abduction) == pytest.approx(50.0)
    assert math.degrees(middle.neck_flexion) == pytest.approx(10.0)


def test_what_the_mannequin_cannot_show_is_told() -> None:
    # a seat fullest below the crotch: what is higher gives way, and that is said
    tape = WOMAN | {"inside_leg_height": 0.79, "hip_height": 0.78}
    mannequin = build_mannequin(Tape(sex="female", given=tape))
    found = measure_body(mannequin)
    assert found["inside_leg_height"] == pytest.approx(0.79, abs=0.003)
    assert found["hip_height"] > 0.79
    assert any("hip height is 2.8%" in warning for warning in mannequin.warnings)


def test_thighs_too_big_for_the_hip_stand_out_at_the_sides() -> None:
    tape = WOMAN | {"thigh_girth": 0.88}
    mannequin = build_mannequin(Tape(sex="female", given=tape))
    body = mannequin.posed(BIND)
    assert measure_body(mannequin)["thigh_girth"] == pytest.approx(0.88, abs=0.002)
    depth = np.ptp(body.trunk_slice(float(body.landmarks["thigh"][2]))[:, 1])
    half_breadth = body.trunk_slice(float(body.landmarks["thigh"][2]))[:, 0].max()
    assert depth < 1.7 * half_breadth  # a thigh is never deeper than that against its breadth
    assert any("thigh girth is 13." in warning for warning in mannequin.warnings)
