# SPDX-License-Identifier: GPL-3.0-or-later
"""A drawing as DXF R2010 in millimetres: lines and arcs on the layers CUT, STITCH, NOTCH, GRAIN.

It stays out of Blender, which has no writer of DXF.
"""

import math
from collections.abc import Iterator
from pathlib import Path

import numpy as np

from .errors import FileError
from .files import whole_file
from .pattern import Arc, Cubic, Line, Piece, Point, arc_through
from .sheets.drawing import Drawing

__all__ = ["write_dxf"]

MM = 1000.0
ARCS_A_QUARTER = 24
# Colours by the number that DXF gives them, and line types of its standard set
LAYERS = {
    "CUT": (7, "CONTINUOUS"),
    "STITCH": (5, "DASHED"),
    "NOTCH": (1, "CONTINUOUS"),
    "GRAIN": (3, "CENTER"),
}


def write_dxf(path: Path, drawing: Drawing) -> None:
    """Write a drawing, whole or not at all.

    Raises
    ------
    FileError
        The file cannot be written, or ezdxf is not installed.
    """
    try:
        from ezdxf.filemanagement import new
        from ezdxf.units import MM as MILLIMETRES
    except ImportError as error:
        raise FileError(
            f"{path} cannot be written: the Python package ezdxf is missing. Install it, or use the "
            "SVG file, which holds the same lines."
        ) from error
    document = new("R2010", setup=["linetypes"], units=MILLIMETRES)
    for name, (colour, line_type) in LAYERS.items():
        document.layers.add(name, color=colour, linetype=line_type)
    space = document.modelspace()
    for one in drawing.paths:
        for piece in _circular(one.pieces):
            if isinstance(piece, Line):
                space.add_line(_mm(piece.start), _mm(piece.end), dxfattribs={"layer": one.layer})
            else:
                start, end = sorted((piece.start_angle, piece.end_angle))
                space.add_arc(
                    _mm(piece.centre),
                    piece.radius_x_m * MM,
                    math.degrees(start),
                    math.degrees(end),
                    dxfattribs={"layer": one.layer},
                )
    with whole_file(path) as temporary:
        document.saveas(temporary)


def _mm(point: tuple[float, float]) -> tuple[float, float]:
    return point[0] * MM, point[1] * MM


def _circular(pieces: tuple[Piece, ...]) -> Iterator[Line | Arc]:
    """The same with other curves as short arcs of circles, true to a hundredth of a millimetre."""
    for piece in pieces:
        if isinstance(piece, Line) or (isinstance(piece, Arc) and piece.circular):
            yield piece
            continue
        points = _cubic_points(piece) if isinstance(piece, Cubic) else _ellipse_points(piece)
        for index in range(0, len(points) - 1, 2):
            yield arc_through(*points[index : index + 3])


def _ellipse_points(piece: Arc) -> list[Point]:
    turn = piece.end_angle - piece.start_angle
    count = max(1, math.ceil(abs(turn) / (math.pi / 2) * ARCS_A_QUARTER))
    # evenly in the eccentric angle: closer together where the ellipse is bent more
    angles = [piece.start_angle + turn * step / (2 * count) for step in range(2 * count + 1)]
    return [
        (
            piece.centre[0] + piece.radius_x_m * math.cos(angle),
            piece.centre[1] + piece.radius_v_m * math.sin(angle),
        )
        for angle in angles
    ]


def _cubic_points(piece: Cubic) -> list[Point]:
    # evenly in the curve's own parameter: closer together where it is bent more
    places = piece.place(np.linspace(0.0, 1.0, 4 * ARCS_A_QUARTER + 1))
    return [(float(x), float(v)) for x, v in places]
