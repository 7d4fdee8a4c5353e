# SPDX-License-Identifier: GPL-3.0-or-later
"""Why another cloth hangs otherwise: the figures behind a change, each beside what was measured."""

import math
from collections.abc import Iterator

from .cloth import Cloth
from .cloth_doubt import HEM_PER_THICKNESS
from .comparison import STAND_OFF_MATTERS_M, Outcome
from .heavy_strip import STANDARD_GRAVITY_M_S2, bending_length_m
from .least_room import bulk_in_sleeve_m
from .telling import Telling

__all__ = ["reasons"]

HEM_MATTERS_M = 0.005
HARDLY_M = 0.001
LENGTH_SHARE = 0.05
"""A bending length that differs by less is told as the same."""


def reasons(before: Outcome, after: Outcome, tell: Telling) -> Iterator[str]:
    """Sentences on two drapes of one cut in different cloths."""
    pairs = [(one.outer_cloth, one.lining_cloth) for one in (before, after)]
    inwards_m = [outer.thickness_m + 2 * lining.thickness_m for outer, lining in pairs]
    both_m = [outer.thickness_m + lining.thickness_m for outer, lining in pairs]
    thicker_m, deeper_m = both_m[1] - both_m[0], inwards_m[1] - inwards_m[0]
    rooms = [one.fit.sleeves["left"].room["upper arm"] for one in (before, after)]
    first, second = rooms
    if first is not None and second is not None and abs(deeper_m) > 1e-4:
        taken_m = [bulk_in_sleeve_m(one.thickness_m, other.thickness_m) for one, other in pairs]
        change = _change(second.extra_girth_m - first.extra_girth_m, "more room", "less room", tell)
        yield (
            f"Thickness takes room. Round the arm both layers have one girth as they are cut, "
            f"{tell.chosen(2 * after.cut.sleeve_drop_m)}; what is left inside is less by pi times "
            f"the thickness of the outer cloth and twice that of the lining, which is "
            f"{tell.length(taken_m[0])} before and {tell.length(taken_m[1])} now. Measured: "
            f"{change}."
        )
    off_m = after.fit.stand_off.outer_face_m - before.fit.stand_off.outer_face_m
    if abs(off_m) >= STAND_OFF_MATTERS_M:
        yield (
            f"Both layers are {tell.thickness(abs(thicker_m))} "
            f"{'thicker' if thicker_m > 0 else 'thinner'} together. The outside stands "
            f"{_change(off_m, 'further off', 'closer', tell, small=True)}."
        )
    hem_m = after.fit.hem.centre_back.height_m - before.fit.hem.centre_back.height_m
    if abs(hem_m) >= HEM_MATTERS_M:
        longer_m = HEM_PER_THICKNESS * deeper_m
        sag_m = _sag_m(after, pairs[1]) - _sag_m(before, pairs[0])
        yield (
            f"Thicker cloth takes a longer way over the shoulders, which "
            f"{_moves('the hem', longer_m, tell)}; weight, by stretching it, "
            f"{_moves('it', -sag_m, tell)}. Measured: "
            f"{_change(hem_m, 'higher', 'lower', tell)}; the rest is how the folds fall."
        )
    yield _folds(before, after, tell)


def _folds(before: Outcome, after: Outcome, tell: Telling) -> str:
    """How far a strip juts out says how wide folds are: stiffness against weight."""
    juts_m = [2 * _bending_length_m(one.outer_cloth, one.lining_cloth) for one in (before, after)]
    if abs(juts_m[1] - juts_m[0]) < LENGTH_SHARE * juts_m[0]:
        way = "Stiffness and weight change alike, which leaves folds as they are"
    elif juts_m[1] > juts_m[0]:
        way = "Stiffness grows more than weight, which makes for wider and rounder folds"
    else:
        way = "Weight grows more than stiffness, which makes for closer and sharper folds"
    counts = [one.fit.folds.count for one in (before, after)]
    return (
        f"{way}: across, a strip of both layers overhangs {tell.small(juts_m[0])} before, "
        f"{tell.small(juts_m[1])} now. {_measured_folds(before, after, tell)} Folds counted: "
        f"{counts[0]} and {counts[1]}, which may be one or two more or less when it is put on again."
    )


def _measured_folds(before: Outcome, after: Outcome, tell: Telling) -> str:
    """What the drapes themselves show: a change only where the radii differ as they are told."""
    radii_m = [one.fit.folds.sharp_radius_m for one in (before, after)]
    radii = [tell.length(radius_m) for radius_m in radii_m]
    if radii[0] == radii[1]:
        return (
            f"Measured along the hem the folds show no change: the sharpest bend round a radius of "
            f"{radii[0]} before and now."
        )
    way = "rounder" if radii_m[1] > radii_m[0] else "sharper"
    return (
        f"Measured along the hem the sharpest folds are {way}: they bend round a radius of "
        f"{radii[0]} before, {radii[1]} now."
    )


def _bending_length_m(outer: Cloth, lining: Cloth) -> float:
    """Of both layers sliding on each other, across the cloth: folds that hang bend it so."""
    return bending_length_m(
        outer.mass_kg_m2 + lining.mass_kg_m2, outer.bending_across_n_m + lining.bending_across_n_m
    )


def _sag_m(outcome: Outcome, pair: tuple[Cloth, Cloth]) -> float:
    """How far a half hangs longer by its own weight: W g L² / 2 K, both layers together."""
    load_n_m2 = STANDARD_GRAVITY_M_S2 * math.fsum(cloth.mass_kg_m2 for cloth in pair)
    stiffness = math.fsum(cloth.stretch_along_n_per_m for cloth in pair)
    return load_n_m2 * (outcome.cut.length_m / 2) ** 2 / (2 * stiffness)


def _change(value_m: float, up: str, down: str, tell: Telling, *, small: bool = False) -> str:
    write = tell.small if small else tell.length
    told = write(abs(value_m))
    if told == write(0.0):
        return "hardly any change"
    return f"{told} {up if value_m > 0 else down}"


def _moves(what: str, rise_m: float, tell: Telling) -> str:
    if abs(rise_m) < HARDLY_M:
        return f"hardly moves {what}"
    return f"should {'lift' if rise_m > 0 else 'lower'} {what} by {tell.small(abs(rise_m))}"
