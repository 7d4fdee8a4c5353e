# SPDX-License-Identifier: GPL-3.0-or-later
"""The border between arrays and Blender: float64 metres on one side, float32 data on the other.

A scene may count in another unit than the metre; ``scale_length`` (metres in one Blender unit) is
applied here and nowhere else.
"""

import bpy
import numpy as np

from ...core.arrays import FloatArray, IntArray

__all__ = [
    "PILE_NORMAL",
    "PILE_ROOT",
    "PILE_TIP",
    "PRINT_PLACE",
    "flat_of",
    "paint",
    "positions_of",
    "put_curves",
    "put_mesh",
    "put_print_place",
    "put_strand_colours",
    "put_values",
    "put_wires",
    "set_positions",
    "triangles_of",
    "values_of",
]

PILE_NORMAL = "pile_normal"
PILE_ROOT, PILE_TIP = "pile_root", "pile_tip"
FLAT = "flat pattern in metres"
PRINT_PLACE = "place in the print"
PAINT = "napfold colours"


def put_mesh(
    name: str,
    vertices: FloatArray,
    triangles: IntArray,
    collection: bpy.types.Collection,
    *,
    flat: FloatArray | None = None,
    normals: FloatArray | None = None,
    print_place: FloatArray | None = None,
    scale_length: float = 1.0,
) -> bpy.types.Object:
    """Make a smooth mesh object in ``collection``.

    Parameters
    ----------
    vertices, triangles
        (n, 3) m and (t, 3).
    flat
        (n, 2) m, becomes the texture coordinate: one unit of it is one metre of cloth.
    normals
        (n, 3) unit, drawn in place of those of the mesh, so that a seam is not a crease.
    print_place
        (n, 2), where each lies in its print, in repeats; becomes a second texture coordinate.
    """
    mesh = bpy.data.meshes.new(name)
    corner = np.ascontiguousarray(triangles, dtype=np.int32).reshape(-1)
    mesh.vertices.add(len(vertices))
    mesh.loops.add(len(corner))
    mesh.polygons.add(len(triangles))
    mesh.loops.foreach_set("vertex_index", corner)
    mesh.polygons.foreach_set("loop_start", np.arange(0, len(corner), 3, dtype=np.int32))
    set_positions(mesh, vertices, scale_length=scale_length)
    if flat is not None:
        texture = mesh.uv_layers.new(name=FLAT)
        texture.uv.foreach_set("vector", _single(flat[corner]))
    if print_place is not None:
        put_print_place(mesh, print_place)
    mesh.update(calc_edges=True)
    mesh.validate()
    mesh.shade_smooth()
    if normals is not None:
        mesh.normals_split_custom_set_from_vertices(_single(normals).reshape(-1, 3))
    thing = bpy.data.objects.new(name, mesh)
    collection.objects.link(thing)
    return thing


def put_print_place(mesh: bpy.types.Mesh, place: FloatArray | None) -> None:
    """Tell where each vertex (n, 2) lies in its print, in repeats; None takes that away."""
    old = mesh.uv_layers.get(PRINT_PLACE)
    if old is not None:
        mesh.uv_layers.remove(old)
    if place is None:
        return
    corner = np.zeros(len(mesh.loops), dtype=np.int32)
    mesh.loops.foreach_get("vertex_index", corner)
    texture = mesh.uv_layers.new(name=PRINT_PLACE)
    texture.uv.foreach_set("vector", _single(place[corner]))


def flat_of(mesh: bpy.types.Mesh) -> FloatArray | None:
    """Where each vertex (n, 2) m lies in the flat pattern; None where that was not told."""
    texture = mesh.uv_layers.get(FLAT)
    if texture is None:
        return None
    corner = np.zeros(len(mesh.loops), dtype=np.int32)
    mesh.loops.foreach_get("vertex_index", corner)
    values = np.zeros(len(mesh.loops) * 2, dtype=np.float32)
    texture.uv.foreach_get("vector", values)
    flat = np.zeros((len(mesh.vertices), 2))
    flat[corner] = values.reshape(-1, 2)
    return flat


def put_wires(mesh: bpy.types.Mesh, pairs: IntArray) -> None:
    """Add edges (k, 2) without faces to a mesh."""
    first = len(mesh.edges)
    mesh.edges.add(len(pairs))
    both = np.zeros((first + len(pairs), 2), dtype=np.int32)
    mesh.edges.foreach_get("vertices", both.reshape(-1))
    both[first:] = pairs
    mesh.edges.foreach_set("vertices", both.reshape(-1))
    mesh.update()


def put_values(mesh: bpy.types.Mesh, name: str, values: FloatArray) -> None:
    """Give every vertex one number (n,), as an attribute."""
    attribute = mesh.attributes.new(name, "FLOAT", "POINT")
    attribute.data.foreach_set("value", _single(values))


def values_of(mesh: bpy.types.Mesh, name: str) -> FloatArray | None:
    """The numbers (n,) given by `put_values`; None where there are none."""
    attribute = mesh.attributes.get(name)
    if attribute is None:
        return None
    values = np.zeros(len(mesh.vertices), dtype=np.float32)
    attribute.data.foreach_get("value", values)
    return values.astype(np.float64)


def paint(mesh: bpy.types.Mesh, colours: FloatArray | None) -> None:
    """Colour every vertex (n, 3), sRGB from 0 to 1, or take the colours away."""
    old = mesh.color_attributes.get(PAINT)
    if old is not None:
        mesh.color_attributes.remove(old)
    if colours is None:
        return
    linear = np.where(colours <= 0.04045, colours / 12.92, ((colours + 0.055) / 1.055) ** 2.4)
    layer = mesh.color_attributes.new(PAINT, "FLOAT_COLOR", "POINT")
    layer.data.foreach_set("color", _single(np.pad(linear, ((0, 0), (0, 1)), constant_values=1.0)))
    mesh.color_attributes.active_color = layer


def set_positions(mesh: bpy.types.Mesh, vertices: FloatArray, *, scale_length: float = 1.0) -> None:
    """Move the vertices of a mesh to (n, 3) m."""
    mesh.attributes["position"].data.foreach_set("vector", _single(vertices / scale_length))
    mesh.update()


def positions_of(mesh: bpy.types.Mesh, *, scale_length: float = 1.0) -> FloatArray:
    """Vertex positions (n, 3) in metres."""
    values = np.zeros(len(mesh.vertices) * 3, dtype=np.float32)
    mesh.attributes["position"].data.foreach_get("vector", values)
    return values.reshape(-1, 3).astype(np.float64) * scale_length


def triangles_of(mesh: bpy.types.Mesh) -> IntArray:
    """Triangles (t, 3) of a mesh whose faces may have more corners."""
    mesh.calc_loop_triangles()
    values = np.zeros(len(mesh.loop_triangles) * 3, dtype=np.int32)
    mesh.loop_triangles.foreach_get("vertices", values)
    return values.reshape(-1, 3).astype(np.int64)


def put_curves(
    name: str,
    points: FloatArray,
    radii: FloatArray,
    normals: FloatArray,
    collection: bpy.types.Collection,
    *,
    scale_length: float = 1.0,
) -> bpy.types.Object:
    """Make a hair object of n strands with k points each.

    Parameters
    ----------
    points
        (n, k, 3) m, root first.
    radii
        (k,) m, from root to tip.
    normals
        (n, 3) unit, of the pile surface, kept as the attribute ``PILE_NORMAL`` of each strand.
    """
    count, along = points.shape[:2]
    hair = bpy.data.hair_curves.new(name)
    hair.add_curves([along] * count)
    hair.attributes["position"].data.foreach_set("vector", _single(points / scale_length))
    radius = hair.attributes.new("radius", "FLOAT", "POINT")
    radius.data.foreach_set("value", _single(np.tile(radii / scale_length, count)))
    surface = hair.attributes.new(PILE_NORMAL, "FLOAT_VECTOR", "CURVE")
    surface.data.foreach_set("vector", _single(normals))
    thing = bpy.data.objects.new(name, hair)
    collection.objects.link(thing)
    return thing


def put_strand_colours(hair: bpy.types.Object, root: FloatArray, tip: FloatArray) -> None:
    """Give every strand its own linear colours (n, 3) at root and tip."""
    for name, colours in ((PILE_ROOT, root), (PILE_TIP, tip)):
        layer = hair.data.attributes.new(name, "FLOAT_COLOR", "CURVE")
        padded = np.pad(colours, ((0, 0), (0, 1)), constant_values=1.0)
        layer.data.foreach_set("color", _single(padded))


def _single(values: FloatArray) -> np.ndarray:
    """The flat, contiguous float32 array that ``foreach_set`` takes."""
    return np.ascontiguousarray(values, dtype=np.float32).reshape(-1)
