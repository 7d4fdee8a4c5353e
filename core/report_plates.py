# SPDX-License-Identifier: GPL-3.0-or-later
"""Plots and drawn wraps on the page: embedded, with words for those who cannot see them."""

import base64
from collections.abc import Iterator, Sequence
from html import escape

from .plots.plate import Part, Plate

__all__ = ["plates_of"]


def plates_of(plates: Sequence[Plate], part: Part) -> Iterator[str]:
    """The plates of one part of the report."""
    for plate in plates:
        if plate.part == part:
            data = base64.b64encode(plate.data).decode("ascii")
            yield (
                f'<figure class="plate"><img src="data:image/{plate.kind};base64,{data}" '
                f'alt="{escape(plate.alt)}"><figcaption>{escape(plate.caption)}</figcaption></figure>'
            )
