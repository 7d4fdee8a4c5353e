# SPDX-License-Identifier: GPL-3.0-or-later
"""The wearer's body: built from a tape, posed, measured, and asked for distances."""

from .building import build_mannequin, mannequin_built
from .distance import BodyDistance, Nearest
from .mannequin import LEVELS, Mannequin, PosedBody
from .poses import POSES, Limbs, Pose, between, symmetric

__all__ = [
    "LEVELS",
    "POSES",
    "BodyDistance",
    "Limbs",
    "Mannequin",
    "Nearest",
    "Pose",
    "PosedBody",
    "between",
    "build_mannequin",
    "mannequin_built",
    "symmetric",
]
