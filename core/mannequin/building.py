# SPDX-License-Identifier: GPL-3.0-or-later
"""Builds a mannequin from a tape: estimate, fit, mesh, skin, check."""

import math
from collections.abc import Mapping, Sequence
from dataclasses import replace
from types import MappingProxyType

import numpy as np

from ..arrays import FloatArray, IntArray
from ..errors import SolverError
from ..phrases import phrase
from ..slices import Slices, finished
from ..tape import Measures, Tape, complete
from .body_tape import measure_body
from .extract import surface
from .fitting import fit_shapes, make_tuner
from .frame import Frame, make_frame
from .mannequin import LEVELS, Mannequin
from .measuring import armpit_height, top_of_section
from .skeleton import BONES, build_skeleton
from .skinning import skin_weights
from .surface import BodyShapes
from .tuning import Tuner

__all__ = ["build_mannequin", "mannequin_built"]

CELL_SHARE = 0.0074  # grid cell over body height
HIP_OVER_HEIGHT = 0.66
UNMET_M = 0.003
SECTIONS = ("bust", "navel_waist", "hip")  # whose breadth and depth a tape may give
# Shapes are tuned, the mesh is measured. Where the mesh misses a given measure by more than
# this, the shapes are tuned once more, to as much on the other side of it.
ENOUGH_M = MappingProxyType({"girth": 0.0015, "length": 0.0025})
CORRECTIONS = 2
TUNED = (
    "_girth",
    "_breadth",
    "_depth",
    "shoulder_length",
    "back_neck_point_to_wrist",
    "wrist_height",
)
ARMPIT_FLESH_M = 0.008


def build_mannequin(tape: Tape) -> Mannequin:
    """Build the body that a tape describes.

    Raises
    ------
    InputError
        The measures cannot belong to one body.
    SolverError
        No closed surface was found for these measures.
    """
    return finished(mannequin_built(tape))


def mannequin_built(tape: Tape) -> Slices[Mannequin]:
    """`build_mannequin` in slices."""
    measures, warnings = complete(tape)
    tuner = make_tuner(measures)
    best, aim = (yield from _body(measures, measures, tuner)), measures
    yield
    found = measure_body(best)
    conflicting = _conflicting(measures, found)
    if conflicting:
        aim = _released(measures, conflicting)
        tuner = make_tuner(aim)
        best = yield from _body(measures, aim, tuner)
        yield
        found = measure_body(best)
    for _ in range(CORRECTIONS):
        yield
        errors = _errors(measures, found)
        if all(abs(error) <= _enough_m(name) for name, error in errors.items()):
            break
        aim = _aimed(aim, errors)
        corrected = yield from _body(measures, aim, tuner)
        yield
        corrected_found = measure_body(corrected)
        if _beyond(_errors(measures, corrected_found)) >= _beyond(errors):
            break
        best, found = corrected, corrected_found
    return replace(best, warnings=warnings + _unmet(measures, found))


def _body(measures: Measures, aim: Measures, tuner: Tuner) -> Slices[Mannequin]:
    """The mannequin of these measures; what it is shaped after is ``aim``."""
    frame = make_frame(aim)
    shapes = yield from fit_shapes(aim, frame, tuner)
    vertices, triangles, mirror = yield from _mesh(shapes, frame, measures)
    weights = yield from skin_weights(shapes, measures, frame, vertices, triangles, mirror)
    yield
    landmarks = _landmarks(frame, vertices, triangles)
    trunk, arm, leg = shapes.parts(vertices)
    # a tape round the chest passes under the flesh that runs from trunk to arm
    arm -= np.where(vertices[:, 2] < frame.levels["axilla"] + ARMPIT_FLESH_M, ARMPIT_FLESH_M, 0.0)
    which = np.argmin(np.stack([trunk, arm, leg]), axis=0)
    part = np.where(which == 0, 0, 2 * which - (vertices[:, 0] > 0.0)).astype(np.int64)
    return Mannequin(
        measures,
        (),
        vertices,
        triangles,
        mirror,
        part,
        weights,
        MappingProxyType(landmarks),
        _landmark_weights(landmarks, vertices, weights),
        build_skeleton(measures, frame),
    )


def _landmark_weights(
    landmarks: Mapping[str, FloatArray], vertices: FloatArray, weights: FloatArray
) -> FloatArray:
    """Those of the skin there; but the shoulder point is of the bone, and skin slides over it."""
    points = np.stack(list(landmarks.values()))
    nearest = ((points[:, None] - vertices[None]) ** 2).sum(axis=2).argmin(axis=1)
    result: FloatArray = weights[nearest]
    for row, name in enumerate(landmarks):
        if name.startswith("shoulder_point_"):
            side = name.removeprefix("shoulder_point_")
            result[row] = np.array([bone == f"clavicle_{side}" for bone in BONES])
    return result


def _conflicting(measures: Measures, found: Mapping[str, float]) -> tuple[str, ...]:
    """Given breadths and depths of sections whose girth is missed because of them."""
    sections = {f"{level}_{side}": level for level in SECTIONS for side in ("breadth", "depth")}
    return tuple(
        name
        for name, level in sections.items()
        if name in measures
        and measures[name].given
        and abs(found[f"{level}_girth"] - measures.value(f"{level}_girth")) > UNMET_M
    )


def _released(measures: Measures, names: Sequence[str]) -> Measures:
    """The measures with some of them no longer insisted upon."""
    by_name = {
        name: measure._replace(given=measure.given and name not in names)
        for name, measure in measures.items()
    }
    return Measures(MappingProxyType(by_name), measures.female_share)


def _errors(measures: Measures, found: Mapping[str, float]) -> dict[str, float]:
    """By how much the mesh misses each given measure that its shapes are tuned to, m."""
    return {
        name: found[name] - measure.value_m
        for name, measure in measures.items()
        if measure.given and name in found and name.endswith(TUNED)
    }


def _enough_m(name: str) -> float:
    return ENOUGH_M["girth" if name.endswith("_girth") else "length"]


def _beyond(errors: Mapping[str, float]) -> float:
    """How far the errors exceed what is good enough, all together."""
    return sum(max(abs(error) / _enough_m(name) - 1.0, 0.0) for name, error in errors.items())


def _aimed(aim: Measures, errors: Mapping[str, float]) -> Measures:
    """Measures moved against the errors that came of them."""
    moved = {
        name: measure._replace(value_m=measure.value_m - errors.get(name, 0.0))
        for name, measure in aim.items()
    }
    return Measures(MappingProxyType(moved), aim.female_share)


def _unmet(measures: Measures, found: Mapping[str, float]) -> tuple[str, ...]:
    """Warnings about given measures that the finished body does not have."""
    warnings = []
    for name, measure in measures.items():
        if not measure.given or name not in found:
            continue
        wrong_m = found[name] - measure.value_m
        if abs(wrong_m) > UNMET_M:
            share = abs(wrong_m) / measure.value_m
            warnings.append(
                phrase(
                    "The mannequin's {measure} is {share} {more} than taped: such a body lies "
                    "outside of what the mannequin can show.",
                    measure=name.replace("_", " "),
                    more=phrase("more" if wrong_m > 0.0 else "less"),
                    share=f"{share:.1%}",
                )
            )
    return tuple(warnings)


def _mesh(
    shapes: BodyShapes, frame: Frame, m: Measures
) -> Slices[tuple[FloatArray, IntArray, IntArray]]:
    # stout bodies have more skin for their height: a coarser grid keeps the count of vertices
    stout = m.value("hip_girth") / (HIP_OVER_HEIGHT * m.value("height"))
    cell = CELL_SHARE * m.value("height") * math.sqrt(max(stout, 1.0))
    high = np.array([frame["finger_tip"][0] + 0.06, 0.45, m.value("height") + 0.03])
    last: tuple[FloatArray, IntArray, IntArray] | None = None
    for shift in (0.0, 0.31, 0.62, 0.17):  # another place of the grid parts what touches
        low = np.array([0.0, -0.55 - shift * cell, -0.03 - shift * cell])
        try:
            last = yield from surface(shapes.field, low, high, cell)
        except SolverError:
            continue
        vertices, triangles, _ = last
        if len(vertices) - len(triangles) // 2 == 2:  # one piece without handles
            break
    if last is None:
        raise SolverError(
            "No closed surface was found for this body. Check the tape for measures that do not "
            "belong together."
        )
    return last


def _landmarks(frame: Frame, vertices: FloatArray, triangles: IntArray) -> dict[str, FloatArray]:
    """Landmarks, on the skin, and levels."""
    marks: dict[str, FloatArray] = {
        name: frame[name] for name in ("back_neck_point", "front_neck_point", "top_of_head")
    }
    middle = vertices[np.abs(vertices[:, 0]) < 1e-9]
    for name, behind in (("back_neck_point", True), ("front_neck_point", False)):
        near = np.abs(middle[:, 2] - marks[name][2]) < 0.012
        y = middle[near, 1]
        marks[name] = np.array([0.0, y.max() if behind else y.min(), marks[name][2]])
    levels = dict(frame.levels)
    levels["axilla"] = armpit_height(vertices, triangles, frame["shoulder"], levels["axilla"])
    legs = LEVELS.index("gluteal_fold")
    for index, name in enumerate(LEVELS):
        marks[name] = np.array([0.0 if index < legs else frame["hip"][0], 0.0, levels[name]])
    for name in ("side_neck_point", "shoulder_point"):
        marks[f"{name}_left"] = top_of_section(vertices, triangles, frame[name])
    for name in ("knuckles", "finger_tip"):
        marks[f"{name}_left"] = frame[name]
    for name in ("side_neck_point", "shoulder_point", "knuckles", "finger_tip"):
        marks[f"{name}_right"] = marks[f"{name}_left"] * np.array([-1.0, 1.0, 1.0])
    return marks
