# SPDX-License-Identifier: GPL-3.0-or-later
"""A body of the maker's own, scanned or modelled: read, mended, placed and measured; never posed.

It must stand upright with its arms away from the trunk, hanging or held out; a form without arms
will do. What cannot be seen on a skin (levels, joints) is told from its shape and from what the
survey expects of a body with its girths; how, stand `own_trunk` and `own_limbs`.
"""

import math
from collections.abc import Mapping
from dataclasses import dataclass
from pathlib import Path
from types import MappingProxyType

import numpy as np

from ..arrays import FloatArray, IntArray
from ..errors import InputError
from ..tape import Measures
from .body_file import SUFFIXES, read_triangles
from .facing import Stand, stand
from .frame import OVER_SHOULDER, POINT_TO_JOINT, elbow_allowance, make_frame
from .mesh_repair import REMEDY, Solid, close, lone_body, merged
from .outlines import Slicer
from .own_limbs import Arm, arm_girths, find_arms, leg_joints
from .own_trunk import Told, Trunk
from .posed_body import vertex_normals
from .self_crossings import Crossing, crossings

__all__ = ["UNITS_M", "UP_AXES", "BodyChoice", "OwnBody", "load_own_body", "place_body"]

UNITS_M = MappingProxyType({"m": 1.0, "cm": 0.01, "mm": 0.001, "in": 0.0254})
UP_AXES = ("y", "z")
HEIGHT_RANGE_M = (1.0, 2.3)
# heights in the file, lowest and highest, that leave no doubt about its unit
GUESSED_UNITS = MappingProxyType(
    {"m": (1.0, 2.3), "cm": (100.0, 230.0), "mm": (1000.0, 2300.0), "in": (39.0, 90.0)}
)
UPRIGHT = 1.5  # an upright body is at least so many times as high as deep
LARGEST_HOLE_M = 0.30  # round the rim
MOST_CROSSED_M = 0.10  # an arm through the trunk is crossed farther
TRUNK_SHARES = (0.45, 0.71)  # of the height: crotch to a hand's breadth under the armpit
MIDDLE_M = 0.02
HIPS_SHARE = 0.52  # of the height
NEAR_NECK_M = 0.012
LIKELIER = MappingProxyType(
    {
        sex: f"The sex is not said. The body's girths are more like a {word}'s, and what is "
        "estimated follows that."
        for sex, word in (("female", "woman"), ("male", "man"))
    }
)
FROM_Y_UP = np.array([[1.0, 0.0, 0.0], [0.0, 0.0, -1.0], [0.0, 1.0, 0.0]])


@dataclass(frozen=True, slots=True)
class OwnBody:
    """A closed body, standing on z = 0, facing -y, ready to be draped on.

    ``vertices`` (n, 3) m, ``triangles`` (t, 3) counter-clockwise from outside.
    ``landmarks`` and ``joints`` map names to points (3,), named as those of a mannequin:
    ``top_of_head``, ``bust``, ``waist``, ``hip``, ``back_neck_point`` always; ``axilla``,
    ``shoulder_point_left``, ``crotch`` and the joints of arms and legs where they are found.
    Levels lie on the middle line. ``measures`` maps names of the tape to metres: ``height`` and
    the girths of bust, waist and hip always; lengths and girths of limbs where found. ``sex`` is
    the wearer's as on a tape, and where it is unstated there the likelier one. ``notes`` tells the user what was assumed and mended.
    """

    vertices: FloatArray
    triangles: IntArray
    landmarks: Mapping[str, FloatArray]
    joints: Mapping[str, FloatArray]
    measures: Mapping[str, float]
    sex: str
    notes: tuple[str, ...]


@dataclass(frozen=True, slots=True, kw_only=True)
class BodyChoice:
    """The file of an own body, and what its user says of it.

    Parameters
    ----------
    path
        A GLB, OBJ, PLY or STL file.
    unit, up
        As for `load_own_body`.

    Raises
    ------
    InputError
        The file's name does not end as these do, or there is no such unit or axis.
    """

    path: Path
    unit: str | None = None
    up: str | None = None

    def __post_init__(self) -> None:
        if self.path.suffix.lower() not in SUFFIXES:
            raise InputError(
                "body.file",
                f'"{self.path.name}"',
                f"a file that ends in {', '.join(SUFFIXES)}",
                "export the body in one of these formats",
            )
        for key, word, allowed in (("unit", self.unit, UNITS_M), ("up", self.up, UP_AXES)):
            if word is not None and word not in allowed:
                raise InputError(f"body.{key}", word, ", ".join(allowed), "choose one of these")

    def load(self, sex: str) -> OwnBody:
        """The body; errors as of `load_own_body`."""
        return load_own_body(self.path, up=self.up, unit=self.unit, sex=sex)


def load_own_body(
    path: Path, *, up: str | None = None, unit: str | None = None, sex: str = "unstated"
) -> OwnBody:
    """Read a GLB, OBJ, PLY or STL file and make a body of it.

    Parameters
    ----------
    path
        The file.
    up
        ``y`` or ``z``, the axis that points up in the file; None leaves it to the longer extent.
        A body with y up is taken to face +z, one with z up to face -y, unless trunk and toes show
        that it does not.
    unit
        ``m``, ``cm``, ``mm`` or ``in``; None leaves it to the height.
    sex
        As on a tape; the levels that the survey expects depend on it.

    Raises
    ------
    FileError
        The file cannot be read, is damaged or too large.
    InputError
        The mesh is no closed body that stands with its arms away from the trunk, or its unit or
        up axis is in doubt.
    """
    return place_body(*read_triangles(path), up=up, unit=unit, sex=sex)


def place_body(
    vertices: FloatArray,
    triangles: IntArray,
    *,
    up: str | None = None,
    unit: str | None = None,
    sex: str = "unstated",
) -> OwnBody:
    """As `load_own_body`, from triangles (t, 3) of vertices (n, 3) in their own unit and axes."""
    vertices, triangles = merged(vertices, triangles)
    vertices, triangles, loose = lone_body(vertices, triangles)
    up = _up_axis(vertices, up)
    if up == "y":
        vertices = vertices @ FROM_Y_UP.T
    unit = _unit(float(np.ptp(vertices[:, 2])), unit)
    vertices = vertices * UNITS_M[unit]
    stood = stand(close(vertices, triangles, LARGEST_HOLE_M))
    solid = stood.solid
    _check_not_crushed(solid)
    height = float(solid.vertices[:, 2].max())
    middle = Slicer(solid).trunk(HIPS_SHARE * height).middle
    solid = solid.moved(solid.vertices - np.append(middle, 0.0))
    found = _measured_or_told(solid, height, sex)
    crossed = _crossing_note(found.solid, height)
    likelier = () if sex == found.sex else (LIKELIER[found.sex],)
    read = _notes(up, unit, loose, stood, found)
    notes = (*read, *likelier, *crossed, *found.warnings)
    return OwnBody(
        found.solid.vertices,
        found.solid.triangles,
        MappingProxyType(found.landmarks),
        MappingProxyType(found.joints),
        MappingProxyType(found.measures),
        found.sex,
        notes,
    )


def _up_axis(vertices: FloatArray, up: str | None) -> str:
    _, y, z = np.ptp(vertices, axis=0).tolist()
    if up is None:
        if max(y, z) < UPRIGHT * min(y, z):
            raise InputError(
                "body.up",
                f"in doubt: the body is {y:.4g} in y and {z:.4g} in z",
                "y, z",
                "say which axis points up, and check that the body stands upright",
            )
        return "y" if y > z else "z"
    if up not in UP_AXES:
        raise InputError("body.up", up, ", ".join(UP_AXES), "say which axis points up in the file")
    return up


def _unit(height: float, unit: str | None) -> str:
    """The unit of the file: the given one, if it makes a person's height, else the fitting one."""
    if unit is None:
        fitting = [name for name, (low, high) in GUESSED_UNITS.items() if low <= height <= high]
        if fitting:
            return fitting[0]
        listed = ", ".join(f"{low:g} to {high:g} {u}" for u, (low, high) in GUESSED_UNITS.items())
        raise InputError(
            "body.unit",
            f"in doubt: the body is {height:.4g} high in the file",
            listed,
            "say in which unit the file counts, and whether the right axis points up",
        )
    if unit not in UNITS_M:
        raise InputError("body.unit", unit, ", ".join(UNITS_M), "choose one of these")
    low, high = HEIGHT_RANGE_M
    if not low <= height * UNITS_M[unit] <= high:
        raise InputError(
            "body.unit",
            f"{unit}, which makes the body {height * UNITS_M[unit]:.4g} m high",
            f"a body {low} m to {high} m high",
            "check the unit and which axis points up",
        )
    return unit


def _notes(up: str, unit: str, loose: int, stood: Stand, found: "_Found") -> tuple[str, ...]:
    facing = "+z in the file" if up == "y" else "-y in the file"
    if stood.turn:
        facing = f"{abs(math.degrees(stood.turn)):.0f} degrees away from {facing}, and turned to the front"
    notes = [f"The body's file is taken to count in {unit}, with {up} up, and to face {facing}."]
    if stood.lean:
        notes.append(
            f"The body leans by {math.degrees(stood.lean):.0f} degrees in the file: it is stood "
            "upright."
        )
    if loose:
        notes.append(f"Small loose parts of the body's file left out: {loose}.")
    if stood.solid.holes:
        notes.append(
            f"Holes up to {LARGEST_HOLE_M:.2f} m round filled in the body: {stood.solid.holes}."
        )
    if found.arms < 2:
        which = "No arms were" if found.arms == 0 else "Only one arm was"
        notes.append(f"{which} found on the body: sleeves are measured on estimated arms.")
    notes.append(
        "Heights and girths are those of the body's mesh; where its bust, waist and hip lie is an "
        "estimate from its shape and a survey."
    )
    return tuple(notes)


def _crossing_note(solid: Solid, height: float) -> tuple[str, ...]:
    """Tell where the surface passes through itself; refuse it where that is much of a trunk."""
    places = crossings(solid.vertices, solid.triangles)
    if not places:
        return ()
    low, high = (share * height for share in TRUNK_SHARES)
    for place in places:
        if place.size_m > MOST_CROSSED_M and low < place.middle[2] < high:
            raise InputError(
                "body",
                f"passing through itself {_where(place)} (pairs of triangles: {place.pairs})",
                f"arms and folds that keep out of the trunk; up to {MOST_CROSSED_M:.2f} m is let be",
                REMEDY,
            )
    pairs = sum(place.pairs for place in places)
    return (
        f"The body's mesh passes through itself in {len(places)} places (pairs of triangles: "
        f"{pairs}), the largest {_where(places[0])}.",
    )


def _where(place: Crossing) -> str:
    x = float(place.middle[0])
    side = "in the middle" if abs(x) < MIDDLE_M else f"on the {'left' if x > 0.0 else 'right'}"
    return f"at a height of {place.middle[2]:.2f} m {side}, over {place.size_m:.2f} m"


def _check_not_crushed(solid: Solid) -> None:
    with np.errstate(invalid="ignore"):
        normals = vertex_normals(solid.vertices, solid.triangles)
    nowhere = np.flatnonzero(~np.isfinite(normals).all(axis=1))
    if len(nowhere):
        raise InputError(
            "body",
            f"crushed flat at a height of {solid.vertices[nowhere[0], 2]:.2f} m",
            "a surface with an inside and an outside everywhere",
            REMEDY,
        )


@dataclass(frozen=True, slots=True)
class _Found:
    """What was measured on a solid, which stands in its place now."""

    solid: Solid
    landmarks: dict[str, FloatArray]
    joints: dict[str, FloatArray]
    measures: dict[str, float]
    sex: str
    arms: int
    warnings: tuple[str, ...]


def _measured_or_told(solid: Solid, height: float, sex: str) -> "_Found":
    """As `_measured`; a girth that no body has is told as the mesh's, not as a tape's."""
    try:
        return _measured(solid, height, sex)
    except InputError as error:
        if not error.key.startswith("tape."):
            raise
        raise InputError(
            f"The body's {error.key.removeprefix('tape.').replace('_', ' ')}",
            f"{error.value} on the mesh",
            error.allowed,
            "check the unit, and that it is a whole body that stands upright",
        ) from error


def _measured(solid: Solid, height: float, sex: str) -> _Found:
    slicer = Slicer(solid)
    trunk = Trunk(slicer, height)
    told, arms = trunk.told(sex, {}), {}
    known: dict[str, float] = {}
    if trunk.cuts is not None:
        arms = find_arms(solid, trunk.cuts, told.measures)
        known = arm_girths(arms)
        # arms tell of the sex, and that of the levels
        told = trunk.told(sex, known)
        arms = find_arms(solid, trunk.cuts, told.measures)
    girths = {level: slicer.trunk(told.levels[level]) for level in ("bust", "waist", "hip")}
    measures = {"height": height} | known
    measures |= {f"{level}_girth": outline.girth_m for level, outline in girths.items()}
    if told.measures["inside_leg_height"].given:
        measures["inside_leg_height"] = told.levels["crotch"]
    middle = girths["hip"].middle
    landmarks = _landmarks(solid, middle, told, height, arms)
    if arms:
        measures["back_neck_point_to_wrist"] = _neck_to_wrist(landmarks, arms, told.measures)
    joints = {f"{name}_{side}": at for side, arm in arms.items() for name, at in arm.joints.items()}
    if trunk.crotch is not None:
        joints |= leg_joints(slicer, told.measures, trunk.crotch)
    away = np.append(middle, 0.0)
    return _Found(
        solid.moved(solid.vertices - away),
        {name: mark - away for name, mark in landmarks.items()},
        {name: joint - away for name, joint in joints.items()},
        measures,
        told.sex,
        len(arms),
        told.warnings,
    )


def _landmarks(
    solid: Solid, middle: FloatArray, told: Told, height: float, arms: Mapping[str, Arm]
) -> dict[str, FloatArray]:
    """Levels on the middle line, and the points of neck and shoulders on the skin."""
    frame = make_frame(told.measures)
    heights = dict(told.levels) | {"top_of_head": height}
    marks: dict[str, FloatArray] = {name: np.append(middle, z) for name, z in heights.items()}
    neck = told.measures.value("back_neck_point_height")
    near = np.abs(solid.vertices[:, 2] - neck) < NEAR_NECK_M
    near &= np.abs(solid.vertices[:, 0] - middle[0]) < NEAR_NECK_M
    back = solid.vertices[near, 1].max() if near.any() else middle[1]
    marks["back_neck_point"] = np.array([middle[0], back, neck])
    above = frame["shoulder_point"] - frame["shoulder"]
    for side, arm in arms.items():
        sign = 1.0 if side == "left" else -1.0
        out = np.array([sign * above[0], above[1], above[2]])
        marks[f"shoulder_point_{side}"] = arm.joints["shoulder"] + out
    return marks


def _neck_to_wrist(
    landmarks: Mapping[str, FloatArray], arms: Mapping[str, Arm], measures: Measures
) -> float:
    """From the back neck point over shoulder point and elbow to the wrist, as a tape runs."""
    lengths = []
    for side, arm in arms.items():
        tip = landmarks[f"shoulder_point_{side}"]
        back = float(np.linalg.norm(tip - landmarks["back_neck_point"]))
        depth = float(tip[2] - arm.joints["shoulder"][2])
        lengths.append(OVER_SHOULDER * back + arm.length_m + POINT_TO_JOINT * depth)
    return float(np.mean(lengths)) + elbow_allowance(measures)
