# SPDX-License-Identifier: GPL-3.0-or-later
"""What must hold of every descent: energy never rises, and the same job gives the same bits."""

import numpy as np

from ..rows import Row, exactly
from .round_drape import FABRICS, hang_round

__all__ = ["descents"]

ENERGY_SOURCE = "a descent to a minimum"
BITS_SOURCE = "the same arithmetic in the same order"
FABRIC, EDGE_M, ROUNDS = FABRICS[3], 0.008, 40


def descents() -> list[Row]:
    """A limp specimen with folds that touch, hung twice from one start."""
    hung = [
        hang_round(FABRIC.mass_kg_m2, 0.0134, FABRIC.thickness_m, edge_m=EDGE_M, rounds=ROUNDS)
        for _ in range(2)
    ]
    energy = np.array([balance.energy_j for balance in hung[0].balances])
    last = energy[len(energy) // 2 :]
    rises = int((np.diff(last) > 1e-9 * np.abs(last[:-1])).sum())
    different = int((hung[0].positions != hung[1].positions).sum())
    return [
        exactly(
            "second half of a descent: rounds with a rise of energy", rises, 0, "", ENERGY_SOURCE
        ),
        exactly("same job twice: coordinates that differ", different, 0, "", BITS_SOURCE),
    ]
