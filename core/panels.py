# SPDX-License-Identifier: GPL-3.0-or-later
"""The panel mesh: one layer of the pattern as triangles, with its seams and rims.

The layer is meshed as a quarter front and a quarter back, side by side with the wearer's left,
and mirrored to the right, so the mesh is its own mirror image, the fold and the centre back are
lines of vertices and front and back meet vertex to vertex along the seams. A front that is not
closed is cut open: it has two chains of vertices, one for each front edge. Overlapping fronts lie on
one another in (x, v), and nothing joins them there.
"""

import math
from collections.abc import Mapping
from dataclasses import dataclass, field
from itertools import pairwise
from types import MappingProxyType

import numpy as np

from .arrays import BoolArray, FloatArray, IntArray
from .errors import InputError
from .pattern import Arc, Edge, Front, Pattern, Piece, sewn
from .slices import Slices, finished
from .triangulate import filling

__all__ = [
    "LEAST_ANGLE",
    "LONGEST_EDGE_M",
    "SHORTEST_EDGE_M",
    "PanelMesh",
    "build_panel_mesh",
    "panel_mesh",
    "sharp_joints_m",
]

SHORTEST_EDGE_M, LONGEST_EDGE_M = 0.004, 0.060
LEAST_ANGLE = math.radians(25)

SHARP_TURN = math.cos(math.radians(8))
"""Pieces of an edge that meet in a sharper turn have a vertex at their joint."""
FRONTS_APART_M = 0.5
"""More than any overlap and the distance at which cloth counts as its own neighbour."""
CLOSEST_KNOTS = 0.7
"""In edge lengths: nearer to the last vertex a joint is cut off."""


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
        the sleeve end to the hem, and each seamed shoulder from the sleeve end to the neck, both
        ends included; (x, v) meets (x, -v).
    rim
        (r,) vertices where outer and lining are joined: hem, side splits, fronts, neck, sleeve ends.
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

    @property
    def side(self) -> IntArray:
        """(n,) 1 on the wearer's left, -1 on the right, 0 on the middle line where it is not cut.

        The vertices are numbered so that the right one of a mirrored pair comes first; half a mesh
        is the left one.
        """
        if len(self.middle):
            left = np.ones(len(self.flat), dtype=np.int64)
            left[self.middle] = 0
            return left
        side: IntArray = np.sign(np.arange(len(self.flat)) - self.mirror)
        return side

    @property
    def behind(self) -> BoolArray:
        """(n,) whether a vertex is of the back; the fold is, a seamed front is not."""
        found = np.zeros(len(self.flat), dtype=bool)
        found[self.triangles[self.flat[self.triangles, 1].mean(axis=1) > 0]] = True
        return found

    @property
    def spread(self) -> FloatArray:
        """(n, 2) the flat places with overlapping fronts drawn apart, for what lies near what."""
        if "front_left" not in self.edges or self.flat[self.edges["front_left"], 0].min() >= 0:
            return self.flat
        across = np.where(self.behind, 0.0, FRONTS_APART_M * self.side)
        spread: FloatArray = self.flat + np.stack([across, np.zeros(len(across))], axis=1)
        return spread

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
    front, back = (
        {
            name: _spaced(Edge(name=name, pieces=part), edge_length_m)
            for name, part in quarter.parts.items()
        }
        for quarter in (pattern.front, pattern.back)
    )
    # both quarters share what lies on one another to the last bit
    for part in ("split", "underarm", "sleeve_end", "shoulder"):
        if part in front:
            back[part] = front[part]
    if pattern.front.parts["hem"] == pattern.back.parts["hem"]:
        back["hem"] = front["hem"]
    front_mesh = yield from _quarter(front, edge_length_m)
    back_mesh = yield from _quarter(back, edge_length_m)
    yield
    return _assemble(front_mesh, back_mesh, pattern, edge_length_m)


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


def _spaced(edge: Edge, edge_length_m: float) -> FloatArray:
    """Points (k, 2) on an edge, evenly between knots.

    Knots are its ends, halfway round a rounded corner, and joints where it turns sharply.
    """
    knots = [0.0]
    done = 0.0
    for number, piece in enumerate(edge.pieces):
        turns = number and _turns(edge.pieces[number - 1], piece)
        if turns and done - knots[-1] > CLOSEST_KNOTS * edge_length_m:
            knots.append(done)
        if isinstance(piece, Arc) and piece.circular and len(edge.pieces) > 1:
            knots.append(done + piece.length_m / 2)
        done += piece.length_m
    if len(knots) > 1 and done - knots[-1] < CLOSEST_KNOTS * edge_length_m / 2:
        knots.pop()
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


def sharp_joints_m(edge: Edge) -> list[float]:
    """Distances along an edge at which it turns sharply, metres."""
    found, done_m = [], 0.0
    for before, after in pairwise(edge.pieces):
        done_m += before.length_m
        if _turns(before, after):
            found.append(done_m)
    return found


def _turns(before: Piece, after: Piece) -> bool:
    """Whether the way turns sharply from one piece to the next."""
    (x1, v1), (x2, v2) = before.directions[1], after.directions[0]
    return x1 * x2 + v1 * v2 < SHARP_TURN


def _assemble(front: _Quarter, back: _Quarter, pattern: Pattern, edge_length_m: float) -> PanelMesh:
    """Unfold and mirror the two quarters, and weld copies along the fold and uncut middle lines."""
    cut = pattern.cut
    points = np.concatenate([front.points, back.points * (1, -1)])
    triangles = np.concatenate([front.triangles, back.triangles[:, [0, 2, 1]] + len(front.points)])
    copies = np.concatenate([points, points * (-1, 1)]) + 0.0  # no negative zeros
    side = np.repeat([1.0, -1.0], len(points))
    is_front = np.tile(np.arange(len(points)) < len(front.points), 2)
    in_middle = copies[:, 0] == 0
    on_fold = ~is_front if cut.seamed else copies[:, 1] >= 0
    if cut.front is Front.CLOSED:
        side[in_middle] = 0
    elif cut.front is Front.EDGE_TO_EDGE:
        side[~in_middle | on_fold] = 0  # a vertex of its own on the front cut only
    else:
        side[in_middle & ~is_front] = 0
    # fronts that overlap come one after the other, the right one first; so do halves that are seamed
    keys, vertex = np.unique(
        np.column_stack(
            [
                side if cut.front is Front.OVERLAPPING else np.zeros(len(side)),
                copies,
                side,
                is_front if cut.seamed else np.zeros(len(side)),
            ]
        ),
        axis=0,
        return_inverse=True,
    )
    vertex = vertex.reshape(-1)
    left, right = vertex[: len(points)], vertex[len(points) :]
    mirror = np.zeros(len(keys), dtype=np.int64)
    mirror[left], mirror[right] = right, left
    chains = {
        ("front", "left"): {name: left[chain] for name, chain in front.chains.items()},
        ("front", "right"): {name: right[chain] for name, chain in front.chains.items()},
        ("back", "left"): {
            name: left[chain + len(front.points)] for name, chain in back.chains.items()
        },
        ("back", "right"): {
            name: right[chain + len(front.points)] for name, chain in back.chains.items()
        },
    }
    edges = {name: chain for name, chain in _named(chains).items() if name in pattern.edges}
    return PanelMesh(
        flat=np.ascontiguousarray(keys[:, 1:3]),
        triangles=np.concatenate([left[triangles], right[triangles[:, [0, 2, 1]]]]),
        seam_pairs=_seam_pairs(edges),
        rim=np.unique(np.concatenate([chain for name, chain in edges.items() if not sewn(name)])),
        edges=MappingProxyType({name: edges[name] for name in pattern.edges}),
        mirror=mirror,
        edge_length_m=edge_length_m,
    )


def _seam_pairs(edges: Mapping[str, IntArray]) -> IntArray:
    """Front and back vertices of all seams, each from the sleeve end on."""
    pairs = [
        np.stack([edges["underarm_front_left"][::-1], edges["underarm_back_left"]], axis=1),
        np.stack([edges["underarm_front_right"], edges["underarm_back_right"][::-1]], axis=1),
    ]
    if "shoulder_front_left" in edges:
        pairs += [
            np.stack([edges["shoulder_front_left"], edges["shoulder_back_left"][::-1]], axis=1),
            np.stack([edges["shoulder_front_right"][::-1], edges["shoulder_back_right"]], axis=1),
        ]
    return np.concatenate(pairs)


def _named(chains: Mapping[tuple[str, str], Mapping[str, IntArray]]) -> dict[str, IntArray]:
    """Chains of the pattern's edges, from the chains of the four quarters.

    A quarter's chains run from the centre of the hem round the sleeve end to the neck and back to
    the hem; that is the pattern's direction on the front left and the back right.
    """

    def seen(half: str, side: str, part: str) -> IntArray:
        chain = chains[half, side].get(part, np.zeros(0, dtype=np.int64))
        return chain if (half == "front") == (side == "left") else chain[::-1]

    def joined(part: str, *places: tuple[str, str]) -> IntArray:
        chain = np.concatenate([seen(half, side, part) for half, side in places])
        # neighbouring chains share the vertex at their joint
        kept: IntArray = chain[np.concatenate([[True], chain[1:] != chain[:-1]])]
        return kept

    left, right = ("front", "left"), ("front", "right")
    back_left, back_right = ("back", "left"), ("back", "right")
    named = {
        f"{part}_{half}_{side}": seen(half, side, part)
        for half, side in chains
        for part in ("hem", "split", "underarm", "shoulder")
    }
    return named | {
        "sleeve_end_left": joined("sleeve_end", left, back_left),
        "hem_back": joined("hem", back_left, back_right),
        "sleeve_end_right": joined("sleeve_end", back_right, right),
        "front_right": seen(*right, "centre"),
        "neck": joined("neck", right, back_right, back_left, left),
        "front_left": seen(*left, "centre"),
    }
