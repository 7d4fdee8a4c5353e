# SPDX-License-Identifier: GPL-3.0-or-later
"""The trunk of an own body: its levels, its girths, and whether the arms are clear of it.

What shape and survey say of a level is weighed as two observations with errors. The survey's is
the height expected of a body with this stature and these girths. The shape's is the place where
the trunk is widest or narrowest round, at the bust deepest from front to back; the flatter it is
there, the less it tells.
"""

from collections.abc import Callable, Mapping
from dataclasses import dataclass

import numpy as np

from ..arrays import FloatArray
from ..errors import InputError
from ..tape import Measures, Tape, complete
from .frame import make_frame
from .mannequin import HAND_BREADTH_M
from .outlines import Outline, Slicer, apart_m

__all__ = ["SideCuts", "Told", "Trunk", "likeliest"]

LEVELS = {"bust": 1.0, "waist": -1.0, "hip": 1.0}  # widest or narrowest round
ROUNDS = 3  # girths tell of heights, and heights of girths
REACH_SD = 3.0
PROFILE_STEP_M = 0.004
# differences of a large girth and of a depth that a scan can tell (ISO 20685-1)
TELLING_M, TELLING_DEPTH_M = 0.009, 0.008
FOLD_M = 0.08  # under the bust
NEAR_M = 0.025  # where a girth's extreme is a parabola
LEAST_GAP_M = 0.005  # between arm and trunk
# a slice of the trunk alone: area over that of its hull, breadth over depth
LEAST_FILLED = 0.90
MOST_BROAD = 1.9
ARM_SLICES = 13
HEAD_SHARES = (0.88, 0.91, 0.94, 0.97)  # of the height: from the chin up
LEAST_ARM_M2 = 0.0015  # a slim wrist across
SEARCH_SHARE = 0.06  # of the height, up and down from where an armpit or a crotch is expected
HALVINGS = 9
AXILLA_STEPS = 81
ARMS_IN = 1.15  # breadth with arms over breadth of the trunk alone
LOWEST_HAND = 0.25  # of the height
SIDE_STEPS = 40
LEG_LIKENESS = 0.4  # the smaller leg's area over the larger one's
UNDER_BUST_M = 0.072  # a little below the fold under the breasts
MOST_UNUSUAL_SD = 2.0  # thighs that touch hide the crotch


@dataclass(frozen=True, slots=True)
class SideCuts:
    """Where arms begin: they lie beyond the sides of trunk and legs and reach above ``height``.

    ``heights`` (k,) rise from the lowest hand to a hand's breadth under the armpit; ``sides``
    (k, 2) are the x there of the left and the right side, which go straight up from the last.
    ``back_y`` is where the back is at the last.
    """

    heights: FloatArray
    sides: FloatArray
    height: float
    back_y: float

    def beyond(self, points: FloatArray, sign: float) -> FloatArray:
        """How far points (n, 3) lie out from the left side (sign 1) or the right one (-1), m."""
        side = np.interp(points[:, 2], self.heights, self.sides[:, 0 if sign > 0.0 else 1])
        result: FloatArray = sign * (points[:, 0] - side) - 0.5 * LEAST_GAP_M
        return result


@dataclass(frozen=True, slots=True)
class Told:
    """What the shape says together with the survey, metres.

    ``sex`` is the one said, or else the likelier one. ``levels`` are heights: ``bust``, ``waist``,
    ``hip`` and, where they show, ``axilla`` and ``crotch``. ``measures`` is the completed tape, the mesh's girths given; ``warnings`` are what
    completing it warned about.
    """

    sex: str
    levels: Mapping[str, float]
    measures: Measures
    warnings: tuple[str, ...]


class Trunk:
    """The trunk's girth at every height, and what of arms and legs shows beside it.

    ``cuts`` is None for a body without arms; ``crotch`` is None where it does not show.
    """

    def __init__(self, slicer: Slicer, height_m: float) -> None:
        self.height_m = height_m
        measures, _ = complete(Tape(given={"height": height_m}))
        expected = {level: measures.value(f"{level}_height") for level in LEVELS}
        reach = SEARCH_SHARE * height_m
        armpit = measures.value("axilla_height")
        _require_arms_down(slicer, height_m)
        self._joint = _arms_join(slicer, expected["waist"], armpit + reach)
        _require_arms_apart(slicer, expected["hip"], expected["bust"], self._joint, armpit - reach)
        self.crotch = _crotch(slicer, measures.value("inside_leg_height"), reach)
        self.cuts = None if self._joint is None else _side_cuts(slicer, self._joint, height_m)
        self._low = expected["hip"] - reach if self.crotch is None else self.crotch
        self._high = expected["bust"] + reach if self._joint is None else self._joint
        self._heights = np.arange(self._low + PROFILE_STEP_M, self._high, PROFILE_STEP_M)
        slices = [slicer.trunk(at) for at in self._heights.tolist()]
        self._girths = np.array([outline.girth_m for outline in slices])
        self._depths = np.array([outline.size_m[1] for outline in slices])

    def told(self, sex: str, known: Mapping[str, float]) -> Told:
        """The levels, from the shape and the survey of bodies with the ``known`` measures.

        Where the sex is not said it is the likelier one of a body with these girths.
        """
        if sex == "unstated":
            sex = self._likelier_sex(known)
        given = {"height": self.height_m} | dict(known)
        measures, warnings = complete(Tape(sex=sex, given=given))
        frame = make_frame(measures)
        levels = {level: frame.levels[level] for level in LEVELS}
        for _ in range(ROUNDS):
            levels = {
                level: self._level(measures, level, frame.levels[level], levels["bust"])
                for level in LEVELS
            }
            given |= {f"{level}_girth": self._girth(height) for level, height in levels.items()}
            measures, warnings = complete(Tape(sex=sex, given=given))
            frame = make_frame(measures)
        if self.crotch is not None:
            levels["crotch"] = self.crotch
            usual = measures["inside_leg_height"]
            if abs(self.crotch - usual.value_m) <= MOST_UNUSUAL_SD * usual.sd_m:
                given["inside_leg_height"] = self.crotch
                measures, warnings = complete(Tape(sex=sex, given=given))
        if self._joint is not None:
            # skin between arm and trunk hangs below the armpit, never above it
            levels["axilla"] = max(self._joint, measures.value("axilla_height"))
        return Told(sex, levels, measures, warnings)

    def _girth(self, height: float) -> float:
        return float(np.interp(height, self._heights, self._girths))

    def _likelier_sex(self, known: Mapping[str, float]) -> str:
        """Told by the girths where they are largest and least, and by what breasts add to them."""
        given = {"height": self.height_m} | dict(known)
        measures, _ = complete(Tape(given=given))
        bust = self._level(measures, "bust", measures.value("bust_height"), np.inf, by_survey=False)
        for level in ("waist", "hip"):
            expected = measures.value(f"{level}_height")
            height = self._level(measures, level, expected, bust, by_survey=False)
            given[f"{level}_girth"] = self._girth(height)
        given["bust_girth"] = self._girth(bust)
        given["underbust_girth"] = self._girth(bust - UNDER_BUST_M)
        return "female" if complete(Tape(given=given))[0].female_share > 0.5 else "male"

    def _level(
        self,
        measures: Measures,
        level: str,
        expected: float,
        bust: float,
        by_survey: bool = True,
    ) -> float:
        sd = measures[f"{level}_height"].sd_m
        near = np.abs(self._heights - expected) <= REACH_SD * sd
        if level == "waist":
            # the fold under the breasts is narrow too, and no waist
            near &= self._heights <= bust - FOLD_M
        found = expected
        if near.any():
            # arms begin beside the bust and add to a girth there, not to a depth
            sizes, telling_m = (
                (self._depths, TELLING_DEPTH_M) if level == "bust" else (self._girths, TELLING_M)
            )
            found = likeliest(
                self._heights[near],
                sizes[near],
                LEVELS[level],
                expected,
                sd if by_survey else np.inf,
                telling_m,
            )
        return min(max(found, self._low), self._high)


def likeliest(
    places: FloatArray,
    sizes: FloatArray,
    sign: float,
    expected: float,
    sd: float,
    telling_m: float = TELLING_M,
) -> float:
    """The place along a body that shape and survey together point to, m.

    Parameters
    ----------
    places, sizes
        (k,) where girths or depths were taken, in order, and these, m.
    sign
        1 for the largest place, -1 for the least.
    expected, sd
        The survey's estimate and its standard deviation, m.
    telling_m
        What difference in size counts as told.

    The size near its extreme is a parabola; it is told within ``telling_m``, which places the
    extreme with a standard deviation of the root of that over the parabola's coefficient. Both
    estimates are weighed by their inverse variances. Where sizes only rise or fall the shape
    does not tell.
    """
    best = int(np.argmax(sign * sizes))
    if best in (0, len(sizes) - 1):
        return expected
    away = places - places[best]
    near = np.abs(away) <= NEAR_M
    bend = -sign * float(np.polyfit(away[near], sizes[near], 2)[0])
    if bend <= 0.0:
        return expected
    by_shape, by_survey = bend / telling_m, 1.0 / sd**2
    return float((by_shape * places[best] + by_survey * expected) / (by_shape + by_survey))


def _side_cuts(slicer: Slicer, joint: float, height_m: float) -> SideCuts:
    heights = np.linspace(LOWEST_HAND * height_m, joint - HAND_BREADTH_M, SIDE_STEPS)
    sides = []
    for height in heights.tolist():
        trunk, *others = slicer.outlines(height)
        x = np.concatenate([part.points[:, 0] for part in (trunk, *_legs(trunk, others))])
        sides.append([x.max(), x.min()])
    back = slicer.trunk(float(heights[-1])).points[:, 1].max()
    return SideCuts(heights, np.array(sides), joint, float(back))


def _legs(trunk: Outline, others: list[Outline]) -> list[Outline]:
    """The other leg, where the largest outline is one."""
    return [other for other in others[:1] if other.area_m2 > LEG_LIKENESS * trunk.area_m2]


def _require_arms_down(slicer: Slicer, height_m: float) -> None:
    """Raise if more than a head and its hair is seen at the height of a head."""
    for share in HEAD_SHARES:
        _, *others = slicer.outlines(share * height_m)
        if any(other.area_m2 > LEAST_ARM_M2 for other in others):
            raise InputError(
                "body.arms",
                f"beside or over the head, at a height of {share * height_m:.2f} m",
                "arms that hang or are held out, below the chin",
                "bring a body with its arms lower",
            )


def _require_arms_apart(
    slicer: Slicer, hip: float, bust: float, joint: float | None, lowest_axilla: float
) -> None:
    """Raise unless every slice from the hip up shows the trunk by itself.

    The highest is that of the bust or, as arms come near in the armpit, a hand's breadth under it.
    Arms that join below ``lowest_axilla`` join in no armpit.
    """
    joined = [] if joint is None or joint > lowest_axilla else [joint]
    top = bust if joint is None else min(bust, joint - HAND_BREADTH_M)
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


def _crotch(slicer: Slicer, expected: float, reach: float) -> float | None:
    """Where two legs become one trunk; None where the thighs are not told apart."""

    def legs(height: float) -> bool:
        first, *others = slicer.outlines(height)
        return bool(_legs(first, others))

    return _change(legs, expected - reach, expected + reach)


def _arms_join(slicer: Slicer, low: float, high: float) -> float | None:
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
