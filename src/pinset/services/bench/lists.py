"""The lists of a session: what is ticked at its begin and end, and where settle plates stand."""

from __future__ import annotations

from collections.abc import Collection, Iterable, Mapping
from typing import Any

from pinset.errors import InputError
from pinset.services import cautions
from pinset.services.bench.records import Line, Plates
from pinset.tables.bench_checks import CheckList, checks

MOST_PLATES = 50
ENTRY, CLEAN_DOWN, PLATE = CheckList.ENTRY, CheckList.CLEAN_DOWN, CheckList.PLATE


def every_key(which: CheckList) -> tuple[str, ...]:
    """Return the keys of all lines of a list."""
    return tuple(each.key for each in checks(which))


def lines(which: CheckList) -> tuple[Line, ...]:
    """Return the lines of a list."""
    return tuple(Line(each.key, each.words) for each in checks(which))


def list_cautions(which: CheckList) -> tuple[str, ...]:
    """Return the cautions that belong to a list, each once."""
    return cautions.sentences(each.caution for each in checks(which) if each.caution)


def ticked(which: CheckList, given: Iterable[str]) -> list[str]:
    """Return what was ticked, in the order of the list.

    Raises
    ------
    InputError
        If something is on no line of it.
    """
    wanted = set(given)
    known = [each.key for each in checks(which)]
    if unknown := sorted(wanted - set(known)):
        raise InputError("list", ", ".join(unknown), f"one of {', '.join(known)}")
    return [key for key in known if key in wanted]


def unticked(which: CheckList, given: Collection[str]) -> tuple[str, ...]:
    """Return the lines that were not ticked, in words."""
    return tuple(each.words for each in checks(which) if each.key not in given)


def plates_given(given: Mapping[str, int]) -> dict[str, int]:
    """Return settle plates by place, those of which there are none left out.

    Raises
    ------
    InputError
        If a place is unknown or a number cannot be.
    """
    known = {each.key: each.words for each in checks(CheckList.PLATE)}
    for where, count in given.items():
        if where not in known:
            raise InputError("settle plates", where, f"one of {', '.join(known)}")
        if not 0 <= count <= MOST_PLATES:
            raise InputError("settle plates", count, f"0 to {MOST_PLATES} {known[where]}")
    return {where: given[where] for where in known if given.get(where)}


def plates_of(details: Mapping[str, Any]) -> tuple[Plates, ...]:
    """Return the settle plates an entry speaks of."""
    said = dict(details.get("plates", {}))
    return tuple(
        Plates(each.key, each.words, int(said[each.key]))
        for each in checks(CheckList.PLATE)
        if said.get(each.key)
    )
