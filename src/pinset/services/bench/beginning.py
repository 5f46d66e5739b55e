"""Beginning and ending a session, coming to one, and setting settle plates out."""

from __future__ import annotations

from collections.abc import Collection, Mapping
from dataclasses import dataclass, field
from datetime import datetime
from typing import Any

from django.db import transaction

from pinset.chain.register import Bench, FarmBook
from pinset.errors import InputError, RefusedError
from pinset.farm import door, trade, whereabouts
from pinset.farm.entries import Kind
from pinset.farm.queries import story
from pinset.farm.trade import Tap
from pinset.farm.trade.benchwork import Word
from pinset.services.answers.same_answer import keep_answer, refuse_another
from pinset.services.answers.when_said import refuse_ahead
from pinset.services.bench.lists import plates_given, plates_of, ticked, unticked
from pinset.services.bench.records import BenchSession, SessionState
from pinset.services.bench.sessions import open_sessions, session, sessions
from pinset.services.clock import at_clock, farm_time, now_utc
from pinset.services.day.spores import WARNING, was_in_grow_rooms
from pinset.services.plans import planning_day
from pinset.services.texts import LONGEST_NOTE, LONGEST_REASON, written
from pinset.services.views import Done
from pinset.services.words import joined, near_day
from pinset.tables.bench_checks import CheckList

LONGEST_BENCH = 20
"""Signs of a bench's code that go into the code of a session, which has 40."""


@dataclass(frozen=True, slots=True)
class Said:
    """One tap of somebody about a session."""

    person: str
    client_id: str
    at: datetime | None = None
    note: str = ""
    reason: str = ""
    ticked: Collection[str] = ()  # keys of the lines that were ticked
    plates: Mapping[str, int] = field(default_factory=dict)  # settle plates by place


def begin(bench: str, said: Said) -> Done:
    """Begin a session at a bench, with the entry list and the settle plates set out.

    Somebody who comes to a bench where a session is going on joins it.

    Raises
    ------
    InputError
        If there is no such bench, or a line or a number is none.
    RefusedError
        If a session of an earlier day was never ended there, or not everything is ticked and no
        reason is given.
    """
    now = now_utc()
    book, today = planning_day.farm_book(now)
    chosen = _bench(book, bench)
    refuse_ahead(said.at, now, book)
    details = _listed(CheckList.ENTRY, said)
    answer = {"how": "session begun", "bench": bench, "ticked": details["ticked"]}
    with transaction.atomic():
        whereabouts.wait_for_the_pen()
        if is_known(said.client_id, answer):
            return noted_already(said.client_id)
        going = next((each for each in open_sessions(now) if each.bench == bench), None)
        if going is not None and going.state is SessionState.LEFT_OPEN:
            raise RefusedError(
                f"The session at {chosen.name} that {_who(going)} began "
                f"{near_day(farm_time(going.begun, book.farm.time_zone).date(), today)} was never "
                "ended.",
                "Say first until when it lasted; nothing written down in it is lost.",
            )
        _ask_about_list(CheckList.ENTRY, said)
        at = said.at or now
        word, code = (
            (Word.JOINED, going.session) if going else (Word.BEGUN, _code(chosen, at, book))
        )
        if said.plates or going is None:
            details["plates"] = plates_given(said.plates)
        recorded = write(word, code, bench, said, details, answer, now)
    day_begins = at_clock(today, "00:00", book.farm.time_zone)
    warned = was_in_grow_rooms(said.person, book, day_begins) if said.person else False
    begun = f"Session begun at {chosen.name}."
    joined_it = f"You are in the session at {chosen.name}, begun by {_who(going)}." if going else ""
    return done(recorded, joined_it or begun, (WARNING,) if warned else ())


def set_plates(code: str, said: Said) -> Done:
    """Write down which settle plates stand open now, where; those from before are taken in.

    Raises
    ------
    InputError, RefusedError
        If there is no such session, or a place or number cannot be.
    """
    now = now_utc()
    book, _ = planning_day.farm_book(now)
    refuse_ahead(said.at, now, book)
    given = plates_given(said.plates)
    answer = {"how": "settle plates", "session": code, "plates": given}
    with transaction.atomic():
        whereabouts.wait_for_the_pen()
        if is_known(said.client_id, answer):
            return noted_already(said.client_id)
        found = session(code, now)
        written_down = write(Word.PLATES, code, found.bench, said, {"plates": given}, answer, now)
    where = joined([f"{each.count} {each.words}" for each in plates_of({"plates": given})])
    return done(written_down, f"Settle plates: {where}." if where else "No settle plates out.")


def end(code: str, said: Said) -> Done:
    """End a session, with the clean-down list; of one that was left open, say until when it lasted.

    What was not ticked is kept and said. Nothing is refused: an end that comes late is an end.

    Raises
    ------
    InputError, RefusedError
        If there is no such session, it was ended before, or the time cannot be.
    """
    now = now_utc()
    book, _ = planning_day.farm_book(now)
    refuse_ahead(said.at, now, book)
    details = _listed(CheckList.CLEAN_DOWN, said)
    answer = {"how": "session ended", "session": code, "ticked": details["ticked"]}
    with transaction.atomic():
        whereabouts.wait_for_the_pen()
        if is_known(said.client_id, answer):
            return noted_already(said.client_id)
        found = session(code, now)
        if found.ended is not None:
            raise RefusedError(
                f"The session at {found.bench_name} was ended "
                f"{_when(found.ended, book, now)} already.",
                "Begin a new one for what comes now.",
            )
        at = said.at or now
        if at < found.begun:
            raise InputError(
                "until when",
                _when(at, book, now),
                f"a time after it was begun, {_when(found.begun, book, now)}",
            )
        minutes = round((at - found.begun).total_seconds() / 60)
        details |= {"minutes": minutes, "open_min": found.minutes_open}
        if found.state is SessionState.LEFT_OPEN:
            details["told_later"] = True
        written_down = write(Word.ENDED, code, found.bench, said, details, answer, now)
    left = unticked(CheckList.CLEAN_DOWN, details["ticked"])
    not_done = f"Not ticked: {joined([each.lower() for each in left])}." if left else ""
    told = f"Session at {found.bench_name} ended, {_when(at, book, now)}."
    return done(written_down, told, (not_done,) if not_done else ())


def _bench(book: FarmBook, code: str) -> Bench:
    found = next((each for each in book.benches if each.code == code), None)
    if found is None:
        names = ", ".join(each.code for each in book.benches)
        raise InputError("bench", code, names or "none yet: describe a bench in Settings first")
    return found


def _code(bench: Bench, at: datetime, book: FarmBook) -> str:
    """Return the code of a new session: its bench and when it began; each once."""
    stem = f"{bench.code[:LONGEST_BENCH]}-{farm_time(at, book.farm.time_zone):%Y%m%d-%H%M}"
    taken = {each.session for each in sessions(days=max(2, (now_utc() - at).days + 2))}
    codes = (stem if number == 1 else f"{stem}-{number}" for number in range(1, 1000))
    return next(code for code in codes if code not in taken)


def _listed(which: CheckList, said: Said) -> dict[str, Any]:
    details: dict[str, Any] = {"ticked": ticked(which, said.ticked)}
    reason = written("reason", said.reason, LONGEST_REASON)
    return details | ({"reason": reason} if reason else {})


def _ask_about_list(which: CheckList, said: Said) -> None:
    left = unticked(which, said.ticked)
    if left and not said.reason.strip():
        raise RefusedError(
            f"Not ticked: {joined([each.lower() for each in left])}.",
            "Tick what is done; if it is to be left out, give a reason.",
        )


def write(
    word: Word,
    code: str,
    bench: str,
    said: Said,
    details: Mapping[str, Any],
    answer: Mapping[str, Any],
    now: datetime,
) -> door.Recorded:
    """Write down what somebody said of a session, with the answer by which the tap is known."""
    tap = Tap(
        said.client_id,
        said.at or now,
        said.person,
        note=written("note", said.note, LONGEST_NOTE),
    )
    entry = trade.session(tap, word, code, bench, details=details)
    for name in ("plates", "ticked"):  # said, also where it is none
        if name in details:
            entry.details[name] = details[name]
    keep_answer(entry, answer)
    [recorded] = door.record([entry], now=now)
    return recorded


def is_known(client_id: str, answer: Mapping[str, Any]) -> bool:
    """Say whether a tap was written down.

    Raises
    ------
    InputError, RefusedError
        If it said something else.
    """
    known = story.entry(client_id)
    if known is None:
        return False
    if known.kind != Kind.SESSION.value:
        raise InputError("client id", client_id, "a fresh random id for every tap")
    refuse_another(known.details, answer)
    return True


def noted_already(client_id: str) -> Done:
    """Return the answer to a tap that came again."""
    return Done(client_id, already=True, sentence="This was recorded already.", findings=())


def done(recorded: door.Recorded, sentence: str, findings: tuple[str, ...] = ()) -> Done:
    """Return what is answered to a tap, with what the ledger found."""
    ledger = tuple(f"{f.record}: {f.sentence} {f.hint}".strip() for f in recorded.findings)
    return Done(recorded.client_id, recorded.already, sentence, (*ledger, *findings))


def _who(found: BenchSession) -> str:
    return found.people[0].name if found.people and found.people[0].name else "somebody"


def _when(moment: datetime, book: FarmBook, now: datetime) -> str:
    zone = book.farm.time_zone
    local = farm_time(moment, zone)
    return f"{near_day(local.date(), farm_time(now, zone).date())} at {local:%H:%M}"
