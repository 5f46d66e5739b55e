"""Tells which species of the varieties the tables of published values do not know."""

from __future__ import annotations

from collections.abc import Iterable

from pinset.chain.start_values import published_species
from pinset.files.description.place import Report, nearest, shown
from pinset.files.description.rows import Row


def check_species(varieties: Iterable[Row], report: Report) -> None:
    """Warn of a species that reads like a slip, and note any other that is not in the tables.

    It may be grown all the same: its values are those of its route. Only the readings of its grow
    rooms are held against what is published of the species.
    """
    known = published_species()
    latin = {name.casefold(): name for name in known.values()}
    for row in varieties:
        given = str(row.get("species") or "")
        said = given.strip().casefold()
        if not said or said in known:
            continue
        close = nearest(said, latin)
        is_slip = bool(close) and not said.startswith(f"{close} ")  # "... var. florida" is none
        (report.warn if is_slip else report.note)(
            "species-unknown",
            row.at("species"),
            f"nothing is published here of a species {shown(given)}: it is taken as it is given, "
            "and readings of its grow rooms are not held against published ones.",
            f"Did you mean {latin[close]}?" if is_slip else f"Known: {', '.join(latin.values())}.",
        )
