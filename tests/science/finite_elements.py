"""A second opinion from scikit-fem: a standing cylinder of layers, quadratic elements."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from dataclasses import dataclass
from itertools import pairwise
from typing import Any

import numpy as np
from numpy import float64
from numpy.typing import NDArray
from scipy.sparse.linalg import splu
from skfem import Basis, BilinearForm, ElementQuad2, FacetBasis, LinearForm, MeshQuad

Values = NDArray[float64]
Property = float | Callable[[Values], Values]


@dataclass(frozen=True)
class Stuff:
    """A layer from wall to wall."""

    height: float
    conductivity: Property
    heat_capacity: Property


@BilinearForm
def stored(u: Any, v: Any, w: Any) -> Any:
    return w.c * u * v * w.x[0]


@BilinearForm
def conducted(u: Any, v: Any, w: Any) -> Any:
    return w.k * (u.grad[0] * v.grad[0] + u.grad[1] * v.grad[1]) * w.x[0]


@BilinearForm
def lost(u: Any, v: Any, w: Any) -> Any:
    return u * v * w.x[0]


@LinearForm
def gained(v: Any, w: Any) -> Any:
    return v * w.x[0]


class Body:
    """The elements of a vessel and what passes its side, top and bottom."""

    def __init__(
        self,
        radius: float,
        layers: Sequence[Stuff],
        surfaces: tuple[float, float, float],
        cells: tuple[int, int],
    ) -> None:
        self.layers = layers
        bounds = np.cumsum([0.0, *(layer.height for layer in layers)])
        edges = [np.linspace(a, b, cells[1] + 1) for a, b in pairwise(bounds)]
        mesh = MeshQuad.init_tensor(
            np.linspace(0, radius, cells[0] + 1), np.unique(np.concatenate(edges).round(12))
        )
        self.basis = Basis(mesh, ElementQuad2())
        middles = self.basis.mapping.F(self.basis.X)[1].mean(axis=1)
        self.layer_of = np.searchsorted(bounds, middles) - 1
        rules = (
            lambda x: np.isclose(x[0], radius),
            lambda x: np.isclose(x[1], bounds[-1]),
            lambda x: np.isclose(x[1], 0.0),
        )
        faces = [
            FacetBasis(mesh, ElementQuad2(), facets=mesh.facets_satisfying(rule, True))
            for rule in rules
        ]
        both = list(zip(surfaces, faces, strict=True))
        self.through = sum(h * lost.assemble(face) for h, face in both)
        self.loads = [h * gained.assemble(face) for h, face in both]
        self.changes = any(callable(x.conductivity) or callable(x.heat_capacity) for x in layers)

    def node(self, place: tuple[float, float]) -> int:
        """Return the node at a place; there must be one."""
        far = np.abs(self.basis.doflocs.T - np.array(place)).max(axis=1)
        assert far.min() < 1e-9, f"no node at {place}"
        return int(np.argmin(far))

    def spread(self, name: str, field: Values) -> Values:
        """Return a property wherever it is integrated."""
        here = np.asarray(self.basis.interpolate(field))
        found = np.empty_like(here)
        for n, layer in enumerate(self.layers):
            value, inside = getattr(layer, name), self.layer_of == n
            found[inside] = value(here[inside]) if callable(value) else value
        return found

    def matrices(self, field: Values) -> tuple[Any, Any]:
        """Return what is stored and what passes, with properties at a field."""
        mass = stored.assemble(self.basis, c=self.spread("heat_capacity", field))
        passes = conducted.assemble(self.basis, k=self.spread("conductivity", field))
        return mass, passes + self.through


def temperatures(
    radius: float,
    layers: Sequence[Stuff],
    surfaces: tuple[float, float, float],
    seconds: Values,
    ambients: tuple[Values, Values, Values],
    start: float,
    places: Sequence[tuple[float, float]],
    *,
    cells: tuple[int, int] = (12, 12),
    parts: int = 1,
) -> Values:
    """Return temperatures at places, shape (readings, places).

    Surfaces and ambients are those of side, top and bottom. Crank and Nicolson in time, properties
    at the middle of the step, found in three passes; readings are in even steps, each in `parts`.
    """
    body = Body(radius, layers, surfaces, cells)
    nodes = [body.node(place) for place in places]
    step = float(seconds[1] - seconds[0]) / parts
    times = seconds[0] + step * np.arange((len(seconds) - 1) * parts + 1)
    drives = sum(
        np.outer(np.interp(times[1:] - step / 2, seconds, ambient), load)
        for ambient, load in zip(ambients, body.loads, strict=True)
    )
    now = before = np.full(body.basis.N, start)
    mass, passes = body.matrices(now)
    solve = splu((mass + step / 2 * passes).tocsc()).solve
    found = [now[nodes]]
    for drive in drives:
        middle = 1.5 * now - 0.5 * before
        for _ in range(3 if body.changes else 1):
            if body.changes:
                mass, passes = body.matrices(middle)
                solve = splu((mass + step / 2 * passes).tocsc()).solve
            after = solve(mass @ now - step / 2 * (passes @ now) + step * drive)
            middle = (now + after) / 2
        now, before = after, now
        found.append(now[nodes])
    return np.array(found)[::parts]
