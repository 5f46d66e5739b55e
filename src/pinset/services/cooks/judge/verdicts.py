"""Cooks and what came of them: listed, and read back with what they rest on."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from datetime import datetime
from typing import Any

from pinset.chain.stages import Stage
from pinset.chain.verdicts_together import BECAUSE, REPLACES, SET_ASIDE
from pinset.errors import RefusedError
from pinset.farm import log_store
from pinset.farm.entries import Account
from pinset.farm.queries.cooks import (
    Judged,
    cook_entries,
    counting_verdicts,
    entries_of_cooks,
    standing_verdicts,
    verdict_entries,
)
from pinset.farm.queries.lineage import children
from pinset.farm.queries.story import Happened
from pinset.farm.trade import CookVerdict
from pinset.services.bounds import MOST_PAGES, within
from pinset.services.building.heat import lots_of
from pinset.services.cooks.words import LIME, is_by_hand, verdict_in_words

PAGE = 30


@dataclass(frozen=True, slots=True)
class CookLine:
    """A cook as a list shows it."""

    cook: str  # code
    at: datetime  # when it was loaded
    steriliser: str  # code
    cook_kind: str
    units: int
    lots: tuple[str, ...]  # prepared lots it made
    verdict: str  # pass, fail, unjudged; by all its verdicts that count
    words: str  # passed, too short, not judged yet
    sentence: str
    judged_at: datetime | None  # None: never judged
    judged_by: str  # name
    by_hand: bool  # somebody's own judgement, without a log


@dataclass(frozen=True, slots=True)
class CookPage:
    """Some of the cooks, the newest first."""

    total: int
    page: int
    pages: int
    cooks: tuple[CookLine, ...]


@dataclass(frozen=True, slots=True)
class LimeLine:
    """What a lime bath was held against, as it was written down."""

    rule: str  # the farm's rule at that time, in words
    note: str  # which lime, how measured


@dataclass(frozen=True, slots=True)
class VerdictLine:
    """One verdict in the history of a cook."""

    entry: str  # client id, for taking it back
    verdict: str
    words: str
    sentence: str
    at: datetime
    by: str  # name
    by_hand: bool
    taken_back: bool
    log: str  # SHA-256 of the logger's file; empty: there is none
    log_name: str
    judged: Mapping[str, Any]  # what it rests on, as it was handed in
    reason: str = ""  # why its log counts, where that was in doubt
    counts: bool = True  # neither taken back, nor set aside, nor judged again
    rules: bool = False  # it is how the cook stands
    aside_because: str = ""  # why it lets earlier ones not count; empty: it sets none aside
    sets_aside: tuple[str, ...] = ()  # entries that do not count because of it
    replaces: tuple[str, ...] = ()  # SHA-256 of logs that are the beginning of its own
    bath: LimeLine | None = None  # of a lime bath: what it was held against


@dataclass(frozen=True, slots=True)
class LotOfCook:
    """A lot that went through a cook, or was made in vessels that did."""

    lot: str
    stage: str
    variety: str  # code; empty for prepared vessels
    step: str
    units: int  # vessels that went in


@dataclass(frozen=True, slots=True)
class CookView:
    """A cook with its verdicts, the newest first, and the lots made from it."""

    line: CookLine
    hold_minutes: int  # as somebody read it off
    done_by: str  # name of who loaded it
    verdicts: tuple[VerdictLine, ...]
    inoculated: tuple[LotOfCook, ...]

    @property
    def standing(self) -> VerdictLine | None:
        """The verdict by which the cook stands; None: it is not judged."""
        return next((each for each in self.verdicts if each.rules), None)

    def why_not(self, line: VerdictLine) -> str:
        """Return why a verdict does not count any more; empty: it counts, or was taken back."""
        if line.counts or line.taken_back:
            return ""
        later = [each for each in self.verdicts if not each.taken_back and each.at > line.at]
        for each in later:
            if line.entry in each.sets_aside:
                by = f" by {each.log_name}" if each.log_name else ""
                return f"Set aside{by}, because: {each.aside_because}."
        for each in later:
            if line.log in each.replaces:
                return f"Replaced by {each.log_name}, the whole log of which it was the beginning."
        return "Judged again later."


def cooks(since: datetime, page: int = 1) -> CookPage:
    """Return a page of the cooks since a moment, the newest first.

    Raises
    ------
    InputError
        If the page is out of bounds.
    """
    within("page", page, 1, MOST_PAGES)
    total, entries = cook_entries(since, offset=(page - 1) * PAGE, limit=PAGE)
    codes = {_code(entry) for entry in entries}
    judged = standing_verdicts(codes)
    return CookPage(
        total=total,
        page=page,
        pages=max(1, -(-total // PAGE)),
        cooks=tuple(_line([entry], judged.get(_code(entry))) for entry in entries),
    )


def cook_of(code: str) -> CookView:
    """Return one cook with everything that hangs on it.

    Raises
    ------
    RefusedError
        If there is no such cook.
    """
    lots = lots_of(code)
    entries = entries_of_cooks([code])
    rules = standing_verdicts([code]).get(code)
    counted = {each.entry for each in counting_verdicts([code]).get(code, ())}
    return CookView(
        line=_line(entries, rules),
        hold_minutes=int(entries[-1].details.get("hold_minutes", 0)),
        done_by=entries[-1].person_name,
        verdicts=tuple(
            _verdict(entry, counted, rules.entry if rules else "")
            for entry in reversed(verdict_entries(code))
        ),
        inoculated=tuple(
            LotOfCook(child.lot, child.stage, child.variety, child.step, child.units)
            for lot in lots
            for child in children(lot)
            if child.stage != Stage.PREPARED.value
        ),
    )


def _code(entry: Happened) -> str:
    return str(entry.details.get("cook", ""))


def _line(entries: list[Happened] | tuple[Happened, ...], judged: Judged | None) -> CookLine:
    first = entries[0]
    details = judged.details if judged else {}
    verdict = judged.verdict if judged else CookVerdict.UNJUDGED.value
    return CookLine(
        cook=_code(first),
        at=first.happened_at,
        steriliser=str(first.details.get("steriliser", "")),
        cook_kind=str(first.details.get("cook_kind", "")),
        units=-sum(entry.total(Account.MADE.value) for entry in entries),
        lots=tuple(lot for entry in entries for lot in entry.lots_made),
        verdict=verdict,
        words=verdict_in_words(verdict, details),
        sentence=str(details.get("sentence", "")),
        judged_at=judged.at if judged else None,
        judged_by=judged.by if judged else "",
        by_hand=is_by_hand(details),
    )


def _verdict(entry: Happened, counted: set[str], rules: str) -> VerdictLine:
    said = entry.details
    verdict = str(said.get("verdict", ""))
    return VerdictLine(
        entry=entry.client_id,
        verdict=verdict,
        words=verdict_in_words(verdict, said),
        sentence=str(said.get("sentence", "")),
        at=entry.happened_at,
        by=entry.person_name,
        by_hand=is_by_hand(said),
        taken_back=entry.is_corrected,
        log=str(said.get("log", "")),
        log_name=str(said.get("log_name", "")),
        judged=said.get("judged", {}),
        reason="" if _is_own(said) or _is_old(said) else str(said.get("reason", "")),
        counts=entry.client_id in counted,
        rules=entry.client_id == rules,
        aside_because=_because(said),
        sets_aside=tuple(said.get(SET_ASIDE, ())),
        replaces=tuple(said.get("judged", {}).get(REPLACES, ())),
        bath=_bath(said),
    )


def _is_own(said: Mapping[str, Any]) -> bool:
    """Say whether a verdict rests on no log, so that its reason is none for a log to count."""
    return is_by_hand(said) or said.get("treatment") == LIME


def _bath(said: Mapping[str, Any]) -> LimeLine | None:
    if said.get("treatment") != LIME:
        return None
    return LimeLine(str(said.get("rule", "")), str(said.get("reason", "")))


def _is_old(said: Mapping[str, Any]) -> bool:
    """Say whether a verdict sets earlier ones aside by its one reason, as entries once did."""
    return bool(said.get(SET_ASIDE)) and BECAUSE not in said


def _because(said: Mapping[str, Any]) -> str:
    return str(said.get("reason" if _is_old(said) else BECAUSE, ""))


def stored_log(digest: str) -> tuple[str, bytes]:
    """Return name and content of a log that a cook was judged by.

    Raises
    ------
    RefusedError
        If there is none of that digest.
    InputError
        If what is kept is not what the digest says.
    """
    found = log_store.stored(digest)
    if found is None:
        raise RefusedError(f"No log {digest[:12]} is kept here.", "Load it on the Heat page.")
    return found
