"""What hangs together, by the plain code, by the compiled loop and by scipy's graphs; and edges in pairs."""

from __future__ import annotations

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st
from scipy.sparse import coo_matrix, csgraph

from fitcheck.geometry.kernels.connected_components import groups
from fitcheck.geometry.mesh.connected_components import (
    MANY,
    connected_components,
    connected_components_plainly,
)
from fitcheck.geometry.mesh.mesh_components import paired_edges


def by_graph(count: int, ends: np.ndarray) -> np.ndarray:
    links = coo_matrix((np.ones(ends.shape[1]), tuple(ends)), shape=(count, count))
    labels = csgraph.connected_components(links, directed=False)[1]
    first = np.unique(labels, return_index=True)[1]
    return np.argsort(np.argsort(first))[labels]


@given(st.integers(0, 10**6), st.integers(1, 60), st.integers(0, 80))
def test_groups_are_those_of_a_graph(seed: int, count: int, links: int) -> None:
    ends = np.random.default_rng(seed).integers(0, count, (2, links))
    expected = by_graph(count, ends)
    assert (connected_components_plainly(count, ends) == expected).all()
    assert (groups(count, *ends) == expected).all()


def test_many_links_are_joined_alike() -> None:
    ends = np.random.default_rng(3).integers(0, 3 * MANY, (2, MANY))
    assert (connected_components(3 * MANY, *ends) == connected_components_plainly(3 * MANY, ends)).all()


@pytest.mark.parametrize(
    ("triangles", "pairs"),
    [
        ([[0, 1, 2], [1, 0, 3]], {(0, 3)}),
        ([[0, 1, 2], [1, 0, 3], [0, 1, 4]], set()),
        ([[0, 1, 2], [3, 4, 5]], set()),
        ([[0, 1, 2], [2, 1, 3], [0, 2, 3], [0, 3, 1]], {(0, 11), (1, 3), (2, 6), (4, 10), (5, 7), (8, 9)}),
    ],
)
def test_an_edge_that_just_two_triangles_share_is_a_pair(
    triangles: list[list[int]], pairs: set[tuple[int, int]]
) -> None:
    one, other = paired_edges(np.array(triangles))
    assert {(min(pair), max(pair)) for pair in zip(one.tolist(), other.tolist(), strict=True)} == pairs
