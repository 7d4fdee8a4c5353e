# SPDX-License-Identifier: GPL-3.0-or-later
"""What a workroom would check before it cuts: each with its number, its reason and its remedy.

The checks use flat measures and the trade's allowances for ease; they are estimates.
"""

import math
from collections.abc import Iterator
from dataclasses import dataclass
from enum import StrEnum

from .buying import NICE_M, SITTING_EASE_M, flat_fit
from .cloth import Cloth
from .cut_line import Allowances
from .making import turning
from .pattern import Cut, build_pattern
from .tape import Measures
from .telling import Telling

__all__ = ["Check", "State", "checks"]

# Ease at the largest girth, as for a coat over clothes: fitted from here, close-fitting from there
BODY_PASS_M, BODY_TIGHT_M = 0.133, 0.051
# Extra girth round the upper arm: a shirt sleeve's
SLEEVE_PASS_M = 0.060
KIMONO_BELOW_M = 0.051
"""A one-piece sleeve is cut 2 in deeper than half the armhole (public-domain drafting manuals)."""
UNDER_THE_ARMPIT_M = 0.040
HAND_EASE_M = 0.020
TRIP_M, LOW_M = 0.03, 0.10


class State(StrEnum):
    """How a check came out."""

    PASS = "pass"
    TIGHT = "tight"
    TOO_SMALL = "too small"


@dataclass(frozen=True, slots=True, kw_only=True)
class Check:
    """One check: what is looked at, how it came out, the numbers, and what would mend it.

    ``key`` is the number of the job file that it is told beside.
    """

    name: str
    key: str
    state: State
    numbers: str
    remedy: str

    @property
    def told_remedy(self) -> str:
        """What to do; nothing where the check passes."""
        return "" if self.state is State.PASS else self.remedy


def checks(
    measures: Measures,
    cut: Cut,
    allowances: Allowances,
    outer: Cloth,
    lining: Cloth,
    tell: Telling,
) -> tuple[Check, ...]:
    """All checks of a cut on a wearer."""
    fit = flat_fit(measures, cut, allowances, lining.thickness_m)
    bulk_m = math.pi * lining.thickness_m
    around_m = 2 * cut.body_width_m - bulk_m

    def length(value_m: float) -> str:
        return tell.length(value_m)

    def found() -> Iterator[Check]:
        yield Check(
            name="body",
            key="cut.body_width",
            state=_state(fit.body_ease_m, BODY_PASS_M, BODY_TIGHT_M),
            numbers=f"{length(around_m)} round inside, {length(fit.body_ease_m)} more than the "
            f"largest girth: {fit.body_words}",
            remedy=_wider("body_width", cut.body_width_m, BODY_PASS_M - fit.body_ease_m, tell),
        )
        if fit.hem.height_m < measures.value("hip_height"):
            sitting_m = around_m - measures.value("hip_girth")
            yield Check(
                name="hip, sitting",
                key="cut.body_width",
                state=_state(sitting_m, SITTING_EASE_M, 0.0),
                numbers=f"{length(sitting_m)} more than the hip girth; sitting takes up to "
                f"{length(SITTING_EASE_M)} and more",
                remedy=_wider("body_width", cut.body_width_m, SITTING_EASE_M - sitting_m, tell),
            )
        yield Check(
            name="upper arm",
            key="cut.sleeve_drop",
            state=_state(fit.sleeve_extra_m, SLEEVE_PASS_M, 0.0),
            numbers=f"{length(2 * cut.sleeve_drop_m - bulk_m)} round inside, "
            f"{length(fit.sleeve_extra_m)} more than the arm: {fit.sleeve_words}; the lining's "
            f"pile takes {length(bulk_m)}",
            remedy=_wider(
                "sleeve_drop", cut.sleeve_drop_m, SLEEVE_PASS_M - fit.sleeve_extra_m, tell
            ),
        )
        yield from _reach(measures, cut, tell)
        hand_m = measures.value("hand_girth") + HAND_EASE_M
        opening_m = 2 * cut.sleeve_drop_m - bulk_m
        yield Check(
            name="hand through the sleeve end",
            key="cut.sleeve_drop",
            state=_state(opening_m - hand_m, 0.0, -HAND_EASE_M),
            numbers=f"{length(opening_m)} round inside for a hand of "
            f"{length(measures.value('hand_girth'))}",
            remedy=_wider("sleeve_drop", cut.sleeve_drop_m, hand_m - opening_m, tell),
        )
        yield _turning(cut, outer, lining, tell)
        yield _neck(measures, cut, tell)
        yield Check(
            name="hem over the floor",
            key="cut.length",
            state=_state(fit.hem.height_m, LOW_M, TRIP_M),
            numbers=f"{length(max(fit.hem.height_m, 0.0))} over the floor, {fit.hem.words(length)}; "
            "the open front leaves the stride free",
            remedy=f"shorten cut.length by {length(max(2 * (LOW_M - fit.hem.height_m), 0.0))}",
        )

    return tuple(found())


def _state(value_m: float, passes_m: float, tight_m: float) -> State:
    if value_m >= passes_m:
        return State.PASS
    return State.TIGHT if value_m >= tight_m else State.TOO_SMALL


def _wider(key: str, value_m: float, lacking_girth_m: float, tell: Telling) -> str:
    """A flat measure is half of the girth that lacks."""
    return f"make cut.{key} {_rounded_up(value_m + max(lacking_girth_m, 0.0) / 2, tell)}"


def _rounded_up(value_m: float, tell: Telling) -> str:
    """A length that is no less than this, in round numbers of the reader's units."""
    step_m = NICE_M[tell.units]
    return tell.chosen(step_m * math.ceil(value_m / step_m - 1e-9))


def _reach(measures: Measures, cut: Cut, tell: Telling) -> Iterator[Check]:
    """A sleeve that joins the body too high drags the side up when the arm is raised."""
    kimono_m = measures.value("armscye_girth") / 2 + KIMONO_BELOW_M
    armpit_m = measures.value("shoulder_point_height") - measures.value("axilla_height")
    least_m = armpit_m + UNDER_THE_ARMPIT_M
    yield Check(
        name="depth under the arm, reaching",
        key="cut.sleeve_drop",
        state=_state(cut.sleeve_drop_m, kimono_m, least_m),
        numbers=f"{tell.length(cut.sleeve_drop_m)} deep; a one-piece sleeve asks for "
        f"{tell.length(kimono_m)}, and for {tell.length(least_m)} at the least",
        remedy=f"make cut.sleeve_drop {_rounded_up(kimono_m, tell)}, or take the hem's rise when reaching",
    )


def _turning(cut: Cut, outer: Cloth, lining: Cloth, tell: Telling) -> Check:
    """The sewn wrap must go through one sleeve end."""
    through = turning(cut, outer, lining)
    return Check(
        name="turning through a sleeve",
        key="cut.sleeve_drop",
        state=_state(through.opening_m, through.most_m, through.needed_m),
        numbers=f"the sleeve is {tell.length(through.opening_m)} round; the bunched wrap goes through "
        f"{tell.length(through.needed_m)} with patience and {tell.length(through.most_m)} easily",
        remedy=f"leave {tell.length(through.gap_m)} of the hem open for turning, and close it by hand",
    )


def _neck(measures: Measures, cut: Cut, tell: Telling) -> Check:
    round_m = build_pattern(cut).edges["neck"].length_m
    base_m = measures.value("neck_base_girth")
    return Check(
        name="neck",
        key="cut.neck_width",
        state=_state(round_m - base_m, 0.0, -0.04),
        numbers=f"{tell.length(round_m)} round for a neck base of {tell.length(base_m)}; "
        "the front opens, so the head needs no room",
        remedy="make cut.neck_width or cut.neck_front_depth larger",
    )
