# SPDX-License-Identifier: GPL-3.0-or-later
"""Limited-memory BFGS whose first inverse Hessian is a prefactored matrix.

The two-loop recursion is that of Nocedal and Wright, Numerical Optimization, algorithm 7.4; a
factored scalar matrix in the middle of it is the method of Liu, Bouaziz and Kavan 2017
(ACM Transactions on Graphics 36(3):23).
"""

from collections import deque
from collections.abc import Callable
from typing import Protocol

import numpy as np

from ..arrays import FloatArray
from .sums import lengths

__all__ = ["Descent", "Factor"]

HISTORY = 10
SUFFICIENT_DECREASE = 1e-4
SHORTEST_STEP = 2.0**-10


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
        self._memory: deque[tuple[FloatArray, FloatArray, float]] = deque(maxlen=HISTORY)
        self.positions = start
        self.energy, self.gradient = objective(start)
        self.stuck = False

    def restart(self) -> None:
        """Go on from the present iterate after the objective changed."""
        self._memory.clear()
        self.energy, self.gradient = self._objective(self.positions)

    def step(self) -> float:
        """One iteration; the longest move of a vertex in metres (0 when stuck)."""
        direction = self._direction()
        slope = float(np.vdot(direction, self.gradient))
        if slope >= 0.0:
            self._memory.clear()
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
        self._memory.clear()
        self.stuck = True
        return 0.0

    def _learn(self, move: FloatArray, change: FloatArray) -> None:
        curvature = float(np.vdot(move, change))
        if curvature > 1e-10 * float(np.sqrt(np.vdot(move, move) * np.vdot(change, change))):
            self._memory.append((move, change, curvature))

    def _direction(self) -> FloatArray:
        work = self.gradient.copy()
        weights = []
        for move, change, curvature in reversed(self._memory):
            weight = float(np.vdot(move, work)) / curvature
            weights.append(weight)
            work -= weight * change
        work = self._factor.solve(work)
        for (move, change, curvature), weight in zip(self._memory, reversed(weights), strict=True):
            correction = weight - float(np.vdot(change, work)) / curvature
            work += correction * move
        return -work
