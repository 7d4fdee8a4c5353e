# SPDX-License-Identifier: GPL-3.0-or-later
"""Variants of a job side by side: what was chosen, what came out, what a choice changed."""

from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass, field, fields
from pathlib import Path

from .advice import Advice
from .cloth import Cloth
from .cut_line import Allowances
from .fit import Fit
from .fit_checks import FitCheck
from .fit_range import FitRange
from .lay import LayChoice
from .pattern import Corner, Cut, Front, Neck
from .reach import Reach
from .tape import Measures
from .telling import Telling

__all__ = [
    "Change",
    "Outcome",
    "changes",
    "choices",
    "differing",
    "effects",
    "wearer",
]

# Differences below these are not worth a word: a finger's breadth, by which lengths differ when the
# same wrap falls into other folds, and what the mesh alone can move
LENGTH_MATTERS_M = 0.015
STAND_OFF_MATTERS_M = 0.002
MASS_MATTERS_KG = 0.02
ROUNDNESS_MATTERS = 1.4


NONE = "none"
"""An option of the cut that was not taken."""

STRAIGHT = "as wide as the sleeve"


@dataclass(frozen=True, slots=True, kw_only=True)
class Outcome:
    """One variant of a job and what came of it.

    Attributes
    ----------
    name, slug
        The maker's name for it, and the same as a folder name.
    measures, warnings
        The wearer's completed tape, and what it warned about.
    cut, allowances, lay, outer_cloth, lining_cloth, pose
        What was chosen.
    fit, range
        What was measured, and how far hem and sleeve can be off because of the cloths.
    converged, reasons, statistics
        The drape's own word on whether it came to rest.
    pictures
        View (front, side, back) to picture file; views without a picture are left out.
    variant
        The variant's name without its pose; empty where there is one pose.
    levels
        Heights of the posed body's levels over the floor, metres, by name.
    checks, advice
        What was checked on the drape, and changes that were tried.
    reach
        How far the arms can be raised, if it was tried.
    """

    name: str
    slug: str
    measures: Measures
    warnings: tuple[str, ...]
    cut: Cut
    allowances: Allowances
    lay: LayChoice
    outer_cloth: Cloth
    lining_cloth: Cloth
    pose: str
    fit: Fit
    range: FitRange
    converged: bool
    reasons: tuple[str, ...]
    statistics: Mapping[str, float]
    pictures: Mapping[str, Path]
    variant: str = ""
    levels: Mapping[str, float] = field(default_factory=dict)
    checks: tuple[FitCheck, ...] = ()
    advice: tuple[Advice, ...] = ()
    reach: Reach | None = None

    @property
    def heading(self) -> str:
        """The name as it begins a line."""
        return self.name[:1].upper() + self.name[1:]


@dataclass(frozen=True, slots=True, kw_only=True)
class Change:
    """Two variants that differ in one choice only (told as "length 1 → 2"), and its effects."""

    before: Outcome
    after: Outcome
    choice: str
    effects: tuple[str, ...]


def choices(outcome: Outcome, tell: Telling) -> dict[str, str]:
    """What was chosen, by name, in words; outer cloth and lining count as one choice."""
    cut = outcome.cut
    chosen = {}
    for entry in fields(cut):
        value = getattr(cut, entry.name)
        name = entry.name.removesuffix("_m").replace("_", " ")
        is_length = entry.name.endswith("_m") and value is not None
        if name == "wrist opening" and value is None:
            chosen[name] = STRAIGHT
        elif (is_length and not value and entry.default in (0.0, None)) or name in _idle(cut):
            chosen[name] = NONE
        else:
            chosen[name] = tell.chosen(value) if is_length else str(value or NONE)
    chosen["cloths"] = " over ".join(
        f"{cloth.name} of {tell.quantity('mass per area', cloth.mass_kg_m2)}"
        for cloth in (outcome.outer_cloth, outcome.lining_cloth)
    )
    chosen["pose"] = outcome.pose
    return chosen


def _idle(cut: Cut) -> Iterator[str]:
    """Numbers of the cut that do nothing beside its other choices."""
    if cut.front is not Front.OVERLAPPING:
        yield "front overlap"
    if cut.corner is Corner.SQUARE:
        yield "corner radius"
    if cut.neck is Neck.HIGH_BACK:
        yield "neck back depth"


def wearer(outcome: Outcome, tell: Telling) -> dict[str, str]:
    """What was measured on the wearer, by name, in words."""
    return {
        name.replace("_", " "): tell.measure(name, measure.value_m)
        for name, measure in outcome.measures.items()
        if measure.given
    }


def differing(told: Sequence[Mapping[str, str]]) -> list[str]:
    """Names whose words are not the same in all, in the order of their first appearance."""
    names = dict.fromkeys(name for one in told for name in one)
    return [name for name in names if len({one.get(name) for one in told}) > 1]


def changes(outcomes: Sequence[Outcome], tell: Telling) -> list[Change]:
    """For each variant and choice, the earliest variant that differs from it in that choice only.

    With one variant for each of two lengths and two cloths that gives four: each choice, twice.
    """
    chosen = [choices(outcome, tell) | wearer(outcome, tell) for outcome in outcomes]
    found = []
    for later, after in enumerate(chosen):
        seen: set[str] = set()
        for earlier, before in enumerate(chosen[:later]):
            names = differing([before, after])
            # what a pose changes stands in the table of poses
            if len(names) == 1 and names[0] not in {*seen, "pose"}:
                seen.add(names[0])
                pair = outcomes[earlier], outcomes[later]
                found.append(
                    Change(
                        before=pair[0],
                        after=pair[1],
                        choice=f"{names[0]} {_told(before, names[0])} → {_told(after, names[0])}",
                        effects=tuple(effects(pair[0].fit, pair[1].fit, tell)),
                    )
                )
    return found


def _told(chosen: Mapping[str, str], name: str) -> str:
    return chosen.get(name, "estimated")


def effects(before: Fit, after: Fit, tell: Telling) -> Iterator[str]:
    """What is worth a word of how one fit differs from another."""
    hem_m = after.hem.centre_back.height_m - before.hem.centre_back.height_m
    if abs(hem_m) >= LENGTH_MATTERS_M:
        way = "higher" if hem_m > 0 else "lower"
        yield f"the hem at the centre back lands {tell.length(abs(hem_m))} {way}"
    room_before = before.sleeves["left"].room["upper arm"]
    room_after = after.sleeves["left"].room["upper arm"]
    if room_before and room_after:
        room_m = room_after.extra_girth_m - room_before.extra_girth_m
        if abs(room_m) >= LENGTH_MATTERS_M:
            way = "more" if room_m > 0 else "less"
            yield f"the sleeve has {tell.length(abs(room_m))} {way} room round the upper arm"
    end_m = after.sleeves["left"].past_wrist_m - before.sleeves["left"].past_wrist_m
    if abs(end_m) >= LENGTH_MATTERS_M:
        way = "further down" if end_m > 0 else "higher up"
        yield f"the sleeve ends {tell.length(abs(end_m))} {way} the arm"
    off_m = after.stand_off.outer_face_m - before.stand_off.outer_face_m
    if abs(off_m) >= STAND_OFF_MATTERS_M:
        way = "further from" if off_m > 0 else "closer to"
        yield f"its outside stands {tell.small(abs(off_m))} {way} the body"
    rounder = after.folds.sharp_radius_m / before.folds.sharp_radius_m
    if not 1 / ROUNDNESS_MATTERS < rounder < ROUNDNESS_MATTERS:
        yield f"its folds are {'rounder' if rounder > 1 else 'sharper'}"
    kg = after.mass.garment_kg - before.mass.garment_kg
    if abs(kg) >= MASS_MATTERS_KG:
        yield f"it is {tell.mass(abs(kg))} {'heavier' if kg > 0 else 'lighter'}"
