# SPDX-License-Identifier: GPL-3.0-or-later
"""A cloth with a swatch: what goes before what, how sure it is, which readings are refused."""

import math

import pytest
from napfold.core.cloth import (
    Cloth,
    ClothChoice,
    library,
)
from napfold.core.errors import InputError
from napfold.core.swatch import (
    Swatch,
)

G = 9.80665
RECORD = Swatch(
    given=dict(
        piece=(0.3, 0.3),
        piece_mass=(0.0252,),
        overhang_along=(0.038, 0.037),
        overhang_across_pile_up=(0.031,),
        overhang_across_pile_down=(0.029,),
        marks_along=(0.1035,),
        marks_across=(0.114, 0.115),
        marks_bias=(0.1035, 0.1037),
        stack_light=(0.0148,),
        stack_heavy=(0.0072,),
        tilt_with_nap=(math.radians(25),),
        tilt_against_nap=(math.radians(36),),
        wash_marks=0.5,
        washed_along=(0.495,),
    )
)


def test_a_swatch_goes_before_what_is_stated_and_what_is_estimated() -> None:
    cloth = ClothChoice(kind="light plush", mass_kg_m2=0.5, pile_height_m=0.004, swatch=RECORD)
    found = cloth.cloth()
    kind = library()["light plush"]
    assert found.mass_kg_m2 == pytest.approx(0.28)
    assert found.bending_along_n_m == pytest.approx(0.28 * G * 0.01875**3)
    faces = (0.0155**3 + 0.0145**3) / 2
    assert found.bending_across_n_m == pytest.approx(0.28 * G * faces)
    assert found.bending_pile_up_over_down == pytest.approx((31 / 29) ** 3)
    assert found.friction_with_nap == pytest.approx(math.tan(math.radians(25)))
    assert found.thickness_m == pytest.approx(0.0037)
    assert found.compressed_thickness_m == pytest.approx(0.0018)
    assert found.shrinkage_along == pytest.approx(0.01)
    assert found.friction_backs == kind.friction_backs
    sources = {origin.figure: origin.source for origin in found.origins}
    assert sources["mass_kg_m2"] == "swatch"
    assert sources["pile_height_m"] == "shop"
    assert sources["friction_backs"] == "estimate"
    assert found.estimated == {
        "ground_thickness_m",
        "nap_lean_rad",
        "bending_friction_along_n",
        "bending_friction_across_n",
        "friction_backs",
        "friction_body",
        "bolt_width_m",
        "shrinkage_across",
    }


def test_a_measured_figure_is_surer_than_an_estimated_one() -> None:
    found = ClothChoice(kind="light plush", swatch=RECORD).cloth()
    kind = library()["light plush"]
    for figure in ("mass_kg_m2", "bending_along_n_m", "stretch_across_n_per_m", "shear_n_per_m"):
        before, after = kind.origin(figure), found.origin(figure)
        assert before is not None
        assert after is not None
        assert after.sd / getattr(found, figure) < before.sd / getattr(kind, figure)
    mass = found.origin("mass_kg_m2")
    assert mass is not None
    assert mass.how == "weighing, 1 reading"


def test_an_unweighed_cloth_leaves_its_rigidity_as_unsure_as_its_mass() -> None:
    weighed = ClothChoice(kind="light plush", swatch=RECORD).cloth()
    rest = {key: value for key, value in RECORD.given.items() if not key.startswith("piece")}
    guessed = ClothChoice(kind="light plush", swatch=Swatch(given=rest)).cloth()

    def share(cloth: Cloth) -> float:
        origin = cloth.origin("bending_along_n_m")
        assert origin is not None
        return origin.sd / cloth.bending_along_n_m

    assert share(guessed) > share(weighed)
    # the bending length is what was read, whatever the mass
    assert guessed.bending_along_n_m / guessed.mass_kg_m2 == pytest.approx(
        weighed.bending_along_n_m / weighed.mass_kg_m2
    )


@pytest.mark.parametrize(
    ("given", "key", "remedy"),
    [
        ({"weight": (0.01,)}, "weight", "use one"),
        ({"piece_mass": (0.01,)}, "piece", "add a line"),
        ({"piece": (0.2, 0.2)}, "piece_mass", "add a line"),
        ({"piece": (0.2,), "piece_mass": (0.01,)}, "piece", "both"),
        ({"piece": (0.2, 0.2), "piece_mass": (0.4,)}, "piece_mass", "sides"),
        ({"piece": (0.2, 0.2), "piece_mass": (0.01, 0.02)}, "piece_mass", "slip"),
        ({"overhang_along": ()}, "overhang_along", "read"),
        ({"overhang_along": (0.36,)}, "overhang_along", "unit"),
        ({"overhang_along": (float("nan"),)}, "overhang_along", "unit"),
        ({"overhang_along": (0.03, 0.06)}, "overhang_along", "slip"),
        ({"loop_strip": 0.2, "loop_height_along": (0.026,)}, "loop_height_along", "longer"),
        ({"loop_strip": 0.1, "loop_height_along": (0.045,)}, "loop_height_along", "shorter"),
        ({"marks_along": (0.099,)}, "marks_along", "hang more"),
        ({"marks_across": (0.3,)}, "marks_across", "hang more"),
        ({"marks_bias": (0.101,), "bias_load": 0.2}, "marks_bias", "45"),
        ({"stack_light": (0.3,)}, "stack_light", "whole stack"),
        ({"stack_heavy": (0.01,)}, "stack_light", "read it too"),
        ({"stack_light": (0.01,), "stack_heavy": (0.012,)}, "stack_heavy", "which"),
        (
            {"stack_light": (0.01,), "stack_heavy": (0.008,), "stack_heavy_load": 0.5},
            "stack_heavy_load",
            "heavier",
        ),
        ({"tilt_backs": (math.radians(80),)}, "tilt_backs", "again"),
        ({"round_shadow": (0.02,)}, "round_shadow", "plate"),
        ({"round_shadow": (0.08,)}, "round_shadow", "plate"),
        ({"round_shadow_mass": (0.002,)}, "round_ring_mass", "add"),
        ({"round_radii": (0.12,) * 8}, "round_radii", "more"),
        ({"round_outline": ((0.0, 0.0),) * 5}, "round_outline", "more"),
        ({"round_outline": ((0.0, 0.0),) * 20}, "round_ruler", "add"),
        ({"round_plate": 0.27, "round_shadow": (0.07,)}, "round_plate", "18 cm"),
        ({"washed_along": (0.3,)}, "washed_along", "after"),
    ],
)
def test_impossible_readings_are_refused_by_their_key(
    given: dict[str, object], key: str, remedy: str
) -> None:
    with pytest.raises(InputError) as caught:
        ClothChoice(kind="light plush", swatch=Swatch(given=given))
    assert caught.value.key == f"cloth.swatch.{key}"
    assert remedy in caught.value.remedy
