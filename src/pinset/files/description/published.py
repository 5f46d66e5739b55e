"""The route that published values give for a species: where `from_species` starts."""

from __future__ import annotations

from typing import Any

from pinset.chain.register import Route
from pinset.chain.route_builder import default_route
from pinset.errors import InputError

COLUMN_OF = {
    "substrate": "substrate",
    "start of the route": "starts_at",
    "end of the route": "ends_at",
}
"""Columns by the names under which the route builder refuses their values."""


def published_route(code: str, species: str, choices: dict[str, Any]) -> Route:
    """Return the published route of a species under a code.

    Parameters
    ----------
    code : str
        Code of the route.
    species : str
        Latin or trade name.
    choices : dict
        ``substrate``, ``starts_at`` and ``ends_at`` where they are given.

    Raises
    ------
    InputError
        If nothing is published for the species, or a choice does not fit it; the field is the
        column.
    """
    try:
        return default_route(species, code=code, **choices)
    except InputError as error:
        column = COLUMN_OF.get(error.field, "from_species")
        raise InputError(column, error.given, error.accepted, error.hint) from None
