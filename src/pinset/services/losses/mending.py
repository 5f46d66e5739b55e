"""What was found and mended of a suspect: written down, and followed by what was lost since."""

from __future__ import annotations

from dataclasses import dataclass

from django.db import transaction

from pinset.chain.histories import Shared
from pinset.chain.register import FarmBook
from pinset.errors import InputError, RefusedError
from pinset.farm import door, trade, whereabouts
from pinset.farm.queries import story
from pinset.farm.queries.mended import mended
from pinset.farm.trade import Tap
from pinset.learning.losses.by_stage import LATELY_DAYS, Compared
from pinset.learning.losses.mended import Helped
from pinset.learning.losses.records import Reckoned
from pinset.services.clock import now_utc
from pinset.services.losses import words
from pinset.services.losses.names import name_of
from pinset.services.plans import planning_day
from pinset.services.views import Done
from pinset.services.words import first_upper, plural

LONGEST_WORDS = 1000


@dataclass(frozen=True, slots=True)
class MendedLine:
    """What was found and mended, and whether it helped."""

    name: str
    day: str
    by: str
    words: str
    sentence: str


def write_mended(kind: str, level: str, said: str, *, person: str, client_id: str) -> Done:
    """Write down what was found and mended of a suspect.

    Raises
    ------
    InputError
        If nothing is said, of no kind of suspect, or the id belongs to another entry.
    RefusedError
        If nobody is signed in who works here.
    """
    now = now_utc()
    book, _today = planning_day.farm_book(now)
    if person not in {worker.code for worker in book.workers}:
        raise RefusedError("Only people of the farm write into its books.", "Sign in as one.")
    if kind not in {each.value for each in Shared}:
        raise InputError("suspect", kind, f"one of {', '.join(Shared)}")
    text = " ".join(said.split())
    if not text or len(text) > LONGEST_WORDS:
        raise InputError("what was found and mended", text[:40], f"1 to {LONGEST_WORDS} signs")
    suspect = f"{kind} {level}"
    with transaction.atomic():
        whereabouts.wait_for_the_pen()
        known = story.entry(client_id)
        if known is not None and known.details.get("mended") != suspect:
            raise InputError("client id", client_id, "a fresh random id for every tap")
        entry = trade.mended(Tap(client_id, now, person, note=text), suspect)
        [recorded] = door.record([entry], now=now)
    name = name_of(Shared(kind), level, book)
    return Done(client_id, recorded.already, f"{first_upper(name)}: written down as mended.", ())


def mended_lines(
    found: Reckoned, book: FarmBook, *, with_people: bool = True
) -> tuple[MendedLine, ...]:
    """Return what was mended, the newest first, with losses before and since."""
    of = {each.mended.entry: each.helped for each in found.helped}
    kinds = {each.value: each for each in Shared}
    return tuple(
        MendedLine(
            name=first_upper(name_of(kinds[each.kind], each.level, book)),
            day=words.day_words(each.at, book.farm.time_zone),
            by=each.by,
            words=each.words,
            sentence=_sentence(of.get(each.entry)),
        )
        for each in mended()
        if each.kind in kinds and (with_people or each.kind != Shared.PERSON.value)
    )


def _sentence(helped: Helped | None) -> str:
    if helped is None:
        return "It is followed from the next reckoning on."
    before, after = helped.before, helped.after
    weeks = LATELY_DAYS // 7
    if before.ratio is None or after.ratio is None:  # too little was expected
        return (
            f"Too little was made since to say whether it helped ({plural(after.lots, 'lot')} in "
            f"up to {weeks} weeks)."
        )
    if helped.is_better:
        verdict = "Less is lost since, by more than lots differ by chance."
    elif helped.is_worse:
        verdict = "More is lost since, by more than lots differ by chance."
    else:
        verdict = "Whether it helped cannot be told yet: the two lie within what chance does."
    return (
        f"Lost in up to {weeks} weeks before: {_of(before)}; since: {_of(after)}. {verdict} "
        "What else changed meanwhile is not told apart."
    )


def _of(spell: Compared) -> str:
    if spell.ratio is None or spell.low is None or spell.high is None:
        return "too little to say"
    ends = f"{spell.low:.2g} to {spell.high:.2g}"
    return f"{spell.ratio:.2g} times what routes expect ({ends}, {plural(spell.lots, 'lot')})"
