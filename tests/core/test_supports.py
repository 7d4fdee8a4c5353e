# SPDX-License-Identifier: GPL-3.0-or-later
"""Supports as solids, and the chair and bed that are built round a posed body."""

import json
import math

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st
from napfold.core.arrays import FloatArray
from napfold.core.errors import InputError
from napfold.core.mannequin import Mannequin, PosedBody, build_mannequin
from napfold.core.mannequin.supports import Support
from napfold.core.tape import Tape

ROOM_M = 0.03
REST = {"sitting": ("back rest", "seat"), "reading in bed": ("back rest", "mattress")}


def box(tilt: float = 0.0, radius_m: float = 0.05) -> Support:
    c, s = math.cos(tilt), math.sin(tilt)
    return Support(
        name="cushion",
        centre=np.array([0.1, -0.2, 0.3]),
        half_size_m=np.array([0.4, 0.1, 0.2]),
        rotation=np.array([[1.0, 0.0, 0.0], [0.0, c, -s], [0.0, s, c]]),
        edge_radius_m=radius_m,
        approach=np.array([0.0, 1.0, 0.0]),
    )


def at(*local: float) -> FloatArray:
    return np.array([local]) + box().centre


def test_distance_to_faces_edges_and_corners() -> None:
    cushion = box()
    # over a face: straight down to it
    distance, direction, place = cushion.nearest(at(0.2, 0.0, 0.27))
    assert distance[0] == pytest.approx(0.07)
    assert direction[0] == pytest.approx([0.0, 0.0, 1.0])
    assert place[0] == pytest.approx(at(0.2, 0.0, 0.2)[0])
    # beside an edge: from its axis, 0.05 inside of both faces, 3-4-5 triangle
    distance, direction, _ = cushion.nearest(at(0.0, 0.05 + 0.03, 0.15 + 0.04))
    assert distance[0] == pytest.approx(0.0, abs=1e-12)
    assert direction[0] == pytest.approx([0.0, 0.6, 0.8])
    # off a corner: from the centre of its ball
    distance, _, _ = cushion.nearest(at(0.35 + 0.2, 0.05 + 0.1, 0.15 + 0.2))
    assert distance[0] == pytest.approx(0.3 - 0.05)


def test_distance_inside_is_to_the_nearest_face() -> None:
    distance, direction, place = box().nearest(at(0.0, -0.03, 0.0))
    assert distance[0] == pytest.approx(-0.07)
    assert direction[0] == pytest.approx([0.0, -1.0, 0.0])
    assert place[0] == pytest.approx(at(0.0, -0.1, 0.0)[0])


coordinate = st.floats(-0.8, 0.8)
place_3d = st.tuples(coordinate, coordinate, coordinate)


@given(first=place_3d, second=place_3d, tilt=st.floats(-1.0, 1.0))
def test_distance_changes_no_faster_than_the_point_moves(first, second, tilt) -> None:  # type: ignore[no-untyped-def]
    cushion = box(tilt)
    points = np.array([first, second])
    distance, direction, place = cushion.nearest(points)
    assert abs(distance[1] - distance[0]) <= np.linalg.norm(points[1] - points[0]) + 1e-12
    assert np.linalg.norm(direction, axis=1) == pytest.approx([1.0, 1.0])
    assert place + distance[:, None] * direction == pytest.approx(points)
    assert cushion.nearest(place)[0] == pytest.approx([0.0, 0.0], abs=1e-12)


@given(point=place_3d, step=place_3d, tilt=st.floats(-1.0, 1.0))
def test_direction_is_continuous_down_to_the_edge_radius(point, step, tilt) -> None:  # type: ignore[no-untyped-def]
    # on level sets of a convex solid the direction turns by at most the step over the radius of
    # curvature, which at a depth d below a rounded edge is the edge radius less d
    cushion = box(tilt)
    points = np.array([point, np.array(point) + 1e-4 * np.array(step)])
    distance, direction, _ = cushion.nearest(points)
    if distance.min() > -0.04:
        moved = np.linalg.norm(points[1] - points[0])
        assert np.linalg.norm(direction[1] - direction[0]) <= moved / 0.01 + 1e-9


@pytest.mark.parametrize("radius_m", [0.05, 0.1])
def test_mesh_is_closed_and_on_the_surface(radius_m: float) -> None:
    cushion = box(0.4, radius_m)
    vertices, triangles = cushion.mesh()
    edges = np.concatenate([triangles[:, [0, 1]], triangles[:, [1, 2]], triangles[:, [2, 0]]])
    key, back = edges @ [len(vertices), 1], edges @ [1, len(vertices)]
    assert len(np.unique(key)) == len(key)
    assert np.array_equal(np.sort(key), np.sort(back))
    assert len(vertices) - len(key) // 2 + len(triangles) == 2
    assert np.unique(triangles).tolist() == list(range(len(vertices)))
    assert cushion.nearest(vertices)[0] == pytest.approx(np.zeros(len(vertices)), abs=1e-12)
    # Steiner: volume of a box grown by a ball
    a, b, c = 2.0 * (cushion.half_size_m - radius_m)
    exact = a * b * c + 2.0 * radius_m * (a * b + b * c + c * a)
    exact += math.pi * radius_m**2 * (a + b + c) + 4.0 / 3.0 * math.pi * radius_m**3
    p, q, r = (vertices[triangles[:, k]] for k in range(3))
    volume = np.einsum("ij,ij->i", p, np.cross(q, r)).sum() / 6.0
    assert volume == pytest.approx(exact, rel=0.005)
    assert volume < exact  # chords


def test_a_support_moves_and_goes_through_a_file() -> None:
    cushion = box(0.3)
    shift = np.array([0.0, 0.5, -0.1])
    moved = cushion.moved(shift)
    points = np.random.default_rng(3).uniform(-1.0, 1.0, (50, 3))
    assert moved.nearest(points + shift)[0] == pytest.approx(cushion.nearest(points)[0])
    again = Support.of_words(json.loads(json.dumps(cushion.words())))
    assert again.words() == cushion.words()
    assert np.array_equal(again.nearest(points)[0], cushion.nearest(points)[0])


@pytest.mark.parametrize(
    ("change", "key"),
    [
        ({"edge_radius_m": 0.15}, "edge_radius_m is 0.15"),
        ({"edge_radius_m": 0.0}, "edge_radius_m is 0"),
        ({"rotation": np.diag([1.0, 1.0, -1.0])}, "rotation"),
        ({"approach": np.array([0.0, 2.0, 0.0])}, "approach"),
    ],
)
def test_impossible_solids_are_refused(change: dict[str, object], key: str) -> None:
    cushion = box()
    fields = ("name", "centre", "half_size_m", "rotation", "edge_radius_m", "approach")
    with pytest.raises(InputError, match=key):
        Support(**{name: getattr(cushion, name) for name in fields} | change)


# --- chair and bed --------------------------------------------------------------------------------


@pytest.fixture(
    scope="module",
    params=[
        ("female", {"height": 1.52, "bust_girth": 0.82, "waist_girth": 0.65, "hip_girth": 0.90}),
        ("male", {"height": 1.82, "chest_girth": 1.24, "waist_girth": 1.18, "hip_girth": 1.18}),
    ],
    ids=["small", "large"],
)
def mannequin(request: pytest.FixtureRequest) -> Mannequin:
    sex, tape = request.param
    return build_mannequin(Tape(sex=sex, given=tape))


@pytest.fixture(params=sorted(REST))
def resting(mannequin: Mannequin, request: pytest.FixtureRequest) -> tuple[str, PosedBody]:
    return request.param, mannequin.supported(request.param, ROOM_M)


def test_between_body_and_supports_is_the_room(resting: tuple[str, PosedBody]) -> None:
    name, body = resting
    nearest = {part.name: part.nearest(body.vertices)[0].min() for part in body.supports}
    assert min(nearest.values()) >= ROOM_M - 1e-6
    for part in REST[name]:
        assert nearest[part] == pytest.approx(ROOM_M, abs=1e-5), part


def test_what_lies_where(resting: tuple[str, PosedBody]) -> None:
    name, body = resting
    parts = {part.name: part for part in body.supports}
    below = parts[REST[name][1]]
    top = below.centre[2] + below.half_size_m[2]
    low, high = below.mesh()[0].min(axis=0), below.mesh()[0].max(axis=0)
    for joint in ("hip_joint_left", "hip_joint_right"):
        assert (low[:2] < body.joints[joint][:2]).all()
        assert (high[:2] > body.joints[joint][:2]).all()
    if name == "sitting":
        assert body.vertices[:, 2].min() == pytest.approx(0.0, abs=1e-12)
        # popliteal height, less the sole of a shoe, of adults is 0.30 to 0.50 m
        assert 0.22 < top < 0.50
        assert body.joints["knee_left"][1] < low[1] < body.joints["hip_joint_left"][1]
    else:
        assert top == pytest.approx(0.5, abs=1e-9)
        assert low[1] < body.vertices[:, 1].min()
        heels = body.vertices[body.vertices[:, 1] < body.joints["ankle_left"][1] + 0.05]
        assert heels[:, 2].min() == pytest.approx(top + ROOM_M, abs=0.003)
    assert all(part.mesh()[0][:, 2].min() > -1e-9 for part in body.supports)
    # the back rest leans along the trunk: it is near above and below the waist, there at least
    # but for the rounding of its lower edge
    rest = parts["back rest"]
    back = body.vertices[body.part == 0]
    gap = rest.nearest(back)[0]
    waist = body.landmarks["waist"][2]
    for half in (back[:, 2] < waist, back[:, 2] >= waist):
        assert gap[half].min() < ROOM_M + 0.02


def test_supports_come_in_without_passing_through_the_body(
    resting: tuple[str, PosedBody],
) -> None:
    _, body = resting
    assert body.supports[0].name == "back rest"
    for part in body.supports:
        for step in np.linspace(0.02, 0.6, 12):
            distance = part.moved(step * part.approach).nearest(body.vertices)[0]
            assert distance.min() > ROOM_M - 1e-6, (part.name, step)


def test_supports_are_alike_on_both_sides(resting: tuple[str, PosedBody]) -> None:
    _, body = resting
    points = np.random.default_rng(5).uniform(-1.0, 1.0, (100, 3))
    for part in body.supports:
        mirrored = part.nearest(points * [-1.0, 1.0, 1.0])[0]
        assert mirrored == pytest.approx(part.nearest(points)[0], abs=1e-12)


def test_a_book_lies_open_on_the_fingers(mannequin: Mannequin) -> None:
    body = mannequin.supported("reading in bed", ROOM_M)
    left, right = body.held
    assert body.furniture == (*body.supports, left, right)
    hands = body.vertices[np.isin(body.part, (1, 2))]
    for half in (left, right):
        gap = half.nearest(hands)[0]
        # held, and no hand in it
        assert 0.0 < gap.min() < 0.003
        # clear of all else
        assert half.nearest(body.vertices[~np.isin(body.part, (1, 2))])[0].min() > 0.08
        # its face looks at the reader's: within 25 degrees up or down
        to_head = (body.joints["head"] - half.centre) * [0.0, 1.0, 1.0]
        face = half.rotation[:, 1] * [0.0, 1.0, 1.0]
        cosine = face @ to_head / np.linalg.norm(face) / np.linalg.norm(to_head)
        assert cosine > math.cos(math.radians(25.0))
        # a reading distance
        assert 0.35 < np.linalg.norm(to_head) < 0.65
    # both halves meet at the spine, and are open by more than a right angle and less than flat
    spine = [
        half.centre + sign * half.half_size_m[0] * half.rotation[:, 0]
        for half, sign in ((left, -1.0), (right, 1.0))
    ]
    assert np.linalg.norm(spine[0] - spine[1]) < 2.0 * left.half_size_m[1]
    opening = 180.0 - math.degrees(math.acos(left.rotation[:, 1] @ right.rotation[:, 1]))
    assert 90.0 < opening < 160.0


def test_a_standing_body_needs_no_support(mannequin: Mannequin) -> None:
    assert mannequin.supported("standing", ROOM_M).furniture == ()
