# SPDX-License-Identifier: GPL-3.0-or-later
"""Many parameters stepped together until as many measures of a shape are what they should be.

Newton's method with the slopes learnt on the way (Broyden, Mathematics of Computation 19 (1965)
577), within limits: a parameter at its limit stays there, and the others are stepped without it.
"""

import math
from collections.abc import Mapping
from dataclasses import dataclass, field
from typing import NamedTuple

import numpy as np

from ..arrays import FloatArray

__all__ = ["Knob", "Tuner"]

HELD_ROUNDS = 4
MOST_STEP = 0.3  # of a parameter's range
WORSE = 1.5  # so much more missing than at the best place: back to it, and shorter steps from there


@dataclass(frozen=True, slots=True)
class Knob:
    """One parameter.

    ``gain`` is a first guess of how far it must be moved for each unit that is missing of what it
    tunes. A factor is stepped by its logarithm.
    """

    gain: float
    low: float
    high: float
    start: float = 1.0
    factor: bool = True


class _Place(NamedTuple):
    place: FloatArray
    missing: FloatArray
    rest: float


@dataclass(slots=True)
class Tuner:
    """Parameters with what has been learnt of their effects; ``scale`` holds their values.

    ``couplings`` are first guesses of how much less is missing of what one parameter tunes, for
    each unit (of the logarithm of a factor) by which another is moved.
    """

    knobs: Mapping[str, Knob]
    couplings: Mapping[tuple[str, str], float] = field(default_factory=dict)
    _place: FloatArray = field(init=False)  # over the gains, so that all slopes are near 1
    _slopes: FloatArray = field(init=False)
    _step: FloatArray | None = field(init=False, default=None)
    _missing: FloatArray = field(init=False)
    _best: "_Place | None" = field(init=False, default=None)
    _stride: float = field(init=False, default=MOST_STEP)

    def __post_init__(self) -> None:
        self._place = np.array([_inner(k, k.start) for k in self.knobs.values()])
        self._slopes = np.eye(len(self.knobs))
        names = list(self.knobs)
        for (one, other), effect in self.couplings.items():
            if one in self.knobs and other in self.knobs:
                slope = effect * self.knobs[other].gain
                self._slopes[names.index(one), names.index(other)] = slope
        self._missing = np.zeros(len(self.knobs))

    @property
    def scale(self) -> dict[str, float]:
        """The value of every parameter."""
        return {
            name: math.exp(value * knob.gain) if knob.factor else value * knob.gain
            for (name, knob), value in zip(self.knobs.items(), self._place.tolist(), strict=True)
        }

    def restart(self) -> None:
        """Keep values and slopes, but do not learn from the next step: what is asked changes."""
        self._step = self._best = None
        self._stride = MOST_STEP

    def step(self, missing: Mapping[str, float]) -> float:
        """Move all parameters; ``missing`` is by how much what each tunes falls short.

        The most that is missing of anything a parameter can still do something about is given
        back.
        """
        now = np.array([missing[name] for name in self.knobs])
        if self._step is not None and (square := float(self._step @ self._step)) > 0.0:
            gone = self._missing - now
            self._slopes += np.outer(gone - self._slopes @ self._step, self._step) / square
        ends = np.array([(_inner(k, k.low), _inner(k, k.high)) for k in self.knobs.values()])
        room = np.sort(ends, axis=1) - self._place[:, None]
        spent = np.where(now > 0.0, room[:, 1], -room[:, 0]) <= 0.0
        rest = float(np.abs(now[~spent]).max(initial=0.0))
        if self._best is None or rest < self._best.rest:
            self._best = _Place(self._place, now, rest)
        elif rest > WORSE * self._best.rest:
            self._place, now, _ = self._best
            room = np.sort(ends, axis=1) - self._place[:, None]
            self._stride *= 0.4
        most = self._stride * np.ptp(ends, axis=1)
        low, high = np.maximum(room[:, 0], -most), np.minimum(room[:, 1], most)
        self._missing = now
        self._step = self._within(now, low, high)
        self._place = self._place + self._step
        return rest

    def _within(self, missing: FloatArray, low: FloatArray, high: FloatArray) -> FloatArray:
        """A step within limits: what would go beyond one stops there, the others make up for it."""
        step = np.zeros(len(missing))
        free = np.ones(len(missing), dtype=bool)
        for _ in range(HELD_ROUNDS):
            rest = missing[free] - self._slopes[np.ix_(free, ~free)] @ step[~free]
            step[free] = np.linalg.lstsq(self._slopes[np.ix_(free, free)], rest, rcond=1e-4)[0]
            beyond = free & ((step < low) | (step > high))
            step = np.clip(step, low, high)
            if not beyond.any():
                break
            free &= ~beyond
        return step


def _inner(knob: Knob, value: float) -> float:
    return (math.log(value) if knob.factor else value) / knob.gain
