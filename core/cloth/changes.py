# SPDX-License-Identifier: GPL-3.0-or-later
"""A cloth with some figures changed, and with them the others that go along."""

from dataclasses import replace
from typing import Any

from ..heavy_strip import bending_length_m, bending_rigidity_n_m
from .figures import FIGURES, Origin
from .material import Cloth

__all__ = ["bending_at", "known", "put_at", "scaled", "thick", "weighing"]


def known(cloth: Cloth, *origins: Origin, **figures: float) -> Cloth:
    """The cloth with figures and their origins in the place of those it had."""
    named = {origin.figure: origin for origin in origins}
    kept = (origin for origin in cloth.origins if origin.figure not in named)
    changed: dict[str, Any] = dict(figures)
    return replace(cloth, origins=(*kept, *origins), **changed)


def weighing(cloth: Cloth, mass_kg_m2: float) -> Cloth:
    """The cloth at another mass: it bends at the same lengths, so stiffness and mass grow alike."""
    heavier = mass_kg_m2 / cloth.mass_kg_m2
    return scaled(
        cloth,
        heavier,
        "bending_along_n_m",
        "bending_across_n_m",
        "bending_friction_along_n",
        "bending_friction_across_n",
        mass_kg_m2=mass_kg_m2,
    )


def bending_at(cloth: Cloth, direction: str, length_m: float) -> Cloth:
    """The cloth with another bending length; the share of inner friction stays."""
    figure = f"bending_{direction}_n_m"
    rigidity = bending_rigidity_n_m(cloth.mass_kg_m2, length_m)
    longer = (rigidity / getattr(cloth, figure)) ** (1 / 3)
    stiffer = scaled(cloth, longer**2, f"bending_friction_{direction}_n")
    return scaled(stiffer, longer**3, figure, **{figure: rigidity})


def thick(cloth: Cloth, thickness_m: float) -> Cloth:
    """The cloth at another thickness: pressed, as great a share of it is left."""
    thicker = thickness_m / cloth.thickness_m
    return scaled(
        cloth,
        thicker,
        "compressed_thickness_m",
        thickness_m=thickness_m,
        ground_thickness_m=min(cloth.ground_thickness_m, thicker * cloth.compressed_thickness_m),
    )


def scaled(cloth: Cloth, factor: float, *figures: str, **others: float) -> Cloth:
    """Some figures times a factor, their deviations too, and others set."""
    return replace(
        cloth,
        origins=tuple(
            replace(origin, sd=origin.sd * factor) if origin.figure in figures else origin
            for origin in cloth.origins
        ),
        **{figure: factor * getattr(cloth, figure) for figure in figures} | others,
    )


def put_at(cloth: Cloth, figure: str, value: float) -> Cloth:
    """The cloth with one figure at another value, and with it what goes along.

    Mass takes stiffness along, bending its inner friction, thickness the pressed thickness, and
    friction of the pile with the nap that against it.
    """
    match figure:
        case "mass_kg_m2":
            return weighing(cloth, value)
        case "thickness_m":
            return thick(cloth, value)
        case "bending_along_n_m" | "bending_across_n_m":
            direction = figure.removeprefix("bending_").removesuffix("_n_m")
            return bending_at(cloth, direction, bending_length_m(cloth.mass_kg_m2, value))
        case "friction_with_nap":
            against = cloth.friction_against_nap * value / cloth.friction_with_nap
            most = FIGURES["friction_against_nap"].high
            return replace(cloth, friction_with_nap=value, friction_against_nap=min(against, most))
    changed: dict[str, Any] = {figure: value}
    return replace(cloth, **changed)
