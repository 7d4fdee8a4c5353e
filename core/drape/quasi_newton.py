# SPDX-License-Identifier: GPL-3.0-or-later
"""Limited-memory BFGS whose first inverse Hessian is a prefactored matrix.

The recursion of Nocedal and Wright, Numerical Optimization, algorithm 7.4, with a factored matrix in
the middle of it (Liu, Bouaziz and Kavan 2017, ACM Transactions on Graphics 36(3):23). What it
subtracts and adds pair by pair is found for all pairs at once from the products of each with each
(Byrd, Nocedal and Schnabel 1994, Mathematical Programming 63:129): four products with matrices.
"""

from collections.abc import Callable
from typing import Protocol

import numpy as np
from numpy.typing import NDArray

from ..arrays import FloatArray
from .sums import lengths

__all__ = ["Descent", "Factor"]

HISTORY = 10
SUFFICIENT_DECREASE = 1e-4
SHORTEST_STEP = 2.0**-10
LEAST_COSINE = 1e-5
"""Between a move and the change of the gradient that came with it: with less, rounding is learnt."""

SingleArray = NDArray[np.float32]


class Factor(Protocol):
    """A factored approximation of the objective's second derivatives."""

    def solve(self, right: FloatArray) -> FloatArray:
        """Solve for one right-hand side (m, 3)."""


Objective = Callable[[FloatArray], tuple[float, FloatArray]]


class Descent:
    """Minimise one objective from one start, iteration by iteration.

    Attributes
    ----------
    positions, energy, gradient
        The present iterate (n, 3), its objective and gradient.
    stuck
        True when no descent step was found along the last direction.
    """

    def __init__(
        self,
        objective: Objective,
        start: FloatArray,
        factor: Factor,
        longest_step_m: float,
    ) -> None:
        self._objective = objective
        self._factor = factor
        self._longest_step_m = longest_step_m
        self._memory = _Memory(start.size)
        self.positions = start
        self.energy, self.gradient = objective(start)
        self.stuck = False

    def restart(self) -> None:
        """Go on from the present iterate after the objective changed."""
        self._memory.forget()
        self.energy, self.gradient = self._objective(self.positions)

    def step(self) -> float:
        """One iteration; the longest move of a vertex in metres (0 when stuck)."""
        direction = self._memory.direction(self.gradient, self._factor)
        slope = float(np.vdot(direction, self.gradient))
        if slope >= 0.0:
            self._memory.forget()
            direction = -self._factor.solve(self.gradient)
            slope = float(np.vdot(direction, self.gradient))
        farthest = float(lengths(direction).max())
        length = min(1.0, self._longest_step_m / max(farthest, 1e-30))
        while length > SHORTEST_STEP:
            candidate = self.positions + length * direction
            energy, gradient = self._objective(candidate)
            if energy <= self.energy + SUFFICIENT_DECREASE * length * slope:
                self._learn(candidate - self.positions, gradient - self.gradient)
                self.positions, self.energy, self.gradient = candidate, energy, gradient
                self.stuck = False
                return length * farthest
            length /= 2
        self._memory.forget()
        self.stuck = True
        return 0.0

    def _learn(self, move: FloatArray, change: FloatArray) -> None:
        curvature = float(np.vdot(move, change))
        if curvature > LEAST_COSINE * float(np.sqrt(np.vdot(move, move) * np.vdot(change, change))):
            self._memory.learn(move, change)


class _Memory:
    """The last moves and how each changed the gradient.

    In single precision: it only guides, and half of it is read from memory.
    """

    def __init__(self, size: int) -> None:
        self._moves: SingleArray = np.zeros((HISTORY, size), dtype=np.float32)
        self._changes: SingleArray = np.zeros((HISTORY, size), dtype=np.float32)
        # of every move with every change
        self._products: FloatArray = np.zeros((HISTORY, HISTORY))
        self._rows: list[int] = []
        """Of the arrays, the oldest first."""

    def forget(self) -> None:
        self._rows = []

    def learn(self, move: FloatArray, change: FloatArray) -> None:
        """Keep a pair in the place of the oldest."""
        row = len(self._rows) if len(self._rows) < HISTORY else self._rows.pop(0)
        self._rows.append(row)
        self._moves[row], self._changes[row] = move.ravel(), change.ravel()
        self._products[:, row] = self._moves @ self._changes[row]

    def direction(self, gradient: FloatArray, factor: Factor) -> FloatArray:
        """Where to go from a gradient (m, 3)."""
        rows = self._rows
        if not rows:
            return -factor.solve(gradient)
        # of each move with the changes that came with it and after it
        products = np.triu(self._products[np.ix_(rows, rows)])
        weights = np.linalg.solve(products, self._along(self._moves, gradient))
        work = factor.solve(gradient - self._sum(self._changes, weights).reshape(gradient.shape))
        lacking = products.diagonal() * weights - self._along(self._changes, work)
        corrections = np.linalg.solve(products.T, lacking)
        return -work - self._sum(self._moves, corrections).reshape(gradient.shape)

    def _along(self, kept: SingleArray, vectors: FloatArray) -> FloatArray:
        """Products of what is kept with vectors (m, 3), the oldest first."""
        products: FloatArray = kept @ vectors.ravel().astype(np.float32)
        return products[self._rows]

    def _sum(self, kept: SingleArray, weights: FloatArray) -> SingleArray:
        """Sum of what is kept by weights, the oldest first."""
        by_row = np.zeros(HISTORY, dtype=np.float32)
        by_row[self._rows] = weights
        return by_row @ kept
