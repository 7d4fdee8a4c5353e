# SPDX-License-Identifier: GPL-3.0-or-later
"""The jobs that the bench drapes: the reference job, and the test set for soundness."""

import itertools
import tomllib
from collections.abc import Iterator
from dataclasses import dataclass
from pathlib import Path

from napfold.core.cloth import Cloth, library
from napfold.core.least_room import least_sleeve_drop_m
from napfold.core.pattern import Cut
from napfold.core.tape import Tape, complete
from napfold.core.units import parse_quantity

__all__ = ["REFERENCE", "REFERENCE_TAPE", "Task", "cloths", "cut_for", "tape_of", "test_set"]

BODIES = Path(__file__).resolve().parents[2] / "sample_avatars"
INCH_M, YARD_M = 0.0254, 0.9144
REFERENCE_TAPE = Tape(sex="female", given={"height": 1.68, "bust_girth": 0.965, "hip_girth": 1.04})
LENGTHS_YARD = (1.0, 1.25, 1.5)
CLOTHS = {"light": ("light plush", "light plush"), "heavy": ("long pile", "curly pile")}
POSES = ("standing", "arms out", "reaching up", "reaching forward")
LEAST_BODY_WIDTH_M = 26 * INCH_M
EASE_M = 0.12
"""Room round the largest girth of a large body, for which 26 in would be too narrow."""

LEAST_DROP_M = 8 * INCH_M
SLEEVE_EASE_M = 0.02
"""Room in a sleeve beyond a large arm and the cloth round it, for which 8 in would be too narrow."""

SPREAD = 67
"""Step through the test set, prime to its 240: any first few hold bodies, lengths, cloths and poses
as mixed as can be."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Task:
    """One drape to make: a body's name (empty: the reference wearer), cut, cloth, pose, mesh."""

    body: str = ""
    length_yard: float = 1.5
    cloth: str = "light"
    pose: str = "standing"
    edge_m: float = 0.018

    @property
    def name(self) -> str:
        """In words, the same for the same task."""
        body = self.body or "reference wearer"
        return (
            f"{body}, {self.length_yard:g} yd, {self.cloth}, {self.pose}, {1e3 * self.edge_m:g} mm"
        )


REFERENCE = Task()


def test_set() -> Iterator[Task]:
    """Ten bodies, three lengths, light and heavy, four poses: 240 drapes, unlike ones first."""
    bodies = [path.stem for path in sorted(BODIES.glob("*.toml"))]
    every = list(itertools.product(bodies, LENGTHS_YARD, CLOTHS, POSES))
    for place in range(len(every)):
        body, length, cloth, pose = every[place * SPREAD % len(every)]
        yield Task(body=body, length_yard=length, cloth=cloth, pose=pose)


def tape_of(task: Task) -> Tape:
    """The wearer's tape."""
    if not task.body:
        return REFERENCE_TAPE
    content = tomllib.loads((BODIES / f"{task.body}.toml").read_text(encoding="utf-8"))["tape"]
    given = {
        name: parse_quantity("length", f"tape.{name}", text)
        for name, text in content.items()
        if name != "sex"
    }
    return Tape(sex=content["sex"], given=given)


def cut_for(task: Task) -> Cut:
    """58 in of cloth, 26 in wide and 8 in drop, or as a large body needs in this cloth."""
    measures, _ = complete(tape_of(task))
    thickness_m = sum(cloth.thickness_m for cloth in cloths(task))
    girths = [measures[f"{level}_girth"].value_m for level in ("bust", "waist", "hip")]
    return Cut(
        cloth_width_m=58 * INCH_M,
        length_m=task.length_yard * YARD_M,
        body_width_m=max(LEAST_BODY_WIDTH_M, (max(girths) + EASE_M) / 2),
        sleeve_drop_m=max(
            LEAST_DROP_M, least_sleeve_drop_m(measures, thickness_m) + SLEEVE_EASE_M / 2
        ),
        corner_radius_m=4 * INCH_M,
    )


def cloths(task: Task) -> tuple[Cloth, Cloth]:
    """Outer and lining."""
    outer, lining = CLOTHS[task.cloth]
    return library()[outer], library()[lining]
