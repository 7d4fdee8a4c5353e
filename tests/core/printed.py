# SPDX-License-Identifier: GPL-3.0-or-later
"""What a PDF page draws, read by a reader that did not write it."""

from collections.abc import Iterator

import numpy as np
from pypdf import PageObject
from pypdf.generic import ContentStream

MM = 72 / 25.4


def paths_mm(page: PageObject) -> Iterator[list[tuple[float, float]]]:
    """The points of every path of a PDF page in millimetres, by its own operators."""
    matrix, kept = np.eye(3), []
    points: list[tuple[float, float]] = []
    contents = page.get_contents()
    assert contents is not None
    for operands, operator in ContentStream(contents, page.pdf).operations:
        if operator == b"cm":
            a, b, c, d, e, f = map(float, operands)
            matrix = np.array([[a, b, 0], [c, d, 0], [e, f, 1]]) @ matrix
        elif operator == b"q":
            kept.append(matrix)
        elif operator == b"Q":
            matrix = kept.pop()
        elif operator in (b"m", b"l"):
            x, y, _ = np.array([*map(float, operands), 1.0]) @ matrix / MM
            if operator == b"m":
                points = []
            points.append((float(x), float(y)))
        elif operator in (b"S", b"s", b"B", b"b"):
            yield points
