# SPDX-License-Identifier: GPL-3.0-or-later
"""The figures of a cloth: what they are, what is believable, and where one came from."""

import math
from collections.abc import Mapping
from dataclasses import dataclass
from types import MappingProxyType
from typing import Literal, get_args

from ..errors import InputError
from ..units import Quantity, require_range

__all__ = ["FIGURES", "SOURCES", "Figure", "Origin", "Source", "require_figure"]

Source = Literal["swatch", "shop", "estimate"]
SOURCES: tuple[Source, ...] = get_args(Source)
"""Measured on the maker's own piece; stated by a shop, a label or the maker; guessed from the kind."""


@dataclass(frozen=True, slots=True)
class Figure:
    """What one figure of a cloth is.

    Attributes
    ----------
    key
        Its name in the words of a job file.
    words
        Its name for people.
    quantity
        What kind of quantity it is.
    low, high
        Least and greatest believable value, SI: tulle to fur coat, with room on both sides.
    """

    key: str
    words: str
    quantity: Quantity
    low: float
    high: float


FIGURES: Mapping[str, Figure] = MappingProxyType(
    {
        "mass_kg_m2": Figure("mass", "Mass per area", "mass per area", 0.03, 2.5),
        "thickness_m": Figure("thickness", "Thickness, lightly pressed", "length", 0.0001, 0.05),
        "compressed_thickness_m": Figure(
            "compressed_thickness", "Thickness, pressed hard", "length", 0.00005, 0.05
        ),
        "ground_thickness_m": Figure(
            "ground_thickness", "Thickness of the ground alone", "length", 0.00005, 0.02
        ),
        "pile_height_m": Figure("pile_height", "Pile height", "length", 0.0, 0.12),
        "nap_lean_rad": Figure("nap_lean", "Lean of the pile from upright", "angle", 0.0, 1.5),
        "bending_along_n_m": Figure(
            "bending_along", "Bending rigidity along", "bending rigidity", 1e-9, 0.01
        ),
        "bending_across_n_m": Figure(
            "bending_across", "Bending rigidity across", "bending rigidity", 1e-9, 0.01
        ),
        "bending_pile_up_over_down": Figure(
            "bending_pile_up_over_down", "Bending, pile up over pile down", "number", 0.1, 10.0
        ),
        "bending_friction_along_n": Figure(
            "bending_friction_along", "Inner friction in bending along", "bending moment", 0.0, 0.1
        ),
        "bending_friction_across_n": Figure(
            "bending_friction_across",
            "Inner friction in bending across",
            "bending moment",
            0.0,
            0.1,
        ),
        "stretch_along_n_per_m": Figure(
            "stretch_along", "Stretch stiffness along", "force per length", 10.0, 100_000.0
        ),
        "stretch_across_n_per_m": Figure(
            "stretch_across", "Stretch stiffness across", "force per length", 10.0, 100_000.0
        ),
        "shear_n_per_m": Figure("shear", "Shear stiffness", "force per length", 1.0, 10_000.0),
        "friction_with_nap": Figure(
            "friction_with_nap", "Friction, pile on pile with the nap", "number", 0.0, 3.0
        ),
        "friction_against_nap": Figure(
            "friction_against_nap", "Friction, pile on pile against the nap", "number", 0.0, 3.0
        ),
        "friction_backs": Figure("friction_backs", "Friction, back on back", "number", 0.0, 3.0),
        "friction_body": Figure("friction_body", "Friction, pile on cotton", "number", 0.0, 3.0),
        "bolt_width_m": Figure("bolt_width", "Width of the bolt", "length", 0.3, 4.0),
        "shrinkage_along": Figure("shrinkage_along", "Shrinkage along", "share", -0.05, 0.3),
        "shrinkage_across": Figure("shrinkage_across", "Shrinkage across", "share", -0.05, 0.3),
    }
)
"""By the field of `Cloth` that holds each."""


@dataclass(frozen=True, slots=True)
class Origin:
    """Where one figure of a cloth came from and how well it is known.

    Parameters
    ----------
    figure
        A field of `Cloth`, one of `FIGURES`.
    source
        One of `SOURCES`.
    sd
        Standard deviation, in the figure's own unit: two in three such cloths lie within it.
    how
        What stands behind it, for people, for example "5 overhangs of a strip".

    Raises
    ------
    InputError
        No such figure or source, or a deviation that is none.
    """

    figure: str
    source: Source
    sd: float
    how: str = ""

    def __post_init__(self) -> None:
        if self.figure not in FIGURES:
            raise InputError(
                "cloth.origins", self.figure, ", ".join(FIGURES), "name a figure of the cloth"
            )
        if self.source not in SOURCES:
            raise InputError(
                f"cloth.origins.{self.figure}", self.source, ", ".join(SOURCES), "choose one"
            )
        if not (math.isfinite(self.sd) and self.sd >= 0):
            raise InputError(
                f"cloth.origins.{self.figure}", self.sd, "0 or more", "give a standard deviation"
            )


def require_figure(name: str, value: float) -> None:
    """Refuse a figure that no cloth has.

    Raises
    ------
    RangeError
        The value is outside the figure's believable range.
    """
    figure = FIGURES[name]
    require_range(
        f"cloth.{figure.key}",
        value,
        figure.low,
        figure.high,
        "weigh or measure a swatch, or take a kind from the library",
        quantity=figure.quantity,
    )
