# SPDX-License-Identifier: GPL-3.0-or-later
"""Test pieces for the drape's own solver: meshes in several directions, and cloths by their figures."""

from napfold.core.arrays import FloatArray, IntArray
from napfold.core.cloth import Cloth
from napfold.core.drape.pieces import (
    Held,
    Pulled,
    come_to_rest,
    filled_rectangle,
    half_of,
    mirrored,
    on_line,
    one_layer,
    sheet,
    start_flat,
)

from ..core.strips import strip

__all__ = [
    "MESHES",
    "Held",
    "Pulled",
    "cloth",
    "come_to_rest",
    "half_of",
    "jutting",
    "mirrored",
    "on_line",
    "one_layer",
    "rectangle",
    "sheet",
    "start_flat",
]

MESHES = ("rows along", "rows across", "mesher's")
"""Two directions of a regular lattice, and the mesh that panels are made of."""


def rectangle(
    length_m: float, width_m: float, edge_m: float, mesh: str
) -> tuple[FloatArray, IntArray]:
    """Flat positions (n, 2) with x along the length, and triangles (t, 3)."""
    if mesh != "mesher's":
        return strip(length_m, width_m, edge_m, rows_across=mesh == "rows across")
    return filled_rectangle(length_m, width_m, edge_m)


def jutting(
    length_m: float, width_m: float, edge_m: float, mesh: str
) -> tuple[FloatArray, IntArray]:
    """A strip over a knife edge at x = 0, juts out to both sides.

    By symmetry it is level there, as in a clamp. (Held rows of nodes would be a clamp half an edge
    behind the last of them, an error of first order.)
    """
    return mirrored(*rectangle(length_m, width_m, edge_m, mesh))


def cloth(
    mass_kg_m2: float,
    bending_n_m: tuple[float, float],
    stretch_n_per_m: tuple[float, float] = (1000.0, 1000.0),
    shear_n_per_m: float = 100.0,
    thickness_m: float = 0.0005,
) -> Cloth:
    """A cloth by its figures, each pair across and along; rubs on nothing unless told so."""
    return Cloth(
        name="test piece",
        mass_kg_m2=mass_kg_m2,
        thickness_m=thickness_m,
        compressed_thickness_m=thickness_m,
        ground_thickness_m=thickness_m,
        pile_height_m=0.0,
        nap_lean_rad=0.0,
        bending_across_n_m=bending_n_m[0],
        bending_along_n_m=bending_n_m[1],
        bending_pile_up_over_down=1.0,
        bending_friction_across_n=0.0,
        bending_friction_along_n=0.0,
        stretch_across_n_per_m=stretch_n_per_m[0],
        stretch_along_n_per_m=stretch_n_per_m[1],
        shear_n_per_m=shear_n_per_m,
        friction_with_nap=0.0,
        friction_against_nap=0.0,
        friction_backs=0.0,
        friction_body=0.0,
        bolt_width_m=1.5,
        shrinkage_along=0.0,
        shrinkage_across=0.0,
        colour=(0.5, 0.5, 0.5),
    )
