# SPDX-License-Identifier: GPL-3.0-or-later
"""What lies near what: against a full search, and the compiled search against the array code."""

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from napfold.core.drape import search

compiled = pytest.importorskip("napfold.core.drape.search_compiled")


@settings(max_examples=40, deadline=None)
@given(
    seed=st.integers(0, 10_000),
    count=st.integers(1, 60),
    radius_m=st.floats(0.02, 0.5),
    apart_m=st.floats(0.0, 0.6),
)
def test_close_pairs_are_those_of_a_full_search(
    seed: int, count: int, radius_m: float, apart_m: float
) -> None:
    draw = np.random.default_rng(seed)
    points = draw.uniform(-0.5, 0.5, size=(count, 3))
    rest = draw.uniform(-0.5, 0.5, size=(count, 2, 2))
    near = ((points[:, None] - points[None]) ** 2).sum(axis=2) < radius_m**2
    between = rest[:, None, :, None] - rest[None, :, None, :]
    far = ((between**2).sum(axis=4) > apart_m**2).all(axis=(2, 3))
    expected = np.argwhere(np.triu(near & far, k=1))
    for module in (search, compiled):
        found = module.close_pairs(points, rest, radius_m, apart_m)
        np.testing.assert_array_equal(found, expected)


@settings(max_examples=40, deadline=None)
@given(
    seed=st.integers(0, 10_000),
    counts=st.tuples(st.integers(1, 60), st.integers(1, 60)),
    radius_m=st.floats(0.02, 0.5),
)
def test_close_points_lie_in_the_runs(seed: int, counts: tuple[int, int], radius_m: float) -> None:
    draw = np.random.default_rng(seed)
    first, second = (draw.uniform(-0.5, 0.5, size=(count, 3)) for count in counts)
    square = ((first[:, None] - second[None]) ** 2).sum(axis=2)
    expected = {tuple(pair) for pair in np.argwhere(square < radius_m**2).tolist()}
    one, other, begin, length = search.runs_near(first, second, radius_m)
    found = [
        (one[row], other[place])
        for row in range(len(first))
        for start, count in zip(begin[row], length[row], strict=True)
        for place in range(start, start + count)
    ]
    assert len(set(found)) == len(found)
    assert set(found) >= expected


@settings(max_examples=20, deadline=None)
@given(seed=st.integers(0, 10_000))
def test_both_find_the_same_crossings(seed: int) -> None:
    """Random triangles in a small box cross each other in many places."""
    draw = np.random.default_rng(seed)
    positions = draw.uniform(-0.5, 0.5, size=(60, 3))
    triangles = np.arange(60).reshape(20, 3)
    edges = triangles[:, [0, 1, 1, 2, 2, 0]].reshape(-1, 2)
    expected, found = (
        {tuple(pair) for pair in module.piercings(positions, edges, triangles).tolist()}
        for module in (search, compiled)
    )
    assert found == expected
    assert len(found) > 0
