# SPDX-License-Identifier: GPL-3.0-or-later
"""The dressed mannequin as objects of a scene: found again by a mark, whatever they are called."""

from collections.abc import Iterable

import bpy
from bpy.types import Collection, Material, Mesh, Object, Scene

from ..core.arrays import FloatArray, IntArray
from ..core.cloth import Cloth
from ..core.drape import Drape
from ..core.mannequin.supports import joined_mesh
from ..core.panels import PanelMesh
from .scene.bridge import put_mesh, set_positions
from .scene.materials import furniture_material, ground_material, mannequin_material

__all__ = ["LIVE", "PARTS", "parts_of", "put_drape", "put_stopped", "remove", "show_live"]

MARK = "napfold_part"
PARTS = ("body", "furniture", "outer", "lining")
LIVE = "live"
NAMES = {
    "body": "Mannequin",
    "furniture": "Chair or Bed",
    "outer": "Outer Cloth",
    "lining": "Lining",
    LIVE: "Draping",
}
COLLECTION = "Napfold"


def parts_of(scene: Scene, kinds: Iterable[str] = PARTS) -> list[Object]:
    """The scene's objects of these kinds."""
    wanted = set(kinds)
    return [thing for thing in scene.objects if thing.get(MARK) in wanted]


def put_drape(scene: Scene, drape: Drape) -> None:
    """Put mannequin, chair or bed, and both layers into the scene, in the place of an earlier drape."""
    remove(parts_of(scene))
    panel = drape.panel
    put_part(
        scene, "body", drape.body.vertices, drape.body.triangles, material=mannequin_material()
    )
    if drape.body.furniture:
        points, triangles = joined_mesh(drape.body.furniture)
        put_part(scene, "furniture", points, triangles, material=furniture_material())
    put_layer(scene, "outer", drape.outer, panel.triangles, panel.flat, drape.outer_cloth)
    put_layer(
        scene, "lining", drape.lining, panel.triangles[:, ::-1], panel.flat, drape.lining_cloth
    )


def put_stopped(scene: Scene, outer: FloatArray, panel: PanelMesh, cloth: Cloth) -> None:
    """Put the outer cloth (n, 3) m of an unfinished drape in the place of an earlier drape."""
    remove(parts_of(scene))
    put_layer(scene, "outer", outer, panel.triangles, panel.flat, cloth)


def show_live(scene: Scene, outer: FloatArray, panel: PanelMesh, cloth: Cloth) -> None:
    """Show the outer cloth (n, 3) m on its way; the object is made when it is not there."""
    live = parts_of(scene, [LIVE])
    if live and len(live[0].data.vertices) == len(outer):
        set_positions(live[0].data, outer, scale_length=scene.unit_settings.scale_length)
    else:
        remove(live)
        put_layer(scene, LIVE, outer, panel.triangles, panel.flat, cloth)


def put_layer(
    scene: Scene, kind: str, points: FloatArray, triangles: IntArray, flat: FloatArray, cloth: Cloth
) -> None:
    """Put one layer (n, 3) m with its flat positions (n, 2) m into the scene."""
    material = ground_material(f"{NAMES[kind]} {cloth.name}", cloth.colour)
    material.roughness = 1.0  # how it is shown while working; pile does not shine
    put_part(scene, kind, points, triangles, flat=flat, material=material)


def put_part(
    scene: Scene,
    kind: str,
    points: FloatArray,
    triangles: IntArray,
    *,
    material: Material,
    flat: FloatArray | None = None,
) -> None:
    thing = put_mesh(
        f"Napfold {NAMES[kind]}",
        points,
        triangles,
        collection_of(scene),
        flat=flat,
        scale_length=scene.unit_settings.scale_length,
    )
    thing[MARK] = kind
    thing.data.materials.append(material)


def collection_of(scene: Scene) -> Collection:
    """The scene's own collection for what Napfold makes."""
    for collection in scene.collection.children:
        if MARK in collection:
            return collection
    collection = bpy.data.collections.new(COLLECTION)
    collection[MARK] = "all"
    scene.collection.children.link(collection)
    return collection


def remove(things: Iterable[Object]) -> None:
    """Remove objects with the meshes, materials and collections that only they used."""
    for thing in list(things):
        mesh: Mesh = thing.data
        homes = [home for home in thing.users_collection if MARK in home]
        materials = [material for material in mesh.materials if material]
        bpy.data.objects.remove(thing)
        if mesh.users == 0:
            bpy.data.meshes.remove(mesh)
        for material in materials:
            if material.users == 0:
                bpy.data.materials.remove(material)
        for home in homes:
            if not home.all_objects and not home.children:
                bpy.data.collections.remove(home)
