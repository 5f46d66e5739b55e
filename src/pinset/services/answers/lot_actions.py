"""What can be said of a lot without a job: lost, culled, moved, held, released, counted, noted."""

from __future__ import annotations

from collections.abc import Callable, Mapping
from dataclasses import dataclass, replace
from datetime import date, datetime
from typing import Any

from django.db import transaction

from pinset.chain.lotcode import read_code
from pinset.chain.register import Step
from pinset.errors import InputError
from pinset.farm import door, trade, whereabouts
from pinset.farm.entries import Kind, NewEntry
from pinset.farm.queries import story
from pinset.farm.queries.alive import living
from pinset.farm.queries.lots import KnownCodes, lot_by_code
from pinset.farm.trade import Taken, Tap
from pinset.farm.trade.looking import Verdict
from pinset.services.answers.lot_counts import Counted, differences_of, refuse_far, refuse_more
from pinset.services.answers.same_answer import keep_answer, refuse_another
from pinset.services.answers.shelf_full import both, refuse_full
from pinset.services.answers.shown_doubts import written_although
from pinset.services.answers.when_said import asked_about_when, refuse_ahead
from pinset.services.book_reader import Reader
from pinset.services.building.suitable import note_against
from pinset.services.building.task import oldest_first
from pinset.services.clock import now_utc
from pinset.services.cooks.judge.short_cooks import cooks_short_of
from pinset.services.jobs.to_decide import settle_deciding
from pinset.services.looking.causes import cause_of, warned_of
from pinset.services.plans import planning_day
from pinset.services.store.too_cold import dies_there
from pinset.services.texts import LONGEST_NOTE, LONGEST_REASON, written
from pinset.services.views import Done
from pinset.services.words import on_day, plural, short_day

MOST_DAYS_AWAY = 730


@dataclass(frozen=True, slots=True)
class Saying:
    """Who says something of which lot, by which tap."""

    lot: str
    person: str
    client_id: str
    at: datetime | None = None
    note: str = ""
    why: str = ""  # the reason, where the books speak against what is said
    shelf: str = ""  # from which of its shelves, where that was said

    def at_shelf(self, said: dict[str, Any]) -> dict[str, Any]:
        """Return what tells an answer from another one, with the shelf if one was said."""
        return said | ({"shelf": self.shelf} if self.shelf else {})


def write_about(
    saying: Saying,
    said: Mapping[str, Any],
    build: Callable[[Tap, str], tuple[NewEntry | None, str]],
) -> Done:
    """Write one entry about a lot.

    ``said`` is what tells this answer from another one under the same id. ``build`` gets the tap
    and the lot, and gives the entry and what to answer; no entry if there is nothing to write
    down. It is asked while no other writer can be at work, so what it reads still holds when the
    entry is written.
    """
    now = now_utc()
    book, _ = planning_day.farm_book(now)
    refuse_ahead(saying.at, now, book)
    code = read_code(saying.lot, known=KnownCodes()).lot
    lot_by_code(code)
    tap = Tap(
        saying.client_id,
        saying.at or now,
        saying.person,
        note=written("note", saying.note, LONGEST_NOTE),
    )
    with transaction.atomic():
        whereabouts.wait_for_the_pen()
        if _is_known(saying.client_id, code, said):
            return Done(saying.client_id, already=True, sentence="Recorded already.", findings=())
        entry, sentence = build(tap, code)
        if entry is None:
            return Done("", already=False, sentence=f"{code}: {sentence}", findings=())
        entry = asked_about_when(entry, now, book, saying.why)
        keep_answer(entry, said)
        [recorded] = door.record([entry], now=now)
        if entry.kind is Kind.JUDGE:
            settle_deciding(cooks_short_of(code), book, now)
    return Done(
        entry=saying.client_id,
        already=recorded.already,
        sentence=f"{code}: {sentence}",
        findings=(
            *(f"{f.record}: {f.sentence} {f.hint}".strip() for f in recorded.findings),
            *written_although(entry.details),
        ),
    )


def _is_known(client_id: str, code: str, said: Mapping[str, Any]) -> bool:
    """Say whether this tap was written down.

    Raises
    ------
    InputError
        If the id belongs to an entry about something else: a tap must never vanish behind it.
    RefusedError
        If the entry says something else of the same lot.
    """
    known = story.entry(client_id)
    if known is None:
        return False
    if code not in {p.lot for p in known.postings} | {m.lot for m in known.mentions}:
        raise InputError("client id", client_id, "a fresh random id for every tap")
    refuse_another(known.details, said)
    return True


def _take(
    code: str,
    count: int,
    say: Callable[[Taken], NewEntry],
    saying: Saying,
    *,
    not_from: str | None = None,
) -> NewEntry:
    """Return one entry that says the same of units of every place they are taken from.

    They are taken from the shelf that was said, else from the place with most first, and the rest
    from the next. More than stands there needs a reason.

    Raises
    ------
    InputError
        If none of it stands on the shelf that was said.
    """
    standing = [
        each for each in whereabouts.units_of([code]).get(code, ()) if each.place != not_from
    ]
    if saying.shelf:
        places = ", ".join(each.place for each in standing)
        standing = [each for each in standing if each.place == saying.shelf]
        if not standing:
            raise InputError("shelf", saying.shelf, f"where it stands: {places or 'nowhere'}")
    doubt = refuse_more(count, standing, saying.why)
    taken = oldest_first(count, standing) if standing else [Taken(code, count)]
    entries = [say(each) for each in taken]
    return replace(
        entries[0],
        postings=tuple(posting for entry in entries for posting in entry.postings),
        mentions=tuple(mention for entry in entries for mention in entry.mentions),
        details={**entries[0].details, **doubt},
    )


def _counted(count: int) -> int:
    if count < 1:
        raise InputError("count", count, "1 or more units")
    return count


def lose(saying: Saying, count: int, cause: str = "") -> Done:
    """Contaminated units were taken out; ``cause`` is a sign by its key, or words."""
    _counted(count)
    seen = cause_of(cause)
    done = write_about(
        saying,
        saying.at_shelf({"how": "lose", "count": count}),
        lambda tap, lot: (
            _take(
                lot,
                count,
                lambda taken: trade.lose(tap, taken, cause=seen.words, signs=seen.signs),
                saying,
            ),
            f"{plural(count, 'unit')} lost.",
        ),
    )
    return replace(done, findings=(*done.findings, *warned_of(seen)))


def cull(saying: Saying, count: int, cause: str) -> Done:
    """Units were taken out for another cause."""
    _counted(count)
    if not cause.strip():
        raise InputError("cause", cause, "a few words on why")
    return write_about(
        saying,
        saying.at_shelf({"how": "cull", "count": count}),
        lambda tap, lot: (
            _take(
                lot,
                count,
                lambda taken: trade.cull(tap, taken, cause=written("cause", cause, LONGEST_REASON)),
                saying,
            ),
            f"{plural(count, 'unit')} taken out.",
        ),
    )


def move(saying: Saying, count: int, to_place: str) -> Done:
    """Units were carried to another shelf."""
    _counted(count)
    book, today = planning_day.farm_book()
    shelves = [shelf.code for room in book.rooms for shelf in room.shelves]
    if to_place not in shelves:
        raise InputError("place", to_place, f"one of {', '.join(shelves)}")
    steps: list[Step] = []

    def build(tap: Tap, lot: str) -> tuple[NewEntry, str]:
        everything = living(today)
        steps.extend(part.now_step() for part in everything if part.code == lot)
        full = refuse_full({lot: count}, to_place, everything, book, saying.why)
        moved = _take(
            lot,
            count,
            lambda taken: trade.move(tap, taken, to_place),
            saying,
            not_from=to_place,
        )
        moved = replace(moved, details=both(moved.details, full))
        return moved, f"{plural(count, 'unit')} moved to {to_place}."

    done = write_about(
        saying, saying.at_shelf({"how": "move", "count": count, "place": to_place}), build
    )
    dies = dies_there(steps, to_place, Reader(book, today))
    return replace(done, findings=(*done.findings, dies)) if dies else done


def hold(saying: Saying, reason: str) -> Done:
    """Hold a lot back: it is not offered until it is released."""
    if not reason.strip():
        raise InputError("reason", reason, "a few words on why it is held back")
    return write_about(
        saying,
        {"how": "hold"},
        lambda tap, lot: (
            trade.judge(tap, lot, Verdict.HELD, reason=written("reason", reason, LONGEST_REASON)),
            "held back.",
        ),
    )


def release(saying: Saying) -> Done:
    """Offer a lot again that was held back."""
    return write_about(
        saying,
        {"how": "release"},
        lambda tap, lot: (trade.judge(tap, lot, Verdict.RELEASED), "offered again."),
    )


def expect_ready(saying: Saying, ready_on: date) -> Done:
    """Say when a lot will be ready, from looking at it; it overrules the route.

    Raises
    ------
    InputError
        If the day is not within two years of today.
    """
    _, today = planning_day.farm_book()
    if abs((ready_on - today).days) > MOST_DAYS_AWAY:
        raise InputError("ready_on", ready_on.isoformat(), "a day within two years of today")
    return write_about(
        saying,
        {"how": "ready", "ready on": ready_on.isoformat()},
        lambda tap, lot: (
            trade.judge(tap, lot, Verdict.READY, day=ready_on),
            f"expected ready {on_day(ready_on, today)}.",
        ),
    )


def use_first(saying: Saying, by: date) -> Done:
    """Let a lot be used before others, by a day: from then on it is offered no more.

    Raises
    ------
    InputError
        If the day is not from today on, within two years.
    """
    _, today = planning_day.farm_book()
    if not 0 <= (by - today).days <= MOST_DAYS_AWAY:
        raise InputError("use by", by.isoformat(), "a day from today on, within two years")
    return write_about(
        saying,
        {"how": "use by", "use by": by.isoformat()},
        lambda tap, lot: (
            trade.judge(tap, lot, Verdict.USE_BY, day=by),
            f"to be used first, by {short_day(by)}.",
        ),
    )


def watch(saying: Saying, on: date) -> Done:
    """Let a lot be looked at again on a day: it goes on as it is until then.

    Raises
    ------
    InputError
        If the day is not after today, within two years.
    """
    _, today = planning_day.farm_book()
    if not 0 < (on - today).days <= MOST_DAYS_AWAY:
        raise InputError("look again", on.isoformat(), "a day after today, within two years")
    return write_about(
        saying,
        {"how": "watch", "look again": on.isoformat()},
        lambda tap, lot: (
            trade.judge(tap, lot, Verdict.WATCHED, day=on),
            f"to be looked at again {on_day(on, today)}.",
        ),
    )


def recount(saying: Saying, counted: Counted, cause: str = "") -> Done:
    """Say how many units stand there, counted by hand; the difference becomes an entry.

    What was unexplained is settled with it: afterwards the books hold what was counted.

    Parameters
    ----------
    saying : Saying
        Who says it of which lot.
    counted : int or mapping of str to int
        Units; of a lot that stands at several places those at each, by shelf code.
    cause : str
        Why it differs from the books, if that is known.

    Raises
    ------
    InputError
        If a count is negative or a place is none of the farm's.
    RefusedError
        If the lot stands at several places and not each was counted, or far more were counted
        than the books hold and no reason is given.
    """
    said = {"how": "recount", "count": counted if isinstance(counted, int) else dict(counted)}
    reason = written("cause", cause or saying.why, LONGEST_REASON)
    book, _ = planning_day.farm_book()
    shelves = [shelf.code for room in book.rooms for shelf in room.shelves]

    def build(tap: Tap, lot: str) -> tuple[NewEntry | None, str]:
        found = differences_of(lot, counted, shelves)
        against = refuse_far(found, reason)
        if not any(found.by_place.values()):
            return None, "the books say so, too."
        entry = trade.recount_places(tap, lot, found.by_place, cause=reason)
        note_against(entry.details, against)
        return entry, f"{found.counted} counted, {found.books} in the books."

    return write_about(saying, said, build)


def remark(saying: Saying) -> Done:
    """Write a note about a lot."""
    return write_about(saying, {"how": "note"}, lambda tap, lot: (trade.note(tap, [lot]), "noted."))
