# SPDX-License-Identifier: GPL-3.0-or-later
"""Where the cut under an arm is measured and marked."""

from dataclasses import dataclass

from ..pattern import Corner, Cut, Piece, Point, fitted
from .allowances import Allowances
from .parts import cut_line_of

__all__ = ["UnderArm", "under_arm"]

STRAIGHT_M = 1e-6


@dataclass(frozen=True, slots=True, kw_only=True)
class UnderArm:
    """Places on the cut line under an arm: distance from the centre line, depth under the shoulder.

    Attributes
    ----------
    knee
        Where side and underarm, made longer, meet.
    hem, end
        The side at the hem; the underarm at the sleeve end.
    straight_from
        Where the sleeve stops narrowing, before a turned-back cuff; the sleeve end without one.
    side, under
        Where the corner begins on side and underarm; the knee where it is square, or so small that
        the allowance takes it up.
    radius_m
        Radius of the cut round the corner; 0 where it is not round.
    """

    knee: Point
    hem: Point
    end: Point
    straight_from: Point
    side: Point
    under: Point
    radius_m: float

    @property
    def slanted(self) -> bool:
        """Whether side or underarm is not square to hem and sleeve end."""
        return (
            abs(self.knee[0] - self.hem[0]) > STRAIGHT_M
            or abs(self.knee[1] - self.end[1]) > STRAIGHT_M
        )

    @property
    def sharp(self) -> bool:
        """Whether nothing of the corner is cut off."""
        return self.side == self.under


def under_arm(cut: Cut, allowances: Allowances) -> UnderArm:
    """Find the places on the wearer's left, front and back alike."""

    def chain(one: Cut) -> tuple[Piece, ...]:
        parts = cut_line_of(one, allowances).parts
        part = next(part for part in parts if "underarm_front_left" in part.cut)
        return (*part.cut.get("split_front_left", ()), *part.cut["underarm_front_left"])

    sharp = chain(fitted(cut, corner=Corner.SQUARE))
    lines = sharp[1:] if cut.side_split_m else sharp
    side, under = lines[0], lines[1]
    turn = None
    if cut.corner is not Corner.SQUARE:
        whole = chain(cut)
        first = 1 + bool(cut.side_split_m)
        turn = next(
            (
                piece
                for piece in whole
                if piece.kind == "arc"
                or (
                    (cut.corner is Corner.DIAGONAL and piece in whole[first - 1 : first + 1])
                    and abs(_slope(piece) - _slope(side)) > STRAIGHT_M
                )
            ),
            None,
        )
    begins, ends = (side.end, side.end) if turn is None else (turn.start, turn.end)

    def place(point: Point) -> Point:
        return point[0], -point[1]

    return UnderArm(
        knee=place(side.end),
        hem=place(sharp[0].start),
        end=place(lines[-1].end),
        straight_from=place(under.end),
        side=place(begins),
        under=place(ends),
        radius_m=turn.radius_x_m if turn is not None and turn.kind == "arc" else 0.0,
    )


def _slope(piece: Piece) -> float:
    return piece.directions[0][0]
