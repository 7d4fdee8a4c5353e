# SPDX-License-Identifier: GPL-3.0-or-later
"""A settled wrap for Blender's own cloth modifier, for those who want to animate it.

That modifier counts in springs, the core in rigidities of cloth. They are mapped for a mesh of
equal triangles with sides L: springs of stiffness k along its edges stretch like a sheet of
2 k / √3 (force per width), and its hinges, whose middles lie L / √3 apart, bend like a sheet of
rigidity B when each turns back with 1.73 B. An estimate: the modifier knows neither pile, nor
inner friction, nor cloth that is softer one way than the other.
"""

import math

import bpy
import numpy as np
from bpy.types import Object, Scene

from ..core.arrays import FloatArray
from ..core.cloth import Cloth
from ..core.drape import Drape
from ..core.fit import mass
from .figures import mark_studio
from .scene.bridge import put_mesh, put_wires
from .scene.materials import ground_material, mannequin_material

__all__ = ["hand_over", "stiffnesses"]

HINGE_SCALE = 0.1
"""The modifier turns a hinge back with this times its stiffness times the length of the hinge."""
PINNED, FLAT = "Pinned", "Cut flat"


def stiffnesses(outer: Cloth, lining: Cloth, edge_m: float) -> tuple[float, float]:
    """Tension and bending stiffness of the modifier for the mean of two layers."""
    stretch = [
        (cloth.stretch_along_n_per_m + cloth.stretch_across_n_per_m) / 2
        for cloth in (outer, lining)
    ]
    rigidity = [
        (cloth.bending_along_n_m + cloth.bending_across_n_m) / 2 for cloth in (outer, lining)
    ]
    tension = math.sqrt(3) / 2 * sum(stretch) / 2 * edge_m
    bending = math.sqrt(3) * sum(rigidity) / 2 / (HINGE_SCALE * edge_m)
    return tension, bending


def hand_over(scene: Scene, drape: Drape) -> Object:
    """Put body and wrap of a drape into a scene, ready to be simulated by Blender; gives the wrap.

    Both layers are one mesh with sewing edges at seams and rim. Its rest shape is the flat cut;
    the neck's edge is the vertex group for pinning.
    """
    home = scene.collection
    body = put_mesh("Mannequin", drape.body.vertices, drape.body.triangles, home)
    body.data.materials.append(mannequin_material())
    body.modifiers.new("Collision", "COLLISION")
    body.collision.thickness_outer = drape.lining_cloth.thickness_m / 2
    wrap = _sewn(drape, scene)
    _pin(wrap, drape)
    _rest_flat(wrap, drape)
    _cloth(wrap, drape)
    return wrap


def _sewn(drape: Drape, scene: Scene) -> Object:
    """Both layers as one mesh, with sewing edges."""
    panel = drape.panel
    points = np.concatenate([drape.outer, drape.lining])
    flat = np.concatenate([panel.flat, panel.flat])
    sewing = np.concatenate([panel.two_layer_seam_pairs(), panel.rim_pairs()])
    sewing = sewing[sewing[:, 0] != sewing[:, 1]]
    triangles = panel.two_layer_triangles()
    wrap = put_mesh("Wrap", points, triangles, scene.collection, flat=flat)
    put_wires(wrap.data, sewing)
    for name, cloth in (("Outer Cloth", drape.outer_cloth), ("Lining", drape.lining_cloth)):
        wrap.data.materials.append(ground_material(f"{name} {cloth.name}", cloth.colour))
    layer = np.repeat([0, 1], len(panel.triangles)).astype(np.int32)
    wrap.data.polygons.foreach_set("material_index", layer)
    return wrap


def _pin(wrap: Object, drape: Drape) -> None:
    group = wrap.vertex_groups.new(name=PINNED)
    neck = drape.panel.edges["neck"]
    group.add([*neck.tolist(), *(neck + len(drape.panel.flat)).tolist()], 1.0, "REPLACE")


def _rest_flat(wrap: Object, drape: Drape) -> None:
    """Keep the cut's own lengths as those at rest: the drape may have stretched them."""
    flat: FloatArray = np.pad(drape.panel.flat, ((0, 0), (0, 1)))
    wrap.shape_key_add(name="Draped")
    key = wrap.shape_key_add(name=FLAT)
    both = np.concatenate([flat, flat]).astype(np.float32)
    key.data.foreach_set("co", both.reshape(-1))
    key.value = 0.0


def _cloth(wrap: Object, drape: Drape) -> None:
    modifier = wrap.modifiers.new("Cloth", "CLOTH")
    settings, touch = modifier.settings, modifier.collision_settings
    outer, lining = drape.outer_cloth, drape.lining_cloth
    tension, bending = stiffnesses(outer, lining, drape.panel.edge_length_m)
    settings.mass = mass(drape).garment_kg / len(wrap.data.vertices)
    settings.tension_stiffness = settings.compression_stiffness = tension
    settings.shear_stiffness = tension
    settings.bending_model, settings.bending_stiffness = "ANGULAR", bending
    settings.use_sewing_springs = True
    settings.vertex_group_mass = PINNED
    settings.rest_shape_key = wrap.data.shape_keys.key_blocks[FLAT]
    touch.use_self_collision = True
    touch.self_distance_min = (outer.thickness_m + lining.thickness_m) / 4
    touch.distance_min = lining.thickness_m / 2
    touch.friction = touch.self_friction = 5.0


def scene_for_animation() -> Scene:
    """A new scene that counts in metres, as the modifier's figures do."""
    scene = bpy.data.scenes.new("Napfold Animation")
    mark_studio(scene)
    scene.unit_settings.system, scene.unit_settings.scale_length = "METRIC", 1.0
    return scene
