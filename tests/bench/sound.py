# SPDX-License-Identifier: GPL-3.0-or-later
"""Whether a two-layer garment is sound, measured on meshes alone: ours or any peer's."""

import dataclasses
from typing import Any

import numpy as np
from napfold.core.arrays import FloatArray, IntArray
from napfold.core.drape import Drape
from napfold.core.drape.crossings import piercings, sheet_edges
from napfold.core.drape.garment import Garment
from napfold.core.drape.half_panel import left_half
from napfold.core.drape.motion import STEP_S, Motion
from napfold.core.fit import measure_fit
from napfold.core.mannequin import BodyDistance, Mannequin, PosedBody
from napfold.core.panels import PanelMesh
from napfold.core.slices import finished

__all__ = ["further", "lengths", "mesh_soundness", "soundness"]

FURTHER_ROUNDS = 3
ALONG_EDGES = (0.25, 0.5, 0.75)


def mesh_soundness(
    panel: PanelMesh,
    layers: tuple[FloatArray, FloatArray],
    garment: Garment,
    mannequin: Mannequin,
    body: PosedBody,
) -> dict[str, float]:
    """Depth in the body, crossings, open seams and stretch of outer and lining (n, 3) each."""
    distance = BodyDistance(mannequin)
    distance.set_pose(body)
    edges = sheet_edges(panel.triangles)
    deepest = 0.0
    for layer in layers:
        first, second = layer[edges[:, 0]], layer[edges[:, 1]]
        between = [(1 - share) * first + share * second for share in ALONG_EDGES]
        deepest = max(
            deepest, -float(distance.nearest(np.concatenate([layer, *between])).distance.min())
        )
    # sewn vertices as one node: partners that touch do not cross; open ones are told as gaps
    nodes = np.zeros((len(garment.mass_kg), 3))
    nodes[garment.node[0]], nodes[garment.node[1]] = layers
    triangles = [garment.node_triangles(sheet) for sheet in (0, 1)]
    own_edges = [sheet_edges(sheet) for sheet in triangles]
    count = sum(len(sheet) for sheet in own_edges)
    through_other = sum(_pierced(nodes, own_edges[i], triangles[1 - i]) for i in (0, 1))
    through_own = sum(_pierced(nodes, own_edges[i], triangles[i]) for i in (0, 1))
    front, back = panel.seam_pairs.T
    outer, lining = layers
    gaps = [layer[front] - layer[back] for layer in layers] + [outer[panel.rim] - lining[panel.rim]]
    strains = garment.membrane.strains(nodes)
    return {
        "inside_body_mm": 1e3 * max(deepest, 0.0),
        "layers_cross_share": through_other / count,
        "itself_crosses_share": through_own / count,
        "seam_gap_mm": 1e3 * max(float(np.linalg.norm(gap, axis=1).max()) for gap in gaps),
        "stretch_999": float(np.percentile(strains[:, :2], 99.9)),
    }


def _pierced(nodes: FloatArray, edges: IntArray, triangles: IntArray) -> int:
    """How many of the edges pass through a triangle."""
    return len(np.unique(piercings(nodes, edges, triangles)[:, 0]))


def soundness(drape: Drape, mannequin: Mannequin) -> dict[str, Any]:
    """What `mesh_soundness` tells, how unlike its mirror image a drape is, and its lengths."""
    garment = Garment.as_two_layers(drape.panel, drape.outer_cloth, drape.lining_cloth)
    layers = (drape.outer, drape.lining)
    found: dict[str, Any] = mesh_soundness(drape.panel, layers, garment, mannequin, drape.body)
    mirrored = drape.outer[drape.panel.mirror] * [-1.0, 1.0, 1.0]
    unlike = np.linalg.norm(mirrored - drape.outer, axis=1)
    found["asymmetry_mm"] = 1e3 * float(unlike.max())
    found["asymmetry_median_mm"] = 1e3 * float(np.median(unlike))
    found["lengths_m"] = lengths(drape, mannequin)
    return found


def lengths(drape: Drape, mannequin: Mannequin) -> dict[str, float]:
    """Every length of the fit that a user reads, metres, by its path in the fit."""
    distance = BodyDistance(mannequin)
    distance.set_pose(drape.body)
    fit = measure_fit(drape, mannequin.measures, lambda points: distance.nearest(points).distance)
    return dict(_leaves("", fit.to_dict()))


def _leaves(path: str, value: Any) -> list[tuple[str, float]]:
    if isinstance(value, dict):
        return [leaf for name, part in value.items() for leaf in _leaves(f"{path}/{name}", part)]
    # an offset is told from the nearest level, which may change where the height hardly does
    if isinstance(value, float) and path.endswith("_m") and not path.endswith("offset_m"):
        return [(path[1:], value)]
    return []


def further(drape: Drape, mannequin: Mannequin, motions: list[Motion]) -> dict[str, float]:
    """Speed when let go with its inertia for one time step; lengths after rounds of settling."""
    motion = motions[-1]
    rest = motion.positions
    motion.velocity = np.zeros_like(rest)
    finished(motion.step(gravity_share=1.0, kept_velocity=0.0))
    speed = np.linalg.norm(motion.positions - rest, axis=1) / STEP_S
    motion.positions = rest
    for _ in range(FURTHER_ROUNDS):
        finished(motion.untangle())
        finished(motion.descend())
    half = left_half(drape.panel)
    outer, lining = (motion.positions[node] for node in motion.garment.node)
    if half is not None and len(outer) < len(drape.outer):
        outer, lining = half.whole(outer), half.whole(lining)
    later = dataclasses.replace(drape, outer=outer, lining=lining)
    before, after = lengths(drape, mannequin), lengths(later, mannequin)
    change = {name: abs(after[name] - before[name]) for name in before.keys() & after.keys()}
    return {
        "fastest_mm_per_s": 1e3 * float(speed.max()),
        "speed_99_mm_per_s": 1e3 * float(np.percentile(speed, 99)),
        "settling_further_mm": 1e3 * max(change.values()),
    }
