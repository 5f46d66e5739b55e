"""One suspect of losses: its lots over time, those that speak against it, and physical evidence."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import datetime

from pinset.errors import InputError
from pinset.learning.losses.records import LotSaid
from pinset.services.losses import reckoning, words
from pinset.services.losses.evidence import Evidence, evidence_of
from pinset.services.losses.names import name_of
from pinset.services.losses.view import SuspectLine, suspect_line
from pinset.services.losses.without_people import without_people
from pinset.services.plans import planning_day
from pinset.services.words import first_upper, plural


@dataclass(frozen=True, slots=True)
class LotLine:
    """One lot of a suspect."""

    lot: str
    name: str  # variety and step
    day: str
    units: int
    found: int
    expected: float
    standing: int
    seen: str
    speaks: str  # for, against, or too young to say


@dataclass(frozen=True, slots=True)
class SuspectView:
    """One suspect."""

    name: str
    line: SuspectLine | None  # None: it is named by an alarm alone
    lots: tuple[LotLine, ...]
    evidence: tuple[Evidence, ...]  # beside the counts
    against: str
    alive: int  # units of its lots that still grow


def suspect_view(
    kind: str, level: str, *, with_people: bool = True, now: datetime | None = None
) -> SuspectView:
    """Return one suspect of the last reckoning.

    Raises
    ------
    InputError
        If nothing is known of such a suspect.
    """
    book, _today = planning_day.farm_book(now)
    kept = reckoning.latest()
    found = (kept.reckoned if with_people else without_people(kept.reckoned)) if kept else None
    lots = {(e.kind, e.level): e for e in found.of_suspects} if found else {}
    of = next((each for each in lots if each[0].value == kind and each[1] == level), None)
    if found is None or of is None:
        raise InputError("suspect", f"{kind} {level}"[:80], "one that the page of losses names")
    ranked = next(
        (
            e
            for e in (*found.ranked, *found.standing_out, *found.earlier, *found.costly)
            if (e.kind, e.suspect.level) == of
        ),
        None,
    )
    names = {each.code: each.name for each in book.varieties}
    zone = book.farm.time_zone
    rows = tuple(
        LotLine(
            lot=each.lot,
            name=f"{names.get(each.variety, each.variety)}, {each.step}",
            day=words.day_words(each.made_at, zone),
            units=each.units,
            found=each.found,
            expected=each.expected,
            standing=each.standing,
            seen=_seen(each),
            speaks=_speaks(each),
        )
        for each in lots[of].lots
    )
    clean = sum(row.speaks == "against" for row in rows)
    return SuspectView(
        name=first_upper(name_of(*of, book, lots[of])),
        line=suspect_line(ranked, book, lots) if ranked else None,
        lots=rows,
        evidence=evidence_of(*of, lots[of], book),
        against=_against(clean, len(rows)),
        alive=sum(row.standing for row in rows),
    )


def _seen(lot: LotSaid) -> str:
    if not lot.last_seen_days:
        return "not looked at yet"
    return f"last looked at when {lot.last_seen_days:.0f} days old"


def _speaks(lot: LotSaid) -> str:
    """Return on which side a lot stands: it lost more than expected, or less though it could."""
    if lot.found > lot.expected + 0.5:
        return "for"
    return "against" if lot.expected >= 0.5 and lot.found == 0 else ""  # noqa: PLR2004


def _against(clean: int, lots: int) -> str:
    if not clean:
        return ""
    return (
        f"{plural(clean, 'lot')} of {lots} lost nothing though at least one unit in two such lots "
        "would usually have shown: that speaks against it."
    )
