# SPDX-License-Identifier: GPL-3.0-or-later
"""PLY: what was written is what is read, in every order of bytes and with every length of face."""

import struct
from itertools import pairwise

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from napfold.core.arrays import FloatArray
from napfold.core.mannequin import ply_file
from napfold.core.mannequin.ply_file import PlyError, read_ply

MOST = 10_000
ORDERS = ["ascii", "binary_little_endian", "binary_big_endian"]


def written(vertices: FloatArray, faces: list[list[int]], order: str, extra: bool) -> bytes:
    """A PLY file; with ``extra``, a colour before each list of corners and a list behind it."""
    head = [
        "ply",
        f"format {order} 1.0",
        "comment a body",
        f"element vertex {len(vertices)}",
        *(f"property double {axis}" for axis in "xyz"),
        f"element face {len(faces)}",
        *(["property uchar red"] if extra else []),
        "property list uchar int vertex_indices",
        *(["property list uchar float texcoord"] if extra else []),
        "end_header\n",
    ]
    rows: list[tuple[str, list[float]]] = [("3d", list(row)) for row in vertices.tolist()]
    for face in faces:
        row: tuple[str, list[float]] = (f"B{len(face)}i", [len(face), *face])
        if extra:
            coordinates = [0.5] * len(face)
            row = (f"B{row[0]}B{len(face)}f", [7, *row[1], len(face), *coordinates])
        rows.append(row)
    if order == "ascii":
        body = "\n".join(" ".join(map(repr, numbers)) for _, numbers in rows).encode()
    else:
        sign = "<" if "little" in order else ">"
        body = b"".join(struct.pack(sign + kinds, *numbers) for kinds, numbers in rows)
    return "\n".join(head).encode() + body


@st.composite
def meshes(draw: st.DrawFn) -> tuple[FloatArray, list[list[int]]]:
    number = st.floats(-1e6, 1e6)
    vertices = draw(st.lists(st.tuples(number, number, number), min_size=3, max_size=12))
    corner = st.integers(0, len(vertices) - 1)
    faces = draw(st.lists(st.lists(corner, min_size=0, max_size=6), min_size=1, max_size=40))
    return np.array(vertices), faces


@settings(max_examples=100, deadline=None)
@given(meshes(), st.sampled_from(ORDERS), st.booleans(), st.integers(20, 200))
def test_what_was_written_is_read(
    mesh: tuple[FloatArray, list[list[int]]], order: str, extra: bool, window: int
) -> None:
    vertices, faces = mesh
    usual = ply_file.WINDOW
    ply_file.WINDOW = window  # so that rows run across the ends of windows
    try:
        places, triangles = read_ply(written(vertices, faces, order, extra), MOST, MOST)
    finally:
        ply_file.WINDOW = usual
    assert np.array_equal(places, vertices)
    fans = [[face[0], a, b] for face in faces for a, b in pairwise(face[1:])]
    assert triangles.tolist() == fans


@settings(max_examples=150, deadline=None)
@given(
    st.sampled_from(ORDERS),
    st.booleans(),
    st.lists(st.tuples(st.integers(0, 10**6), st.integers(0, 255)), max_size=4),
    st.integers(0, 400),
)
def test_a_damaged_file_is_told_or_read(
    order: str, extra: bool, damage: list[tuple[int, int]], lost: int
) -> None:
    vertices = np.array([[0.0, 0, 0], [1, 0, 0], [1, 1, 0], [0, 1, 0], [0, 0, 1]])
    content = bytearray(written(vertices, [[0, 1, 2, 3], [0, 1, 4], [1, 2, 4]], order, extra))
    for place, value in damage:
        content[place % len(content)] = value
    try:
        places, triangles = read_ply(bytes(content[: len(content) - lost]), MOST, MOST)
    except PlyError:
        return
    assert places.shape[1:] == triangles.shape[1:] == (3,)
    assert len(places) <= MOST
    assert len(triangles) <= MOST


HEAD = b"ply\nformat ascii 1.0\n"
PLACES = b"element vertex 3\nproperty float x\nproperty float y\nproperty float z\n"
FACES = b"element face 2\nproperty list uchar int vertex_indices\nend_header\n"


@pytest.mark.parametrize(
    ("content", "words"),
    [
        (HEAD + b"element vertex 4000000000\nend_header\n", "4000000000 of its kind vertex"),
        (HEAD + b"element vertex -4\nend_header\n", "damaged PLY header"),
        (HEAD + b"element vertex 3\nproperty half x\nend_header\n", "damaged PLY header"),
        (HEAD + b"property float x\nend_header\n", "damaged PLY header"),
        (b"ply\nformat zip 1.0\nend_header\n", "damaged PLY header"),
        (HEAD + PLACES + FACES + b"0 0 0 1 1 1", "ends too early"),
        (HEAD + PLACES + FACES + b"0 0 0 1 1 1 2 2 2 3 0 1 2 3 0 1", "ends too early"),
        (HEAD + PLACES + FACES + b"0 0 0 1 1 1 2 2 2 3 0 1 2 900000 0 1", "ends too early"),
        (HEAD + PLACES + FACES + b"0 0 0 1 1 1 2 2 2 3 0 1 2 3 0 1 1.5", "a corner"),
        (HEAD + PLACES + FACES + b"0 0 0 one 1 1", "words where numbers"),
        (
            HEAD + b"element vertex 1\nproperty float x\nend_header\n1",
            "without x, y and z",
        ),
    ],
)
def test_what_is_wrong_is_told(content: bytes, words: str) -> None:
    with pytest.raises(PlyError, match=words):
        read_ply(content, MOST, MOST)


def test_faces_of_many_corners_are_counted_as_triangles() -> None:
    """200 faces of 60 corners are 11,600 triangles."""
    content = written(np.zeros((60, 3)), [list(range(60))] * 200, "ascii", False)
    with pytest.raises(PlyError, match="more than the 10000 triangles"):
        read_ply(content, MOST, MOST)
