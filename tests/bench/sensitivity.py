# SPDX-License-Identifier: GPL-3.0-or-later
"""How far hem and sleeve go when one figure of the cloth changes: one drape at each of its ends.

    python -m tests.bench.sensitivity [light] [heavy] [FIGURE ...]

The reference wrap is draped with one figure of both cloths multiplied and divided by a factor, and
the change is told for a change of the figure by one hundred percent in the logarithm (that is, by
2.7 times). `base` drapes the wrap as it is and with its mass changed by a thousandth four times over:
what differs between those is chance, the folds falling otherwise. Figures are kept in
build/sensitivity.json; those of a figure that is run again are replaced. The table of
`napfold.core.cloth_doubt` is made of these.
"""

import json
import sys
import time
from dataclasses import replace
from pathlib import Path

import numpy as np
from napfold.core.cloth import FIGURES, Cloth
from napfold.core.drape import run, settle
from napfold.core.files import write_text
from napfold.core.fit import hem
from napfold.core.mannequin import Mannequin, build_mannequin
from napfold.core.pattern import build_pattern
from napfold.core.sleeve import measure_sleeve
from napfold.core.sleeve_room import SIDES

from .jobs import CLOTHS, Task, cloths, cut_for, tape_of

TARGET = Path(__file__).resolve().parents[2] / "build" / "sensitivity.json"
EDGE_M = 0.024
FACTORS = {
    "mass_kg_m2": 1.3,
    "thickness_m": 1.25,
    "bending_along_n_m": 2.5,
    "bending_across_n_m": 2.5,
    "stretch_along_n_per_m": 2.0,
    "stretch_across_n_per_m": 2.0,
    "shear_n_per_m": 2.0,
    "friction_body": 1.5,
    "friction_with_nap": 1.5,
}
TOGETHER = {
    "mass_kg_m2": ("bending_along_n_m", "bending_across_n_m"),
    "friction_with_nap": ("friction_against_nap",),
    "thickness_m": ("compressed_thickness_m",),
}
"""Figures that go along: a heavier cloth of the same bending length is stiffer in proportion."""
CHANCES = (0.999, 1.0, 1.001, 1.002)


def measured(mannequin: Mannequin, task: Task, outer: Cloth, lining: Cloth) -> dict[str, float]:
    """Hem and sleeve of one drape in metres: the mean of five places, and of both sides."""
    pattern = build_pattern(cut_for(task))
    drape = run(settle(pattern, outer, lining, mannequin, task.pose, task.edge_m))
    found = hem(drape)
    places = (
        found.centre_back,
        found.left_side,
        found.right_side,
        found.front_left,
        found.front_right,
    )
    sleeves = [measure_sleeve(drape, side) for side in SIDES]
    rooms = [sleeve.room["upper arm"].extra_girth_m for sleeve in sleeves]
    return {
        "hem_m": float(np.mean([place.height_m for place in places])),
        "sleeve_room_m": float(np.mean(rooms)),
        "past_wrist_m": float(np.mean([sleeve.past_wrist_m for sleeve in sleeves])),
        "sound": float(drape.converged),
    }


def changed(cloth: Cloth, figure: str, factor: float) -> Cloth:
    """The cloth with a figure, and those that go along, times a factor."""
    names = (figure, *TOGETHER.get(figure, ()))
    values = {
        name: min(max(factor * getattr(cloth, name), FIGURES[name].low), FIGURES[name].high)
        for name in names
    }
    return replace(cloth, **values)


def main(words: list[str]) -> None:
    """Drape what is asked for and keep it."""
    kept = json.loads(TARGET.read_text(encoding="utf-8")) if TARGET.exists() else {}
    kinds = [word for word in words if word in CLOTHS] or list(CLOTHS)
    figures = [word for word in words if word not in CLOTHS] or ["base", *FACTORS]
    for kind in kinds:
        task = Task(cloth=kind, edge_m=EDGE_M)
        mannequin = build_mannequin(tape_of(task))
        for figure in figures:
            name = "mass_kg_m2" if figure == "base" else figure
            factors = CHANCES if figure == "base" else (1 / FACTORS[figure], FACTORS[figure])
            rows = []
            for factor in factors:
                start = time.process_time()
                pair = [changed(cloth, name, factor) for cloth in cloths(task)]
                rows.append({"factor": factor, **measured(mannequin, task, *pair)})
                print(kind, figure, rows[-1], f"{time.process_time() - start:.0f} s", flush=True)
            kept.setdefault(kind, {})[figure] = rows
            write_text(TARGET, json.dumps(kept, indent=1) + "\n")
    print(table(kept))


def table(kept: dict) -> str:
    """Slopes in mm for a change of a figure by 2.7 times, and what is chance."""
    lines = [f"{'cloth':6} {'figure':24} {'hem':>7} {'sleeve':>7} {'wrist':>7}  mm"]
    for kind, by_figure in kept.items():
        for figure, rows in by_figure.items():
            ends = ("hem_m", "sleeve_room_m", "past_wrist_m")
            values = np.array([[row[end] for end in ends] for row in rows]) * 1000
            if figure == "base":
                told, name = values.std(axis=0, ddof=1), "chance (SD)"
            else:
                told = (values[1] - values[0]) / np.log(rows[1]["factor"] / rows[0]["factor"])
                name = figure
            lines.append(f"{kind:6} {name:24} " + " ".join(f"{value:7.1f}" for value in told))
    return "\n".join(lines)


if __name__ == "__main__":
    main(sys.argv[1:])
