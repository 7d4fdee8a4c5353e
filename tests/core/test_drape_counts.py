# SPDX-License-Identifier: GPL-3.0-or-later
"""How much work a drape is: counts that no load on the machine changes, where seconds would."""

import numpy as np
import pytest
from napfold.core.cloth import library
from napfold.core.drape import Drape, run, settle
from napfold.core.mannequin import Mannequin, build_mannequin
from napfold.core.pattern import Cut, build_pattern
from napfold.core.tape import Tape

from ..bench.counting import Counts, counted

CUT = Cut(
    cloth_width_m=1.47,
    length_m=0.92,
    body_width_m=0.66,
    sleeve_drop_m=0.21,
    corner_radius_m=0.10,
)
COARSE_M = 0.06


@pytest.fixture(scope="module")
def wearer() -> Mannequin:
    return build_mannequin(
        Tape(sex="female", given={"height": 1.68, "bust_girth": 0.965, "hip_girth": 1.04})
    )


@pytest.fixture(scope="module")
def twice(wearer: Mannequin) -> list[tuple[Drape, Counts]]:
    """The same small job, draped twice."""
    plush = library()["light plush"]
    drapes = []
    for _ in range(2):
        with counted() as systems:
            drape = run(settle(build_pattern(CUT), plush, plush, wearer, "arms out", COARSE_M))
        drapes.append((drape, Counts.of(systems)))
    return drapes


def test_the_same_job_takes_the_same_work_and_gives_the_same_bits(
    twice: list[tuple[Drape, Counts]],
) -> None:
    (first, first_counts), (second, second_counts) = twice
    assert first_counts == second_counts
    np.testing.assert_array_equal(first.outer, second.outer)
    np.testing.assert_array_equal(first.lining, second.lining)


def test_a_drape_takes_hundreds_of_iterations_and_few_factorizations(
    twice: list[tuple[Drape, Counts]],
) -> None:
    """Ranges: the last bits differ between NumPy's versions and with Numba, and so does the way.

    Half and double of what was counted: 1,500 iterations, 26 factorizations, 250 pairs.
    """
    _, counts = twice[0]
    assert counts.systems == 3  # dressing, one sheet at rest, two layers
    assert 750 <= counts.iterations <= 3000
    assert 13 <= counts.factorizations <= 52
    assert 125 <= counts.pairs <= 500
