# SPDX-License-Identifier: GPL-3.0-or-later
"""The drape: the shape that two layers of cloth take on a body."""

from .progress import Progress, Steps, run
from .result import Drape, load_drape, pack_drape, save_drape, unpack_drape
from .settle import EDGE_LENGTH_M, settle

__all__ = [
    "EDGE_LENGTH_M",
    "Drape",
    "Progress",
    "Steps",
    "load_drape",
    "pack_drape",
    "run",
    "save_drape",
    "settle",
    "unpack_drape",
]
