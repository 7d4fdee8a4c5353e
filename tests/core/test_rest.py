# SPDX-License-Identifier: GPL-3.0-or-later
"""When a drape ends, and that nothing moves then."""

import pytest
from napfold.core.drape import run, settle
from napfold.core.drape.motion import (
    LONG_ROUND_ITERATIONS,
    ROUND_ITERATIONS,
    SHORT_ROUND_ITERATIONS,
    Balance,
)
from napfold.core.drape.rest import is_at_rest, is_calm, iterations_after
from napfold.core.mannequin import build_mannequin
from napfold.core.pattern import build_pattern

from ..bench.counting import counted
from ..bench.jobs import REFERENCE, cloths, cut_for, tape_of
from ..bench.sound import further


def moved(most_m: float, farthest_m: float, height_m: float = 1.0) -> Balance:
    return Balance(
        mean_force=0.01,
        largest_force=0.1,
        energy_j=height_m,
        energy_height_m=height_m,
        most_moved_m=most_m,
        farthest_moved_m=farthest_m,
    )


def test_rest_takes_two_rounds_in_which_nothing_moves() -> None:
    still, stray = moved(0.00002, 0.00003), moved(0.00002, 0.00005)
    assert not is_at_rest([], going_on=False)
    assert not is_at_rest([still], going_on=False)
    assert not is_at_rest([still, stray], going_on=False)
    assert not is_at_rest([stray, still], going_on=False)
    assert is_at_rest([stray, still, still], going_on=False)
    # one hundredth of the nodes may still move where an earlier drape is gone on from
    assert is_at_rest([stray], going_on=True)
    assert not is_at_rest([moved(0.0004, 0.001)], going_on=True)


def test_a_calm_round_changes_no_energy() -> None:
    assert not is_calm([moved(0.001, 0.01)])
    assert is_calm([moved(0.01, 0.01, 1.0), moved(0.001, 0.01, 0.9998)])
    assert not is_calm([moved(0.01, 0.01, 1.0), moved(0.001, 0.01, 0.999)])
    assert not is_calm([moved(0.01, 0.01), moved(0.003, 0.01)])


def test_rounds_are_longer_once_one_was_near_rest() -> None:
    far, near = moved(0.01, 0.02), moved(0.002, 0.02)
    assert iterations_after([], going_on=False) == ROUND_ITERATIONS
    assert iterations_after([far], going_on=False) == ROUND_ITERATIONS
    assert iterations_after([near, far], going_on=False) == LONG_ROUND_ITERATIONS
    assert iterations_after([near], going_on=True) == SHORT_ROUND_ITERATIONS


def test_a_wrap_at_rest_stays_where_it_is() -> None:
    """Let go with its inertia no node falls; settled further no length changes by half a millimetre."""
    mannequin = build_mannequin(tape_of(REFERENCE))
    with counted() as motions:
        drape = run(
            settle(
                build_pattern(cut_for(REFERENCE)),
                *cloths(REFERENCE),
                mannequin,
                REFERENCE.pose,
                0.03,
            )
        )
    found = further(drape, mannequin, motions)
    # free fall for one time step of 1/30 s would make it 330 mm/s
    assert found["fastest_mm_per_s"] == pytest.approx(0.0, abs=1.0)
    assert found["speed_99_mm_per_s"] == pytest.approx(0.0, abs=0.2)
    assert found["settling_further_mm"] == pytest.approx(0.0, abs=0.5)
