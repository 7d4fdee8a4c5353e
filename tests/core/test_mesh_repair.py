# SPDX-License-Identifier: GPL-3.0-or-later
"""Mending: components against a plain search, and surfaces that cannot be closed."""

import math

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from napfold.core.errors import InputError
from napfold.core.mannequin.mesh_repair import close, connected_components, lone_body, merged


def test_a_one_sided_band_is_told() -> None:
    angle = np.linspace(0.0, 2 * math.pi, 41)[:-1]
    tilt = np.stack([np.cos(angle / 2), np.sin(angle / 2)], axis=1)
    rims = [
        np.stack([(1 + w * tilt[:, 0]) * np.cos(angle), (1 + w * tilt[:, 0]) * np.sin(angle)], 1)
        for w in (-0.3, 0.3)
    ]
    low, high = (
        np.column_stack([r, w * tilt[:, 1]]) for r, w in zip(rims, (-0.3, 0.3), strict=True)
    )
    i, n = np.arange(39), 40
    rows = np.concatenate(
        [
            np.stack([i, i + 1, i + n], 1),
            np.stack([i + 1, i + n + 1, i + n], 1),
            [[39, n, 79], [n, 0, 79]],  # joined with a half turn
        ]
    )
    with pytest.raises(InputError, match="one side only"):
        close(np.concatenate([low, high]), rows, 1.0)


@given(
    st.integers(1, 40).flatmap(
        lambda n: st.tuples(
            st.just(n),
            st.lists(st.tuples(st.integers(0, n - 1), st.integers(0, n - 1)), max_size=80),
        )
    )
)
def test_components_are_those_of_a_search(graph: tuple[int, list[tuple[int, int]]]) -> None:
    count, edges = graph
    least = list(range(count))
    for _ in range(count):
        for a, b in edges:
            least[a] = least[b] = min(least[a], least[b])
    first, second = np.array(edges, dtype=np.int64).reshape(-1, 2).T
    assert connected_components(count, first, second).tolist() == least


@settings(max_examples=60, deadline=None)
@given(st.integers(0, 2**32 - 1), st.integers(4, 60))
def test_any_triangles_give_a_closed_surface_or_a_sentence(seed: int, count: int) -> None:
    random = np.random.default_rng(seed)
    vertices = random.normal(size=(12, 3)) * [0.2, 0.2, 1.0]
    triangles = random.integers(0, 12, size=(count, 3))
    try:
        vertices, triangles = merged(vertices, triangles)
        vertices, triangles, _ = lone_body(vertices, triangles)
        solid = close(vertices, triangles, 10.0)
    except InputError:
        return
    edges = np.sort(solid.triangles[:, [0, 1, 1, 2, 2, 0]].reshape(-1, 2), axis=1)
    assert (np.unique(edges, axis=0, return_counts=True)[1] == 2).all()
    partner = solid.partners.reshape(-1)
    assert np.array_equal(partner[partner], np.arange(len(partner)))
