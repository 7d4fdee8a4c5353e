# SPDX-License-Identifier: GPL-3.0-or-later
"""The descent that guides the drape, against the textbook's formula with dense matrices."""

import numpy as np
from napfold.core.arrays import FloatArray
from napfold.core.drape.quasi_newton import HISTORY, Descent

NODES, STEPS = 8, HISTORY + 4


class DenseFactor:
    """A matrix whose inverse is known."""

    def __init__(self, inverse: FloatArray) -> None:
        self.inverse = inverse

    def solve(self, right: FloatArray) -> FloatArray:
        solution: FloatArray = (self.inverse @ right.ravel()).reshape(right.shape)
        return solution


def test_each_step_goes_where_the_pairs_of_the_last_moves_send_it() -> None:
    """Nocedal and Wright, Numerical Optimization, equation 7.16, in single precision."""
    draw = np.random.default_rng(1)
    size = 3 * NODES
    turned, _ = np.linalg.qr(draw.normal(size=(size, size)))
    matrix = turned @ np.diag(np.geomspace(1.0, 1e3, size)) @ turned.T
    inverse = np.diag(1 / draw.uniform(10.0, 100.0, size))
    asked = []

    def objective(positions: FloatArray) -> tuple[float, FloatArray]:
        asked.append(positions)
        slope = (matrix @ positions.ravel()).reshape(positions.shape)
        return 0.5 * float(np.vdot(positions, slope)), slope

    descent = Descent(objective, draw.normal(size=(NODES, 3)), DenseFactor(inverse), 1e3)
    pairs: list[tuple[FloatArray, FloatArray]] = []
    for _ in range(STEPS):
        before, gradient = descent.positions, descent.gradient
        expected = inverse
        for move, change in pairs[-HISTORY:]:
            kept = np.eye(size) - np.outer(change, move) / (move @ change)
            expected = kept.T @ expected @ kept + np.outer(move, move) / (move @ change)
        first = len(asked)
        descent.step()
        tried = (asked[first] - before).ravel()
        wanted = -expected @ gradient.ravel()
        np.testing.assert_allclose(tried, wanted, atol=1e-4 * np.abs(wanted).max())
        pairs.append(((descent.positions - before).ravel(), (descent.gradient - gradient).ravel()))
    assert not descent.stuck
    assert descent.energy < 1e-2 * objective(asked[0])[0]
