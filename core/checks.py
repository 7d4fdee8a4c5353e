# SPDX-License-Identifier: GPL-3.0-or-later
"""What a workroom would check before it cuts: each with its number, its reason and its remedy.

The checks use flat measures and the trade's allowances for ease; they are estimates.
"""

import math
from collections.abc import Iterator, Mapping, Sequence
from dataclasses import replace

import numpy as np

from .buying import NICE_M, SITTING_EASE_M, flat_fit, rounded_up_m
from .check import Check, State, check_of, state_of
from .check_words import NUMBERS, REMEDIES
from .cloth import Cloth
from .cut_line import Allowances, finished_cut
from .hood_checks import hood_checks
from .lay import Extra, Kind
from .least_room import bulk_in_sleeve_m
from .making import turning
from .pattern import (
    HEAD_EASE_M,
    Cut,
    Front,
    neck_length_m,
    sized_to_neck,
)
from .phrases import phrase
from .sleeve_remedy import sleeve_remedy
from .tape import Measures
from .telling import Telling
from .units import RangeError

__all__ = ["Check", "State", "checks"]

# Ease at the largest girth, as for a coat over clothes: fitted from here, close-fitting from there
BODY_PASS_M, BODY_TIGHT_M = 0.133, 0.051
# Extra girth round the upper arm: a shirt sleeve's
SLEEVE_PASS_M = 0.060
KIMONO_BELOW_M = 0.051
"""A one-piece sleeve is cut 2 in deeper than half the armhole (public-domain drafting manuals)."""
UNDER_THE_ARMPIT_M = 0.040
HAND_EASE_M = 0.020
SLEEVE_SHORT_M = 0.08
"""Sleeves shorter by more than a hand's breadth are told where nobody asked for it."""
TRIP_M, LOW_M = 0.03, 0.10
STEP_SHARE = 0.41
"""Length of a step over body height in easy walking (a common rule of thumb; an estimate)."""
STRIDE_SHORT_M = 0.15
"""So much less lets one walk, with shorter steps."""


def checks(
    measures: Measures,
    cut: Cut,
    allowances: Allowances,
    outer: Cloth,
    lining: Cloth,
    tell: Telling,
    widest_m: float = math.inf,
    extras: Sequence[Extra] = (),
) -> tuple[Check, ...]:
    """All checks of a cut on a wearer.

    ``widest_m`` is the usable width of the narrower cloth; ``extras`` are the small pieces, sized.
    """
    hood = next((extra for extra in extras if extra.kind is Kind.HOOD), None)
    asked = _Asked(measures, cut, allowances, outer, lining, tell, widest_m, hood)
    return tuple(asked.found())


class _Asked:
    """One cut on one wearer while it is checked."""

    def __init__(
        self,
        measures: Measures,
        cut: Cut,
        allowances: Allowances,
        outer: Cloth,
        lining: Cloth,
        tell: Telling,
        widest_m: float,
        hood: Extra | None,
    ) -> None:
        self._hood = hood
        self._widest_m = widest_m
        self._measures, self._cut, self._allowances = measures, cut, allowances
        self._outer, self._lining, self._tell = outer, lining, tell
        self._fit = flat_fit(measures, cut, allowances, outer.thickness_m, lining.thickness_m)
        self._bulk_m = math.pi * lining.thickness_m
        self._gap_m = allowances.front_gap_m(cut)

    def found(self) -> Iterator[Check]:
        yield self._body()
        if self._fit.hem.height_m < self._measures.value("hip_height"):
            yield self._hip()
        yield self._arm()
        yield self._depth()
        yield self._hand()
        if self._lacking_sleeve_m > SLEEVE_SHORT_M:
            yield self._sleeve()
        if self._cut.front is Front.CLOSED:
            yield self._head()
        else:
            yield self._turning()
            yield self._neck()
        if self._hood is not None:
            yield from hood_checks(
                self._hood, self._cut, self._allowances, self._measures, self._tell
            )
        yield self._hem()
        below_crotch = self._fit.hem.height_m < self._measures.value("inside_leg_height")
        if self._cut.front is Front.CLOSED and below_crotch:
            yield self._stride()

    def _check(
        self,
        name: str,
        key: str,
        state: State,
        lengths_m: Mapping[str, float],
        remedy: str,
        numbers: str = "",
        **words: str,
    ) -> Check:
        numbers = numbers or name
        if self._gap_m and f"{name}, open" in NUMBERS:
            numbers = f"{name}, open"
            words["gap"] = self._tell.chosen(self._gap_m)
        return check_of(
            self._tell, name, f"cut.{key}", state, lengths_m, remedy, numbers=numbers, **words
        )

    def _body(self) -> Check:
        ease_m = self._fit.body_ease_m
        return self._check(
            "body",
            "body_width",
            state_of(ease_m, BODY_PASS_M, BODY_TIGHT_M),
            {
                "round": 2 * self._cut.body_width_m - self._gap_m - self._bulk_m,
                "ease": ease_m,
            },
            self._wider("body_width", BODY_PASS_M - ease_m),
            words=self._fit.body_words,
        )

    def _hip(self) -> Check:
        """Round the hip where a flared side has come to by then."""
        measures = self._measures
        depth_m = measures.value("side_neck_point_height") - measures.value("hip_height")
        around_m = 4 * self._cut.half_width_m(depth_m) - self._gap_m - self._bulk_m
        ease_m = around_m - measures.value("hip_girth")
        return self._check(
            "hip",
            "body_width",
            state_of(ease_m, SITTING_EASE_M, 0.0),
            {"ease": ease_m, "sitting": SITTING_EASE_M},
            self._wider("body_width", SITTING_EASE_M - ease_m),
        )

    def _arm(self) -> Check:
        extra_m = self._fit.sleeve_extra_m
        bulk_m = bulk_in_sleeve_m(self._outer.thickness_m, self._lining.thickness_m)
        return self._check(
            "arm",
            "sleeve_drop",
            state_of(extra_m, SLEEVE_PASS_M, 0.0),
            {
                "round": 2 * self._cut.sleeve_depth_m - bulk_m,
                "extra": extra_m,
                "bulk": bulk_m,
            },
            self._wider("sleeve_drop", SLEEVE_PASS_M - extra_m),
            words=self._fit.sleeve_words,
        )

    def _depth(self) -> Check:
        """A sleeve that joins the body too high drags the side up when the arm is raised."""
        measures, drop_m = self._measures, self._cut.sleeve_depth_m
        slope_m = self._cut.sleeve_drop_m - drop_m
        kimono_m = measures.value("armscye_girth") / 2 + KIMONO_BELOW_M
        armpit_m = measures.value("shoulder_point_height") - measures.value("axilla_height")
        least_m = armpit_m + UNDER_THE_ARMPIT_M
        return self._check(
            "depth",
            "sleeve_drop",
            state_of(drop_m, kimono_m, least_m),
            {"drop": drop_m, "kimono": kimono_m, "least": least_m},
            phrase(REMEDIES["depth"], value=self._rounded_up(kimono_m + slope_m)),
        )

    def _hand(self) -> Check:
        cut = self._cut
        hand_m = self._measures.value("hand_girth")
        sewn_m = finished_cut(cut, self._allowances).sleeve_opening_m
        opening_m = sewn_m - self._bulk_m
        lacking_m = hand_m + HAND_EASE_M - opening_m
        tapered = cut.wrist_opening_m is not None
        remedy = (
            phrase(
                REMEDIES["make"],
                key="wrist_opening",
                value=self._rounded_up(cut.sleeve_opening_m + lacking_m),
            )
            if tapered
            else self._wider("sleeve_drop", lacking_m)
        )
        return self._check(
            "hand",
            "wrist_opening" if tapered else "sleeve_drop",
            state_of(-lacking_m, 0.0, -HAND_EASE_M),
            {"sewn": sewn_m, "round": opening_m, "hand": hand_m},
            remedy,
        )

    @property
    def _lacking_sleeve_m(self) -> float:
        """How far the sleeve ends before the wrist, without what it is shortened by on purpose, metres."""
        return -self._fit.past_wrist_m - self._cut.sleeve_shortened_m

    def _sleeve(self) -> Check:
        """A sleeve end far up the forearm: the cloth is narrower than the wearer's reach."""
        shortened_m, lacking_m = self._cut.sleeve_shortened_m, self._lacking_sleeve_m
        lengths_m = {"short": lacking_m + shortened_m}
        if shortened_m:
            lengths_m["wanted"] = shortened_m
        return self._check(
            "sleeve",
            "cloth_width",
            State.TIGHT,
            lengths_m,
            sleeve_remedy(self._cut, lacking_m, self._widest_m, self._tell),
            numbers="sleeve, shortened" if shortened_m else "",
        )

    def _turning(self) -> Check:
        """The sewn wrap must go through one sleeve end."""
        through = turning(self._cut, self._outer, self._lining)
        gap_m = self._tell.halvable_m(through.gap_m)
        return self._check(
            "turning",
            "sleeve_drop",
            state_of(through.opening_m, through.most_m, through.needed_m),
            {"opening": through.opening_m, "needed": through.needed_m, "easily": through.most_m},
            phrase(
                REMEDIES["turning" if through.goes == "not" else "turning slowly"],
                gap=self._tell.chosen(gap_m),
            ),
        )

    def _neck(self) -> Check:
        round_m, base_m = neck_length_m(self._cut), self._measures.value("neck_base_girth")
        return self._check(
            "neck",
            "neck_width",
            state_of(round_m - base_m, 0.0, -0.04),
            {"round": round_m, "base": base_m},
            self._neck_remedy("neck", round_m, base_m),
        )

    def _head(self) -> Check:
        """A closed front has to let the head through; pile cloth gives a little, its seam hardly."""
        sewn_m, head_m = neck_length_m(self._cut), self._measures.value("head_girth")
        inside_m = sewn_m - self._bulk_m
        return self._check(
            "head",
            "neck_width",
            state_of(inside_m - head_m, HEAD_EASE_M, 0.0),
            {"sewn": sewn_m, "round": inside_m, "head": head_m},
            self._neck_remedy("head", sewn_m, head_m + HEAD_EASE_M + self._bulk_m),
        )

    def _neck_remedy(self, name: str, round_m: float, needed_m: float) -> str:
        """How wide the neck would have to be; without a number where no width will do."""
        if round_m >= needed_m:
            return ""
        base_m = self._measures.value("neck_base_girth")
        try:
            wide = sized_to_neck(replace(self._cut, neck_ease_m=needed_m - base_m), base_m)
        except RangeError:
            return phrase(REMEDIES[f"{name}, wide"])
        return phrase(REMEDIES[name], value=self._rounded_up(wide.neck_width_m))

    def _hem(self) -> Check:
        hem = self._fit.hem
        less_m = max(2 * (LOW_M - hem.height_m), 0.0)
        return self._check(
            "hem",
            "length",
            state_of(hem.height_m, LOW_M, TRIP_M),
            {"height": max(hem.height_m, 0.0)},
            REMEDIES["hem"].format(less=self._tell.length(less_m)),
            landing=hem.words(self._tell.length),
            stride=phrase(NUMBERS[self._cut.front]),
        )

    def _stride(self) -> Check:
        """A hem without an opening has to go round both legs in the middle of a step.

        The legs part from the crotch down, in proportion; round two legs d apart goes 2 d and the
        girth of one.
        """
        measures, cut = self._measures, self._cut
        depth_m = cut.side_end_m - max(self._allowances.hem_m, cut.side_split_m)
        height_m = max(measures.value("side_neck_point_height") - depth_m, 0.0)
        around_m = 4 * cut.half_width_m(depth_m) - self._bulk_m
        needed_m = _round_a_step_m(self._measures, height_m)
        lacking_m = max(needed_m - around_m, 0.0)
        # a split up to where the hem is wide enough
        nice_m, free_m = NICE_M[self._tell.units], height_m
        crotch_m = measures.value("inside_leg_height")
        while free_m < crotch_m and _round_a_step_m(self._measures, free_m) > around_m:
            free_m += nice_m
        return self._check(
            "stride",
            "side_flare",
            state_of(around_m - needed_m, 0.0, -STRIDE_SHORT_M),
            {
                "round": around_m,
                "height": height_m,
                "step": STEP_SHARE * measures.value("height"),
                "needed": needed_m,
            },
            phrase(
                REMEDIES["stride"],
                flare=self._rounded_up(cut.side_flare_m + lacking_m / 4),
                split=self._rounded_up(
                    max(cut.side_split_m, self._allowances.hem_m) + free_m - height_m
                ),
            ),
        )

    def _wider(self, key: str, lacking_girth_m: float) -> str:
        """A flat measure is half of the girth that lacks."""
        value_m: float = getattr(self._cut, f"{key}_m") + max(lacking_girth_m, 0.0) / 2
        return phrase(REMEDIES["make"], key=key, value=self._rounded_up(value_m))

    def _rounded_up(self, value_m: float) -> str:
        """A length that is no less than this, in round numbers of the reader's units."""
        return self._tell.chosen(rounded_up_m(value_m, self._tell.units))


def _round_a_step_m(measures: Measures, height_m: float) -> float:
    """Girth of both legs at a height in the middle of a step."""
    crotch_m = measures.value("inside_leg_height")
    apart_m = STEP_SHARE * measures.value("height") * max(1 - height_m / crotch_m, 0.0)
    levels = ("calf", "knee")
    leg_m = np.interp(
        height_m,
        [measures.value(f"{name}_height") for name in levels],
        [measures.value(f"{name}_girth") for name in levels],
    )
    return 2 * apart_m + float(leg_m)
