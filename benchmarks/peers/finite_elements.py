"""A bag in scikit-fem: quadratic elements on half a cylinder, Crank and Nicolson in time."""

from __future__ import annotations

from typing import Any

import numpy as np
from numpy import float64
from numpy.typing import NDArray
from scipy.sparse.linalg import splu
from skfem import Basis, BilinearForm, ElementQuad2, FacetBasis, LinearForm, MeshQuad

Values = NDArray[float64]


def core(
    radius: float,
    height: float,
    conductivity: float,
    heat_capacity: float,
    surface: float,
    seconds: Values,
    chamber: Values,
    start: float,
    cells: int = 8,
) -> Values:
    """Return the temperature at the core at each reading, in even steps."""
    mesh = MeshQuad.init_tensor(
        np.linspace(0, radius, cells + 1), np.linspace(0, height / 2, cells + 1)
    )
    element = ElementQuad2()
    basis = Basis(mesh, element)
    outside = mesh.facets_satisfying(
        lambda x: np.isclose(x[0], radius) | np.isclose(x[1], height / 2), boundaries_only=True
    )
    faces = FacetBasis(mesh, element, facets=outside)

    @BilinearForm
    def stored(u: Any, v: Any, w: Any) -> Any:
        return heat_capacity * u * v * w.x[0]

    @BilinearForm
    def conducted(u: Any, v: Any, w: Any) -> Any:
        return conductivity * (u.grad[0] * v.grad[0] + u.grad[1] * v.grad[1]) * w.x[0]

    @BilinearForm
    def lost(u: Any, v: Any, w: Any) -> Any:
        return surface * u * v * w.x[0]

    @LinearForm
    def gained(v: Any, w: Any) -> Any:
        return surface * v * w.x[0]

    mass = stored.assemble(basis)
    stiffness = conducted.assemble(basis) + lost.assemble(faces)
    load = gained.assemble(faces)
    step = float(seconds[1] - seconds[0])
    forward = splu((mass + step / 2 * stiffness).tocsc())
    backward = (mass - step / 2 * stiffness).tocsr()
    place = basis.nodal_dofs[0, np.argmin(np.sum(mesh.p**2, axis=0))]
    now = np.full(basis.N, start)
    found = np.empty(len(seconds))
    found[0] = start
    for n in range(1, len(seconds)):
        drive = step / 2 * (chamber[n] + chamber[n - 1])
        now = forward.solve(backward @ now + drive * load)
        found[n] = now[place]
    return found
