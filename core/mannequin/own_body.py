# SPDX-License-Identifier: GPL-3.0-or-later
"""A body of the maker's own, scanned or modelled: read, mended, placed and measured; never posed.

It must stand upright with its arms away from the trunk, hanging or held out; a form without arms
will do. Bust, waist and hip are looked for near the heights that the survey expects of the stature,
so their heights are estimates, and their girths are those of the mesh at these heights.
"""

from collections.abc import Callable, Mapping
from dataclasses import dataclass
from pathlib import Path
from types import MappingProxyType

import numpy as np

from ..arrays import FloatArray, IntArray
from ..errors import InputError
from ..tape import Tape, complete
from .body_file import read_triangles
from .mannequin import HAND_BREADTH_M, vertex_normals
from .mesh_repair import REMEDY, Solid, close, lone_body, merged
from .outlines import Slicer, apart_m

__all__ = ["UNITS_M", "OwnBody", "load_own_body", "place_body"]

UNITS_M = MappingProxyType({"m": 1.0, "cm": 0.01, "mm": 0.001, "in": 0.0254})
HEIGHT_RANGE_M = (1.0, 2.3)
# heights in the file, lowest and highest, that leave no doubt about its unit
GUESSED_UNITS = MappingProxyType(
    {"m": (1.0, 2.3), "cm": (100.0, 230.0), "mm": (1000.0, 2300.0), "in": (39.0, 90.0)}
)
UPRIGHT = 1.5  # an upright body is at least so many times as high as deep
LARGEST_HOLE_M = 0.30  # round the rim
LEAST_GAP_M = 0.005  # between arm and trunk
# a slice of the trunk alone: area over that of its hull, breadth over depth
LEAST_FILLED = 0.90
MOST_BROAD = 1.9
ARM_SLICES = 13
SEARCH_SHARE = 0.03  # of the height, up and down from where the survey expects a level
SEARCH_STEPS = 25
HALVINGS = 9
AXILLA_STEPS = 81
ARMS_IN = 1.15  # breadth with arms over breadth of the trunk alone
LEG_LIKENESS = 0.4  # the smaller leg's area over the larger one's
FROM_Y_UP = np.array([[1.0, 0.0, 0.0], [0.0, 0.0, -1.0], [0.0, 1.0, 0.0]])


@dataclass(frozen=True, slots=True)
class OwnBody:
    """A closed body, standing on z = 0, facing -y, ready to be draped on.

    ``vertices`` (n, 3) m, ``triangles`` (t, 3) counter-clockwise from outside, ``normals`` (n, 3)
    unit. ``landmarks`` maps ``top_of_head``, ``bust``, ``waist``, ``hip`` and, where they show,
    ``axilla`` and ``crotch`` to points (3,) on the middle line, as those of a mannequin.
    ``measures`` maps ``height``, ``bust_girth``, ``waist_girth`` and ``hip_girth`` to metres, each
    girth the hull of the slice at its landmark, arms left out. ``notes`` tells the user what was
    assumed and mended.
    """

    vertices: FloatArray
    triangles: IntArray
    normals: FloatArray
    landmarks: Mapping[str, FloatArray]
    measures: Mapping[str, float]
    notes: tuple[str, ...]


def load_own_body(path: Path, *, up: str | None = None, unit: str | None = None) -> OwnBody:
    """Read a GLB, OBJ, PLY or STL file and make a body of it.

    Parameters
    ----------
    path
        The file.
    up
        ``y`` or ``z``, the axis that points up in the file; None leaves it to the longer extent.
        A body with y up is taken to face +z, one with z up to face -y.
    unit
        ``m``, ``cm``, ``mm`` or ``in``; None leaves it to the height.

    Raises
    ------
    FileError
        The file cannot be read, is damaged or too large.
    InputError
        The mesh is no closed body that stands with its arms away from the trunk, or its unit or
        up axis is in doubt.
    """
    return place_body(*read_triangles(path), up=up, unit=unit)


def place_body(
    vertices: FloatArray, triangles: IntArray, *, up: str | None = None, unit: str | None = None
) -> OwnBody:
    """As `load_own_body`, from triangles (t, 3) of vertices (n, 3) in their own unit and axes."""
    vertices, triangles = merged(vertices, triangles)
    vertices, triangles, loose = lone_body(vertices, triangles)
    up = _up_axis(vertices, up)
    if up == "y":
        vertices = vertices @ FROM_Y_UP.T
    unit = _unit(float(np.ptp(vertices[:, 2])), unit)
    vertices = vertices * UNITS_M[unit]
    vertices = vertices - [0.0, 0.0, vertices[:, 2].min()]
    solid = close(vertices, triangles, LARGEST_HOLE_M)
    return _measured(solid, _notes(up, unit, loose, solid.holes))


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
    if up not in ("y", "z"):
        raise InputError("body.up", up, "y, z", "say which axis points up in the file")
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


def _notes(up: str, unit: str, loose: int, holes: int) -> tuple[str, ...]:
    facing = "+z in the file" if up == "y" else "-y in the file"
    notes = [f"Taken to count in {unit}, with {up} up, and to face {facing}."]
    if loose:
        notes.append(f"Small loose parts left out: {loose}.")
    if holes:
        notes.append(f"Holes up to {LARGEST_HOLE_M:.2f} m round filled: {holes}.")
    notes.append("The heights of bust, waist and hip are estimates from shape and stature.")
    return tuple(notes)


def _measured(solid: Solid, notes: tuple[str, ...]) -> OwnBody:
    slicer = Slicer(solid)
    height = float(solid.vertices[:, 2].max())
    measures, warnings = complete(Tape(given={"height": height}))
    expected = {level: measures.value(f"{level}_height") for level in ("bust", "waist", "hip")}
    step = SEARCH_SHARE * height
    armpit = measures.value("axilla_height")
    axilla = _axilla(slicer, expected["waist"], armpit + 2.0 * step)
    _require_arms_apart(slicer, expected["hip"], expected["bust"], axilla, armpit - 2.0 * step)
    crotch = _crotch(slicer, measures.value("inside_leg_height"), 2.0 * step)
    levels = {
        "bust": _level(slicer, expected["bust"], step, 1.0, high=axilla),
        "waist": _level(slicer, expected["waist"], step, -1.0),
        "hip": _level(slicer, expected["hip"], step, 1.0, low=crotch),
    }
    trunks = {level: slicer.trunk(z) for level, z in levels.items()}
    found = {"height": height} | {
        f"{level}_girth": trunk.girth_m for level, trunk in trunks.items()
    }
    vertices = solid.vertices - np.append(trunks["hip"].middle, 0.0)
    heights = levels | {"top_of_head": height}
    heights |= {n: z for n, z in (("axilla", axilla), ("crotch", crotch)) if z is not None}
    return OwnBody(
        vertices,
        solid.triangles,
        _normals(vertices, solid.triangles),
        MappingProxyType({name: np.array([0.0, 0.0, z]) for name, z in heights.items()}),
        MappingProxyType(found),
        notes + warnings,
    )


def _normals(vertices: FloatArray, triangles: IntArray) -> FloatArray:
    with np.errstate(invalid="ignore"):
        normals = vertex_normals(vertices, triangles)
    nowhere = np.flatnonzero(~np.isfinite(normals).all(axis=1))
    if len(nowhere):
        raise InputError(
            "body",
            f"crushed flat at a height of {vertices[nowhere[0], 2]:.2f} m",
            "a surface with an inside and an outside everywhere",
            REMEDY,
        )
    return normals


def _require_arms_apart(
    slicer: Slicer, hip: float, bust: float, axilla: float | None, lowest_axilla: float
) -> None:
    """Raise unless every slice from the hip up shows the trunk by itself.

    The highest is that of the bust or, as arms come near in the armpit, a hand's breadth under it.
    Arms that join below ``lowest_axilla`` join in no armpit.
    """
    joined = [] if axilla is None or axilla > lowest_axilla else [axilla]
    top = bust if axilla is None else min(bust, axilla - HAND_BREADTH_M)
    heights = np.linspace(hip, top, ARM_SLICES).tolist()
    joined += [height for height in heights if not _arms_apart(slicer, height)]
    if joined:
        raise InputError(
            "body.arms",
            f"touching the trunk, or not told from it, at a height of {joined[0]:.2f} m",
            f"{LEAST_GAP_M * 1e3:.0f} mm or more of clear space between arms and trunk, "
            "from the hip to a hand's breadth under the armpit",
            "bring a body with its arms held away from it",
        )


def _arms_apart(slicer: Slicer, height: float) -> bool:
    """Whether the largest outline of a slice has a trunk's shape and clear space round it."""
    trunk, *others = slicer.outlines(height)
    breadth, depth = trunk.size_m
    return (
        trunk.area_m2 >= LEAST_FILLED * trunk.hull_area_m2
        and breadth <= MOST_BROAD * depth
        and all(apart_m(trunk, other) >= LEAST_GAP_M for other in others)
    )


def _level(
    slicer: Slicer,
    expected: float,
    step: float,
    sign: float,
    low: float | None = None,
    high: float | None = None,
) -> float:
    """The height near ``expected`` where the trunk is widest (sign 1) or narrowest (-1) round.

    ``expected`` itself, or the nearest height between ``low`` and ``high``, where girths only rise
    or fall: then the shape does not tell.
    """
    margin = 0.2 * step
    bottom = max(expected - step, expected - step if low is None else low + margin)
    top = min(expected + step, expected + step if high is None else high - margin)
    heights = np.linspace(bottom, max(top, bottom), SEARCH_STEPS)
    girths = [sign * slicer.trunk(height).girth_m for height in heights.tolist()]
    best = int(np.argmax(girths))
    if best in (0, len(heights) - 1):
        return float(np.clip(expected, heights[0], heights[-1]))
    return float(heights[best])


def _crotch(slicer: Slicer, expected: float, reach: float) -> float | None:
    """Where two legs become one trunk; None where the thighs are not told apart."""

    def legs(height: float) -> bool:
        first, *others = slicer.outlines(height)
        return any(other.area_m2 > LEG_LIKENESS * first.area_m2 for other in others)

    return _change(legs, expected - reach, expected + reach)


def _axilla(slicer: Slicer, low: float, high: float) -> float | None:
    """The lowest height between two where the trunk takes in the arms, growing broad at once."""
    heights = np.linspace(low, high, AXILLA_STEPS)
    breadth = np.array([slicer.trunk(height).size_m[0] for height in heights.tolist()])
    jumps = np.flatnonzero(breadth[1:] > ARMS_IN * breadth[:-1])
    return float(heights[jumps[0]]) if len(jumps) else None


def _change(holds: Callable[[float], bool], low: float, high: float) -> float | None:
    """A height where an answer changes, by halving; None if it is the same at both ends."""
    below = holds(low)
    if holds(high) == below:
        return None
    for _ in range(HALVINGS):
        middle = 0.5 * (low + high)
        low, high = (middle, high) if holds(middle) == below else (low, middle)
    return 0.5 * (low + high)
