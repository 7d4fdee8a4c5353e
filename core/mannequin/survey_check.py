# SPDX-License-Identifier: GPL-3.0-or-later
"""Holds mannequins against surveyed people: ``python -m napfold.core.mannequin.survey_check FILE``.

FILE is a CSV in the public form of the U.S. Army Anthropometric Survey of 2012 (column names in
lower case; millimetres; sex ``female`` or ``male``). Each mannequin gets a person's stature, chest
girth, waist girth at the navel and buttock girth, and nothing else.
"""

import csv
import sys
from pathlib import Path
from typing import NamedTuple

import numpy as np

from ..tape import Tape
from .body_tape import measure_body
from .building import build_mannequin

__all__ = ["Row", "compare", "main", "table"]

GIVEN = {
    "height": "stature",
    "bust_girth": "chestcircumference",
    "navel_waist_girth": "waistcircumference",
    "hip_girth": "buttockcircumference",
}
CHECKED = {
    "neck_girth": "neckcircumference",
    "wrist_girth": "wristcircumference",
    "forearm_girth": "forearmcircumferenceflexed",
    "thigh_girth": "thighcircumference",
    "lower_thigh_girth": "lowerthighcircumference",
    "calf_girth": "calfcircumference",
    "ankle_girth": "anklecircumference",
    "biacromial_breadth": "biacromialbreadth",
    "shoulder_length": "shoulderlength",
    "bust_depth": "chestdepth",
    "navel_waist_breadth": "waistbreadth",
    "navel_waist_depth": "waistdepth",
    "hip_breadth": "hipbreadth",
    "hip_depth": "buttockdepth",
    "back_neck_point_height": "cervicaleheight",
    "shoulder_point_height": "acromialheight",
    "front_neck_point_height": "suprasternaleheight",
    "axilla_height": "axillaheight",
    "bust_height": "chestheight",
    "navel_waist_height": "waistheightomphalion",
    "hip_height": "buttockheight",
    "inside_leg_height": "crotchheight",
    "knee_height": "kneeheightmidpatella",
    "wrist_height": "wristheight",
    "back_neck_point_to_wrist": "sleevelengthspinewrist",
    "foot_length": "footlength",
}


class Row(NamedTuple):
    """Mannequin less person over all people, mm."""

    measure: str
    given: bool
    mean_mm: float
    sd_mm: float
    people: int


def compare(path: Path, most: int | None = None) -> list[Row]:
    """Build a mannequin for every person of a survey file and compare all measures it has."""
    with path.open(newline="", encoding="utf-8") as stream:
        people = list(csv.DictReader(stream))[:most]
    wrong: dict[str, list[float]] = {}
    for person in people:
        given = {name: float(person[column]) * 1e-3 for name, column in GIVEN.items()}
        found = measure_body(build_mannequin(Tape(sex=person["sex"], given=given)))
        for name, column in (GIVEN | CHECKED).items():
            if person.get(column):
                wrong.setdefault(name, []).append(found[name] * 1e3 - float(person[column]))
    return [
        Row(name, name in GIVEN, float(np.mean(e)), float(np.std(e)), len(e))
        for name, e in wrong.items()
    ]


def table(rows: list[Row]) -> str:
    """The comparison as a Markdown table."""
    lines = ["| measure | given | mean error, mm | SD, mm |", "|---|---|---|---|"]
    for row in rows:
        words = row.measure.replace("_", " ")
        lines.append(
            f"| {words} | {'yes' if row.given else ''} | {row.mean_mm:+.1f} | {row.sd_mm:.1f} |"
        )
    return "\n".join(lines)


def main(arguments: list[str]) -> int:
    """Print the table for a survey file; a second argument limits the number of people."""
    if not arguments:
        sys.stderr.write("Give the survey's CSV file.\n")
        return 2
    most = int(arguments[1]) if len(arguments) > 1 else None
    sys.stdout.write(table(compare(Path(arguments[0]), most)) + "\n")
    return 0


if __name__ == "__main__":
    raise SystemExit(main(sys.argv[1:]))
