"""The route that published values give for a species: where `from_species` starts."""

from __future__ import annotations

from pinset.chain.register import Route
from pinset.errors import InputError


def published_route(species: str, code: str) -> Route:
    """Return the published route of a species under a code.

    Raises
    ------
    InputError
        If nothing is published for the species.
    """
    del code
    raise InputError("from_species", species, "every step described in full")
