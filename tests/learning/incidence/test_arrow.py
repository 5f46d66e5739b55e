"""The arrow matrix against plain dense algebra."""

from __future__ import annotations

import numpy as np
import pytest
from numpy.typing import NDArray

from pinset.learning.incidence.arrow import Arrow, Cholesky, NotPositiveError

SHAPES = [Arrow(5, 4, 3), Arrow(0, 0, 6), Arrow(4, 3, 0), Arrow(1, 5, 2), Arrow(2, 1, 1)]


def example(shape: Arrow) -> tuple[NDArray[np.float64], NDArray[np.bool_]]:
    """Return a positive definite matrix of that shape, and where it has room."""
    rng = np.random.default_rng(4)
    number = np.arange(shape.unknowns)
    block = np.where(number < shape.local, number // max(shape.size, 1), -9)
    near = np.abs(block[:, None] - block) <= 1
    room = near | (block == -9) | (block[:, None] == -9)
    noise = rng.normal(size=room.shape)
    return np.where(room, noise + noise.T, 0.0) + 4.0 * np.sqrt(len(number)) * np.eye(
        len(number)
    ), room


@pytest.mark.parametrize("shape", SHAPES)
def test_agrees_with_dense_algebra(shape: Arrow) -> None:
    matrix, room = example(shape)
    one, other = np.nonzero(room)
    places = shape.places(one, other)
    assert (places == shape.places(other, one)).all()
    flat = np.zeros(shape.room)
    flat[places] = matrix[room]
    factored, inverse = Cholesky(shape, flat), np.linalg.inv(matrix)

    right = np.random.default_rng(5).normal(size=(shape.unknowns, 2))
    assert factored.solve(right) == pytest.approx(inverse @ right, abs=1e-13)
    assert factored.solve(right[:, 0]) == pytest.approx(inverse @ right[:, 0], abs=1e-13)
    assert factored.log_determinant == pytest.approx(np.linalg.slogdet(matrix)[1], rel=1e-13)
    assert factored.inverse()[places] == pytest.approx(inverse[room], abs=1e-13)


def test_no_two_entries_share_a_place() -> None:
    shape = SHAPES[0]
    one, other = np.nonzero(np.triu(example(shape)[1]))
    places = shape.places(one, other)
    assert len(np.unique(places)) == len(places)
    assert 0 <= places.min() <= places.max() < shape.room


@pytest.mark.parametrize("shape", [Arrow(2, 3, 1), Arrow(0, 0, 4)])
def test_a_matrix_that_is_not_positive_is_refused(shape: Arrow) -> None:
    flat = np.zeros(shape.room)
    number = np.arange(shape.unknowns)
    flat[shape.places(number, number)] = -1.0
    with pytest.raises(NotPositiveError, match="beyond what can be computed"):
        Cholesky(shape, flat)
