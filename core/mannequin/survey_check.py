# SPDX-License-Identifier: GPL-3.0-or-later
"""Holds mannequins against surveyed people: ``python -m napfold.core.mannequin.survey_check FILE``.

FILE is a CSV in the public form of the U.S. Army Anthropometric Survey of 2012 (column names in
lower case; millimetres; sex ``female`` or ``male``). Each mannequin gets a person's stature, chest
girth, waist girth at the navel and buttock girth, and nothing else. The exit status is 1 if a
girth or a height is wrong by more than ``MOST_BIAS_MM`` in the mean.
"""

import csv
import sys
from pathlib import Path
from typing import NamedTuple

import numpy as np

from ..errors import FileError, NapfoldError
from ..files import read_bytes
from ..tape import Tape
from .body_tape import measure_body
from .building import build_mannequin

__all__ = ["Row", "compare", "main", "table"]

MOST_BIAS_MM = 10.0
JUDGED = ("_girth", "_height")
MOST_BYTES = 50_000_000
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

    @property
    def biased(self) -> bool:
        """Whether a girth or height is farther off in the mean than is allowed."""
        return self.measure.endswith(JUDGED) and abs(self.mean_mm) > MOST_BIAS_MM


def compare(path: Path, most: int | None = None) -> list[Row]:
    """Build a mannequin for every person of a survey file and compare all measures it has.

    Raises
    ------
    FileError
        The file cannot be read, is no CSV of that form, or holds nobody.
    """
    people = _read(path)[:most]
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


def _read(path: Path) -> list[dict[str, str]]:
    text = read_bytes(path, MOST_BYTES).decode("utf-8", errors="replace")
    people = list(csv.DictReader(text.splitlines()))
    missing = {"sex", *GIVEN.values()} - set(people[0] if people else ())
    if missing:
        raise FileError(
            f"{path} lacks the columns {', '.join(sorted(missing))}. Give a CSV in the public form "
            "of the survey of 2012, with one row for each person."
        )
    return people


def table(rows: list[Row]) -> str:
    """The comparison as a Markdown table: what was given, then what was checked."""
    lines = [
        "| measure | mean error, mm | SD, mm | people |",
        "|---|--:|--:|--:|",
    ]
    for given, heading in ((True, "given"), (False, "checked")):
        lines.append(f"| *{heading}* | | | |")
        for row in rows:
            if row.given == given:
                words = row.measure.replace("_", " ")
                mean = f"{row.mean_mm:+.1f}"
                mean = f"**{mean}**" if row.biased else mean
                lines.append(f"| {words} | {mean} | {row.sd_mm:.1f} | {row.people} |")
    return "\n".join(lines)


def main(arguments: list[str]) -> int:
    """Print the table for a survey file; a second argument limits the number of people."""
    if len(arguments) not in (1, 2) or not all(word.isdigit() for word in arguments[1:]):
        sys.stderr.write("Give the survey's CSV file, and if you like a number of people.\n")
        return 2
    try:
        rows = compare(Path(arguments[0]), int(arguments[1]) if arguments[1:] else None)
    except NapfoldError as error:
        sys.stderr.write(f"{error}\n")
        return 2
    sys.stdout.write(table(rows) + "\n")
    biased = [row.measure.replace("_", " ") for row in rows if row.biased]
    if biased:
        sys.stderr.write(f"More than {MOST_BIAS_MM:.0f} mm off in the mean: {', '.join(biased)}.\n")
    return 1 if biased else 0


if __name__ == "__main__":
    raise SystemExit(main(sys.argv[1:]))
