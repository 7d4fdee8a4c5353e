# SPDX-License-Identifier: GPL-3.0-or-later
"""When both layers of a wrap are at rest, and how long the rounds are until then."""

from collections.abc import Sequence

from .motion import LONG_ROUND_ITERATIONS, ROUND_ITERATIONS, SHORT_ROUND_ITERATIONS, Balance

__all__ = ["is_at_rest", "is_calm", "iterations_after"]

NEAR_REST_M = 0.0025
"""Once a round moves 99 of 100 nodes by less than this, rounds are longer."""

AT_REST_M, FARTHEST_AT_REST_M = 0.0003, 0.00004
"""A wrap of which a round moves 99 of 100 nodes by less than the first of these is as good as at rest.
It is at rest after two rounds in which no node moved farther than the second: let go, none is then as
fast as 1 mm/s.
"""

CALM_M = 0.002
CALM_HEIGHT_M = 0.00025
"""In a calm round 99 of 100 nodes move by less than the first of these, and the energy changes by less
than lifting the wrap by the second costs. Going on from an earlier drape that is enough: folds that
cost nothing may go to and fro for long; lengths that are told change by up to 2 mm until they lie still.
"""


def iterations_after(balances: Sequence[Balance], *, going_on: bool) -> int:
    """Iterations of the round that follows these, at most."""
    if going_on:
        return SHORT_ROUND_ITERATIONS
    near = any(balance.most_moved_m < NEAR_REST_M for balance in balances)
    return LONG_ROUND_ITERATIONS if near else ROUND_ITERATIONS


def is_at_rest(balances: Sequence[Balance], *, going_on: bool) -> bool:
    """Whether the last rounds show a wrap at rest; going on, as good as at rest is enough."""
    if not balances or balances[-1].most_moved_m > AT_REST_M:
        return False
    return going_on or (
        len(balances) > 1
        and all(balance.farthest_moved_m < FARTHEST_AT_REST_M for balance in balances[-2:])
    )


def is_calm(balances: Sequence[Balance]) -> bool:
    """Whether the last round hardly changed the energy of a wrap."""
    if len(balances) < 2 or balances[-1].most_moved_m > CALM_M:
        return False
    before, balance = balances[-2:]
    return abs(before.energy_height_m - balance.energy_height_m) < CALM_HEIGHT_M
