# SPDX-License-Identifier: GPL-3.0-or-later
"""A cut for every option of the pattern, and one with nearly all of them."""

from dataclasses import replace
from typing import Any

from napfold.core.pattern import Corner, Cut, Front, Neck, Shoulder

PLAIN = Cut(cloth_width_m=1.47, length_m=1.37, body_width_m=0.68, sleeve_drop_m=0.24)
OVERLAP: dict[str, Any] = {"front": Front.OVERLAPPING, "shoulder": Shoulder.SEAMED}
CHANGES: dict[str, dict[str, Any]] = {
    "plain": {},
    "oval neck": {"neck": Neck.OVAL},
    "V neck": {"neck": Neck.V, "neck_front_depth_m": 0.20},
    "high back": {"neck": Neck.HIGH_BACK},
    "closed": {"front": Front.CLOSED, "neck_width_m": 0.24, "neck_front_depth_m": 0.14},
    "overlapping": OVERLAP,
    "overlapping V": OVERLAP | {"neck": Neck.V, "neck_front_depth_m": 0.20},
    "overlapping oval": OVERLAP | {"neck": Neck.OVAL, "shoulder_drop_m": 0.08},
    "tapered": {"wrist_opening_m": 0.34},
    "shortened": {"sleeve_shortened_m": 0.15},
    "cuff": {"wrist_opening_m": 0.36, "cuff_depth_m": 0.08},
    "diagonal": {"corner": Corner.DIAGONAL},
    "square": {"corner": Corner.SQUARE},
    "curved hem": {"hem_curve_m": 0.08},
    "longer back": {"back_longer_m": 0.10},
    "seamed": {"shoulder": Shoulder.SEAMED},
    "sloped": {"shoulder": Shoulder.SEAMED, "shoulder_drop_m": 0.08},
    "flared": {"side_flare_m": 0.10},
    "split": {"side_split_m": 0.15},
    "nearly all": {
        "front": Front.CLOSED,
        "neck": Neck.HIGH_BACK,
        "neck_width_m": 0.26,
        "neck_front_depth_m": 0.16,
        "wrist_opening_m": 0.36,
        "cuff_depth_m": 0.06,
        "corner": Corner.DIAGONAL,
        "hem_curve_m": 0.05,
        "back_longer_m": 0.08,
        "shoulder": Shoulder.SEAMED,
        "shoulder_drop_m": 0.06,
        "side_flare_m": 0.06,
        "side_split_m": 0.12,
    },
}
CUTS = {name: replace(PLAIN, **changes) for name, changes in CHANGES.items()}
