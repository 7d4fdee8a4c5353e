# SPDX-License-Identifier: GPL-3.0-or-later
"""Every option of the cut hangs soundly: nothing passes through anything, the layers in order."""

from dataclasses import replace
from functools import cache

import numpy as np
import pytest
from napfold.core.cloth import library
from napfold.core.cut_line import Allowances, finished_cut
from napfold.core.drape import Drape, run, settle
from napfold.core.mannequin import Mannequin, build_mannequin
from napfold.core.pattern import Corner, Cut, Front, Neck, Shoulder, build_pattern
from napfold.core.tape import Tape

from .options import CUTS, PLAIN

PLUSH = library()["light plush"]
DRAPED = {
    "closed": CUTS["closed"],
    "overlapping": CUTS["overlapping"],
    "oval neck, curved hem": replace(PLAIN, neck=Neck.OVAL, hem_curve_m=0.08),
    "high back, longer back": replace(PLAIN, neck=Neck.HIGH_BACK, back_longer_m=0.12),
    "diagonal corner, cuff": replace(CUTS["cuff"], corner=Corner.DIAGONAL),
    "square corner, sloped": replace(CUTS["sloped"], corner=Corner.SQUARE),
    "flared, shortened": replace(PLAIN, side_flare_m=0.10, sleeve_shortened_m=0.15),
    "split, seamed": replace(CUTS["split"], shoulder=Shoulder.SEAMED),
}


@cache
def mannequin() -> Mannequin:
    return build_mannequin(
        Tape(sex="female", given={"height": 1.68, "bust_girth": 0.965, "hip_girth": 1.04})
    )


@cache
def draped(name: str) -> Drape:
    cut: Cut = finished_cut(DRAPED[name], Allowances())
    pattern = build_pattern(cut)
    return run(settle(pattern, PLUSH, PLUSH, mannequin(), "standing", edge_length_m=0.025))


@pytest.mark.parametrize("name", DRAPED)
def test_it_hangs_soundly(name: str) -> None:
    drape = draped(name)
    assert drape.converged, drape.reasons
    middles = 3 * len(drape.panel.triangles)
    for fault in (
        "edges_through_the_other_layer",
        "edges_through_their_own_layer",
        "pairs_out_of_order",
    ):
        # chance leaves one or two in the sharpest folds of so coarse a mesh
        assert drape.statistics[fault] <= 0.001 * middles
    assert len(drape.outer) == len(drape.panel.flat)


def test_the_right_front_lies_on_the_left_one() -> None:
    """Where both lie over the centre line, the right one is farther from the body."""
    drape = draped("overlapping")
    flat, side = drape.panel.flat, drape.panel.side
    beyond = side * flat[:, 0] < -0.01
    right, left = np.flatnonzero(beyond & (side < 0)), np.flatnonzero(beyond & (side > 0))
    below = flat[:, 1] < -0.25
    right, left = right[below[right]], left[below[left]]
    assert len(right) == len(left) > 20
    # the right front's edge hangs on the wearer's left
    assert np.median(drape.outer[right, 0]) > 0 > np.median(drape.outer[left, 0])
    ahead_m = drape.outer[left, 1].mean() - drape.outer[right, 1].mean()
    assert ahead_m > PLUSH.thickness_m
    assert DRAPED["overlapping"].front is Front.OVERLAPPING


def test_hems_hang_as_they_are_cut() -> None:
    def height_m(name: str, edge: str) -> float:
        """Height of the hem's middle over its ends at the side."""
        drape = draped(name)
        chain = drape.panel.edges[edge]
        order = chain[np.argsort(np.abs(drape.panel.flat[chain, 0]))]
        return float(drape.outer[order[0], 2] - drape.outer[order[-1], 2])

    # folds and the lift of the front move a hem by a few centimetres
    level = height_m("diagonal corner, cuff", "hem_back")
    assert height_m("oval neck, curved hem", "hem_back") - level == pytest.approx(-0.08, abs=0.04)
    assert height_m("high back, longer back", "hem_back") - level == pytest.approx(-0.12, abs=0.04)


def test_a_side_split_stays_open_below_the_seam() -> None:
    drape = draped("split, seamed")
    front, back = (drape.panel.edges[f"split_{half}_left"] for half in ("front", "back"))
    top, hem = front[-1], front[0]
    np.testing.assert_array_equal(drape.outer[top], drape.outer[back[0]])
    assert np.linalg.norm(drape.outer[hem] - drape.outer[back[-1]]) > 0.005


def test_a_closed_front_has_no_edges_in_front() -> None:
    panel = draped("closed").panel
    assert not any(name.startswith("front") for name in panel.edges)
    in_middle = (panel.flat[:, 0] == 0) & (panel.flat[:, 1] < 0)
    np.testing.assert_array_equal(panel.mirror[in_middle], np.flatnonzero(in_middle))


def test_a_closed_front_is_not_pinched_in_the_middle() -> None:
    drape = draped("closed")
    edges, flat = drape.panel.edges, drape.panel.flat
    chain = np.unique(np.concatenate([edges["hem_front_left"], edges["hem_front_right"]]))
    chain = chain[np.argsort(flat[chain, 0])]
    steps = np.diff(drape.outer[chain], axis=0)
    steps /= np.linalg.norm(steps, axis=1)[:, None]
    turns = np.degrees(np.arccos(np.clip((steps[1:] * steps[:-1]).sum(axis=1), -1, 1)))
    middle = int(np.argmin(np.abs(flat[chain, 0]))) - 1
    # no sharper than the folds beside it; as a half it was pinched to 129 degrees
    assert turns[middle] < 75
