"""A load of several mixes: what it holds of each, how each is called, and what is filled of it."""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from dataclasses import dataclass, replace

from pinset.chain.register import FarmBook, Step
from pinset.chain.step_nouns import step_noun
from pinset.farm.job_store import JobEntry
from pinset.services.jobs.records import JobKind, LotAmount, PlannedJob
from pinset.services.jobs.state import StoredJob
from pinset.services.loads.carried import MixFilled, filled_of
from pinset.services.loads.loaded import feeds_left
from pinset.services.loads.what_waits import Mix, mix_of
from pinset.services.views import MixUse

SEVERAL = 2
NOTHING_SAID = MixFilled(None, None)


@dataclass(frozen=True, slots=True)
class MixInLoad:
    """What a load still takes of one mix."""

    name: str  # by which a person says it: the mix, else its step, else route and step
    words: str  # "grain jars, rye"
    names: tuple[str, ...]  # all that may be said for it, as a grower sees it
    feeds: tuple[LotAmount, ...]  # still to be loaded, by the step and route it is for
    filled: MixFilled

    def is_called(self, said: str) -> bool:
        """Say whether a name is one of this mix, whatever its case, spaces and dashes."""
        return _plain(said) in {_plain(each) for each in self.names}

    @property
    def units(self) -> int:
        """Return the units still to be loaded."""
        return sum(feed.units for feed in self.feeds)

    def sized(self, units: int) -> tuple[LotAmount, ...]:
        """Return so many units by what they are for; vessels of one mix serve alike.

        What is beyond the plan is put to the last.
        """
        found, left = list[LotAmount](), units
        for number, feed in enumerate(self.feeds, start=1):
            here = left if number == len(self.feeds) else min(left, feed.units)
            left -= here
            if here > 0:
                found.append(replace(feed, units=here))
        return tuple(found)


def mixes_in(job: PlannedJob, entries: Iterable[JobEntry], book: FarmBook) -> tuple[MixInLoad, ...]:
    """Return the mixes of a load, in its order; none for work that loads nothing.

    Parameters
    ----------
    job : PlannedJob
        The loading, with what was filled for it.
    entries : iterable of JobEntry
        What was loaded of it before.
    book : FarmBook
        The farm.
    """
    if job.kind is not JobKind.COOK or not job.feeds:
        return ()
    routes = {route.code: route for route in book.routes}
    gathered: dict[Mix, list[tuple[Step | None, LotAmount]]] = {}
    for feed in feeds_left(job, entries):
        route = routes.get(feed.route)
        step = next((s for s in route.steps if s.code == feed.step), None) if route else None
        mix = mix_of(step) if step else (f"{feed.route}/{feed.step}", 0.0)
        gathered.setdefault(mix, []).append((step, feed))
    filled = filled_of(job, book)
    called = [_names(items, book) for items in gathered.values()]
    return tuple(
        MixInLoad(
            name=next((each for each in names if _is_only(each, called)), names[-1]),
            words=_words(items),
            names=tuple(each for each in names if _is_only(each, called)),
            feeds=tuple(feed for _, feed in items),
            filled=filled.get(mix, NOTHING_SAID),
        )
        for (mix, items), names in zip(gathered.items(), called, strict=True)
    )


def mixes_asked(stored: StoredJob, book: FarmBook) -> tuple[MixUse, ...]:
    """Return the mixes of a load that is still open, as they are asked about; none of one only."""
    mixes = () if stored.row.is_closed else mixes_in(stored.job, stored.entries, book)
    if len(mixes) < SEVERAL:
        return ()
    return tuple(MixUse(mix.name, mix.words, mix.units, mix.filled.recorded) for mix in mixes)


def _names(items: Sequence[tuple[Step | None, LotAmount]], book: FarmBook) -> list[str]:
    """Return what a mix may be called: as on the bag, in the fill job, by step or variety."""
    step, _ = items[0]
    found = [step.mix, f"{step.mix} {step.vessel}".strip()] if step and step.mix else []
    found += [feed.step for _, feed in items]
    found += [_words(items)]
    routes = {feed.route for _, feed in items}
    for variety in book.varieties:
        if variety.route in routes:
            found += [variety.name, variety.code]
    found += [f"{feed.route}/{feed.step}" for _, feed in items]
    named: dict[str, str] = {}
    for each in found:
        named.setdefault(_plain(each), each)
    return list(named.values())


def _plain(name: str) -> str:
    """Return a name without case, and with one space for all spaces and dashes.

    Examples
    --------
    >>> _plain(" Masters-Mix  bag")
    'masters mix bag'
    """
    return " ".join(name.casefold().replace("-", " ").replace("_", " ").split())


def _is_only(name: str, called: Sequence[Sequence[str]]) -> bool:
    return sum(_plain(name) in {_plain(each) for each in names} for names in called) == 1


def _words(items: Sequence[tuple[Step | None, LotAmount]]) -> str:
    step, feed = items[0]
    if step is None:
        return f"vessels for {feed.step}"
    return f"{step_noun(step, 2)}, {step.mix}" if step.mix else step_noun(step, 2)
