"""What happened since a plan that may change the next one, each with the work it touches.

A cook that failed, an entry that was taken back, vessels or units that are gone, a job that was
dropped, put off or done otherwise than asked, and what came that no job asked for. What was done as
it was planned is no cause.
"""

from __future__ import annotations

from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass

from pinset.chain.register import FarmBook, Step
from pinset.chain.stages import Stage
from pinset.chain.vessel_keys import VesselKey, vessel_key
from pinset.farm import job_store, since
from pinset.farm.entries import Account, Kind, Measure
from pinset.farm.queries import story
from pinset.farm.queries.cooks import lots_of_cooks
from pinset.farm.queries.story import Happened
from pinset.farm.since import MadeAs
from pinset.farm.trade import CookVerdict
from pinset.services.books.life_words import TAKEN_BACK
from pinset.services.jobs.records import JobKind, LotAmount, PlannedJob
from pinset.services.jobs.state import StoredJob, done_count, stored_jobs
from pinset.services.words import joined, plural, short_day

OUT = {Account.LOST.value: "lost", Account.CULLED.value: "taken out"}
CAME = {Account.MADE.value: "made", Account.RECEIVED.value: "received"}
COUNTED = frozenset({
    JobKind.TRANSFER,
    JobKind.COOK,
    JobKind.OPEN,
    JobKind.MOVE,
    JobKind.RECEIVE,
})  # fmt: skip
"""Kinds of work of which another number than asked changes what comes after."""

ANSWERED = COUNTED | {JobKind.PREPARE, JobKind.ORDER}


@dataclass(frozen=True, slots=True)
class Work:
    """What work is about: lots, steps of varieties, and prepared vessels."""

    lots: frozenset[str] = frozenset()
    steps: frozenset[tuple[str, str]] = frozenset()  # variety, step
    vessels: frozenset[VesselKey] = frozenset()

    def meets(self, other: Work) -> bool:
        """Say whether both are about the same lots, steps or vessels."""
        return not (
            self.lots.isdisjoint(other.lots)
            and self.steps.isdisjoint(other.steps)
            and self.vessels.isdisjoint(other.vessels)
        )


@dataclass(frozen=True, slots=True)
class Cause:
    """Something that happened, in words, and what it touches."""

    words: str
    about: Work


class Steps:
    """The steps of the farm's routes, to find what work and lots are about."""

    def __init__(self, book: FarmBook | None) -> None:
        """Read them from a book; without one nothing is known of steps."""
        self._routes = {route.code: route for route in book.routes} if book else {}
        self._route_of = {v.code: v.route for v in book.varieties} if book else {}

    def of_job(self, job: PlannedJob) -> Work:
        """Return what a job is about: its lots, its step with its parents, and its vessels."""
        own = job.to_step or job.step
        steps = {(job.variety, own), *self._parents(job.variety, own)} if job.variety else set()
        vessels = set()
        for step, feed in self._fed(job.feeds):
            vessels.add(vessel_key(step))
            for variety, route in self._route_of.items():
                if route == feed.route:
                    steps |= {(variety, step.code), *self._parents(variety, step.code)}
        made = self._step(self._route_of.get(job.variety, ""), own)
        if job.kind is JobKind.TRANSFER and made is not None and made.cook:
            vessels.add(vessel_key(made))
        lots = {lot.lot for lot in job.lots} | set(job.vessels)
        return Work(frozenset(lots - {""}), frozenset(steps), frozenset(vessels))

    def of_answer(self, job: PlannedJob) -> Work:
        """Return what an answer to a job touches: what it makes, not what that is made from."""
        own = job.to_step or job.step
        steps = {(job.variety, own)} if job.variety and own else set()
        vessels = {vessel_key(step) for step, _ in self._fed(job.feeds)}
        return Work(frozenset(), frozenset(steps), frozenset(vessels))

    def of_lots(self, lots: Iterable[str], made: Mapping[str, MadeAs]) -> Work:
        """Return what units of lots are for; of prepared vessels, what vessels they are."""
        codes = frozenset(lots)
        steps, vessels = set(), set()
        for code in codes & made.keys():
            facts = made[code]
            step = self._step(facts.route, facts.step)
            if facts.stage != Stage.PREPARED.value:
                steps.add((facts.variety, facts.step))
            elif step is not None:
                vessels.add(vessel_key(step))
        return Work(codes, frozenset(steps), frozenset(vessels))

    def _fed(self, feeds: Iterable[LotAmount]) -> list[tuple[Step, LotAmount]]:
        found = [(self._step(feed.route, feed.step), feed) for feed in feeds]
        return [(step, feed) for step, feed in found if step is not None]

    def _step(self, route: str, code: str) -> Step | None:
        described = self._routes.get(route)
        return next((s for s in described.steps if s.code == code), None) if described else None

    def _parents(self, variety: str, code: str) -> set[tuple[str, str]]:
        step = self._step(self._route_of.get(variety, ""), code)
        return {(variety, parent.step) for parent in step.parents} if step is not None else set()


def causes_since(last_entry: int, book: FarmBook | None) -> tuple[Cause, ...]:
    """Return what happened since that may change a plan, the gravest first.

    Parameters
    ----------
    last_entry : int
        Number of the newest entry that the plan before was made from.
    book : FarmBook or None
        The farm: without it nothing is known of steps and vessels.
    """
    entries = story.after(last_entry)
    steps = Steps(book)
    failed = [each for each in entries if _is_fail(each)]
    cooks = lots_of_cooks(str(each.details.get("cook", "")) for each in failed)
    undone = [found for each in entries if each.corrects and (found := story.entry(each.corrects))]
    codes = {p.lot for each in (*entries, *undone) for p in each.postings}
    made = since.made_as({*codes, *(lot for lots in cooks.values() for lot in lots)})
    jobs = _jobs([*entries, *undone])
    return (
        *(Cause(f"cook {cook} failed", steps.of_lots(lots, made)) for cook, lots in cooks.items()),
        *(_taken_back(each, jobs, steps, made) for each in undone),
        *_gone(entries, steps, made),
        *_answered(entries, jobs, steps),
        *_otherwise(entries, jobs, steps),
        *_came(entries, steps, made),
    )


def _is_fail(entry: Happened) -> bool:
    is_fail = entry.details.get("verdict") == CookVerdict.FAIL
    return entry.kind == Kind.VERDICT.value and entry.stands and is_fail


def _jobs(entries: Sequence[Happened]) -> dict[str, StoredJob]:
    codes = {each.job for each in entries if each.job}
    rows = [row for code in sorted(codes) if (row := job_store.job_by_code(code)) is not None]
    return {each.row.code: each for each in stored_jobs(rows)}


def _taken_back(
    undone: Happened, jobs: Mapping[str, StoredJob], steps: Steps, made: Mapping[str, MadeAs]
) -> Cause:
    lots = list(dict.fromkeys(p.lot for p in undone.postings))
    what = TAKEN_BACK.get(Kind(undone.kind), "an entry")
    cook = str(undone.details.get("cook", ""))
    if cook:
        of = f" {cook}"
        lots += [lot for found in lots_of_cooks([cook]).values() for lot in found]
    else:
        of = f" of {joined(lots[:2])}" if lots else ""
    about = steps.of_lots(lots, {**made, **since.made_as(set(lots) - made.keys())})
    job = jobs.get(undone.job)
    if job is not None:
        own = steps.of_answer(job.job)
        about = Work(about.lots, about.steps | own.steps, about.vessels | own.vessels)
    return Cause(f"{what}{of} was taken back", about)


def _gone(entries: Iterable[Happened], steps: Steps, made: Mapping[str, MadeAs]) -> Iterable[Cause]:
    """Return the units that were lost or taken out, the most first."""
    totals: dict[tuple[str, str], int] = {}
    for each in entries:
        for posting in each.postings if each.stands else ():
            if posting.account in OUT and posting.measure == Measure.UNIT.value:
                key = (posting.lot, posting.account)
                totals[key] = totals.get(key, 0) + posting.quantity
    for (lot, account), units in sorted(totals.items(), key=lambda item: (-item[1], item[0])):
        if units > 0:
            words = f"{plural(units, 'unit')} of {lot} {OUT[account]}"
            yield Cause(words, steps.of_lots([lot], made))


def _answered(
    entries: Iterable[Happened], jobs: Mapping[str, StoredJob], steps: Steps
) -> Iterable[Cause]:
    """Return the jobs that were dropped or put off."""
    for each in entries:
        stored = jobs.get(each.job)
        if stored is None or not each.stands or stored.job.kind not in ANSWERED:
            continue
        if each.kind not in {Kind.DROP.value, Kind.PUT_OFF.value}:
            continue
        how = "dropped" if each.kind == Kind.DROP.value else "put off"
        given = str(each.details.get("reason", ""))
        said = f"{_named(stored.job)} was {how}"
        yield Cause(f"{said} ({given})" if given else said, steps.of_answer(stored.job))


def _otherwise(
    entries: Iterable[Happened], jobs: Mapping[str, StoredJob], steps: Steps
) -> Iterable[Cause]:
    """Return the jobs that were finished with another number than they asked for."""
    codes = dict.fromkeys(each.job for each in entries if each.stands and each.job in jobs)
    for code in codes:
        stored = jobs[code]
        done = done_count(stored.entries)
        is_meant = stored.job.kind in COUNTED and stored.row.is_closed
        if is_meant and done and done != stored.job.count:
            words = f"of {_named(stored.job)} {done} of {stored.job.count} were done"
            yield Cause(words, steps.of_answer(stored.job))


def _came(entries: Iterable[Happened], steps: Steps, made: Mapping[str, MadeAs]) -> Iterable[Cause]:
    """Return what was made or arrived that no job asked for."""
    for each in entries:
        if each.job or not each.stands or "recount" in each.details:
            continue
        for posting in each.postings:
            if posting.account in CAME and posting.measure == Measure.UNIT.value:
                words = f"{plural(abs(posting.quantity), 'unit')} of {posting.lot} "
                about = steps.of_lots([posting.lot], made)
                yield Cause(f"{words}{CAME[posting.account]}", about)


def _named(job: PlannedJob) -> str:
    """Return a job in a few words: ``grain of 11 March``, ``soak of 11 March``."""
    what = job.task if job.kind is JobKind.PREPARE else job.step or job.cook_kind or job.task
    return f"{what} of {short_day(job.first_day or job.day)}"
