# SPDX-License-Identifier: GPL-3.0-or-later
"""Counts of what the solver did: the same for the same job, machine and kind of passes."""

import importlib
from collections.abc import Iterator, Sequence
from contextlib import contextmanager
from dataclasses import dataclass
from typing import Any

from napfold.core.arrays import FloatArray
from napfold.core.drape.body_contact import BodyContact
from napfold.core.drape.equilibrium import Contact
from napfold.core.drape.garment import Garment
from napfold.core.drape.motion import Motion
from napfold.core.drape.self_contact import SelfContact

__all__ = ["Counts", "Noted", "counted"]

# the package's name for the function hides the module of the same name
_SURROUNDINGS = importlib.import_module("napfold.core.drape.surroundings")


@dataclass(frozen=True, slots=True)
class Counts:
    """Work of a drape: mechanical systems gone through, iterations, factorizations.

    ``pairs`` are those of garment on garment that the last system watched at the end.
    """

    systems: int
    iterations: int
    factorizations: int
    pairs: int

    @classmethod
    def of(cls, motions: list["Noted"]) -> "Counts":
        """Sum over all systems."""
        return cls(
            len(motions),
            sum(motion.iterations for motion in motions),
            sum(motion.factorizations for motion in motions),
            motions[-1].pair_count(),
        )


class Noted(Motion):
    """A system whose contacts of garment on garment are kept in sight."""

    def __init__(
        self,
        garment: Garment,
        body: BodyContact,
        others: Sequence[Contact],
        positions: FloatArray,
        *more: Any,
    ) -> None:
        super().__init__(garment, body, others, positions, *more)
        self._watched = others

    def pair_count(self) -> int:
        """Pairs under watch."""
        return sum(other.pair_count for other in self._watched if isinstance(other, SelfContact))


@contextmanager
def counted() -> Iterator[list[Noted]]:
    """Within this context every system that a drape makes is noted in the list given."""
    made: list[Noted] = []

    def noted(*arguments: Any) -> Noted:
        made.append(Noted(*arguments))
        return made[-1]

    usual = _SURROUNDINGS.Motion
    _SURROUNDINGS.Motion = noted
    try:
        yield made
    finally:
        _SURROUNDINGS.Motion = usual
