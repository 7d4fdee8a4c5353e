# SPDX-License-Identifier: GPL-3.0-or-later
"""Whether a drape is sound and at rest, in numbers and in words for the user."""

from collections.abc import Mapping
from dataclasses import dataclass
from types import MappingProxyType

import numpy as np

from ..arrays import FloatArray, IntArray
from ..errors import SolverError
from ..mannequin import BodyDistance, PosedBody
from ..phrases import phrase
from ..slices import Slices
from .crossings import pierced, sheet_edges
from .garment import Garment
from .layer_contact import LayerContact
from .motion import Balance

__all__ = ["Soundness", "examine"]

MOST_INSIDE_M = 0.001
MOST_MOVED_M = 0.002
MOST_STRETCH = 0.35
FEW_SHARE = 0.005
"""Share of mesh edges that may pass through cloth before a drape's figures are in doubt.

Halving the mesh's edges takes the share from 0.6 % to 0.1 % and moves the hem by 4 mm.
"""

POINTS_A_SLICE = 4000
"""So many points are asked for their distance from the body without a pause."""

MOST_USABLE_INSIDE_M = 0.010
"""Cloth deeper in the body than this is no drape: nothing measured on it would mean anything."""


@dataclass(frozen=True, slots=True)
class Soundness:
    """Measures by name with unit, and what is not right, if anything, in sentences.

    ``holds`` is true where the faults are none or so small that the figures measured on the drape
    hold.
    """

    statistics: Mapping[str, float]
    holds: bool
    reasons: tuple[str, ...]


def examine(
    garment: Garment,
    positions: FloatArray,
    body: PosedBody,
    distance: BodyDistance,
    layers: LayerContact,
    balance: Balance,
) -> Slices[Soundness]:
    """Measure a two-layer drape whose contacts were just found, in slices.

    Seams and rims are not measured: their partners are one node. Counts and energy are those of the
    whole garment, also where only half of it was draped.

    Raises
    ------
    SolverError
        The cloth ended up deep inside the body.
    """
    triangles = [garment.node_triangles(sheet) for sheet in (0, 1)]
    edges = [sheet_edges(corners) for corners in triangles]
    middles = positions[np.concatenate(edges)].mean(axis=1)
    node_depth_m = yield from _depth_m(distance, positions)
    middle_depth_m = yield from _depth_m(distance, middles)
    places = np.concatenate([positions, middles])
    support_depth_m = max(
        (-float(support.nearest(places)[0].min()) for support in body.supports), default=0.0
    )
    yield
    crossing = knotted = 0
    for one in (0, 1):
        crossing += yield from _piercing(positions, edges[one], triangles[1 - one])
        knotted += yield from _piercing(positions, edges[one], triangles[one])
        knotted += _beyond_middle(garment, positions, edges[one])
    out_of_order = layers.out_of_order(positions)
    strains = garment.membrane.strains(positions)
    depth_m = max(node_depth_m, middle_depth_m)
    if node_depth_m > MOST_USABLE_INSIDE_M:
        raise SolverError(
            f"The drape failed: cloth ended up {node_depth_m * 100:.0f} cm inside the body."
            " Choose a deeper sleeve, a wider body part or a finer mesh edge."
        )
    halves = 2.0 if len(garment.middle) else 1.0
    statistics = {
        "nodes_inside_body_m": node_depth_m,
        "edges_inside_body_m": middle_depth_m,
        "inside_chair_or_bed_m": max(support_depth_m, 0.0),
        "edges_through_the_other_layer": halves * crossing,
        "edges_through_their_own_layer": halves * knotted,
        "pairs_out_of_order": halves * out_of_order,
        "stretch_across_99_9_percentile": float(np.percentile(strains[:, 0], 99.9)),
        "stretch_along_99_9_percentile": float(np.percentile(strains[:, 1], 99.9)),
        "out_of_balance_force_over_weight": balance.mean_force,
        "largest_out_of_balance_force_over_weight": balance.largest_force,
        "moved_in_last_round_99_percentile_m": balance.most_moved_m,
        "farthest_moved_in_last_round_m": balance.farthest_moved_m,
        "energy_j": halves * balance.energy_j,
    }
    stretch = float(np.percentile(strains[:, :2], 99.9))
    few = FEW_SHARE * len(middles)
    # what is wrong, whether it puts the figures in doubt, and in words
    faults = (
        (
            depth_m > MOST_INSIDE_M,
            True,
            phrase("The cloth reaches {depth} mm into the body.", depth=f"{depth_m * 1e3:.1f}"),
        ),
        (
            support_depth_m > MOST_INSIDE_M,
            True,
            phrase(
                "The cloth reaches {depth} mm into the chair or bed.",
                depth=f"{support_depth_m * 1e3:.1f}",
            ),
        ),
        (
            crossing + out_of_order > 0,
            crossing > few or out_of_order > FEW_SHARE * len(triangles[0]),
            phrase(
                "Outer and lining pass through each other in {share} of the cloth.",
                share=_share(crossing, middles),
            ),
        ),
        (
            knotted > 0,
            knotted > few,
            phrase(
                "The wrap passes through itself in {share} of the cloth.",
                share=_share(knotted, middles),
            ),
        ),
        (
            stretch > MOST_STRETCH,
            True,
            phrase("Some of the cloth is stretched more than cloth of its kind would stand."),
        ),
        (
            balance.most_moved_m > MOST_MOVED_M,
            True,
            phrase(
                "The wrap is not quite at rest: some places still moved by {distance} mm.",
                distance=f"{balance.most_moved_m * 1e3:.1f}",
            ),
        ),
    )
    return Soundness(
        MappingProxyType(statistics),
        holds=not any(wrong and grave for wrong, grave, _ in faults),
        reasons=tuple(words for wrong, _, words in faults if wrong),
    )


def _depth_m(distance: BodyDistance, points: FloatArray) -> Slices[float]:
    """How deep the deepest of points (k, 3) lies under the skin, or 0."""
    deepest_m = 0.0
    for first in range(0, len(points), POINTS_A_SLICE):
        near = distance.nearest(points[first : first + POINTS_A_SLICE])
        deepest_m = max(deepest_m, -float(near.distance.min()))
        yield
    return deepest_m


def _piercing(positions: FloatArray, edges: IntArray, triangles: IntArray) -> Slices[int]:
    """How many of the edges pass through a triangle."""
    pairs = yield from pierced(positions, edges, triangles)
    return len(np.unique(pairs[:, 0]))


def _beyond_middle(garment: Garment, positions: FloatArray, edges: IntArray) -> int:
    """How many edges (e, 2) of half a garment reach into its mirror image."""
    if not len(garment.middle):
        return 0
    beyond = positions[:, 0] < 0
    beyond[garment.middle] = False
    return int(beyond[edges].any(axis=1).sum())


def _share(edges: int, middles: FloatArray) -> str:
    """Edges as a share of all, told so that few never read as none."""
    share = edges / len(middles)
    return f"{share:.1%}" if share >= 0.001 else phrase("less than 0.1%")
