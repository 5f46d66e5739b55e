"""What of a variety can be sold: picked mushrooms, or units that its route makes."""

from __future__ import annotations

from pinset.chain.register import FarmBook, StepKind

PICKED = "picked"
MAKING = frozenset({StepKind.TRANSFER, StepKind.BUY})
"""Kinds of steps whose units can be handed over: the others only wait or bear fruit."""


def sold_of(book: FarmBook, variety: str) -> tuple[str, ...]:
    """Return what of a variety can be sold: ``picked``, or the codes of steps whose units can."""
    routes = {route.code: route for route in book.routes}
    steps = next(
        (routes[v.route].steps for v in book.varieties if v.code == variety and v.route in routes),
        (),
    )
    return (PICKED, *(step.code for step in steps if step.kind in MAKING))
