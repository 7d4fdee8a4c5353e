# SPDX-License-Identifier: GPL-3.0-or-later
"""The words of the lay, in one place: names of layers, parts and of what is left over."""

from collections.abc import Mapping
from types import MappingProxyType

__all__ = [
    "ACROSS",
    "BETWEEN",
    "CORNER",
    "END",
    "LAYERS",
    "MIRRORED",
    "MIRROR_IMAGE",
    "PARTS",
    "STRIP",
]

LAYERS: Mapping[str, str] = MappingProxyType({"outer": "outer", "lining": "lining"})
PARTS: Mapping[str, str] = MappingProxyType(
    {
        "layer": "",
        "back": " back",
        "front": " front",
        "front left": " front left",
        "front right": " front right",
    }
)
MIRRORED: Mapping[str, str] = MappingProxyType(
    {"front left": "front right", "front right": "front left"}
)
"""Parts of the lining: its right side lies against the body, so what is cut as the left is its right."""
MIRROR_IMAGE = "{name}, mirrored"
BETWEEN = " and "
"""Between the names of layers that share a cloth."""

CORNER, STRIP = "corner under an arm", "strip beside the pieces"
ACROSS, END = "strip across the cloth", "end of the cloth"
"""What is left over."""
