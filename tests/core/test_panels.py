# SPDX-License-Identifier: GPL-3.0-or-later
"""What every panel mesh must keep, over cuts and edge lengths that makers would choose."""

import math
from functools import cache
from itertools import pairwise

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from napfold.core.arrays import FloatArray, IntArray
from napfold.core.errors import InputError
from napfold.core.panels import PanelMesh, build_panel_mesh
from napfold.core.pattern import (
    Arc,
    Corner,
    Cubic,
    Cut,
    Front,
    Neck,
    Pattern,
    Shoulder,
    build_pattern,
    fitted,
    largest_overlap_m,
    sewn,
)
from napfold.core.triangulate import corner_angles, unique_edges

INCH = 0.0254
CUT = Cut(
    cloth_width_m=58 * INCH, length_m=54 * INCH, body_width_m=26 * INCH, sleeve_drop_m=8 * INCH
)
PATTERN = build_pattern(CUT)


@cache
def mesh_of(edge_length_m: float) -> PanelMesh:
    return build_panel_mesh(PATTERN, edge_length_m)


@st.composite
def realistic_cuts(draw: st.DrawFn) -> Cut:
    """From a child's short wrap to the widest cloth, with corners sharp and round."""

    def between(low: float, high: float) -> float:
        return low + draw(st.floats(0, 1)) * (high - low)

    cloth = between(0.9, 2.3)
    length = between(0.7, 2.4)
    body = between(0.4, min(1.1, cloth - 0.2))
    drop = between(0.12, min(0.35, length / 2 - 0.1))
    return Cut(
        cloth_width_m=cloth,
        length_m=length,
        body_width_m=body,
        sleeve_drop_m=drop,
        corner_radius_m=between(0.01, min((cloth - body) / 2, length / 2 - drop)),
        neck=draw(st.sampled_from(Neck)),
        neck_width_m=between(0.12, min(0.30, body - 0.1)),
        neck_front_depth_m=between(0.03, min(0.25, length / 2 - 0.1)),
        neck_back_depth_m=between(0.01, 0.08),
    )


def edge_lengths(mesh: PanelMesh) -> FloatArray:
    edges, _ = unique_edges(mesh.triangles)
    lengths: FloatArray = np.linalg.norm(mesh.flat[edges[:, 0]] - mesh.flat[edges[:, 1]], axis=1)
    return lengths


def loop(mesh: PanelMesh) -> IntArray:
    """Vertices once round the boundary, from the named edges end to end."""
    return np.concatenate([chain[:-1] for chain in mesh.edges.values()])


def shoelace(points: FloatArray) -> float:
    x, v = points.T
    return float((x * np.roll(v, -1) - np.roll(x, -1) * v).sum() / 2)


def triangle_areas(mesh: PanelMesh) -> FloatArray:
    first, second = (
        mesh.flat[mesh.triangles[:, k]] - mesh.flat[mesh.triangles[:, 0]] for k in (1, 2)
    )
    areas: FloatArray = (first[:, 0] * second[:, 1] - first[:, 1] * second[:, 0]) / 2
    return areas


def distance_to_edge(pattern: Pattern, name: str, points: FloatArray) -> FloatArray:
    """Distance of points to a named edge: exact for lines, first order in the gap for arcs."""
    distances = []
    for piece in pattern.edges[name].pieces:
        if isinstance(piece, Cubic):
            distances.append(distance_to_cubic(piece, points))
            continue
        if isinstance(piece, Arc):
            scaled = (points - piece.centre) / (piece.radius_x_m, piece.radius_v_m)
            level = np.hypot(*scaled.T)
            slope = np.linalg.norm(scaled / (piece.radius_x_m, piece.radius_v_m), axis=1)
            turn = piece.end_angle - piece.start_angle
            done = (np.arctan2(*scaled.T[::-1]) - piece.start_angle) * np.sign(turn) + 1e-6
            on_side = np.mod(done, 2 * math.pi) <= abs(turn) + 2e-6
            distances.append(np.where(on_side, np.abs(level - 1) / np.maximum(slope, 1e-9), np.inf))
        else:
            start, along = np.array(piece.start), np.subtract(piece.end, piece.start)
            share = np.clip((points - start) @ along / (along @ along), 0, 1)
            distances.append(np.linalg.norm(points - start - share[:, None] * along, axis=1))
    return np.min(distances, axis=0)


def distance_to_cubic(piece: Cubic, points: FloatArray) -> FloatArray:
    """By bisection of the parameter round the nearest of many samples."""
    share = np.linspace(0, 1, 1001)
    gaps = np.linalg.norm(points[:, None] - piece.place(share), axis=2)
    middle, width = share[gaps.argmin(axis=1)], 1e-3
    for _ in range(40):
        tries = np.clip(middle[:, None] + width * np.array([-1, -0.5, 0, 0.5, 1]), 0, 1)
        there = piece.place(tries.ravel()).reshape(*tries.shape, 2)
        best = np.linalg.norm(points[:, None] - there, axis=2).argmin(axis=1)
        middle, width = tries[np.arange(len(points)), best], width / 2
    return np.linalg.norm(points - piece.place(middle), axis=1)


@st.composite
def cuts_with_options(draw: st.DrawFn) -> Cut:
    """Realistic cuts with every option, each absent, small or large."""
    plain = draw(realistic_cuts())
    share = st.sampled_from([0.0, 0.3, 1.0])
    seamed = draw(st.sampled_from(Shoulder))
    fronts = [front for front in Front if front is not Front.OVERLAPPING]
    sleeve_m = (plain.cloth_width_m - plain.body_width_m) / 2
    overlap_m = largest_overlap_m(plain.neck, plain.neck_width_m, plain.neck_front_depth_m)
    changes = {
        "corner": draw(st.sampled_from(Corner)),
        "shoulder": seamed,
        "front": draw(st.sampled_from(Front if seamed is Shoulder.SEAMED else fronts)),
        "front_overlap_m": 0.02 + draw(share) * (overlap_m - 0.02),
        "shoulder_drop_m": draw(share) * 0.06 if seamed is Shoulder.SEAMED else 0.0,
        "sleeve_shortened_m": draw(share) * (sleeve_m - 0.10),
        "hem_curve_m": draw(share) * 0.04,
        "back_longer_m": draw(share) * 0.06,
    }
    cut = fitted(plain, sleeve_drop_m=min(plain.sleeve_drop_m, plain.length_m / 2 - 0.2), **changes)
    cut = fitted(cut, cuff_depth_m=draw(share) * max(0.0, (cut.sleeve_m - 0.08) / 2))
    narrow_m = draw(st.sampled_from([None, 0.4, 0.9]))
    if narrow_m is not None:
        straight_m = cut.straight_end_m or min(0.05, cut.sleeve_m / 2)
        least_m = max(0.12, cut.sleeve_opening_m - 1.9 * (cut.sleeve_m - straight_m))
        cut = fitted(cut, wrist_opening_m=least_m + narrow_m * (cut.sleeve_opening_m - least_m))
    side_m = cut.side_end_m - cut.sleeve_drop_m
    return fitted(
        cut,
        side_flare_m=draw(share) * min(cut.sleeve_m, 0.5 * side_m, 0.15),
        side_split_m=draw(share) * (side_m - 0.08),
    )


def check(mesh: PanelMesh, pattern: Pattern) -> None:
    count = len(mesh.flat)
    edges, uses = unique_edges(mesh.triangles)
    ring = loop(mesh)

    # a disc: manifold, Euler characteristic 1, every vertex used, one loop as its only border
    assert uses.max() == 2
    assert count - len(edges) + len(mesh.triangles) == 1
    assert np.array_equal(np.unique(mesh.triangles), np.arange(count))
    assert len(np.unique(ring)) == len(ring)
    sides = np.sort(np.stack([ring, np.roll(ring, -1)], axis=1), axis=1)
    np.testing.assert_array_equal(edges[uses == 1], sides[np.lexsort(sides.T[::-1])])

    # shape: counter-clockwise, no sliver, edges near the length asked for
    areas = triangle_areas(mesh)
    np.testing.assert_allclose(areas.sum(), shoelace(mesh.flat[ring]), rtol=1e-12)
    assert np.degrees(corner_angles(mesh.flat, mesh.triangles).min()) >= 25
    lengths = edge_lengths(mesh) / mesh.edge_length_m
    assert 0.9 <= np.median(lengths) <= 1.1
    assert lengths.max() < 1.7
    assert lengths.min() > 0.5

    # the outline
    assert list(mesh.edges) == list(pattern.edges)
    for name, chain in mesh.edges.items():
        points = mesh.flat[chain]
        edge = pattern.edges[name]
        np.testing.assert_allclose(points[[0, -1]], (edge.start, edge.end), rtol=0, atol=1e-12)
        assert distance_to_edge(pattern, name, points).max() < 1e-9
    for chain, following in pairwise([*mesh.edges.values(), mesh.edges["hem_front_left"]]):
        assert chain[-1] == following[0]

    # mirror: exact, an involution, and triangles map to triangles
    np.testing.assert_array_equal(mesh.flat[mesh.mirror], mesh.flat * (-1, 1))
    np.testing.assert_array_equal(mesh.mirror[mesh.mirror], np.arange(count))
    mirrored = {frozenset(row) for row in mesh.mirror[mesh.triangles].tolist()}
    assert mirrored == {frozenset(row) for row in mesh.triangles.tolist()}

    # seams: exact partners across the fold, all of both underarm edges
    front, back = mesh.seam_pairs.T
    np.testing.assert_array_equal(mesh.flat[front], mesh.flat[back] * (1, -1))
    assert (mesh.flat[front, 1] < 0).all()
    for half, column in (("front", front), ("back", back)):
        chains = [mesh.edges[f"underarm_{half}_{side}"] for side in ("left", "right")]
        np.testing.assert_array_equal(np.sort(column), np.sort(np.concatenate(chains)))
    # the rim is the rest of the border, with the seams' ends
    seam_inside = np.concatenate(
        [chain[1:-1] for name, chain in mesh.edges.items() if name.startswith("underarm")]
    )
    np.testing.assert_array_equal(mesh.rim, np.setdiff1d(ring, seam_inside))

    # duplicates on the front cut alone
    _, first_at, copies = np.unique(mesh.flat, axis=0, return_index=True, return_counts=True)
    assert copies.max() == 2
    left, right = mesh.edges["front_left"], mesh.edges["front_right"]
    assert not set(left) & set(right)
    assert set(first_at[copies == 2]) <= set(left) | set(right)
    assert (copies == 2).sum() == len(left)
    assert (mesh.flat[left, 0] == 0).all()

    # the fold is a line of edges from the neck to each sleeve end
    on_fold = mesh.flat[edges][:, :, 1] == 0
    folded = edges[on_fold.all(axis=1)]
    along_m = pattern.cut.cloth_width_m
    if pattern.cut.neck is not Neck.HIGH_BACK:  # whose neckline goes on along it
        along_m -= pattern.cut.neck_width_m
    np.testing.assert_allclose(
        np.abs(np.diff(mesh.flat[folded, 0], axis=1)).sum(), along_m, rtol=1e-12
    )


@settings(deadline=None, max_examples=15)
@given(realistic_cuts(), st.floats(math.log(0.02), math.log(0.06)))
def test_every_realistic_cut_is_meshed_well(cut: Cut, log_edge_length: float) -> None:
    pattern = build_pattern(cut)
    check(build_panel_mesh(pattern, math.exp(log_edge_length)), pattern)


@settings(deadline=None, max_examples=40)
@given(cuts_with_options(), st.sampled_from([0.024, 0.036]))
def test_every_option_is_meshed_well(cut: Cut, edge_length_m: float) -> None:
    pattern = build_pattern(cut)
    mesh = build_panel_mesh(pattern, edge_length_m)
    assert list(mesh.edges) == list(pattern.edges)
    edges, uses = unique_edges(mesh.triangles)
    # halves joined at the shoulders alone are pieces of their own; a closed front leaves a hole
    sewn_to_be = cut.shoulder is Shoulder.SEAMED
    characteristic = {
        (False, Front.EDGE_TO_EDGE): 1,
        (False, Front.CLOSED): 0,
        (True, Front.EDGE_TO_EDGE): 3,
        (True, Front.OVERLAPPING): 3,
        (True, Front.CLOSED): 2,
    }[sewn_to_be, cut.front]
    assert len(mesh.flat) - len(edges) + len(mesh.triangles) == characteristic
    border = np.unique(np.concatenate(list(mesh.edges.values())))
    np.testing.assert_array_equal(np.unique(edges[uses == 1]), border)
    # chords leave out or add slivers of second order
    allowed_m2 = 0.02 * edge_length_m * pattern.outline_length_m
    assert abs(triangle_areas(mesh).sum() - pattern.area_m2) < allowed_m2
    assert triangle_areas(mesh).min() > 0
    assert np.degrees(corner_angles(mesh.flat, mesh.triangles).min()) >= 25
    for name, chain in mesh.edges.items():
        assert distance_to_edge(pattern, name, mesh.flat[chain]).max() < 1e-9
    np.testing.assert_array_equal(mesh.flat[mesh.mirror], mesh.flat * (-1, 1))
    np.testing.assert_array_equal(mesh.side[mesh.mirror], -mesh.side)
    left = mesh.edges["underarm_front_left"]
    np.testing.assert_array_equal(mesh.side[left], 1)
    front, back = mesh.seam_pairs.T
    np.testing.assert_array_equal(mesh.flat[front], mesh.flat[back] * (1, -1))
    seams = [chain for name, chain in mesh.edges.items() if sewn(name)]
    np.testing.assert_array_equal(np.unique(mesh.seam_pairs), np.unique(np.concatenate(seams)))


@pytest.mark.parametrize("edge_length_m", [0.060, 0.030, 0.015])
def test_the_reference_wrap_is_meshed_well(edge_length_m: float) -> None:
    check(mesh_of(edge_length_m), PATTERN)


def test_a_fine_mesh_keeps_its_quality() -> None:
    cut = Cut(cloth_width_m=0.9, length_m=0.7, body_width_m=0.42, sleeve_drop_m=0.16)
    pattern = build_pattern(cut)
    check(build_panel_mesh(pattern, 0.008), pattern)


def test_area_converges_to_the_exact_one() -> None:
    """Chords cut a second-order sliver off each arc, so halving them leaves about a quarter."""
    errors = [
        abs(triangle_areas(mesh_of(length)).sum() - PATTERN.area_m2) for length in (0.030, 0.015)
    ]
    assert errors[1] < 3e-4
    assert 2.8 < errors[0] / errors[1] < 5.6


def test_vertex_count_is_that_of_equilateral_triangles() -> None:
    """One vertex has two triangles of area sqrt(3)/4 h² each, but for the border's share."""
    expected = PATTERN.area_m2 / (math.sqrt(3) / 2 * 0.015**2)
    assert 1.0 < len(mesh_of(0.015).flat) / expected < 1.05


def test_no_direction_is_preferred() -> None:
    """The means of cos and sin of 2, 4 and 6 times the direction of inner edges nearly vanish.

    A lattice with a line along the cloth would have a sixfold mean of 1.
    """
    mesh = mesh_of(0.015)
    edges, uses = unique_edges(mesh.triangles)
    offset = np.diff(mesh.flat[edges[uses == 2]], axis=1)[:, 0]
    direction = np.arctan2(offset[:, 1], offset[:, 0])
    for fold in (2, 4, 6):
        assert abs(np.exp(1j * fold * direction).mean()) < 0.05


def test_the_same_job_gives_the_same_bits() -> None:
    first, second = (build_panel_mesh(PATTERN, 0.04) for _ in range(2))
    np.testing.assert_array_equal(first.flat, second.flat)
    np.testing.assert_array_equal(first.triangles, second.triangles)


def test_seams_run_from_the_sleeve_end_to_the_hem() -> None:
    mesh = mesh_of(0.030)
    half = len(mesh.seam_pairs) // 2
    for pairs, sign in ((mesh.seam_pairs[:half], 1), (mesh.seam_pairs[half:], -1)):
        ends = mesh.flat[pairs[[0, -1], 0]]
        expected = [(sign * 29 * INCH, -8 * INCH), (sign * 13 * INCH, -27 * INCH)]
        np.testing.assert_allclose(ends, expected, rtol=0, atol=1e-12)
        steps = np.linalg.norm(np.diff(mesh.flat[pairs[:, 0]], axis=0), axis=1)
        assert steps.max() < 1.2 * mesh.edge_length_m


def test_two_layer_view() -> None:
    mesh = mesh_of(0.060)
    count, faces = len(mesh.flat), len(mesh.triangles)
    both = mesh.two_layer_triangles()
    assert both.shape == (2 * faces, 3)
    np.testing.assert_array_equal(both[:faces], mesh.triangles)
    flat = np.concatenate([mesh.flat, mesh.flat])
    assert (corner_angles(flat, both[faces:]) < 0).all()  # turned over
    assert both[faces:].min() == count
    np.testing.assert_array_equal(
        mesh.two_layer_seam_pairs()[len(mesh.seam_pairs) :], mesh.seam_pairs + count
    )
    np.testing.assert_array_equal(np.diff(mesh.rim_pairs(), axis=1), count)


@pytest.mark.parametrize("edge_length_m", [0.0, 0.0039, 0.0601, math.nan])
def test_edge_length_out_of_range_is_refused(edge_length_m: float) -> None:
    with pytest.raises(InputError, match="4 to 60 mm"):
        build_panel_mesh(PATTERN, edge_length_m)
