# SPDX-License-Identifier: GPL-3.0-or-later
"""Cloth kept beside the stitch lines, and what is left of a cut when it is sewn."""

from dataclasses import dataclass

from ..pattern import Cut, Front, fitted
from ..units import require_range

__all__ = ["EDGES", "LEAST_ALLOWANCE_M", "Allowances", "finished_cut"]

LEAST_ALLOWANCE_M, MOST_ALLOWANCE_M = 0.004, 0.050
EDGES = ("underarm", "hem", "sleeve_end", "front", "neck", "shoulder")
"""The kinds of edges that have an allowance of their own; a side split has the underarm's."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Allowances:
    """Cloth kept beyond the stitch line at each kind of edge, metres.

    Half an inch is what home-sewing instructions for plush and fur cloth ask for: it curls and its
    edges shed.

    Raises
    ------
    RangeError
        An allowance is under 4 mm or over 5 cm.
    """

    underarm_m: float = 0.0127
    hem_m: float = 0.0127
    sleeve_end_m: float = 0.0127
    front_m: float = 0.0127
    neck_m: float = 0.0127
    shoulder_m: float = 0.0127

    def __post_init__(self) -> None:
        for name in EDGES:
            require_range(
                f"sewing.{name}_allowance",
                getattr(self, f"{name}_m"),
                LEAST_ALLOWANCE_M,
                MOST_ALLOWANCE_M,
                "keep enough cloth beside the seam to hold it, and no more than can be turned",
                quantity="length",
            )

    def front_gap_m(self, cut: Cut) -> float:
        """How far apart two sewn fronts that meet edge to edge lie, metres; else 0."""
        return 2 * self.front_m if cut.front is Front.EDGE_TO_EDGE else 0.0

    def beside(self, edge: str, cut: Cut) -> tuple[float, float]:
        """How far the cut line lies outside an edge of the outline, the stitch line inside it."""
        kind = "underarm" if edge.startswith("split") else edge
        kind = next(name for name in EDGES if kind.startswith(name))
        allowance_m: float = getattr(self, f"{kind}_m")
        to_the_edge = kind in ("hem", "sleeve_end") or (
            kind == "front" and cut.front is Front.EDGE_TO_EDGE
        )
        return (0.0, allowance_m) if to_the_edge else (allowance_m, 0.0)


def finished_cut(cut: Cut, allowances: Allowances) -> Cut:
    """The cut whose pattern is what hangs when hem and sleeve ends are sewn and cuffs turned back.

    Not in it: the allowance of fronts that meet edge to edge, sewn so they stand twice that far
    apart; what a turned-back cuff weighs.
    """
    shorter_m = allowances.sleeve_end_m + cut.cuff_depth_m
    wrist_m = cut.wrist_m - shorter_m
    changes: dict[str, float] = {
        "length_m": cut.length_m - 2 * allowances.hem_m,
        "cloth_width_m": cut.cloth_width_m - 2 * shorter_m,
        "cuff_depth_m": 0.0,
        "shoulder_drop_m": cut.shoulder_fall_m(wrist_m),
        "side_split_m": max(0.0, cut.side_split_m - allowances.hem_m),
    }
    if cut.wrist_opening_m is not None:
        run_m, fall_m = cut.underarm_run
        # only an allowance wider than what is straight ends in the narrowing part
        share = min((wrist_m - cut.body_width_m / 2) / run_m, 1.0)
        depth_m = cut.sleeve_drop_m + share * fall_m
        if share == 1.0:
            depth_m = cut.shoulder_fall_m(wrist_m) + cut.sleeve_opening_m / 2
        changes["wrist_opening_m"] = 2 * (depth_m - cut.shoulder_fall_m(wrist_m))
    return fitted(cut, **changes)
