# SPDX-License-Identifier: GPL-3.0-or-later
"""Exact shapes of heavy, inextensible strips, for the drape to be held against.

The strip is Euler's elastica with weight (S. S. Antman, Nonlinear Problems of Elasticity, chapter
4). Lengths are in bending lengths c = (D / (W g))^(1/3) and forces in W g c per width, so rigidity
and weight are 1. Every boundary value problem is solved by shooting with fourth-order Runge-Kutta
steps; nothing here uses the drape.
"""

import math
from collections.abc import Callable
from dataclasses import dataclass
from functools import lru_cache

import numpy as np

__all__ = ["Tip", "cantilever", "heart_loop", "ruler_bending_length"]

STEP = 0.01
"""Length of a step in bending lengths; halving it changes no figure here by 1e-6."""

State = np.ndarray
Rate = Callable[[float, State], State]


def _runge_kutta(rate: Rate, place: float, state: State, step: float) -> State:
    first = rate(place, state)
    second = rate(place + step / 2, state + step / 2 * first)
    third = rate(place + step / 2, state + step / 2 * second)
    fourth = rate(place + step, state + step * third)
    return state + step / 6 * (first + 2 * second + 2 * third + fourth)


@dataclass(frozen=True, slots=True)
class Tip:
    """Where the tip of a cantilever hangs, in shares of its length, and the chord's angle."""

    reach: float
    drop: float
    slope_rad: float

    @property
    def chord_degrees(self) -> float:
        return math.degrees(math.atan2(self.drop, self.reach))


def _overhang(slope_rad: float, friction_moment: float = 0.0) -> tuple[float, Tip]:
    """The overhang in bending lengths whose tip hangs at this slope, and that tip.

    From the tip inwards: at a distance u from it the moment grows by u cos φ and the slope φ falls
    by the curvature; the clamp is where it has fallen to level. With a friction moment (of W g c²,
    constant, against the bending: the monotone branch of Grosberg's law, Textile Research Journal
    36 (1966) 205) the curvature is what of the moment exceeds it.
    """

    def rate(place: float, state: State) -> State:
        slope, moment = state[0], state[1]
        curvature = max(moment - friction_moment, 0.0)
        return np.array([-curvature, place * math.cos(slope), math.cos(slope), math.sin(slope)])

    place, state = 0.0, np.array([slope_rad, 0.0, 0.0, 0.0])
    while True:
        ahead = _runge_kutta(rate, place, state, STEP)
        if ahead[0] <= 0:
            break
        place, state = place + STEP, ahead
    last = STEP
    for _ in range(4):
        ahead = _runge_kutta(rate, place, state, last)
        last += ahead[0] / -rate(place + last, ahead)[0]
    length = place + last
    return length, Tip(ahead[2] / length, ahead[3] / length, slope_rad)


def _slope_where(wanted: Callable[[float], float]) -> float:
    """The tip's slope at which a growing function of it passes 0.

    Near the plumb line tiny angles make long overhangs: hence halves of the logarithm.
    """
    low, high = math.log(1e-13), math.log(math.pi / 2)
    for _ in range(36):
        middle = (low + high) / 2
        if wanted(math.pi / 2 - math.exp(middle)) > 0:
            low = middle
        else:
            high = middle
    return math.pi / 2 - math.exp(high)


@lru_cache(maxsize=64)
def cantilever(overhang: float) -> Tip:
    """The tip of a strip that is clamped level and juts out by so many bending lengths."""
    slope_rad = _slope_where(lambda slope: _overhang(slope)[0] - overhang)
    return _overhang(slope_rad)[1]


def ruler_bending_length(weight_n_m2: float, rigidity_n_m: float, friction_n: float) -> float:
    """What the ruler test reads in metres: half the overhang whose chord falls 41.5 degrees.

    ``rigidity_n_m`` and ``friction_n`` (a moment per width) are those of a pure bending test.
    """
    scale_m = (rigidity_n_m / weight_n_m2) ** (1 / 3)
    friction = friction_n / (weight_n_m2 * scale_m**2)
    slope_rad = _slope_where(lambda slope: _overhang(slope, friction)[1].chord_degrees - 41.5)
    return scale_m * _overhang(slope_rad, friction)[0] / 2


@lru_cache(maxsize=16)
def heart_loop(length: float) -> float:
    """Height of a heart loop of so many bending lengths, over its own length.

    Both ends of the strip are clamped back to back and leave the clamp upwards; the loop falls to
    both sides and closes under the clamp (Peirce 1930; ASTM D1388 option B). By symmetry the lowest
    point is level and lies under the clamp; the height is from the clamp down to it. Solved from
    there upwards: the sideways force and the curvature at the lowest point are found by Newton's
    method, with the weight grown in steps from none, where the height is 0.1337 of the length
    (Peirce).
    """
    half = length / 2
    steps = 400
    entering = 1.5 * math.pi

    def end(unknown: State, weight: float) -> State:
        force = unknown[0]

        def rate(place: float, state: State) -> State:
            # above the lowest point hangs the weight of what lies below
            angle = state[0]
            bend = force * math.sin(angle) - weight * place * math.cos(angle)
            return np.array([state[1], bend, math.cos(angle), math.sin(angle)])

        state = np.array([0.0, unknown[1], 0.0, 0.0])
        for index in range(steps):
            state = _runge_kutta(rate, index * half / steps, state, half / steps)
        return state

    unknown = np.array([0.0, entering / half])
    for weight in np.linspace(0.0, 1.0, 11):
        miss = np.ones(2)
        for _ in range(30):
            reached = end(unknown, weight)
            miss = np.array([reached[0] - entering, reached[2]])
            if np.abs(miss).max() < 1e-9:
                break
            slopes = np.zeros((2, 2))
            for index in range(2):
                nudge = np.zeros(2)
                nudge[index] = 1e-6 * max(1.0, abs(unknown[index]))
                moved = end(unknown + nudge, weight)
                slopes[:, index] = (moved[[0, 2]] - reached[[0, 2]]) / nudge[index]
            unknown = unknown - np.linalg.solve(slopes, miss)
        if np.abs(miss).max() >= 1e-9:
            raise RuntimeError("the loop's boundary value problem did not converge")
    return float(end(unknown, 1.0)[3] / length)
