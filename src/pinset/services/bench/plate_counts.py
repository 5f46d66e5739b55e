"""Colonies on the settle plates of a session, written down days later."""

from __future__ import annotations

from collections.abc import Mapping
from datetime import timedelta

from django.db import transaction

from pinset.errors import InputError, RefusedError
from pinset.farm import whereabouts
from pinset.farm.trade.benchwork import Word
from pinset.services.answers.when_said import refuse_ahead
from pinset.services.bench.beginning import Said, done, is_known, noted_already, write
from pinset.services.bench.sessions import session
from pinset.services.clock import now_utc
from pinset.services.plans import planning_day
from pinset.services.views import Done
from pinset.services.words import plural
from pinset.tables.bench_checks import CheckList, checks

MOST_COLONIES = 500
MOST_MINUTES = 1440
SHOW_AFTER = timedelta(days=2)
"""Sooner than so long after the session began hardly a colony shows; common practice, no source."""

DRIES_MIN = 240
"""Plates dry out when they stand open longer in moving air (EU GMP Annex 1 allows 4 h)."""


def write_counts(
    code: str, said: Said, colonies: Mapping[str, int], minutes: int | None = None
) -> Done:
    """Write down the colonies on the settle plates of a session; a later count stands for it.

    Parameters
    ----------
    code : str
        Of the session.
    said : Said
        Who, by which tap.
    colonies : mapping of str to int
        On all plates of each place together; every place where plates stood needs a number.
    minutes : int, optional
        That each stood open; how long the session lasted if None. [min]

    Raises
    ------
    InputError
        If a number cannot be, or a place has no plates or no count.
    RefusedError
        If there is no such session, or no plates were set out in it.
    """
    now = now_utc()
    book, _ = planning_day.farm_book(now)
    refuse_ahead(said.at, now, book)
    with transaction.atomic():
        whereabouts.wait_for_the_pen()
        found = session(code, now)
        stood = {each.where: each.count for each in found.plates_out}
        if not stood:
            raise RefusedError(
                "No settle plates were written down in this session.",
                "Set them out on the page of the bench while it goes on.",
            )
        open_min = found.minutes if minutes is None else minutes
        if not 1 <= open_min <= MOST_MINUTES:
            raise InputError("minutes open", open_min, f"1 to {MOST_MINUTES}")
        given = _checked(colonies, stood)
        details = {"colonies": given, "stood": stood, "minutes": open_min}
        answer = {"how": "settle plates read", "session": code, **details}
        if is_known(said.client_id, answer):
            return noted_already(said.client_id)
        recorded = write(Word.COUNTED, code, found.bench, said, details, answer, now)
    late = (
        (f"Plates dry out when they stand open longer than {DRIES_MIN // 60} hours: few colonies "
         "on them say little."),
    )  # fmt: skip
    early = (said.at or now) - found.begun < SHOW_AFTER
    soon = ("Colonies show after some days only: count once more then.",) if early else ()
    total, plates = sum(given.values()), sum(stood.values())
    words = f"{plural(total, 'colony', 'colonies')} on {plural(plates, 'settle plate')}."
    return done(recorded, words, (*(late if open_min > DRIES_MIN else ()), *soon))


def _checked(colonies: Mapping[str, int], stood: Mapping[str, int]) -> dict[str, int]:
    words = {each.key: each.words for each in checks(CheckList.PLATE)}
    for where in colonies:
        if where not in stood:
            raise InputError("colonies", where, f"a place with plates: {', '.join(stood)}")
    for where in stood:
        count = colonies.get(where)
        if count is None or not 0 <= count <= MOST_COLONIES:
            raise InputError(
                f"colonies {words.get(where, where)}", count, f"a number, 0 to {MOST_COLONIES}"
            )
    return {where: colonies[where] for where in stood}
