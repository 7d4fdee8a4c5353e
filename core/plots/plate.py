# SPDX-License-Identifier: GPL-3.0-or-later
"""One plot or drawing of a report, with the words for those who cannot see it."""

from dataclasses import dataclass
from typing import Literal

__all__ = ["Part", "Plate"]

Part = Literal["looks", "hem", "pulls", "choices"]


@dataclass(frozen=True, slots=True, kw_only=True)
class Plate:
    """A finished picture.

    Attributes
    ----------
    part
        Where in the report it stands.
    kind
        Of file.
    data
        The file's bytes.
    alt
        What it shows, for those who cannot see it.
    caption
        What stands under it.
    """

    part: Part
    kind: Literal["png", "svg+xml"]
    data: bytes
    alt: str
    caption: str
