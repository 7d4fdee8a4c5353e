# SPDX-License-Identifier: GPL-3.0-or-later
"""One round specimen hung by our solver or by a general physics library, in a process of its own.

    python -m tests.bench.round_run ours
    python -m tests.bench.round_run mujoco SECONDS

Prints as JSON how it went. MuJoCo (Todorov, Erez and Tassa 2012, IROS, 5026) takes implicit steps in
time. Its sheets are isotropic plates, so the specimen is one: modulus E and thickness t give the
cloth's stretch E t and rigidity E t³/12 where t² = 12 rigidity / stretch; with Poisson's ratio 0 the
shear is E t/2, which ours gets too. Both have the same mesh, masses, held nodes and start, and both
watch the sheet's contact with itself.
"""

import json
import sys
import time
from collections.abc import Iterator
from typing import Any

import numpy as np
from napfold.core.arrays import FloatArray
from napfold.core.cloth import STANDARD_GRAVITY_M_S2
from napfold.core.drape.crossings import piercings, sheet_edges
from napfold.core.drape.motion import STEP_S
from napfold.core.slices import finished

from ..validate.round_drape import (
    EDGE_M,
    FABRICS,
    STRETCH_N_PER_M,
    Specimen,
    drape_coefficient,
    falling,
    folds,
    isotropic,
    lay_round_piece,
    moving,
)

FABRIC = next(fabric for fabric in FABRICS if fabric.name.startswith("B"))
SHEAR_N_PER_M = STRETCH_N_PER_M / 2
TIME_STEP_S, DAMPING_S = 0.01, 0.02
"""The library's; of several the quickest to rest here. Half the step ends within 1.1 points."""

STILL_M_PER_S, STILL_FOR_S = 1e-4, 0.1
"""The library's sheet is at rest when no vertex was faster during so long; ours ends as slow."""

NEAR_POINTS = 0.5

Trace = Iterator[tuple[FloatArray, float]]
"""Positions on the way, and m/s of the fastest vertex (nan where that is not known)."""


def specimen(edge_m: float = EDGE_M) -> Specimen:
    """The piece that both hang."""
    material = isotropic(
        FABRIC.mass_kg_m2, FABRIC.bending_length_m, FABRIC.thickness_m, SHEAR_N_PER_M
    )
    return lay_round_piece(material, edge_m, seed=0)


def ours(piece: Specimen) -> Trace:
    """Our solver, until its own rule of rest."""
    for positions, _ in falling(piece):
        yield positions, np.nan


def let_go_m_per_s(piece: Specimen, positions: FloatArray) -> float:
    """The fastest vertex when the specimen is let go from here for one time step."""
    motion = moving(piece, positions)
    finished(motion.step(gravity_share=1.0, kept_velocity=0.0))
    moved = np.linalg.norm(motion.positions - positions, axis=1)
    return float(moved.max()) / STEP_S


def library(piece: Specimen, seconds: float) -> Trace:
    """The library's elastic sheet, until it is at rest or has taken this much processor time."""
    import mujoco

    model = mujoco.MjModel.from_xml_string(_described(piece))
    loose = np.setdiff1d(np.arange(len(piece.flat)), piece.held)
    # each vertex is a body of its own; the library would give all the same mass
    model.body_mass[model.flex_vertbodyid[loose]] = piece.garment.mass_kg[loose]
    state = mujoco.MjData(model)
    mujoco.mj_setConst(model, state)
    # its coordinates are each loose vertex's way from the flat place
    flat = piece.start * [1.0, 1.0, 0.0]
    state.qpos[:] = (piece.start - flat)[loose].ravel()
    end = time.process_time() + seconds
    still_since = 0.0
    while time.process_time() < end and state.time - still_since < STILL_FOR_S:
        mujoco.mj_step(model, state)
        fastest = float(np.linalg.norm(state.qvel.reshape(-1, 3), axis=1).max())
        if not fastest < STILL_M_PER_S:
            still_since = state.time
        positions = flat.copy()
        positions[loose] += state.qpos.reshape(-1, 3)
        yield positions, fastest


def _described(piece: Specimen) -> str:
    """The specimen in the library's own language."""
    material = isotropic(
        FABRIC.mass_kg_m2, FABRIC.bending_length_m, FABRIC.thickness_m, SHEAR_N_PER_M
    )
    plate_m = float(np.sqrt(12 * material.bending_along_n_m / STRETCH_N_PER_M))
    places = np.concatenate([piece.flat, np.zeros((len(piece.flat), 1))], axis=1)

    def row(numbers: Any) -> str:
        return " ".join(f"{number:.12g}" for number in numbers.ravel())

    return f"""<mujoco>
      <option integrator="discrete" solver="Newton" tolerance="1e-6" timestep="{TIME_STEP_S}"
              gravity="0 0 {-STANDARD_GRAVITY_M_S2}"/>
      <size memory="500M"/>
      <worldbody>
        <flexcomp name="specimen" type="direct" dim="2" mass="1" radius="{FABRIC.thickness_m / 2}"
                  point="{row(places)}" element="{row(piece.triangles)}">
          <pin id="{row(piece.held)}"/>
          <elasticity young="{STRETCH_N_PER_M / plate_m}" poisson="0" thickness="{plate_m}"
                      damping="{DAMPING_S}" elastic2d="both"/>
          <contact passive="true" selfcollide="sap"/>
        </flexcomp>
      </worldbody>
    </mujoco>"""


def followed(piece: Specimen, trace: Trace) -> dict[str, Any]:
    """Run to the end and measure it; looking at the pictures is left out of the times."""
    places: list[FloatArray] = []
    cpu_s: list[float] = []
    fastest = np.nan
    wall, cpu = time.perf_counter(), time.process_time()
    for positions, fastest in trace:  # noqa: B007
        places.append(positions)
        cpu_s.append(time.process_time() - cpu)
    wall_s = time.perf_counter() - wall
    end = places[-1]
    if np.isnan(fastest):
        fastest = let_go_m_per_s(piece, end)
    percents = np.array([drape_coefficient(place, piece.triangles) for place in places])
    away = np.flatnonzero(np.abs(percents - percents[-1]) > NEAR_POINTS)
    strains = piece.garment.membrane.strains(end)
    edges = sheet_edges(piece.triangles)
    return {
        "vertices": len(end),
        "cpu_s": cpu_s[-1],
        "wall_s": wall_s,
        "near_cpu_s": cpu_s[min(away[-1] + 1, len(cpu_s) - 1)] if len(away) else cpu_s[0],
        "drape_percent": float(percents[-1]),
        "folds": folds(piece.flat, end),
        "stretch_999": float(np.percentile(strains[:, :2], 99.9)),
        "fastest_mm_per_s": 1e3 * fastest,
        "crossing_share": len(np.unique(piercings(end, edges, piece.triangles)[:, 0])) / len(edges),
    }


def main(words: list[str]) -> dict[str, Any]:
    """Hang the specimen as the words say."""
    if words[0] == "ours":
        # compile, or read what was compiled before, outside of the times
        small = specimen(4 * EDGE_M)
        for _ in ours(small):
            pass
        piece = specimen()
        return followed(piece, ours(piece))
    piece = specimen()
    return followed(piece, library(piece, float(words[1])))


if __name__ == "__main__":
    print(json.dumps(main(sys.argv[1:])))
