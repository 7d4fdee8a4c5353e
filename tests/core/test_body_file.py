# SPDX-License-Identifier: GPL-3.0-or-later
"""Files of bodies: every format read alike, and files meant to break told in one sentence."""

import json
import math
import struct
from pathlib import Path

import numpy as np
import pytest
import trimesh
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st
from napfold.core.errors import FileError, NapfoldError
from napfold.core.mannequin import body_file
from napfold.core.mannequin.own_body import load_own_body
from napfold.core.mannequin.posed_body import vertex_normals

from .columns import (
    HALF_BREADTH_M,
    HALF_DEPTH_M,
    Mesh,
    column,
    ellipse,
    ellipse_girth,
    exported,
    require_closed,
    tall_box,
)


@pytest.fixture(scope="module")
def plain() -> Mesh:
    return column(ellipse)


@pytest.fixture(scope="module")
def coarse() -> Mesh:
    return tall_box()


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
ARCHIVE = b"PK\3\4" + bytes(2000)


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
        ("a.glb", glb(gltf(buffers=[{"uri": "other.bin"}])), "in another file"),
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
        ("a.glb", ARCHIVE, "not a GLB"),
        ("a.ply", ARCHIVE, "not a PLY"),
        ("a.stl", ARCHIVE, "length does not fit"),
        ("a.obj", ARCHIVE, "not an OBJ"),
        ("a.obj", b"v 0 0 0\0", "not an OBJ"),
        ("a.obj", b"v 0 0 0\nf" + b" 1" * 600_000, "599998 triangles, more than"),
        ("a.obj", b"\n" * (body_file.MOST_LINES + 1), "lines, more than"),
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


def test_other_files_that_a_file_names_are_let_be(tmp_path: Path, coarse: Mesh) -> None:
    """Materials and pictures are not needed, and not looked for wherever they are said to be."""
    path = tmp_path / "a.obj"
    text = exported(coarse, "obj").decode()
    path.write_text(f"mtllib ../../secret.mtl\nusemtl skin\n{text}", encoding="utf-8")
    assert len(body_file.read_triangles(path)[1]) == 12


def test_quads_of_a_binary_ply(tmp_path: Path) -> None:
    """A box of six quads, as modelling programs write it: twelve triangles that enclose it."""
    corner = np.array([[x, y, z] for x in (0, 1) for y in (0, 1) for z in (0, 2)], dtype="<f4")
    quads = [[0, 1, 3, 2], [4, 6, 7, 5], [0, 4, 5, 1], [2, 3, 7, 6], [0, 2, 6, 4], [1, 5, 7, 3]]
    head = (
        "ply\nformat binary_little_endian 1.0\nelement vertex 8\nproperty float x\n"
        "property float y\nproperty float z\nelement face 6\n"
        "property list uchar uint vertex_index\nend_header\n"
    )
    path = tmp_path / "a.ply"
    faces = b"".join(struct.pack("<B4I", 4, *quad) for quad in quads)
    path.write_bytes(head.encode() + corner.tobytes() + faces)
    vertices, triangles = body_file.read_triangles(path)
    a, b, c = np.moveaxis(vertices[triangles], 1, 0)
    assert len(triangles) == 12
    assert np.einsum("ij,ij->", a, np.cross(b, c)) / 6 == pytest.approx(2.0)


def test_a_folder_is_no_body(tmp_path: Path) -> None:
    (tmp_path / "a.ply").mkdir()
    with pytest.raises(FileError, match="not a plain file"):
        load_own_body(tmp_path / "a.ply")


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
    assert np.isfinite(vertex_normals(body.vertices, body.triangles)).all()
    assert 1.0 <= body.measures["height"] <= 2.3
    require_closed(body)
