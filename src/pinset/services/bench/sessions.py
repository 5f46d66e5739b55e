"""Sessions read back: what was made in which order, by whom, and which stand open."""

from __future__ import annotations

from collections.abc import Iterable, Mapping, Sequence
from dataclasses import replace
from datetime import date, datetime, timedelta

from pinset.chain.register import FarmBook
from pinset.chain.stages import Stage, units_in_words
from pinset.chain.step_nouns import step_units
from pinset.errors import RefusedError
from pinset.farm.entries import Kind
from pinset.farm.glance import Glance, glance
from pinset.farm.queries.sessions import made_in_sessions, said_of_sessions
from pinset.farm.queries.story import Happened, entry
from pinset.farm.trade.benchwork import Word
from pinset.services.bench.lists import plates_of, unticked
from pinset.services.bench.plates_read import counted, is_count
from pinset.services.bench.records import AtIt, BenchSession, Parent, SessionState, Transfer
from pinset.services.book_reader import Reader
from pinset.services.bounds import MOST_SESSION_DAYS, within
from pinset.services.building.parents_opened import OF_PARENTS
from pinset.services.clock import farm_day, farm_time, now_utc
from pinset.services.loads.despite import despite_in_words
from pinset.services.plans import planning_day
from pinset.services.words import joined, minutes_in_words, near_day, plural
from pinset.tables.bench_checks import CheckList

SHOWN_DAYS = 60
"""Sessions of so many days are listed, and looked through for one that was left open."""

STILL_AT_IT = timedelta(hours=3)
"""So long after its last entry a session that goes over midnight counts as going on."""

AHEAD = timedelta(days=1)


def sessions(days: int = SHOWN_DAYS, now: datetime | None = None) -> tuple[BenchSession, ...]:
    """Return the sessions begun within so many days, the latest first.

    Raises
    ------
    InputError
        If the number of days is out of bounds.
    """
    within("days", days, 1, MOST_SESSION_DAYS)
    now = now or now_utc()
    return _read(_begun(now, days), now)


def session(code: str, now: datetime | None = None) -> BenchSession:
    """Return one session, however long ago.

    Raises
    ------
    RefusedError
        If there is none of that code.
    """
    now = now or now_utc()
    for days in (SHOWN_DAYS, MOST_SESSION_DAYS):
        said = _begun(now, days).get(code)
        if said is not None:
            return _read({code: said}, now)[0]
    raise RefusedError(
        f"There is no bench session {code[:60]}.", "Look at the list of sessions in Books."
    )


def session_of_tap(client_id: str) -> str:
    """Return the code of the session that a tap began or joined.

    Raises
    ------
    RefusedError
        If the farm knows no such tap: its begin was refused, or thrown away.
    """
    known = entry(client_id)
    code = known.details.get("session", "") if known and known.kind == Kind.SESSION.value else ""
    if not code:
        raise RefusedError(
            "The session that this was made in was not begun.",
            "Look at what the farm said of its begin, begin the session, and open this form again.",
        )
    return str(code)


def open_sessions(now: datetime | None = None) -> tuple[BenchSession, ...]:
    """Return the sessions that were not ended, the latest first."""
    now = now or now_utc()
    begun = _begun(now, SHOWN_DAYS)
    return _read({code: each for code, each in begun.items() if not _of(each, Word.ENDED)}, now)


def _begun(now: datetime, days: int) -> dict[str, tuple[Happened, ...]]:
    """Return what was said of the sessions that were begun within so many days."""
    said = said_of_sessions(now - timedelta(days=days), now + AHEAD)
    return {code: each for code, each in said.items() if _of(each, Word.BEGUN)}


def _read(begun: Mapping[str, tuple[Happened, ...]], now: datetime) -> tuple[BenchSession, ...]:
    """Return sessions with what was made in them, the latest first."""
    if not begun:
        return ()
    book, today = planning_day.farm_book(now)
    moments = [each.happened_at for entries in begun.values() for each in entries]
    made = made_in_sessions(begun, min(moments), max(now, *moments))
    lots = _lots_of(each for entries in made.values() for each in entries)
    found = [
        _session(code, entries, made[code], lots, book, today, now)
        for code, entries in begun.items()
    ]
    return tuple(sorted(found, key=lambda each: (each.begun, each.session), reverse=True))


def _of(entries: Sequence[Happened], word: Word) -> list[Happened]:
    return [each for each in entries if each.details.get("word") == word.value]


def _lots_of(entries: Iterable[Happened]) -> dict[str, Glance]:
    codes: set[str] = set()
    for each in entries:
        codes.update(each.lots_made)
        codes.update(parent for parent, _, _ in each.links)
    return glance(codes)


def _session(
    code: str,
    entries: Sequence[Happened],
    made: Sequence[Happened],
    lots: dict[str, Glance],
    book: FarmBook,
    today: date,
    now: datetime,
) -> BenchSession:
    [first, *_] = _of(entries, Word.BEGUN)
    ends = _of(entries, Word.ENDED)
    end = ends[-1] if ends else None
    reader = Reader(book, today)
    transfers = [_transfer(each, lots, reader) for each in made]
    last = max(
        [each.happened_at for each in (*entries, *made) if each != end and not is_count(each)],
        default=first.happened_at,
    )
    ended = end.happened_at if end else None
    state = _state(ended, last, book, today, now)
    bench = str(first.details.get("bench", ""))
    until = ended or (last if state is SessionState.LEFT_OPEN else now)
    minutes = max(0, round((until - first.happened_at).total_seconds() / 60))
    people = _people(entries)
    told = [each for each in entries if "plates" in each.details]
    out = [each for each in told if each.details["plates"]]
    found = BenchSession(
        session=code,
        bench=bench,
        bench_name=next((each.name for each in book.benches if each.code == bench), bench),
        state=state,
        begun=first.happened_at,
        ended=ended,
        is_end_asked=bool(end and end.details.get("told_later")),
        last=last,
        people=people,
        plates=plates_of(told[-1].details) if told else (),
        plates_out=plates_of(out[-1].details) if out else (),
        plate_count=counted(entries),
        transfers=tuple(sorted(transfers, key=lambda each: (each.at, each.turn))),
        not_cleaned=(unticked(CheckList.CLEAN_DOWN, end.details.get("ticked", ())) if end else ()),
        minutes=minutes,
        minutes_open=sum(each.minutes_open for each in transfers),
        sentence="",
        findings=_findings(made, ended, people, book),
    )
    return _with_sentence(found, book, today)


def _state(
    ended: datetime | None, last: datetime, book: FarmBook, today: date, now: datetime
) -> SessionState:
    if ended is not None:
        return SessionState.ENDED
    is_of_before = farm_day(last, book.farm.time_zone) < today
    if is_of_before and now - last > STILL_AT_IT:
        return SessionState.LEFT_OPEN
    return SessionState.OPEN


def _people(entries: Sequence[Happened]) -> tuple[AtIt, ...]:
    found: dict[str, AtIt] = {}
    for each in entries:
        if each.details.get("word") in {Word.BEGUN.value, Word.JOINED.value}:
            found[each.person] = AtIt(
                each.person,
                each.person_name,
                each.happened_at,
                unticked(CheckList.ENTRY, each.details.get("ticked", ())),
                str(each.details.get("reason", "")),
            )
    return tuple(found.values())


def _transfer(made: Happened, lots: dict[str, Glance], reader: Reader) -> Transfer:
    child = made.lots_made[0] if made.lots_made else ""
    count = sum(p.quantity for p in made.postings if (p.lot, p.account) == (child, "alive"))
    used = [parent for parent, _, _ in made.links]
    is_vessel = {lot: lots[lot].stage is Stage.PREPARED for lot in used if lot in lots}
    parents = [_parent(made, lot, lots, reader) for lot in used if not is_vessel.get(lot, False)]
    vessels = [_parent(made, lot, lots, reader) for lot in used if is_vessel.get(lot, False)]
    return Transfer(
        entry=made.client_id,
        turn=int(made.details.get("turn", 0)),
        at=made.happened_at,
        person=made.person_name,
        parents=tuple(parents),
        vessels=tuple(vessels),
        child=child,
        count=count,
        what=_made_in_words(lots.get(child), count, reader),
        minutes_open=int(made.details.get("open_min", 0)),
        plates=plates_of(made.details),
        job=made.job,
        against=tuple(str(each) for each in made.details.get("against", ())),
        despite=despite_in_words(made.details),
        reason=str(made.details.get("reason", "")),
    )


def _made_in_words(child: Glance | None, count: int, reader: Reader) -> str:
    if child is None:
        return plural(count, "unit")
    return f"{_units(child, count, reader)} of {reader.name(child.variety)}"


def _units(lot: Glance, count: int, reader: Reader) -> str:
    try:
        return step_units(reader.step(lot.variety, lot.step), count)
    except RefusedError:  # its route is no longer described
        return units_in_words(lot.stage, count)


def _parent(made: Happened, lot: str, lots: dict[str, Glance], reader: Reader) -> Parent:
    units = next(number for parent, _, number in made.links if parent == lot)
    seen = lots.get(lot)
    if seen is None:
        return Parent(lot, units, plural(units, "unit"))
    if seen.stage is Stage.PREPARED:
        return Parent(lot, units, units_in_words(seen.stage, units))
    is_whole = any(each.lot == lot and each.account == "used" for each in made.postings)
    was_open = not units and lot in dict(made.details.get(OF_PARENTS, {lot: 0}))
    if was_open:
        return Parent(lot, 0, f"of the {_noun(seen, reader)} already open")
    said = _units(seen, units, reader)
    return Parent(lot, units, said if is_whole else f"part of {said}")


def _noun(lot: Glance, reader: Reader) -> str:
    return _units(lot, 1, reader).removeprefix("1 ")


def _findings(
    made: Sequence[Happened],
    ended: datetime | None,
    people: Sequence[AtIt],
    book: FarmBook,
) -> tuple[str, ...]:
    """Return what somebody should look at: work after the end, people who did not tick a list."""
    zone, found = book.farm.time_zone, []
    late = [each for each in made if ended is not None and each.happened_at > ended]
    if late and ended is not None:
        lots = joined([lot for each in late for lot in each.lots_made])
        found.append(
            f"{lots} was made at {farm_time(late[-1].happened_at, zone):%H:%M}, after the session "
            f"is said to have ended at {farm_time(ended, zone):%H:%M}. It is kept as it was said."
        )
    known = {each.person for each in people}
    strange = {each.person_name for each in made if each.person not in known} - {""}
    found += [
        f"{name} worked in it without having ticked the list before." for name in sorted(strange)
    ]
    found += [
        f"{each.name} had not ticked: {joined([w.lower() for w in each.unticked])}"
        f"{f' ({each.reason})' if each.reason else ''}."
        for each in people
        if each.unticked
    ]
    return tuple(found)


def _with_sentence(found: BenchSession, book: FarmBook, today: date) -> BenchSession:
    zone = book.farm.time_zone
    began = farm_time(found.begun, zone)
    day = near_day(began.date(), today)
    names = joined([each.name or each.person for each in found.people])
    made = plural(len(found.transfers), "transfer")
    if found.ended is not None:
        ended = farm_time(found.ended, zone)
        said = (
            f"{names}, {day} from {began:%H:%M} to {ended:%H:%M} "
            f"({minutes_in_words(found.minutes)}): {made}."
        )
    elif found.state is SessionState.LEFT_OPEN:
        last = farm_time(found.last, zone)
        kept = f"{made} in all, none of it is lost" if found.transfers else "nothing was made in it"
        said = (
            f"{names} began it {day} at {began:%H:%M} and nobody said when it ended. The last "
            f"thing written down in it was at {last:%H:%M}; {kept}."
        )
    else:
        said = f"{names}, {day} since {began:%H:%M} ({minutes_in_words(found.minutes)}): {made}."
    return replace(found, sentence=said)
