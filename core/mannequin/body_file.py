# SPDX-License-Identifier: GPL-3.0-or-later
"""Triangles out of a mesh file that somebody brought: GLB, OBJ, PLY or STL.

The file may be broken or hostile. Its size is bounded before it is read and the counts in its
header before arrays are made of them; colours, pictures and bones are left where they are.
"""

import io
import json
from collections.abc import Callable, Mapping
from pathlib import Path
from types import MappingProxyType
from typing import Any

import numpy as np

from ..arrays import FloatArray, IntArray
from ..errors import FileError
from ..files import read_bytes
from .ply_file import PlyError, read_ply

__all__ = ["MOST_BYTES", "MOST_TRIANGLES", "SUFFIXES", "read_triangles"]

MOST_BYTES = 64_000_000
MOST_TRIANGLES = 500_000
MOST_VERTICES = 3 * MOST_TRIANGLES  # STL repeats the corners of every triangle
MOST_PARTS = 1_000
MOST_LINES = 5 * MOST_VERTICES
GLTF_TRIANGLES = 4  # mode of a primitive, and what it is where nothing is said
# what trimesh shall leave alone
OPTIONS: Mapping[str, Mapping[str, Any]] = MappingProxyType(
    {
        "glb": {"skip_materials": True},
        "obj": {"skip_materials": True, "group_material": False, "maintain_order": True},
        "stl": {},
    }
)
SUFFIXES = (".glb", ".obj", ".ply", ".stl")


class _Refusal(Exception):
    """Why a file is not taken: a clause that follows the name of the file."""


def read_triangles(path: Path) -> tuple[FloatArray, IntArray]:
    """Vertices (n, 3) in the file's own unit and axes, and triangles (t, 3), all parts together.

    Raises
    ------
    FileError
        The file is missing, too large, of another format than its name says, damaged, or holds
        more than a body needs, no triangles, or numbers that are none.
    """
    kind = path.suffix.lower().removeprefix(".")
    if f".{kind}" not in SUFFIXES:
        raise FileError(f"{path} is not a body: give a file that ends in .glb, .obj, .ply or .stl.")
    if path.exists() and not path.is_file():
        raise FileError(f"{path} is not a plain file: give the file of a body.")
    content = read_bytes(path, MOST_BYTES)
    try:
        if kind == "ply":
            vertices, triangles = read_ply(content, MOST_VERTICES, MOST_TRIANGLES)
        else:
            CHECKS[kind](content)
            vertices, triangles = _joined(_load(content, kind))
        _check(vertices, triangles)
    except (_Refusal, PlyError) as refusal:
        raise FileError(f"{path} {refusal}.") from refusal
    return vertices, triangles


def _load(content: bytes, kind: str) -> Any:
    """What trimesh makes of the file."""
    import trimesh

    try:
        with np.errstate(all="ignore"):
            return trimesh.load(io.BytesIO(content), file_type=kind, process=False, **OPTIONS[kind])
    # a damaged file can trip its reader in any way; whichever it is, the user hears one sentence
    except Exception as error:
        raise _Refusal(
            f"cannot be read as {kind.upper()}: it is damaged or uses something unusual; "
            "export it again, as triangles, from the program it comes from"
        ) from error


def _joined(loaded: Any) -> tuple[FloatArray, IntArray]:
    """All parts of a loaded file, each where the file puts it."""
    if hasattr(loaded, "graph"):
        placed = [loaded.graph[node] for node in loaded.graph.nodes_geometry]
        parts = [(matrix, loaded.geometry[name]) for matrix, name in placed]
    else:
        parts = [(np.eye(4), loaded)]
    parts = [(matrix, part) for matrix, part in parts if len(getattr(part, "faces", ()))]
    if not parts:
        raise _Refusal("holds no triangles; check that it is the file you meant")
    _check_counts(
        sum(len(part.vertices) for _, part in parts), sum(len(part.faces) for _, part in parts)
    )
    vertices, triangles, first = [], [], 0
    with np.errstate(all="ignore"):  # numbers are checked when all are there
        for matrix, part in parts:
            corners = np.asarray(part.vertices, dtype=np.float64)
            faces = np.asarray(part.faces, dtype=np.int64)
            if corners.shape[1:] != (3,) or faces.shape[1:] != (3,):
                raise _Refusal("is damaged, or not made of triangles in space; export it again")
            vertices.append(corners @ matrix[:3, :3].T + matrix[:3, 3])
            if faces.min() < 0 or faces.max() >= len(corners):  # of its own part
                raise _Refusal("is damaged: a triangle names a corner that is not there")
            mirrored = np.linalg.det(matrix[:3, :3]) < 0.0
            triangles.append((faces[:, ::-1] if mirrored else faces) + first)
            first += len(corners)
    return np.concatenate(vertices), np.concatenate(triangles)


def _check(vertices: FloatArray, triangles: IntArray) -> None:
    if not len(triangles):
        raise _Refusal("holds no triangles; check that it is the file you meant")
    if triangles.min() < 0 or triangles.max() >= len(vertices):
        raise _Refusal("is damaged: a triangle names a corner that is not there")
    if not np.isfinite(vertices).all():
        raise _Refusal("holds places that are not numbers; export it again")
    if np.abs(vertices).max() > 1e9:
        raise _Refusal("holds places a million kilometres away; export it again")


def _check_counts(vertices: int, triangles: int) -> None:
    if vertices > MOST_VERTICES or triangles > MOST_TRIANGLES:
        raise _Refusal(
            f"holds {vertices} vertices and {triangles} triangles, more than the "
            f"{MOST_VERTICES} and {MOST_TRIANGLES} that are taken; make the mesh coarser"
        )


def _check_glb(content: bytes) -> None:
    """Bound what the JSON part of a GLB promises (glTF 2.0, sections 3.6, 3.7 and 4.4)."""
    if content[:4] != b"glTF":
        raise _Refusal("is not a GLB file, whatever its name says")
    length = int.from_bytes(content[12:16], "little")
    try:
        _check_gltf(json.loads(content[20 : 20 + length]))
    # damaged JSON, or JSON with something else in the place of a table, a list or a number
    except (ValueError, LookupError, TypeError, AttributeError, RecursionError) as error:
        raise _Refusal("is a damaged GLB file; export it again") from error


def _check_gltf(tree: Any) -> None:
    if any("uri" in buffer for buffer in tree.get("buffers", [])):
        raise _Refusal("keeps its numbers in another file; export it as one GLB file")
    if tree.get("extensionsRequired"):
        names = ", ".join(str(name)[:40] for name in tree["extensionsRequired"][:4])
        raise _Refusal(f"is packed in a way that is not read here ({names}); export it plainly")
    accessors, nodes = tree.get("accessors", []), tree.get("nodes", [])
    primitives = [part for mesh in tree.get("meshes", []) for part in mesh["primitives"]]
    if max(len(accessors), len(nodes), len(primitives), len(tree.get("bufferViews", []))) > (
        MOST_PARTS
    ):
        raise _Refusal(f"consists of more than {MOST_PARTS} parts; join the parts of the body")
    counts = [_whole(accessor["count"]) for accessor in accessors]
    if any("bufferView" not in accessor or "sparse" in accessor for accessor in accessors):
        raise _Refusal("leaves out part of its numbers (sparse accessors); export it plainly")
    # other figures of a vertex (bones, colours) are no more than some times the vertices
    if sum(counts) > 8 * MOST_VERTICES:
        raise _Refusal("promises more numbers than a body needs; make the mesh coarser")
    used = [part for part in primitives if part.get("mode", GLTF_TRIANGLES) >= GLTF_TRIANGLES]
    corners = [counts[_whole(part["attributes"]["POSITION"])] for part in used]
    indices = [
        counts[_whole(part["indices"])] if "indices" in part else corner
        for part, corner in zip(used, corners, strict=True)
    ]
    _check_counts(sum(corners), sum(indices) // 3)
    children = [_whole(child) for node in nodes for child in node.get("children", [])]
    if len(set(children)) < len(children):
        raise _Refusal("is damaged: its parts do not form a tree")


def _whole(value: object) -> int:
    """A whole number that is not negative, where JSON may hold anything."""
    if isinstance(value, bool) or not isinstance(value, int) or value < 0:
        raise ValueError("not a count")
    return value


def _check_stl(content: bytes) -> None:
    count = int.from_bytes(content[80:84], "little")
    if len(content) >= 84 and len(content) == 84 + 50 * count:
        _check_counts(3 * count, count)
    elif content[:200].lstrip()[:5].lower() == b"solid" and b"\0" not in content:
        _check_counts(content.lower().count(b"vertex"), content.lower().count(b"endfacet"))
    else:
        raise _Refusal("is not a whole STL file: its length does not fit its count of triangles")


def _check_obj(content: bytes) -> None:
    """Bound vertices, and the triangles that faces of any number of corners fall into.

    What a line begins with and how many gaps are in it tells enough; other files that it may
    name (materials, pictures) are not looked for.
    """
    if b"\0" in content:
        raise _Refusal("is not an OBJ file, whatever its name says")
    lines = content.count(b"\n") + content.count(b"\r")
    if lines > MOST_LINES:
        raise _Refusal(f"holds {lines} lines, more than the {MOST_LINES} that are taken")
    letters = np.frombuffer(b"\n" + content + b"\n\n", dtype=np.uint8)
    ends = np.flatnonzero((letters[:-2] == 10) | (letters[:-2] == 13))
    gaps = np.add.reduceat((letters == 32) | (letters == 9), ends, dtype=np.int64)
    first, second = letters[ends + 1], letters[ends + 2]
    vertices = (first == ord("v")) & ((second == 32) | (second == 9))
    # a gap before every corner; the first two corners make no triangle
    triangles = np.maximum(gaps[first == ord("f")] - 2, 0)
    _check_counts(int(vertices.sum()), int(triangles.sum()))


CHECKS: Mapping[str, Callable[[bytes], None]] = MappingProxyType(
    {"glb": _check_glb, "obj": _check_obj, "stl": _check_stl}
)
