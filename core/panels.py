# SPDX-License-Identifier: GPL-3.0-or-later
"""The panel mesh: one layer of the pattern as triangles, with its seams and rims.

The layer is meshed as a quarter front and a quarter back, side by side with the wearer's left,
and mirrored to the right, so the mesh is its own mirror image, the fold and the centre back are
lines of vertices and front and back meet vertex to vertex along the underarm seams. The front is
cut open: along x = 0 it has two chains of vertices, one for each front edge.
"""

import math
from collections.abc import Mapping
from dataclasses import dataclass, field
from itertools import pairwise
from types import MappingProxyType

import numpy as np

from .arrays import FloatArray, IntArray
from .errors import InputError
from .pattern import Arc, Edge, Line, Pattern
from .slices import Slices, finished
from .triangulate import filling

__all__ = ["LEAST_ANGLE", "LONGEST_EDGE_M", "SHORTEST_EDGE_M", "PanelMesh", "build_panel_mesh"]

SHORTEST_EDGE_M, LONGEST_EDGE_M = 0.004, 0.060
LEAST_ANGLE = math.radians(25)

RIM_EDGES = (
    "hem_front_left",
    "sleeve_end_left",
    "hem_back",
    "sleeve_end_right",
    "hem_front_right",
    "front_right",
    "neck",
    "front_left",
)


@dataclass(frozen=True, slots=True)
class PanelMesh:
    """Triangle mesh of one layer; both layers of the garment are alike.

    In the two-layer view the outer vertex is i and the lining vertex that was cut at the same
    place is i + n.

    Attributes
    ----------
    flat
        (n, 2) position (x, v) on the flat cloth in metres.
    triangles
        (t, 3) vertices, counter-clockwise in (x, v).
    seam_pairs
        (s, 2) front and back vertex that sewing brings together, along each underarm edge from
        the sleeve end to the hem, both ends included; (x, v) meets (x, -v).
    rim
        (r,) vertices where outer and lining are joined: hem, fronts, neck, sleeve ends.
    edges
        Name of each pattern edge to its chain of vertices, in the pattern's order and direction.
    mirror
        (n,) the vertex at (-x, v); on the front edges, the partner on the other front.
    edge_length_m
        The edge length aimed at.
    middle
        (k,) vertices along which half a mesh is joined to its mirror image; none of a whole mesh.
    """

    flat: FloatArray
    triangles: IntArray
    seam_pairs: IntArray
    rim: IntArray
    edges: Mapping[str, IntArray]
    mirror: IntArray
    edge_length_m: float
    middle: IntArray = field(default_factory=lambda: np.zeros(0, dtype=np.int64))

    def two_layer_triangles(self) -> IntArray:
        """(2t, 3) outer triangles, then lining triangles turned over: its pile faces the body."""
        lining = self.triangles[:, [0, 2, 1]] + len(self.flat)
        return np.concatenate([self.triangles, lining])

    def two_layer_seam_pairs(self) -> IntArray:
        """(2s, 2) front and back vertices of the outer, then of the lining."""
        return np.concatenate([self.seam_pairs, self.seam_pairs + len(self.flat)])

    def rim_pairs(self) -> IntArray:
        """(r, 2) outer and lining vertices that are joined along the rim."""
        return np.stack([self.rim, self.rim + len(self.flat)], axis=1)


def build_panel_mesh(pattern: Pattern, edge_length_m: float) -> PanelMesh:
    """Mesh one layer of a pattern with near-equilateral triangles.

    Boundary vertices lie on the exact outline, evenly spaced between the corners; no angle is
    under 25 degrees.

    Raises
    ------
    InputError
        The edge length is outside 4 to 60 mm, or too coarse for a narrow part of this pattern.
    """
    return finished(panel_mesh(pattern, edge_length_m))


def panel_mesh(pattern: Pattern, edge_length_m: float) -> Slices[PanelMesh]:
    """`build_panel_mesh` in slices."""
    if not SHORTEST_EDGE_M <= edge_length_m <= LONGEST_EDGE_M:
        raise InputError(
            "edge length",
            f"{edge_length_m * 1000:g} mm",
            f"{SHORTEST_EDGE_M * 1000:g} to {LONGEST_EDGE_M * 1000:g} mm",
            "choose an edge length in this range; 18 mm suits most wraps",
        )
    front = _quarter_outline(pattern, front=True, edge_length_m=edge_length_m)
    back = _quarter_outline(pattern, front=False, edge_length_m=edge_length_m)
    # Both quarters share hem, underarm, sleeve end and fold to the last bit
    for part in ("hem", "underarm", "sleeve_end", "fold"):
        back[part] = front[part]
    front_mesh = yield from _quarter(front, edge_length_m)
    back_mesh = yield from _quarter(back, edge_length_m)
    yield
    return _assemble(front_mesh, back_mesh, edge_length_m)


@dataclass(frozen=True, slots=True)
class _Quarter:
    """One meshed quarter in x >= 0, v <= 0; the back quarter is turned over the fold into it."""

    points: FloatArray
    triangles: IntArray
    chains: Mapping[str, IntArray]


def _quarter(parts: Mapping[str, FloatArray], edge_length_m: float) -> Slices[_Quarter]:
    outline = np.concatenate([points[:-1] for points in parts.values()])
    filled = yield from filling(outline, edge_length_m, LEAST_ANGLE)
    if filled is None:
        raise InputError(
            "edge length",
            f"{edge_length_m * 1000:g} mm",
            "short enough for the narrowest part of the pattern",
            "choose a shorter edge length",
        )
    chains: dict[str, IntArray] = {}
    first = 0
    for name, points in parts.items():
        chains[name] = np.arange(first, first + len(points)) % len(outline)
        first += len(points) - 1
    return _Quarter(*filled, chains)


def _quarter_outline(
    pattern: Pattern, *, front: bool, edge_length_m: float
) -> dict[str, FloatArray]:
    """Evenly spaced points on each part of a quarter's outline, end points included.

    The quarter is the wearer's left, turned over the fold to v <= 0 for the back, and walked
    counter-clockwise from the centre of the hem.
    """
    half = "front" if front else "back"

    def inside(piece: Line | Arc) -> bool:
        middle = piece.at(np.array([piece.length_m / 2]))[0]
        return bool(middle[0] > 0 and (middle[1] < 0) == front)

    def part(name: str) -> FloatArray:
        edge = pattern.edges[name]
        kept = tuple(piece for piece in edge.pieces if inside(piece))
        points = _spaced(Edge(name=name, pieces=kept), edge_length_m)
        return points if front else points[::-1] * (1, -1) + 0.0

    neck = part("neck")
    sleeve_end = part("sleeve_end_left")
    hem = part("hem_front_left" if front else "hem_back")
    fold = Line(start=tuple(sleeve_end[-1]), end=tuple(neck[0]))
    centre = Line(start=tuple(neck[-1]), end=tuple(hem[0]))
    return {
        "hem": hem,
        "underarm": part(f"underarm_{half}_left"),
        "sleeve_end": sleeve_end,
        "fold": _spaced(Edge(name="fold", pieces=(fold,)), edge_length_m),
        "neck": neck,
        "centre": _spaced(Edge(name="centre", pieces=(centre,)), edge_length_m),
    }


def _spaced(edge: Edge, edge_length_m: float) -> FloatArray:
    """Points (k, 2) on an edge, at its ends, halfway round a rounded corner, and evenly between."""
    knots = [0.0]
    done = 0.0
    for piece in edge.pieces:
        if isinstance(piece, Arc) and len(edge.pieces) > 1:
            knots.append(done + piece.length_m / 2)
        done += piece.length_m
    knots.append(done)
    # Rounding up from 0.35 keeps the longest step at 1.2 edge lengths but on the shortest parts
    counts = [
        max(1, math.ceil((end - start) / edge_length_m - 0.35)) for start, end in pairwise(knots)
    ]
    places = [
        np.linspace(start, end, count, endpoint=False)
        for (start, end), count in zip(pairwise(knots), counts, strict=True)
    ]
    return edge.at(np.concatenate([*places, [done]]))


def _assemble(front: _Quarter, back: _Quarter, edge_length_m: float) -> PanelMesh:
    """Unfold and mirror the two quarters, and weld all copies but the front cut."""
    points = np.concatenate([front.points, back.points * (1, -1)])
    triangles = np.concatenate([front.triangles, back.triangles[:, [0, 2, 1]] + len(front.points)])
    copies = np.concatenate([points, points * (-1, 1)]) + 0.0  # no negative zeros
    side = np.repeat([1.0, -1.0], len(points))
    side[(copies[:, 0] != 0) | (copies[:, 1] >= 0)] = 0  # a vertex of its own on the front cut only
    keys, vertex = np.unique(np.column_stack([copies, side]), axis=0, return_inverse=True)
    vertex = vertex.reshape(-1)
    left, right = vertex[: len(points)], vertex[len(points) :]
    mirror = np.zeros(len(keys), dtype=np.int64)
    mirror[left], mirror[right] = right, left
    edges = _named_edges(
        front_left={name: left[chain] for name, chain in front.chains.items()},
        front_right={name: right[chain] for name, chain in front.chains.items()},
        back_left={name: left[chain + len(front.points)] for name, chain in back.chains.items()},
        back_right={name: right[chain + len(front.points)] for name, chain in back.chains.items()},
    )
    seam_pairs = np.concatenate(
        [
            np.stack([edges["underarm_front_left"][::-1], edges["underarm_back_left"]], axis=1),
            np.stack([edges["underarm_front_right"], edges["underarm_back_right"][::-1]], axis=1),
        ]
    )
    return PanelMesh(
        flat=np.ascontiguousarray(keys[:, :2]),
        triangles=np.concatenate([left[triangles], right[triangles[:, [0, 2, 1]]]]),
        seam_pairs=seam_pairs,
        rim=np.unique(np.concatenate([edges[name] for name in RIM_EDGES])),
        edges=MappingProxyType(edges),
        mirror=mirror,
        edge_length_m=edge_length_m,
    )


def _named_edges(
    front_left: Mapping[str, IntArray],
    front_right: Mapping[str, IntArray],
    back_left: Mapping[str, IntArray],
    back_right: Mapping[str, IntArray],
) -> dict[str, IntArray]:
    """Chains of the pattern's edges, from the chains of the four quarters.

    A quarter's chains run from the centre of the hem round the sleeve end to the neck and back to
    the hem; that is the pattern's direction on the front left and the back right.
    """

    def join(*chains: IntArray) -> IntArray:
        return np.concatenate([*(chain[:-1] for chain in chains[:-1]), chains[-1]])

    return {
        "hem_front_left": front_left["hem"],
        "underarm_front_left": front_left["underarm"],
        "sleeve_end_left": join(front_left["sleeve_end"], back_left["sleeve_end"][::-1]),
        "underarm_back_left": back_left["underarm"][::-1],
        "hem_back": join(back_left["hem"][::-1], back_right["hem"]),
        "underarm_back_right": back_right["underarm"],
        "sleeve_end_right": join(back_right["sleeve_end"], front_right["sleeve_end"][::-1]),
        "underarm_front_right": front_right["underarm"][::-1],
        "hem_front_right": front_right["hem"][::-1],
        "front_right": front_right["centre"][::-1],
        "neck": join(
            front_right["neck"][::-1],
            back_right["neck"],
            back_left["neck"][::-1],
            front_left["neck"],
        ),
        "front_left": front_left["centre"],
    }
