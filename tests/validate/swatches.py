# SPDX-License-Identifier: GPL-3.0-or-later
"""From the ruler to the drape and back: simulated swatch tests, read as a maker reads them.

Each test runs on the drape's solver with a cloth's figures (`napfold.core.swatch_simulation`), and
what a maker would read goes through the swatch formulas (`napfold.core.swatch`). The cloth's own
figures must come out. A loop bends and unbends, so inner friction holds one part of it up and
another down: with it a loop is read as the elastic part alone.
"""

import math
from dataclasses import replace

from napfold.core.cloth import HARD_PRESSURE_PA, LIGHT_PRESSURE_PA, Cloth, library
from napfold.core.heavy_strip import (
    STANDARD_GRAVITY_M_S2,
    bending_length_m,
    bending_rigidity_n_m,
)
from napfold.core.round_simulation import RoundPiece, hang_round_piece
from napfold.core.swatch import (
    DIRECTIONS,
    Swatch,
    bending_length,
    drape_coefficient,
    friction,
    mass_per_area,
    shear_stiffness,
    stretch_stiffness,
    thickness_under,
)
from napfold.core.swatch_simulation import (
    hung_marks_m,
    loop_height_m,
    overhang_m,
    piece_mass_kg,
    stack_height_m,
)

from ..rows import Row, reported, share
from .sliding import tangent_of_slip

__all__ = ["KINDS", "round_pieces", "swatches"]

OWN_SOURCE = "our own runs beside each other"
SOURCE = "the figures that the simulated cloth was given"
KINDS = ("light plush", "long pile", "single jersey")
LOOP_LENGTHS = 7.0
"""Strip of a loop in bending lengths: where its height tells most."""


def swatches(kinds: tuple[str, ...] = KINDS) -> list[Row]:
    """Mass, bending by overhang and loop, stretch, shear, thickness and friction of these kinds."""
    return [row for kind in kinds for row in _of(kind, library()[kind])]


def _of(kind: str, cloth: Cloth) -> list[Row]:
    def row(test: str, found: float, figure: str, gate: float, unit: str) -> Row:
        value = getattr(cloth, figure)
        scale = {"µN·m": 1e6, "mm": 1e3, "g/m²": 1e3}.get(unit, 1.0)
        return share(f"{kind}, {test}", found * scale, value * scale, gate, unit, SOURCE)

    weighed = mass_per_area(_read(piece=(0.2, 0.2), piece_mass=(piece_mass_kg(cloth, 0.2, 0.2),)))
    rows = [row("weighed", weighed.value, "mass_kg_m2", 1e-9, "g/m²")]
    smooth = replace(cloth, bending_friction_along_n=0.0, bending_friction_across_n=0.0)
    for direction in DIRECTIONS:
        figure = f"bending_{direction}_n_m"
        strip_m = LOOP_LENGTHS * bending_length_m(cloth.mass_kg_m2, getattr(cloth, figure))
        for test, given in (
            ("overhang", {f"overhang_{direction}": (overhang_m(cloth, direction),)}),
            (
                "loop",
                {
                    "loop_strip": strip_m,
                    f"loop_height_{direction}": (loop_height_m(smooth, direction, strip_m),),
                },
            ),
            (
                "loop with inner friction",
                {
                    "loop_strip": strip_m,
                    f"loop_height_{direction}": (loop_height_m(cloth, direction, strip_m),),
                },
            ),
        ):
            rubs = _friction_share(cloth, direction) if test == "loop with inner friction" else 0.0
            length_m = bending_length(_read(**given), direction, rubs).mean.value
            found = bending_rigidity_n_m(cloth.mass_kg_m2, length_m)
            rows.append(row(f"{test} {direction}", found, figure, 0.05, "µN·m"))
    for direction in DIRECTIONS:
        marks_m = hung_marks_m(cloth, direction, 0.5)
        record = _read(**{f"marks_{direction}": (marks_m,)})
        found = stretch_stiffness(record, direction, cloth.mass_kg_m2).value
        figure = f"stretch_{direction}_n_per_m"
        rows.append(row(f"500 g hung {direction}", found, figure, 0.03, "N/m"))
    record = _read(marks_bias=(hung_marks_m(cloth, "bias", 0.025),))
    stretch = (cloth.stretch_along_n_per_m, cloth.stretch_across_n_per_m)
    found = shear_stiffness(record, stretch, cloth.mass_kg_m2).value
    rows.append(row("25 g hung at 45°", found, "shear_n_per_m", 0.03, "N/m"))
    rows += _stacked_and_tilted(cloth, row)
    return rows


def _friction_share(cloth: Cloth, direction: str) -> float:
    """The cloth's friction moment over W g c²."""
    length_m = bending_length_m(cloth.mass_kg_m2, getattr(cloth, f"bending_{direction}_n_m"))
    moment = getattr(cloth, f"bending_friction_{direction}_n")
    return moment / (cloth.mass_kg_m2 * STANDARD_GRAVITY_M_S2 * length_m**2)


def _stacked_and_tilted(cloth: Cloth, row) -> list[Row]:
    pressures = (LIGHT_PRESSURE_PA, HARD_PRESSURE_PA)
    light, heavy = (stack_height_m(cloth, 4, pressure) for pressure in pressures)
    found = thickness_under(_read(stack_light=(light,), stack_heavy=(heavy,)), pressures)
    tilt = math.atan(tangent_of_slip(cloth.friction_body))
    return [
        row("stacked, 200 g", found[0].value, "thickness_m", 1e-9, "mm"),
        row("stacked, 10 kg", found[1].value, "compressed_thickness_m", 1e-9, "mm"),
        row(
            "tilted on a body",
            friction(_read(tilt_cotton=(tilt,)), "tilt_cotton").value,
            "friction_body",
            0.05,
            "",
        ),
    ]


def round_pieces() -> list[Row]:
    """Drape coefficients of 30 cm on 18 cm beside what such cloth can be expected to show.

    The expectations are the trade's, not measurements: nothing is gated. Folds are chance, so each
    is the mean of three starts; a finer mesh and the spread of the starts are told beside it.
    """
    rows = []
    for kind, expected in (
        ("light plush", "35 to 50"),
        ("curly pile", "45 to 65"),
        ("long pile", "70 to 90"),
    ):
        cloth = library()[kind]
        starts = [_percent(hang_round_piece(cloth, seed=seed)) for seed in range(3)]
        name = f"round piece, {kind}"
        mean = sum(starts) / len(starts)
        rows.append(reported(name, mean, "%", "the trade's expectation (estimate)", expected))
        spread = max(starts) - min(starts)
        rows.append(reported(f"{name}: spread of 3 starts", spread, "points", OWN_SOURCE))
        change = _percent(hang_round_piece(cloth, 0.005)) - starts[0]
        rows.append(reported(f"{name}: edges 5 mm, not 7", change, "points", OWN_SOURCE))
    return rows


def _percent(piece: RoundPiece) -> float:
    return drape_coefficient(_read(round_shadow=(piece.shadow_m2,))).value


def _read(**given: object) -> Swatch:
    return Swatch(given=given)
