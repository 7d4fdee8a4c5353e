# SPDX-License-Identifier: GPL-3.0-or-later
"""The drape's inner passes: the compiled ones against the array code, energies against forces."""

from collections.abc import Callable
from typing import Any

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from napfold.core.arrays import IntArray
from napfold.core.drape import passes, solving

compiled = pytest.importorskip("napfold.core.drape.passes_compiled")
solving_compiled = pytest.importorskip("napfold.core.drape.solving_compiled")

NODES, TRIANGLES = 30, 40


def sheet(seed: int) -> dict[str, Any]:
    """Random triangles between random nodes, some stretched and some compressed."""
    draw = np.random.default_rng(seed)
    corners = np.argsort(draw.random((TRIANGLES, NODES)), axis=1)[:, :3]
    inverse = np.tile(np.eye(2), (TRIANGLES, 1, 1)) + draw.uniform(-0.3, 0.3, (TRIANGLES, 2, 2))
    return {
        "positions": draw.normal(size=(NODES, 3)),
        "triangles": corners,
        "inverse": inverse,
        "stiffness_n_m": draw.uniform(0.1, 3.0, (TRIANGLES, 3)),
    }


def membrane_inputs(seed: int) -> tuple[Any, ...]:
    parts = sheet(seed)
    # some triangles are pushed together by more than wrinkles take, some by less
    return (*parts.values(), 0.01 * parts["stiffness_n_m"][:, :2], 0.2, 0.1)


def blocks_inputs(seed: int) -> tuple[Any, ...]:
    return (*sheet(seed).values(), 0.01)


def layers_inputs(seed: int) -> tuple[Any, ...]:
    draw = np.random.default_rng(seed)
    normal = draw.normal(size=(TRIANGLES, 3))
    normal /= np.linalg.norm(normal, axis=1, keepdims=True)
    outer, lining = sheet(seed)["triangles"], sheet(seed + 1)["triangles"]
    return (
        draw.normal(size=(NODES, 3)),
        outer,
        lining,
        normal,
        draw.random(TRIANGLES) < 0.5,
        draw.uniform(0.0, 1.0, TRIANGLES),
        draw.uniform(1.0, 2.0, TRIANGLES),
        draw.normal(size=(TRIANGLES, 3)),
        draw.uniform(0.0, 1.0, TRIANGLES),
        draw.uniform(0.1, 1.0, TRIANGLES),
    )


def ends(draw: np.random.Generator) -> IntArray:
    """Nodes that 50 pairs of points are midway between; every other point is a node."""
    pairs = np.argsort(draw.random((50, NODES)), axis=1)[:, :4]
    pairs[::2, 1] = pairs[::2, 0]
    return pairs


def balls_inputs(seed: int) -> tuple[Any, ...]:
    draw = np.random.default_rng(seed)
    return draw.normal(size=(NODES, 3)), ends(draw), draw.uniform(1.0, 2.0, 50), 1.5


def rubs_inputs(seed: int) -> tuple[Any, ...]:
    draw = np.random.default_rng(seed)
    normal = draw.normal(size=(50, 3))
    return (
        draw.normal(size=(NODES, 3)),
        ends(draw),
        normal / np.linalg.norm(normal, axis=1, keepdims=True),
        draw.normal(size=(50, 3)),
        draw.uniform(0.0, 2.0, 50),
        draw.uniform(0.1, 1.0, 50),
    )


def presses_inputs(seed: int) -> tuple[Any, ...]:
    draw = np.random.default_rng(seed)
    normal = draw.normal(size=(TRIANGLES, 3))
    nodes = draw.integers(0, NODES, TRIANGLES)
    figures = (draw.uniform(low, high, TRIANGLES) for low, high in ((0, 2), (0, 1), (1, 2)))
    return draw.normal(size=(NODES, 3)), nodes, normal, *figures, 10.0


def sways_inputs(seed: int) -> tuple[Any, ...]:
    draw = np.random.default_rng(seed)
    places = [draw.normal(size=(NODES, 3)) for _ in range(3)]
    places[1] /= np.linalg.norm(places[1], axis=1, keepdims=True)
    return *places, draw.uniform(0.0, 1.0, NODES), draw.uniform(1.0, 2.0, NODES)


def bends_inputs(seed: int) -> tuple[Any, ...]:
    draw = np.random.default_rng(seed)
    normal = draw.normal(size=(TRIANGLES, 3))
    return (
        draw.normal(size=(NODES, 3)),
        np.argsort(draw.random((TRIANGLES, NODES)), axis=1)[:, :6],
        draw.normal(size=(TRIANGLES, 6, 3)),
        normal / np.linalg.norm(normal, axis=1, keepdims=True),
        draw.normal(size=(TRIANGLES, 3)),
        2.0,
        draw.uniform(0.1, 1.0, TRIANGLES),
    )


def product_inputs(seed: int) -> tuple[Any, ...]:
    draw = np.random.default_rng(seed)
    starts = np.concatenate([[0], np.cumsum(draw.integers(1, 7, NODES))])
    count = starts[-1]
    columns = draw.integers(0, NODES, count)
    return starts, columns, draw.normal(size=count), draw.normal(size=(NODES, 3))


def sum_inputs(seed: int) -> tuple[Any, ...]:
    draw = np.random.default_rng(seed)
    return draw.integers(0, 5, 100), draw.normal(size=100), 6


INPUTS: dict[str, Callable[[int], tuple[Any, ...]]] = {
    "membrane": membrane_inputs,
    "membrane_blocks": blocks_inputs,
    "layers": layers_inputs,
    "balls": balls_inputs,
    "rubs": rubs_inputs,
    "bends": bends_inputs,
    "bent": lambda seed: bends_inputs(seed)[:3],
    "presses": presses_inputs,
    "sways": sways_inputs,
    "sparse_product": product_inputs,
    "sum_at": sum_inputs,
}


@pytest.mark.parametrize("name", INPUTS)
@settings(max_examples=20, deadline=None)
@given(seed=st.integers(0, 10_000))
def test_both_give_the_same(name: str, seed: int) -> None:
    arguments = INPUTS[name](seed)
    twins = (passes, compiled) if name in passes.__all__ else (solving, solving_compiled)
    expected, found = (getattr(module, name)(*arguments) for module in twins)
    if not isinstance(expected, tuple):
        expected, found = (expected,), (found,)
    for one, other in zip(expected, found, strict=True):
        np.testing.assert_allclose(other, one, rtol=1e-9, atol=1e-11)


@settings(max_examples=20, deadline=None)
@given(seed=st.integers(0, 10_000))
def test_both_solve_by_fronts_as_a_dense_solution_does(seed: int) -> None:
    """Two fronts that touch a third: compiled to 16 bits a row, in array code to single precision."""
    draw = np.random.default_rng(seed)
    ends = np.cumsum(draw.integers(1, 15, 3))
    size = ends[-1]
    own = np.split(draw.permutation(size), ends[:-1])
    later = [draw.permutation(own[2])[: draw.integers(1, 15)] for _ in range(2)]
    later.append(np.zeros(0, dtype=np.int64))
    lower = 0.2 * np.tril(draw.normal(size=(size, size)), -1) + np.eye(size)
    lower[ends[0] : ends[1], : ends[0]] = 0.0
    order = np.concatenate(own)
    place = np.argsort(order)
    rows = []
    for mine, others in zip(own, later, strict=True):
        first, end = place[mine[0]], place[mine[-1]] + 1
        inverse = np.linalg.inv(lower[first:end, first:end])
        links = lower[place[others], first:end]
        lower[end:, first:end] = 0.0
        lower[place[others], first:end] = links
        shares = links @ inverse
        rows.append(np.concatenate([inverse.T, -shares.T], axis=1).astype(np.float32))
    right = draw.normal(size=size)
    exact = np.linalg.solve(lower @ lower.T, right[order])[place]
    for module, most in ((solving, 1e-5), (solving_compiled, 2e-3)):
        packed = module.pack_fronts(own, later, rows)
        found = module.solve_fronts(packed, right)
        np.testing.assert_allclose(found, exact, atol=most * np.abs(exact).max())


@pytest.mark.parametrize("size", [1, 7, 48, 131])
@pytest.mark.parametrize("module", [solving, solving_compiled])
def test_the_inverse_of_a_triangle_is_one(module: Any, size: int) -> None:
    draw = np.random.default_rng(size)
    lower = np.tril(draw.uniform(-1, 1, (size, size)) / size, -1) + np.diag(
        draw.uniform(1, 2, size)
    )
    inverse = module.lower_inverse(lower.astype(np.float32))
    assert inverse.dtype == np.float32
    np.testing.assert_array_equal(np.triu(inverse, 1), 0.0)
    np.testing.assert_allclose(inverse @ lower, np.eye(size), atol=1e-5)


def test_both_scatter_the_same() -> None:
    draw = np.random.default_rng(3)
    places, part = np.array([4, 0, 2]), draw.normal(size=(3, 3))
    start = draw.normal(size=(6, 6))
    one, other = start.copy(), start.copy()
    solving.add_scattered(one, places, part)
    solving_compiled.add_scattered(other, places, part)
    expected = start.copy()
    expected[np.ix_(places, places)] += part
    np.testing.assert_array_equal(one, expected)
    np.testing.assert_array_equal(other, expected)


@pytest.mark.parametrize("name", ["membrane", "layers", "balls", "presses", "sways"])
@pytest.mark.parametrize("module", [passes, compiled])
def test_the_gradient_is_the_slope_of_the_energy(module: Any, name: str) -> None:
    arguments = INPUTS[name](5)
    _, gradient = getattr(module, name)(*arguments)
    move = np.random.default_rng(6).normal(size=gradient.shape)
    step = 1e-6
    ends = [
        getattr(module, name)(arguments[0] + sign * step * move, *arguments[1:])[0]
        for sign in (1, -1)
    ]
    np.testing.assert_allclose((ends[0] - ends[1]) / (2 * step), np.vdot(gradient, move), rtol=1e-5)
