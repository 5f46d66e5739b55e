"""A symmetric matrix with a band along its diagonal and a dense border: factor, solve, invert.

Unknowns come in two kinds. **Local** ones stand in an order in which only near ones meet, so that
their part of the matrix is block-tridiagonal; **border** ones may meet any. With no local ones the
matrix is plain dense. The inverse is computed only where the matrix itself has room: by the
backward recursion of Takahashi, Fagan and Chen (1973, from memory), which is exact there.
"""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
from scipy.linalg.blas import dtrsm
from scipy.linalg.lapack import dpotrf, dpotri, dtrtri

from pinset.errors import PinsetError
from pinset.learning.incidence.links import Floats, Ints

_CALLS = 5e5  # multiplications in the time of the calls one block takes; measured


class NotPositiveError(PinsetError):
    """A matrix that should be positive definite is not; the numbers are beyond what is held."""


@dataclass(frozen=True, slots=True)
class Arrow:
    """Room for a matrix of ``blocks`` times ``size`` local unknowns and ``border`` others.

    All entries of one triangle live in one flat array of ``room`` numbers: for each block its
    diagonal block, its coupling to the next block, its coupling to the border; last the corner of
    the border. Local unknown i is number i, border unknown b number ``blocks * size + b``.
    """

    blocks: int
    size: int
    border: int

    @property
    def local(self) -> int:
        """Return how many local unknowns there is room for."""
        return self.blocks * self.size

    @property
    def unknowns(self) -> int:
        """Return the order of the matrix."""
        return self.local + self.border

    @property
    def room(self) -> int:
        """Return how many numbers a matrix takes."""
        return self.local * (2 * self.size + self.border) + self.border**2

    def places(self, one: Ints, other: Ints) -> Ints:
        """Return where the entries of pairs of unknowns live; any shape, order of a pair is free.

        Local unknowns of a pair must be in the same block or in neighbouring ones.
        """
        column, row = np.minimum(one, other), np.maximum(one, other)
        size, border, local = self.size, self.border, self.local
        start = column // max(size, 1) * size
        same = row < start + size
        tied = column * size + (row - start - size) + local * size
        edge = column * border + (row - local) + 2 * local * size
        corner = (column - local) * border + (row - local) + local * (2 * size + border)
        inside = np.where(same, column * size + (row - start), tied)
        outside = np.where(column < local, edge, corner)
        return np.asarray(np.where(row < local, inside, outside))

    def parts(self, flat: Floats) -> tuple[Floats, Floats, Floats, Floats]:
        """Return views of the diagonal blocks, couplings, border strips and corner."""
        square, strip = self.local * self.size, self.local * self.border
        return (
            flat[:square].reshape(self.blocks, self.size, self.size),
            flat[square : 2 * square].reshape(self.blocks, self.size, self.size),
            flat[2 * square : 2 * square + strip].reshape(self.blocks, self.size, self.border),
            flat[2 * square + strip :].reshape(self.border, self.border),
        )

    def work(self) -> float:
        """Return about how many multiplications one factor and its selected inverse take.

        What is spent between the calls of a block counts as so many more.
        """
        size, border = float(self.size), float(self.border)
        block = 5.0 * size**3 + 6.0 * size**2 * border + 2.0 * size * border**2 + _CALLS
        return self.blocks * block + border**3


class Cholesky:
    """The factor of an arrow matrix.

    Parameters
    ----------
    shape : Arrow
        The room.
    flat : ndarray, shape (room,)
        The matrix; overwritten by its factor.

    Raises
    ------
    NotPositiveError
        If the matrix is not positive definite.
    """

    def __init__(self, shape: Arrow, flat: Floats) -> None:
        self.shape = shape
        diagonal, tie, strip, corner = shape.parts(flat)
        for block in range(shape.blocks):
            lower = _factor(diagonal[block])
            tied, edge = tie[block], strip[block]
            # X of X L' = B, in place on the transposed view
            dtrsm(1.0, lower, tied.T, side=1, lower=1, trans_a=1, overwrite_b=1)
            if shape.border:
                dtrsm(1.0, lower, edge.T, side=1, lower=1, trans_a=1, overwrite_b=1)
            if block + 1 < shape.blocks:
                diagonal[block + 1] -= tied.T @ tied
                strip[block + 1] -= tied.T @ edge
        tall = strip.reshape(shape.local, shape.border)
        corner -= tall.T @ tall
        if shape.border:
            _factor(corner)
        self._parts = diagonal, tie, strip, corner

    @property
    def log_determinant(self) -> float:
        """Return the logarithm of the determinant of the matrix."""
        diagonal, _, _, corner = self._parts
        inner = np.log(np.diagonal(diagonal, axis1=1, axis2=2)).sum()
        return float(2.0 * (inner + np.log(np.diagonal(corner)).sum()))

    def solve(self, right: Floats) -> Floats:
        """Return the solution for right-hand sides of shape (unknowns,) or (unknowns, columns)."""
        shape = self.shape
        diagonal, tie, strip, corner = self._parts
        many = right.shape[1] if right.ndim > 1 else 1
        columns = right.reshape(shape.unknowns, many)
        inner = columns[: shape.local].reshape(shape.blocks, shape.size, many).copy()
        outer = columns[shape.local :].copy()
        carried = np.zeros_like(inner[0]) if shape.blocks else inner
        for block in range(shape.blocks):
            inner[block] = dtrsm(1.0, diagonal[block].T, inner[block] - carried, lower=1)
            carried = tie[block].T @ inner[block]
        tall = strip.reshape(shape.local, shape.border)
        if shape.border:
            outer -= tall.T @ inner.reshape(shape.local, many)
            outer = dtrsm(1.0, corner.T, outer, lower=1)
            outer = dtrsm(1.0, corner.T, outer, lower=1, trans_a=1)
            inner -= (tall @ outer).reshape(inner.shape)
        for block in reversed(range(shape.blocks)):
            if block + 1 < shape.blocks:
                inner[block] -= tie[block] @ inner[block + 1]
            inner[block] = dtrsm(1.0, diagonal[block].T, inner[block], lower=1, trans_a=1)
        return np.concatenate([inner.reshape(shape.local, many), outer]).reshape(right.shape)

    def inverse(self) -> Floats:
        """Return the inverse wherever the matrix has room, flat, shape (room,).

        With ``L`` the factor, ``G = L_below L_diagonal^-1`` for each block column: the inverse
        below the diagonal is ``-S G`` with ``S`` the inverse further down, and the diagonal block
        is ``(L L')^-1 + G' S G``.
        """
        shape = self.shape
        diagonal, tie, strip, corner = self._parts
        flat = np.empty(shape.room)
        inv_diagonal, inv_tie, inv_strip, inv_corner = shape.parts(flat)
        if shape.border:
            inv_corner[:] = dpotri(corner.T, lower=1)[0]
            lower = np.tril(inv_corner, -1)
            inv_corner[:] = lower + lower.T + np.diag(np.diagonal(inv_corner))
        last = shape.blocks - 1
        for block in reversed(range(shape.blocks)):
            root = dtrtri(diagonal[block].T, lower=1)[0]
            edge = root.T @ strip[block]
            reach, own = edge @ inv_corner, root.T @ root
            if block == last:
                inv_tie[block] = 0.0
            else:
                gain = root.T @ tie[block]
                reach += gain @ inv_strip[block + 1]
                inv_tie[block] = -(gain @ inv_diagonal[block + 1] + edge @ inv_strip[block + 1].T)
                own -= inv_tie[block] @ gain.T
            inv_strip[block] = -reach
            inv_diagonal[block] = own + reach @ edge.T
        return flat


def _factor(square: Floats) -> Floats:
    """Factor a symmetric block in place; return its lower factor as a view for LAPACK."""
    lower, info = dpotrf(square.T, lower=1, clean=1, overwrite_a=1)
    if info:
        raise NotPositiveError("The records lead to numbers beyond what can be computed with.")
    return np.asarray(lower)
