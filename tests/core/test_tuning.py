# SPDX-License-Identifier: GPL-3.0-or-later
"""The tuner against systems whose solution is known."""

import numpy as np
import pytest
from napfold.core.mannequin.tuning import Knob, Tuner


def test_coupled_parameters_are_solved_together() -> None:
    # two linear equations whose gains are guessed wrong: 2 a + b = 3, a + 3 b = 5
    tuner = Tuner(
        {"a": Knob(1.0, -9, 9, 0.0, factor=False), "b": Knob(1.0, -9, 9, 0.0, factor=False)}
    )
    rests = []
    for _ in range(9):
        a, b = tuner.scale["a"], tuner.scale["b"]
        rests.append(tuner.step({"a": 3.0 - 2.0 * a - b, "b": 5.0 - a - 3.0 * b}))
    assert tuner.scale == pytest.approx({"a": 0.8, "b": 1.4}, abs=1e-6)
    # Broyden's method ends on linear systems of n unknowns in 2 n steps (Gay 1979)
    assert rests[5] < 1e-6


def test_a_factor_is_stepped_by_its_logarithm() -> None:
    tuner = Tuner({"size": Knob(1.0, 0.1, 10.0)})
    for _ in range(8):
        tuner.step({"size": np.log(4.0 / tuner.scale["size"] ** 2)})
    assert tuner.scale["size"] == pytest.approx(2.0, abs=1e-9)


def test_a_parameter_at_its_limit_leaves_the_rest_to_the_others() -> None:
    # a would be 0.8 but may be 0.5 at most: b then meets its own equation, a + 3 b = 5
    tuner = Tuner(
        {"a": Knob(0.5, -9, 0.5, 0.0, factor=False), "b": Knob(0.3, -9, 9, 0.0, factor=False)}
    )
    for _ in range(8):
        a, b = tuner.scale["a"], tuner.scale["b"]
        rest = tuner.step({"a": 3.0 - 2.0 * a - b, "b": 5.0 - a - 3.0 * b})
    assert tuner.scale == pytest.approx({"a": 0.5, "b": 1.5}, abs=1e-6)
    assert rest < 1e-6  # what the first still misses is not counted: nothing can be done


def test_a_second_task_starts_where_the_first_ended() -> None:
    tuner = Tuner(
        {"a": Knob(0.4, -9, 9, 0.0, factor=False), "b": Knob(0.4, -9, 9, 0.0, factor=False)}
    )

    def rounds(wanted: float) -> int:
        tuner.restart()
        for count in range(20):
            a, b = tuner.scale["a"], tuner.scale["b"]
            if tuner.step({"a": wanted - 2.0 * a - b, "b": 5.0 - a - 3.0 * b}) < 1e-6:
                return count
        raise AssertionError("not solved")

    first = rounds(3.0)
    assert rounds(3.01) <= first - 2


def test_known_couplings_spare_steps() -> None:
    # with the true slopes the first step ends at the solution: 2 a + b = 3, a + 3 b = 5
    knobs = {
        "a": Knob(0.5, -9, 9, 0.0, factor=False),
        "b": Knob(1.0 / 3.0, -9, 9, 0.0, factor=False),
    }
    tuner = Tuner(knobs, {("a", "b"): 1.0, ("b", "a"): 1.0, ("b", "unknown"): 9.0})
    tuner.step({"a": 3.0, "b": 5.0})
    assert tuner.scale == pytest.approx({"a": 0.8, "b": 1.4}, abs=1e-12)
