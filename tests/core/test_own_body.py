# SPDX-License-Identifier: GPL-3.0-or-later
"""Own bodies: columns whose girths are known by hand, shipped bodies, and files meant to break."""

import json
import math
import struct
from collections.abc import Callable
from pathlib import Path

import numpy as np
import pytest
import trimesh
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st
from napfold.core.arrays import FloatArray, IntArray
from napfold.core.errors import FileError, InputError, NapfoldError
from napfold.core.mannequin import POSES, body_file, build_mannequin, symmetric
from napfold.core.mannequin.mesh_repair import close, connected_components, lone_body, merged
from napfold.core.mannequin.own_body import UNITS_M, OwnBody, load_own_body, place_body
from napfold.core.tape import Tape

AVATARS = Path(__file__).parents[2] / "sample_avatars"
HEIGHT_M, HALF_BREADTH_M, HALF_DEPTH_M = 1.70, 0.17, 0.12
SIDES, RINGS = 96, 51  # a ring every 3.4 cm

Mesh = tuple[FloatArray, IntArray]


def ellipse_girth(a: float, b: float) -> float:
    """Ramanujan's second approximation, exact to 1e-9 for such ellipses."""
    h = ((a - b) / (a + b)) ** 2
    return math.pi * (a + b) * (1 + 3 * h / (10 + math.sqrt(4 - 3 * h)))


def column(radius: Callable[[FloatArray], FloatArray]) -> Mesh:
    """An upright column, radius given by direction; z up, outside counter-clockwise."""
    angle = np.arange(SIDES) * 2 * math.pi / SIDES
    flat = radius(angle)[:, None] * np.stack([np.cos(angle), np.sin(angle)], axis=1)
    heights = np.linspace(0.0, HEIGHT_M, RINGS)
    rings = np.concatenate([np.tile(flat, (RINGS, 1)), np.repeat(heights, SIDES)[:, None]], axis=1)
    at = np.arange(RINGS * SIDES).reshape(RINGS, SIDES)
    a, b, c, d = at[:-1], np.roll(at[:-1], -1, 1), at[1:], np.roll(at[1:], -1, 1)
    bottom, top = RINGS * SIDES, RINGS * SIDES + 1
    first, last, ones = at[0], at[-1], np.ones(SIDES, dtype=np.int64)
    triangles = [
        np.stack([a, b, d], axis=-1).reshape(-1, 3),
        np.stack([a, d, c], axis=-1).reshape(-1, 3),
        np.stack([np.roll(first, -1), first, bottom * ones], axis=1),
        np.stack([last, np.roll(last, -1), top * ones], axis=1),
    ]
    ends = [[0.0, 0.0, 0.0], [0.0, 0.0, HEIGHT_M]]
    return np.concatenate([rings, ends]), np.concatenate(triangles)


def ellipse(angle: FloatArray) -> FloatArray:
    return 1.0 / np.hypot(np.cos(angle) / HALF_BREADTH_M, np.sin(angle) / HALF_DEPTH_M)


def ellipse_with_arms(angle: FloatArray) -> FloatArray:
    """The ellipse with a round arm of 9 cm melted onto each side."""
    arm, away = 0.045, HALF_BREADTH_M + 0.03
    along = away * np.abs(np.cos(angle))
    across = away * np.sin(angle)
    reach = np.sqrt(np.maximum(arm**2 - across**2, 0.0))
    return np.maximum(ellipse(angle), np.where(reach > 0, along + reach, 0.0))


@pytest.fixture(scope="module")
def plain() -> Mesh:
    return column(ellipse)


@pytest.fixture(scope="module")
def coarse() -> Mesh:
    """A tall box, for files: 8 corners, 12 triangles."""
    box = trimesh.creation.box(extents=(0.34, 0.24, 1.7))
    return np.array(box.vertices), np.array(box.faces)


def require_closed(body: OwnBody) -> None:
    mesh = trimesh.Trimesh(body.vertices, body.triangles, process=False)
    assert mesh.is_watertight
    assert mesh.is_winding_consistent
    assert mesh.volume > 0.0
    assert np.linalg.norm(body.normals, axis=1) == pytest.approx(1.0)


# --- measured and placed --------------------------------------------------------------------------


def test_girths_of_a_column(plain: Mesh) -> None:
    body = place_body(plain[0] + [3.0, -2.0, 0.7], plain[1])
    girth = ellipse_girth(HALF_BREADTH_M, HALF_DEPTH_M)
    assert body.measures["height"] == pytest.approx(HEIGHT_M)
    for level in ("bust", "waist", "hip"):
        # 96 chords are shorter than the arc by a share of about (pi / 96)^2 / 6
        assert body.measures[f"{level}_girth"] == pytest.approx(girth, rel=3e-4)
    heights = [body.landmarks[name][2] for name in ("hip", "waist", "bust", "top_of_head")]
    assert heights == sorted(heights)
    # nothing of arms and legs shows on a column
    assert set(body.landmarks) == {"top_of_head", "back_neck_point", "bust", "waist", "hip"}
    assert body.joints == {}
    assert any("No arms" in note for note in body.notes)
    assert body.vertices.min(axis=0) == pytest.approx([-HALF_BREADTH_M, -HALF_DEPTH_M, 0.0])
    require_closed(body)


@pytest.mark.parametrize("unit", list(UNITS_M))
@pytest.mark.parametrize("up", ["y", "z"])
def test_unit_and_up_axis_are_found(plain: Mesh, unit: str, up: str) -> None:
    vertices = plain[0] / UNITS_M[unit]
    if up == "y":
        vertices = vertices[:, [0, 2, 1]] * [1.0, 1.0, -1.0]
    found = place_body(vertices, plain[1])
    assert f"in {unit}, with {up} up" in found.notes[0]
    assert found.measures["height"] == pytest.approx(HEIGHT_M)
    assert np.ptp(found.vertices, axis=0) == pytest.approx(np.ptp(plain[0], axis=0))
    require_closed(found)


def test_unit_and_up_axis_are_believed(plain: Mesh) -> None:
    """85 may be the inches of a tall person or the centimetres of a doll."""
    body = place_body(plain[0] * 50.0, plain[1], unit="in", up="z")
    assert body.measures["height"] == pytest.approx(85.0 * 0.0254)
    with pytest.raises(InputError, match=r"body\.unit is cm, which makes the body 0\.85 m high"):
        place_body(plain[0] * 50.0, plain[1], unit="cm")


def test_front_stays_in_front(plain: Mesh) -> None:
    """A nose at -y is at +z once y is up, and comes back to -y."""
    vertices = plain[0].copy()
    nose = int(np.argmin(np.abs(vertices - [0.0, -HALF_DEPTH_M, 1.6]).sum(axis=1)))
    vertices[nose, 1] -= 0.03
    for turned in (vertices, vertices[:, [0, 2, 1]] * [1.0, 1.0, -1.0]):
        body = place_body(turned, plain[1])
        assert body.vertices[:, 1].min() == pytest.approx(-HALF_DEPTH_M - 0.03)


@pytest.mark.parametrize(
    ("stem", "tape"),
    [
        ("woman_medium_full", {"bust_girth": 1.10, "waist_girth": 0.94, "hip_girth": 1.17}),
        ("man_medium_large", {"bust_girth": 1.28, "waist_girth": 1.20, "hip_girth": 1.20}),
        ("woman_short_slim", {"height": 1.52, "bust_girth": 0.82}),
    ],
)
def test_shipped_body_reads_its_tape(stem: str, tape: dict[str, float]) -> None:
    """Girths at levels that shape and stature tell are near those at the levels of the tape."""
    body = load_own_body(AVATARS / f"{stem}.glb")
    for name, value in tape.items():
        tolerance_m = 0.003 if name == "height" else 0.02
        assert body.measures[name] == pytest.approx(value, abs=tolerance_m), name
    assert {"axilla", "crotch"} <= set(body.landmarks)
    require_closed(body)


# --- arms -----------------------------------------------------------------------------------------


def test_arms_melted_onto_the_trunk_are_refused() -> None:
    with pytest.raises(InputError, match=r"body\.arms is touching"):
        place_body(*column(ellipse_with_arms))


def test_arms_in_other_poses() -> None:
    mannequin = build_mannequin(Tape(sex="female", given={"height": 1.64, "bust_girth": 0.92}))
    standing = mannequin.posed(POSES["standing"])
    body = place_body(standing.vertices, standing.triangles)
    out = mannequin.posed(POSES["arms out"])
    wide = place_body(out.vertices, out.triangles)
    for level in ("bust", "waist", "hip"):
        name = f"{level}_girth"
        assert wide.measures[name] == pytest.approx(body.measures[name], abs=0.012)
    # arms straight down lie in the hips
    down = mannequin.posed(symmetric(shoulder_abduction=0.0, elbow_flexion=0.0))
    with pytest.raises(InputError, match=r"body\.arms is touching"):
        place_body(down.vertices, down.triangles)


# --- in doubt -------------------------------------------------------------------------------------


@pytest.mark.parametrize(
    ("scale", "options", "key"),
    [
        ((1.0, 1.0, 10.0), {}, r"body\.unit is in doubt: the body is 17 high"),
        ((1.0, 6.0, 1.0), {}, r"body\.up is in doubt: the body is 1\.44 in y and 1\.7 in z"),
        ((1.0, 1.0, 1.0), {"unit": "cm"}, r"body\.unit is cm, which makes the body 0\.017 m high"),
        ((1.0, 1.0, 1.0), {"unit": "ell"}, r"body\.unit is ell"),
        ((1.0, 1.0, 1.0), {"up": "x"}, r"body\.up is x"),
    ],
)
def test_doubt_is_asked_about(
    plain: Mesh, scale: tuple[float, ...], options: dict[str, str], key: str
) -> None:
    with pytest.raises(InputError, match=key):
        place_body(plain[0] * scale, plain[1], **options)


# --- mended ---------------------------------------------------------------------------------------


def test_what_can_be_mended(plain: Mesh) -> None:
    vertices, triangles = plain
    sound = place_body(vertices, triangles)
    random = np.random.default_rng(3)
    # every triangle with corners of its own, some twice, some turned over, one patch missing
    near = np.abs(vertices - [0.0, -HALF_DEPTH_M, 1.40]).max(axis=1) < 0.04
    patch = near[triangles].all(axis=1)
    assert patch.sum() > 8
    left = triangles[~patch]
    left = np.concatenate([left, left[:50], left[:1, [0, 0, 1]]])
    turned = random.random(len(left)) < 0.4
    left[turned] = left[turned, ::-1]
    soup = vertices[left].reshape(-1, 3)
    eye = trimesh.creation.box(extents=(0.02, 0.02, 0.02)).apply_translation([0.03, -0.1, 1.6])
    body = place_body(
        np.concatenate([soup, eye.vertices]),
        np.concatenate([np.arange(len(soup)).reshape(-1, 3), eye.faces + len(soup)]),
    )
    require_closed(body)
    assert body.notes[1:3] == (
        "Small loose parts left out: 1.",
        "Holes up to 0.30 m round filled: 1.",
    )
    for name, value in sound.measures.items():
        assert body.measures[name] == pytest.approx(value, abs=1e-4)


def test_what_cannot_be_mended_is_told(plain: Mesh) -> None:
    vertices, triangles = plain
    with pytest.raises(InputError, match=r"largest hole is 0\.9\d m round, at a height of 0"):
        place_body(vertices, triangles[(triangles != len(vertices) - 2).all(axis=1)])
    with pytest.raises(InputError, match="2 large parts"):
        place_body(
            np.concatenate([vertices, vertices + np.array([1.0, 0.0, 0.0])]),
            np.concatenate([triangles, triangles + len(vertices)]),
        )
    fin = np.array([[triangles[0, 0], triangles[0, 1], len(vertices)]])
    with pytest.raises(InputError, match=r"more than two triangles meet in one edge \(edges: 1\)"):
        place_body(np.concatenate([vertices, [[0.2, 0.2, 0.5]]]), np.concatenate([triangles, fin]))
    with pytest.raises(InputError, match="without area"):
        place_body(vertices, triangles[:5, [0, 0, 1]])


def test_a_place_without_an_outside_is_told(plain: Mesh) -> None:
    """On an upright edge four triangles without area hide a corner that no other triangle has."""
    vertices, triangles = plain
    rows = np.flatnonzero((triangles == SIDES).any(axis=1) & (triangles == 2 * SIDES).any(axis=1))
    split = triangles[rows[0]]
    a, b, c = next(
        turn for turn in (np.roll(split, k) for k in range(3)) if {*turn[:2]} == {SIDES, 2 * SIDES}
    )
    p, m = len(vertices), len(vertices) + 1
    added = [vertices[a] + share * (vertices[b] - vertices[a]) for share in (0.5, 0.25)]
    changed = [[a, p, c], [p, b, c], [a, b, m], [b, p, m], [p, a, m]]
    with pytest.raises(InputError, match=r"crushed flat at a height of 0\.0"):
        place_body(
            np.concatenate([vertices, added]),
            np.concatenate([np.delete(triangles, rows[0], axis=0), changed]),
        )


def test_a_one_sided_band_is_told() -> None:
    angle = np.linspace(0.0, 2 * math.pi, 41)[:-1]
    tilt = np.stack([np.cos(angle / 2), np.sin(angle / 2)], axis=1)
    rims = [
        np.stack([(1 + w * tilt[:, 0]) * np.cos(angle), (1 + w * tilt[:, 0]) * np.sin(angle)], 1)
        for w in (-0.3, 0.3)
    ]
    low, high = (
        np.column_stack([r, w * tilt[:, 1]]) for r, w in zip(rims, (-0.3, 0.3), strict=True)
    )
    i, n = np.arange(39), 40
    rows = np.concatenate(
        [
            np.stack([i, i + 1, i + n], 1),
            np.stack([i + 1, i + n + 1, i + n], 1),
            [[39, n, 79], [n, 0, 79]],  # joined with a half turn
        ]
    )
    with pytest.raises(InputError, match="one side only"):
        close(np.concatenate([low, high]), rows, 1.0)


@given(
    st.integers(1, 40).flatmap(
        lambda n: st.tuples(
            st.just(n),
            st.lists(st.tuples(st.integers(0, n - 1), st.integers(0, n - 1)), max_size=80),
        )
    )
)
def test_components_are_those_of_a_search(graph: tuple[int, list[tuple[int, int]]]) -> None:
    count, edges = graph
    least = list(range(count))
    for _ in range(count):
        for a, b in edges:
            least[a] = least[b] = min(least[a], least[b])
    first, second = np.array(edges, dtype=np.int64).reshape(-1, 2).T
    assert connected_components(count, first, second).tolist() == least


# --- files ----------------------------------------------------------------------------------------


def exported(mesh: Mesh, suffix: str, **options: object) -> bytes:
    content = trimesh.Trimesh(*mesh, process=False).export(file_type=suffix, **options)
    return content.encode() if isinstance(content, str) else content


@pytest.mark.parametrize(
    ("suffix", "kind", "options"),
    [
        ("glb", "glb", {}),
        ("obj", "obj", {}),
        ("ply", "ply", {}),
        ("PLY", "ply", {"encoding": "ascii"}),
        ("stl", "stl", {}),
        ("stl", "stl_ascii", {}),
    ],
)
def test_every_format(
    tmp_path: Path, plain: Mesh, suffix: str, kind: str, options: dict[str, str]
) -> None:
    path = tmp_path / f"body.{suffix}"
    path.write_bytes(exported(plain, kind, **options))
    body = load_own_body(path)
    require_closed(body)
    assert len(body.vertices) == len(plain[0])
    girth = ellipse_girth(HALF_BREADTH_M, HALF_DEPTH_M)
    assert body.measures["hip_girth"] == pytest.approx(girth, rel=3e-4)


def test_parts_stand_where_the_scene_puts_them(tmp_path: Path, coarse: Mesh) -> None:
    scene = trimesh.Scene()
    matrix = np.diag([-1.0, 1.0, 1.0, 1.0])
    matrix[:3, 3] = [5.0, 0.0, 0.0]
    scene.add_geometry(trimesh.Trimesh(*coarse, process=False), transform=matrix)
    path = tmp_path / "body.glb"
    path.write_bytes(scene.export(file_type="glb"))
    vertices, triangles = body_file.read_triangles(path)
    assert vertices.mean(axis=0) == pytest.approx([5.0, 0.0, 0.0], abs=1e-6)
    corner = vertices[triangles]
    volume = np.einsum("ij,ij->", corner[:, 0], np.cross(corner[:, 1], corner[:, 2])) / 6
    assert volume == pytest.approx(0.34 * 0.24 * 1.7, rel=1e-5)  # mirrored, yet outside out


def glb(tree: object, binary: bytes = bytes(12)) -> bytes:
    text = json.dumps(tree).encode()
    text += b" " * (-len(text) % 4)
    chunks = struct.pack("<II", len(text), 0x4E4F534A) + text
    chunks += struct.pack("<II", len(binary), 0x004E4942) + binary
    return struct.pack("<III", 0x46546C67, 2, 12 + len(chunks)) + chunks


def gltf(**changed: object) -> dict[str, object]:
    accessor = {"componentType": 5126, "type": "VEC3", "count": 1, "bufferView": 0}
    return {
        "asset": {"version": "2.0"},
        "scenes": [{"nodes": [0]}],
        "nodes": [{"mesh": 0}],
        "meshes": [{"primitives": [{"attributes": {"POSITION": 0}}]}],
        "accessors": [accessor],
        "bufferViews": [{"buffer": 0, "byteLength": 12}],
        "buffers": [{"byteLength": 12}],
    } | changed


ACCESSOR = {"componentType": 5126, "type": "VEC3", "bufferView": 0}
HUGE = 2**31 - 1


@pytest.mark.parametrize(
    ("name", "content", "reason"),
    [
        ("a.txt", b"", "give a file that ends in"),
        ("a.glb", b"solid", "not a GLB"),
        ("a.glb", glb([]), "damaged GLB"),
        ("a.glb", glb(gltf(accessors=[ACCESSOR | {"count": HUGE}])), "promises more"),
        ("a.glb", glb(gltf(accessors=[ACCESSOR | {"count": 2_000_000}])), "2000000 vertices"),
        ("a.glb", glb(gltf(accessors=[ACCESSOR | {"count": -1}])), "damaged GLB"),
        ("a.glb", glb(gltf(accessors=[{**ACCESSOR, "count": 3, "sparse": {}}])), "sparse"),
        ("a.glb", glb(gltf(nodes=[{}] * 2000)), "more than 1000 parts"),
        ("a.glb", glb(gltf(nodes=[{"children": [1, 1]}, {"mesh": 0}])), "form a tree"),
        ("a.glb", glb(gltf(extensionsRequired=["packed"])), r"not read here \(packed\)"),
        ("a.glb", glb(gltf(buffers=[{"uri": "other.bin"}])), "cannot be read as GLB"),
        ("a.glb", b"glTF" + struct.pack("<II", 2, 40) + struct.pack("<I", HUGE), "damaged GLB"),
        ("a.glb", glb(gltf(accessors=[{**ACCESSOR, "type": "SCALAR", "count": 3}])), "in space"),
        ("a.glb", glb(gltf(meshes=[])), "cannot be read as GLB|holds no triangles"),
        ("a.ply", b"solid", "not a PLY"),
        ("a.ply", b"ply\nformat ascii 1.0\nelement vertex 4000000000\nend_header\n", "more than"),
        ("a.ply", b"ply\nformat ascii 1.0\nelement vertex -4\nend_header\n", "damaged PLY"),
        ("a.ply", b"ply\n" + bytes(70_000), "not a PLY"),
        ("a.stl", bytes(80) + struct.pack("<I", HUGE), "length does not fit"),
        ("a.stl", bytes(84), "holds no triangles|cannot be read"),
        ("a.stl", b"solid nothing", "holds no triangles|cannot be read"),
        ("a.obj", b"v 0 0 0\0", "not an OBJ"),
        ("a.obj", b"v 0 0 0\nv 1 0 0\nf 1 2 9\n", "cannot be read as OBJ|damaged"),
        ("a.obj", b"\nf 1 1 1" * (body_file.MOST_TRIANGLES + 1), "more than"),
    ],
)
def test_hostile_file_is_told_in_one_sentence(
    tmp_path: Path, name: str, content: bytes, reason: str
) -> None:
    path = tmp_path / name
    path.write_bytes(content)
    with pytest.raises(FileError, match=reason):
        load_own_body(path)


def test_large_file_is_not_read(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(body_file, "MOST_BYTES", 1000)
    path = tmp_path / "a.stl"
    path.write_bytes(bytes(1001))
    with pytest.raises(FileError, match="larger than 1000 bytes"):
        load_own_body(path)
    with pytest.raises(FileError, match="cannot be read"):
        load_own_body(tmp_path / "missing.stl")


@pytest.mark.parametrize("suffix", ["glb", "ply", "stl", "obj"])
@pytest.mark.parametrize("value", [math.nan, math.inf, 1e30])
def test_numbers_that_are_none(tmp_path: Path, coarse: Mesh, suffix: str, value: float) -> None:
    vertices = coarse[0].copy()
    vertices[3, 1] = value
    path = tmp_path / f"a.{suffix}"
    content = exported(coarse, suffix)
    if suffix == "obj":
        content = content.replace(b"v ", f"v {value} 0 0\nv ".encode(), 1)
    else:
        good = struct.pack("<f", coarse[0][0, 2])
        content = content.replace(good, struct.pack("<f", value))
    path.write_bytes(content)
    with pytest.raises(FileError, match=r"not numbers|million kilometres|cannot be read"):
        body_file.read_triangles(path)


hostile = settings(
    max_examples=60, deadline=None, suppress_health_check=[HealthCheck.function_scoped_fixture]
)


@hostile
@given(st.sampled_from(["glb", "obj", "ply", "stl"]), st.binary(max_size=400), st.booleans())
def test_random_bytes_end_in_a_sentence(
    tmp_path: Path, suffix: str, content: bytes, signed: bool
) -> None:
    start = {"glb": b"glTF\2\0\0\0", "ply": b"ply\n", "stl": b"solid ", "obj": b"v "}[suffix]
    path = tmp_path / f"a.{suffix}"
    path.write_bytes(start + content if signed else content)
    with pytest.raises(FileError) as told:
        load_own_body(path)
    assert str(told.value).count("\n") == 0


@hostile
@given(
    st.sampled_from(["glb", "obj", "ply", "stl"]),
    st.lists(st.tuples(st.integers(0, 10**6), st.integers(0, 255)), min_size=1, max_size=4),
)
def test_damaged_file_gives_a_sound_body_or_a_sentence(
    tmp_path: Path, coarse: Mesh, suffix: str, damage: list[tuple[int, int]]
) -> None:
    content = bytearray(exported(coarse, suffix))
    for place, value in damage:
        content[place % len(content)] = value
    path = tmp_path / f"a.{suffix}"
    path.write_bytes(content)
    try:
        body = load_own_body(path)
    except NapfoldError:
        return
    assert np.isfinite(body.vertices).all()
    assert np.isfinite(body.normals).all()
    assert 1.0 <= body.measures["height"] <= 2.3
    require_closed(body)


@hostile
@given(st.integers(0, 2**32 - 1), st.integers(4, 60))
def test_any_triangles_give_a_closed_surface_or_a_sentence(seed: int, count: int) -> None:
    random = np.random.default_rng(seed)
    vertices = random.normal(size=(12, 3)) * [0.2, 0.2, 1.0]
    triangles = random.integers(0, 12, size=(count, 3))
    try:
        vertices, triangles = merged(vertices, triangles)
        vertices, triangles, _ = lone_body(vertices, triangles)
        solid = close(vertices, triangles, 10.0)
    except InputError:
        return
    edges = np.sort(solid.triangles[:, [0, 1, 1, 2, 2, 0]].reshape(-1, 2), axis=1)
    assert (np.unique(edges, axis=0, return_counts=True)[1] == 2).all()
    partner = solid.partners.reshape(-1)
    assert np.array_equal(partner[partner], np.arange(len(partner)))
