# SPDX-License-Identifier: GPL-3.0-or-later
"""How sure the measures of a drape are, as far as mesh and chance go.

    python -m tests.bench.measure_doubt

The reference wrap is draped with edges of 18, 24 and 30 mm, and three times more with 24 mm and its
mass changed by a thousandth, which lets folds fall otherwise and should change nothing. Told are the
value with 18 mm, what the coarser meshes add to it, and the standard deviation of the four with 24 mm.
It takes about three minutes. The table stands in DEVELOPERS.md.
"""

import statistics
from dataclasses import replace

from napfold.core.drape import Drape, run, settle
from napfold.core.fit import Fit, measure_fit
from napfold.core.mannequin import BodyDistance, Mannequin, build_mannequin
from napfold.core.pattern import build_pattern

from .jobs import REFERENCE, Task, cloths, cut_for, tape_of

EDGES_M = (0.018, 0.024, 0.030)
MASSES = (0.998, 0.999, 1.001)


def main() -> None:
    """Drape, measure and tell."""
    mannequin = build_mannequin(tape_of(REFERENCE))
    for kind in ("light", "heavy"):
        task = replace(REFERENCE, cloth=kind)
        fine, middle, coarse = (
            _measured(_draped(task, mannequin, edge_m), mannequin) for edge_m in EDGES_M
        )
        again = [middle] + [
            _measured(_draped(task, mannequin, EDGES_M[1], mass), mannequin) for mass in MASSES
        ]
        print(f"{kind:34} 18 mm   24 mm   30 mm  chance")
        for name, value in fine.items():
            spread = statistics.stdev(one[name] for one in again)
            moved = [one[name] - value for one in (middle, coarse)]
            print(f"{name:34} {value:6.1f}  {moved[0]:+6.1f}  {moved[1]:+6.1f}  {spread:6.1f}")


def _draped(task: Task, mannequin: Mannequin, edge_m: float, mass: float = 1.0) -> Drape:
    outer, lining = cloths(task)
    outer = replace(outer, mass_kg_m2=mass * outer.mass_kg_m2)
    pattern = build_pattern(cut_for(task))
    return run(settle(pattern, outer, lining, mannequin, task.pose, edge_m))


def _measured(drape: Drape, mannequin: Mannequin) -> dict[str, float]:
    """Measures by name and unit, in the units of the table."""
    distance = BodyDistance(mannequin)
    distance.set_pose(drape.body)
    fit = measure_fit(drape, mannequin.measures, lambda points: distance.nearest(points).distance)
    sleeve, waist = fit.sleeves["left"], fit.ease["waist"]
    assert sleeve.air is not None
    assert waist is not None
    assert waist.front_gap_m is not None
    return {
        "hem, centre back, mm": 1e3 * fit.hem.centre_back.height_m,
        "hem, left side, mm": 1e3 * fit.hem.left_side.height_m,
        "hem, left front, mm": 1e3 * fit.hem.front_left.height_m,
        "over shoulder and chest, back, mm": 1e3 * fit.hung["back"].over_shoulder_m,
        **{
            f"room, {station}, mm": 1e3 * room.extra_girth_m
            for station, room in sleeve.room.items()
            if room is not None
        },
        "half the way round clear, mm": 1e3 * _upper(fit),
        "air in the sleeve, litres": sleeve.air.litres,
        "sleeve's end past the wrist, mm": 1e3 * sleeve.past_wrist_m,
        "gap of the fronts, waist, mm": 1e3 * waist.front_gap_m,
        "outside off the skin, mm": 1e3 * fit.stand_off.outer_face_m,
        "neck edge off the skin, mm": 1e3 * fit.worn.neck_median_m,
        "pressure on the shoulders, Pa": fit.worn.pressure_pa,
        "turn of cloth, waist, mm": 1e3 * fit.layers["waist"].more_m,
        "turn of cloth, sleeve, mm": 1e3 * fit.layers["left sleeve"].more_m,
    }


def _upper(fit: Fit) -> float:
    room = fit.sleeves["left"].room["upper arm"]
    assert room is not None
    return room.median_gap_m


if __name__ == "__main__":
    main()
