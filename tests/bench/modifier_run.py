# SPDX-License-Identifier: GPL-3.0-or-later
"""The run of Blender's cloth modifier, in a process of its own.

python -m tests.bench.modifier_run FRAMES
"""

import json
import sys
import time
from typing import Any

import bpy
import numpy as np
from napfold.core.arrays import FloatArray
from napfold.core.drape.arrange import lay_round
from napfold.core.drape.garment import Garment
from napfold.core.drape.layer_contact import node_normals
from napfold.core.mannequin import POSES, build_mannequin
from napfold.core.panels import build_panel_mesh
from napfold.core.pattern import build_pattern

from .jobs import cloths, cut_for, tape_of
from .modifier import TASK
from .sound import mesh_soundness

CLEARANCE_M = 0.03
APART_M = 0.015
SLOW_M_PER_S, CLOSED_MM = 0.001, 1.0
LEAST_FRAMES = 10


def _mesh(name: str, vertices: FloatArray, edges: Any, triangles: Any) -> Any:
    mesh = bpy.data.meshes.new(name)
    mesh.from_pydata(vertices.tolist(), np.asarray(edges).tolist(), np.asarray(triangles).tolist())
    thing = bpy.data.objects.new(name, mesh)
    bpy.context.scene.collection.objects.link(thing)
    return thing


def main(frames: int) -> dict[str, Any]:
    """Set the scene, step through its frames and measure the end."""
    outer_cloth, lining_cloth = cloths(TASK)
    mannequin = build_mannequin(tape_of(TASK))
    body = mannequin.posed(POSES[TASK.pose])
    panel = build_panel_mesh(build_pattern(cut_for(TASK)), TASK.edge_m)
    garment = Garment.as_two_layers(panel, outer_cloth, lining_cloth)
    thickness_m = outer_cloth.thickness_m + lining_cloth.thickness_m
    middle = lay_round(panel, body, CLEARANCE_M, APART_M)
    half_m = np.full(len(middle), thickness_m / 4)
    half_m[panel.rim] = 0.0
    sewn = np.arange(len(middle))
    sewn[panel.seam_pairs[:, 1]] = panel.seam_pairs[:, 0]
    normals = node_normals(middle, sewn[panel.triangles])[sewn]
    start = np.concatenate([middle + half_m[:, None] * normals, middle - half_m[:, None] * normals])
    area_m2 = garment.membrane.area_m2.sum() / 2
    mass_kg = area_m2 * (outer_cloth.mass_kg_m2 + lining_cloth.mass_kg_m2)

    bpy.ops.wm.read_factory_settings(use_empty=True)
    skin = _mesh("body", body.vertices, [], body.triangles)
    skin.modifiers.new("collision", "COLLISION")
    skin.collision.thickness_outer = lining_cloth.thickness_m / 2
    sewing = np.concatenate([panel.two_layer_seam_pairs(), panel.rim_pairs()])
    sewing = sewing[sewing[:, 0] != sewing[:, 1]]
    wrap = _mesh("wrap", start, sewing, panel.two_layer_triangles())
    cloth = wrap.modifiers.new("cloth", "CLOTH")
    cloth.settings.mass = mass_kg / len(start)
    cloth.settings.use_sewing_springs = True
    cloth.collision_settings.use_self_collision = True
    cloth.collision_settings.self_distance_min = thickness_m / 2
    cloth.collision_settings.distance_min = lining_cloth.thickness_m / 2
    scene = bpy.context.scene
    scene.frame_end = frames + 1
    cloth.point_cache.frame_end = frames + 1
    scene.frame_set(1)

    count = len(middle)
    pairs = sewing.T
    before = start
    found: dict[str, Any] = {"done": False}
    wall, cpu = time.perf_counter(), time.process_time()
    for frame in range(2, frames + 2):
        scene.frame_set(frame)
        seen = wrap.evaluated_get(bpy.context.evaluated_depsgraph_get()).data
        flat = np.zeros(3 * len(start), dtype=np.float32)
        seen.vertices.foreach_get("co", flat)
        now = flat.reshape(-1, 3).astype(np.float64)
        speed = np.linalg.norm(now - before, axis=1).max() * scene.render.fps
        gap_mm = 1e3 * np.linalg.norm(now[pairs[0]] - now[pairs[1]], axis=1).max()
        before = now
        if frame > LEAST_FRAMES and speed < SLOW_M_PER_S and gap_mm < CLOSED_MM:
            found["done"] = True
            break
    found |= {
        "frames": frame - 1,
        "wall_s": time.perf_counter() - wall,
        "cpu_s": time.process_time() - cpu,
        "fastest_mm_per_s": 1e3 * float(speed),
    }
    return found | mesh_soundness(panel, (now[:count], now[count:]), garment, mannequin, body)


if __name__ == "__main__":
    print(json.dumps(main(int(sys.argv[1]))), flush=True)
