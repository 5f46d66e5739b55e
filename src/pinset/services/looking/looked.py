"""Writing a look down: what was seen on how many of a lot, and the bad ones taken out with it."""

from __future__ import annotations

import hashlib
from collections.abc import Mapping, Sequence
from dataclasses import dataclass, replace
from typing import Any

from django.db import transaction

from pinset.chain.lotcode import read_code
from pinset.chain.register import FarmBook
from pinset.errors import InputError, RefusedError
from pinset.farm import door, photo_store, trade, whereabouts
from pinset.farm.entries import NewEntry
from pinset.farm.queries import story
from pinset.farm.queries.lots import KnownCodes, LotRow, lot_by_code, rows_of
from pinset.farm.trade import Tap
from pinset.farm.whereabouts import Standing
from pinset.files.photos.kept import MOST_BYTES, small_photo
from pinset.services.answers.lot_actions import Saying
from pinset.services.answers.same_answer import keep_answer, refuse_another
from pinset.services.answers.shown_doubts import written_although
from pinset.services.answers.when_said import asked_about_when, refuse_ahead
from pinset.services.building.task import oldest_first
from pinset.services.clock import farm_day, now_utc
from pinset.services.looking.answered import AnsweredLook, answered_look, close_if_finished
from pinset.services.looking.lots_now import step_now
from pinset.services.looking.media import medium_of
from pinset.services.looking.words import names_of, seen_in_words
from pinset.services.named import did_you_mean, one_of
from pinset.services.plans import planning_day
from pinset.services.texts import LONGEST_NOTE, LONGEST_REASON, written
from pinset.services.views import Done
from pinset.services.words import plural
from pinset.tables.cautions import caution
from pinset.tables.signs import Medium, Out, places_in, reading_of, sign, sign_of_word, signs_of

MOST_PHOTO_BYTES = MOST_BYTES

OTHER = "other"
"""The sign that is nothing drawn; it asks for words."""


@dataclass(frozen=True, slots=True)
class Seen:
    """What was seen; nothing given is that all looked at are as they should be."""

    signs: tuple[str, ...] = ()
    where: str = ""  # key of a place in the vessel
    seen: int = 0  # units that show it
    of: int | None = None  # units that were looked at; None: all that stand there
    place: str = ""  # shelf; empty: wherever the lot stands
    take_out: bool = False  # those that show it, in the same tap
    photo: bytes = b""  # as it was handed in


@dataclass(frozen=True, slots=True)
class _Look:
    """A look that was checked against the lot and the table of signs."""

    row: LotRow
    medium: Medium
    age_days: int | None
    standing: tuple[Standing, ...]  # where it was looked at
    of: int
    said: Seen
    picture: bytes


def look(saying: Saying, said: Seen) -> Done:
    """Write a look at one lot down; what shows something is taken out in the same tap if asked.

    It answers the open job of looking that lot over, so that nobody is asked again.

    Raises
    ------
    InputError
        If a sign or place is unknown, a number cannot be, or the photo is none.
    RefusedError
        If nothing of the lot stands there, or the tap said something else before.
    """
    now = now_utc()
    book, _ = planning_day.farm_book(now)
    refuse_ahead(saying.at, now, book)
    code = read_code(saying.lot, known=KnownCodes()).lot
    lot_by_code(code)
    picture = small_photo(said.photo) if said.photo else b""
    tap = Tap(
        saying.client_id,
        saying.at or now,
        saying.person,
        note=written("note", saying.note, LONGEST_NOTE),
    )
    answer = _answer(said, picture)
    with transaction.atomic():
        whereabouts.wait_for_the_pen()
        if _is_known(tap.client_id, code, answer):
            return Done(tap.client_id, already=True, sentence="Recorded already.", findings=())
        checked = _checked(code, said, picture, tap, book)
        day = farm_day(tap.at, book.farm.time_zone)
        answered = answered_look(code, checked.of, day, tap.person)
        entries = _entries(checked, tap, answered)
        entries[0] = asked_about_when(entries[0], now, book, saying.why)
        keep_answer(entries[0], answer)
        if picture:
            photo_store.keep(picture)
        recorded = door.record(entries, now=now)
        close_if_finished(answered, now)
    found = [finding for each in recorded for finding in each.findings]
    return Done(
        entry=tap.client_id,
        already=recorded[0].already,
        sentence=f"{code}: {_sentence(checked)}.",
        findings=(
            *(f"{f.record}: {f.sentence} {f.hint}".strip() for f in found),
            *written_although(entries[0].details),
            *(answered.of_others if answered else ()),
            *_what_it_means(said),
            *_stands_still(said),
        ),
    )


def _answer(said: Seen, picture: bytes) -> dict[str, Any]:
    """Return what tells this look from another one under the same id."""
    answer: dict[str, Any] = {"how": "look", "seen": said.seen}
    if said.signs:
        answer |= {"signs": list(said.signs), "where": said.where, "out": said.take_out}
    if said.of is not None:
        answer["of"] = said.of
    if said.place:
        answer["place"] = said.place
    if picture:
        answer["photo"] = photo_store.digest_of(picture)
    return answer


def _is_known(client_id: str, code: str, answer: Mapping[str, Any]) -> bool:
    known = story.entry(client_id)
    if known is None:
        return False
    if code not in {mention.lot for mention in known.mentions}:
        raise InputError("client id", client_id, "a fresh random id for every tap")
    refuse_another(known.details, answer)
    return True


def _checked(code: str, said: Seen, picture: bytes, tap: Tap, book: FarmBook) -> _Look:
    [row] = rows_of([lot_by_code(code)])
    medium = medium_of(row.stage, step_now(row, book), book)
    _refuse_strange(said, medium, tap.note)
    standing = whereabouts.units_of([code]).get(code, ())
    if said.place:
        standing = tuple(each for each in standing if each.place == said.place)
    there = sum(each.quantity for each in standing)
    at = f" at {said.place}" if said.place else ""
    if not there:
        raise RefusedError(
            f"Nothing of lot {code} stands{at} in the books.",
            "Look at the code on the label; if it does stand there, count it on the lot's page.",
        )
    of = there if said.of is None else said.of
    if not 1 <= of <= there:
        raise InputError(
            "of",
            of,
            f"1 to {there}, the units that stand{at or ' there'} in the books",
            "If more stand there, count them on the lot's page first.",
        )
    if not said.signs and said.seen:
        raise InputError("sign", "", "what is seen on them")
    if said.signs and not 1 <= said.seen <= of:
        raise InputError("count", said.seen, f"1 to {of}, of those looked at")
    day = farm_day(tap.at, book.farm.time_zone)
    age = (day - row.made_on).days if row.made_on else None
    return _Look(row, medium, age, standing, of, said, picture)


def _refuse_strange(said: Seen, medium: Medium, note: str) -> None:
    fitting = sorted(each.key for each in signs_of(medium))
    for key in said.signs:
        if key not in fitting:
            accepted = f"a sign of this kind of unit: {', '.join(fitting)}"
            raise InputError("sign", key, accepted, _near_sign(key, fitting))
    if OTHER in said.signs and not note:
        raise InputError("note", "", "a few words on what is seen")
    if not said.where:
        return
    one_of("where", said.where, sorted(each.key for each in places_in(medium)))


def _near_sign(typed: str, fitting: Sequence[str]) -> str:
    """Return the sign that may be meant: by what growers call it, else by how it is written."""
    called = sign_of_word(typed)
    return f"Did you mean {called}?" if called in fitting else did_you_mean(typed, fitting)


def _entries(checked: _Look, tap: Tap, answered: AnsweredLook | None) -> list[NewEntry]:
    said, code = checked.said, checked.row.code
    details: dict[str, Any] = {
        "signs": list(said.signs),
        "where": said.where if said.signs else "",
        "seen": said.seen,
        "of": checked.of,
        "photo": photo_store.digest_of(checked.picture) if checked.picture else "",
    }
    details = {name: value for name, value in details.items() if value or name == "seen"}
    at = tap
    if answered is not None:
        at = replace(tap, job=answered.job)
        details |= {
            "count": answered.units,
            "of_lots": {code: answered.units},
            "room_kind": answered.room_kind,
        }
        if answered.finishes:
            details["finishes"] = True
    entry = trade.look(at, oldest_first(checked.of, checked.standing), details=details)
    entry.details["seen"] = said.seen  # also where it is none
    if checked.age_days is not None:
        entry.details["age"] = checked.age_days
    if not (said.take_out and said.signs):
        return [entry]
    return [entry, _taken_out(checked, tap)]


def _taken_out(checked: _Look, tap: Tap) -> NewEntry:
    """Return the entry that takes out what shows something, tied to its look."""
    said = checked.said
    own = replace(tap, client_id=tied_id(tap.client_id), note="")
    cause = written("cause", names_of(said.signs, said.where), LONGEST_REASON)
    takes = trade.lose if is_loss(said.signs) else trade.cull
    entries = [
        takes(own, taken, cause=cause) for taken in oldest_first(said.seen, checked.standing)
    ]
    signs = {"signs": list(said.signs), **({"where": said.where} if said.where else {})}
    return replace(
        entries[0],
        postings=tuple(posting for entry in entries for posting in entry.postings),
        details={**entries[0].details, **signs, "look": tap.client_id},
    )


def is_loss(keys: Sequence[str]) -> bool:
    """Say whether units that show these signs count as contaminated."""
    return any(sign(key).out is Out.LOST for key in keys)


def tied_id(client_id: str) -> str:
    """Return the id of the entry that goes with a look, always the same for the same look."""
    return hashlib.sha256(f"taken out {client_id}".encode()).hexdigest()[:32]


def _sentence(checked: _Look) -> str:
    said = checked.said
    words = seen_in_words(
        checked.of, said.seen, said.signs, said.where, checked.age_days, checked.medium
    )
    if not (said.take_out and said.signs):
        return words
    kind = "lost" if is_loss(said.signs) else "taken out"
    return f"{words}; {plural(said.seen, 'unit')} {kind}"


def _stands_still(said: Seen) -> tuple[str, ...]:
    """Return what becomes of units seen contaminated that were not taken out."""
    if not said.signs or said.take_out or not is_loss(said.signs):
        return ()
    is_one = said.seen == 1
    stands = "The unit stands" if is_one else f"The {said.seen} units stand"
    gone, them = ("it is", "it") if is_one else ("they are", "them")
    sentence = (
        f"{stands} there still: until {gone} taken out, nothing is planned with {them} and using "
        f"{them} asks for a reason."
    )
    return (sentence,)


def _what_it_means(said: Seen) -> tuple[str, ...]:
    """Return what the signs usually mean, with how that is known, and their cautions."""
    means = []
    for key in said.signs:
        if key != OTHER:
            reading = reading_of(key, said.where)
            name = sign(key).name
            means.append(f"{name[:1].upper()}{name[1:]}: {reading.means} ({reading.flag})")
    keys = dict.fromkeys(sign(key).caution for key in said.signs)
    return (*means, *(caution(key).words for key in keys))
