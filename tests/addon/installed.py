# SPDX-License-Identifier: GPL-3.0-or-later
"""What the tests of the installed extension look at: bits of meshes, handlers, places."""

from collections.abc import Callable
from types import ModuleType

import bpy
import numpy as np

Extension = Callable[[str], ModuleType]

COARSE_M = 0.05


def snapshot() -> dict[str, object]:
    """All that a drape could change in a file, down to the bits of the meshes."""
    meshes = {}
    for mesh in bpy.data.meshes:
        positions = np.zeros(3 * len(mesh.vertices), dtype=np.float32)
        mesh.attributes["position"].data.foreach_get("vector", positions)
        meshes[mesh.name] = positions.tobytes()
    return {
        "meshes": meshes,
        "objects": {
            thing.name: (thing.hide_viewport, thing.data.name) for thing in bpy.data.objects
        },
        "collections": {
            one.name: (one.hide_viewport, sorted(one.objects.keys()))
            for one in bpy.data.collections
        },
        "materials": sorted(bpy.data.materials.keys()),
        "findings": bpy.context.scene.napfold.findings,
    }


def handlers() -> dict[str, list[object]]:
    """Everything that is called by Blender on its own."""
    names = [name for name in dir(bpy.app.handlers) if not name.startswith("_")]
    entries = {name: getattr(bpy.app.handlers, name) for name in names}
    return {name: list(entry) for name, entry in entries.items() if isinstance(entry, list)}


def positions_m(name: str) -> np.ndarray:
    """Places (n, 3) of an object's vertices as they stand in the world, metres."""
    thing = bpy.data.objects[name]
    values = np.zeros(3 * len(thing.data.vertices), dtype=np.float32)
    thing.data.attributes["position"].data.foreach_get("vector", values)
    return values.reshape(-1, 3) * bpy.context.scene.unit_settings.scale_length


def step_until_shown(session: object, kind: str = "Napfold Draping") -> None:
    """Pull a session until its cloth is in the scene."""
    while kind not in bpy.data.collections:
        session.step()
        session.show()
