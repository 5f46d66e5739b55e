"""May these parents be used? What speaks against it is said, and a reason overrules it."""

from __future__ import annotations

from collections.abc import Collection, Iterable, Sequence
from datetime import date
from typing import Any

from pinset.chain import seen_contaminated
from pinset.chain.lineage import Ancestor, child_counters, limit_findings
from pinset.chain.living import LivingLot
from pinset.chain.readiness import LotState, Standing, state
from pinset.chain.stages import Stage
from pinset.errors import RefusedError, Severity
from pinset.farm.queries.alive import living
from pinset.farm.trade import Taken
from pinset.services.building.task import Task
from pinset.services.jobs.moves_said import past_time
from pinset.services.jobs.records import LotAmount, units_by_lot
from pinset.services.words import joined, short_day


def ask_about_parents(task: Task, lots: Sequence[LotAmount], made: Stage) -> None:
    """Ask for a reason where parents are held back, not ready, past their time or too old.

    Nothing is asked as long as enough units of a lot may be used, such as sealed ones beside an
    opened one that is past its time. With a reason the work is recorded and what spoke against it
    stands in the entry's details.

    Raises
    ------
    RefusedError
        If there is none.
    """
    wanted: dict[str, int] = {}
    for lot in lots:
        wanted[lot.lot] = wanted.get(lot.lot, 0) + lot.units
    parts = living(task.day, lots=list(wanted))
    against = [
        said
        for code, units in wanted.items()
        for said in _against_units([part for part in parts if part.code == code], units, task.day)
    ]
    if parts:
        ancestors = [Ancestor(part.stage, part.generation, part.transfers) for part in parts]
        counters = child_counters(made, ancestors)
        findings = limit_findings(parts[0].route, made, counters, "the new lot")
        against += [each.sentence for each in findings if each.severity is Severity.WARNING]
    cultures = sorted({part.culture for part in parts if part.culture})
    if len(cultures) > 1:
        against.append(f"Their cultures differ: {joined(cultures)}.")
    settle(task, against, held=held_among(parts, against))


def _against_units(parts: Sequence[LivingLot], units: int, day: date) -> list[str]:
    """Return what speaks against using so many units of a lot; a part of one counts as one."""
    bad = seen_contaminated.against(parts[0].code, parts, units) if parts else ""
    if bad:
        sound = seen_contaminated.sound_of(parts)
        return [bad, *(said for part in sound for said in against_use(part, day))]
    against = [(part, against_use(part, day)) for part in parts]
    usable = sum(part.alive for part, said in against if not said)
    if usable >= max(1, units):
        return []
    return [sentence for _, said in against for sentence in said]


def ask_about_units(task: Task, lots: Sequence[LotAmount]) -> None:
    """Ask for a reason where units that go on are held back, or too few were not contaminated.

    Raises
    ------
    RefusedError
        If there is none.
    """
    wanted = units_by_lot(lots)
    parts = living(task.day, lots=list(wanted))
    sound = seen_contaminated.sound_of(parts)
    against = [_held_words(part) for part in sound if part.held]
    for code, units in wanted.items():
        own = [part for part in parts if part.code == code and part.step != task.job.to_step]
        against += filter(None, [seen_contaminated.against(code, own, units)])
    settle(task, against, held=held_among(parts, against))


def ask_about_age(task: Task, taken: Sequence[Taken]) -> None:
    """Ask for a reason where units that go on are past their time or dead of cold.

    Nothing is asked as long as enough units are sound at each place they are taken from.

    What begins anew with the move, ripening or fruiting, does not make them young again.

    Raises
    ------
    RefusedError
        If there is none.
    """
    parts = living(task.day, lots={each.lot for each in taken})
    against: list[str] = []
    for each in taken:
        here = [part for part in parts if (part.code, part.place) == (each.lot, each.place)]
        said = [past_time(part, task.reader) for part in here]
        sound = sum(part.alive for part, past in zip(here, said, strict=True) if not past)
        if each.quantity > sound:
            against += [past for past in said if past]
    settle(task, against)


def ask_about_moved(task: Task, lots: Sequence[LotAmount]) -> None:
    """Ask for a reason where units are moved into a step in which they are already.

    Raises
    ------
    RefusedError
        If there is none.
    """
    step = task.job.to_step
    wanted: dict[str, int] = {}
    for lot in lots:
        wanted[lot.lot] = wanted.get(lot.lot, 0) + lot.units
    parts = living(task.day, lots=list(wanted)) if step else ()
    against = []
    for code, units in wanted.items():
        there = [part for part in parts if part.code == code and part.step == step]
        still = sum(part.alive for part in parts if part.code == code) - sum(
            part.alive for part in there
        )
        if there and units > still:
            since = joined([f"{part.alive} since {short_day(part.step_since)}" for part in there])
            against.append(
                f"{units} of lot {code} are to be moved into {step}, and only {still or 'none'} "
                f"of it {'is' if still == 1 else 'are'} not in {step} yet: {since}."
            )
    settle(
        task,
        against,
        "Look whether the move is written down already; if they are carried to another shelf all "
        "the same, give a reason: they keep their day.",
    )


def ask_about_carried(task: Task, lots: Sequence[LotAmount]) -> None:
    """Ask for a reason where units are carried into a room in which they stand already.

    Raises
    ------
    RefusedError
        If there is none.
    """
    room = "" if task.job.to_step else task.job.to_room
    wanted: dict[str, int] = {}
    for lot in lots:
        wanted[lot.lot] = wanted.get(lot.lot, 0) + lot.units
    parts = living(task.day, lots=list(wanted)) if room else ()
    against = []
    for code, units in wanted.items():
        there = sum(part.alive for part in parts if part.code == code and part.room == room)
        elsewhere = sum(part.alive for part in parts if part.code == code) - there
        if there and units > elsewhere:
            against.append(
                f"{units} of lot {code} are to be carried into {task.job.place}, and {there} of it "
                f"{'stands' if there == 1 else 'stand'} there already."
            )
    settle(task, against, "Look whether it is written down already; say what was carried now.")


def ask_about_missing(task: Task, lots: Sequence[LotAmount]) -> None:
    """Ask for a reason where more units are named than stand there in the books.

    Raises
    ------
    RefusedError
        If there is none.
    """
    wanted: dict[str, int] = {}
    for lot in lots:
        wanted[lot.lot] = wanted.get(lot.lot, 0) + lot.units
    standing = task.standing(wanted)
    there = {code: sum(each.quantity for each in standing.get(code, ())) for code in wanted}
    settle(
        task,
        [
            f"{units} of lot {code} are named, and {there[code] or 'none'} "
            f"{'stands' if there[code] == 1 else 'stand'} there in the books."
            for code, units in wanted.items()
            if units > there[code]
        ]
        + [
            f"Nothing of lot {code} stands there in the books, so none of it can be open."
            for code in task.answer.opened
            if not there.get(code)
        ],
        "Look at the number, or count the lot again first; if it is right all the same, "
        "give a reason.",
    )


ALL_THE_SAME = "If it is to be done all the same, give a reason."


class HeldUsedError(RefusedError):
    """Units of lots that are held back would be used, and no reason stands for these lots."""

    def __init__(self, sentence: str, hint: str, lots: Sequence[str]) -> None:
        self.lots = tuple(lots)
        super().__init__(sentence, hint)


def settle(task: Task, against: Sequence[str], hint: str = "", held: Collection[str] = ()) -> None:
    """Refuse what speaks against the work, or note it beside the reason given.

    ``hint`` is what to do about it, if more is to be said than that a reason overrules it; ``held``
    are the lots that are held back, of those it speaks of.

    Raises
    ------
    HeldUsedError
        If some of it is held back, and no reason is given that stands for these lots.
    RefusedError
        If something else speaks against it and no reason is given.
    """
    said = list(dict.fromkeys(against))
    if not said:
        return
    named = task.answer.held
    open_ones = sorted(set(held) - set(named or ()))
    if open_ones and not (task.answer.reason and named is None):
        raise HeldUsedError(" ".join(said), hint or ALL_THE_SAME, open_ones)
    if not task.answer.reason:
        raise RefusedError(" ".join(said), hint or ALL_THE_SAME)
    note_against(task.details, said)


def note_against(details: dict[str, Any], said: Sequence[str]) -> None:
    """Note each doubt that a reason overrules beside it, by its own sentence."""
    before = details.get("against", [])
    kept = before if isinstance(before, list) else [str(before)]
    if said:
        details["against"] = list(dict.fromkeys([*kept, *said]))


def against_use(part: LivingLot, day: date) -> list[str]:
    """Return what speaks against using units on a day, in sentences; nothing if they are usable."""
    if part.contaminated:
        return [f"{seen_contaminated.against_part(part)}."]
    found = [_held_words(part)] if part.held else []
    now = state(part, day)
    if now.state is not LotState.READY:
        found.append(f"Lot {part.code} is {_said(now)}.")
    return found


def _said(now: Standing) -> str:
    """Return state and words, the state said once."""
    words = now.words.removeprefix(f"{now.state.value}: ")
    return f"{now.state.value}: {words}"


def held_among(parts: Iterable[LivingLot], against: Collection[str]) -> set[str]:
    """Return the codes of lots of which it is said that they are held back."""
    return {part.code for part in parts if part.held and _held_words(part) in against}


def _held_words(part: LivingLot) -> str:
    return f"Lot {part.code} is held back: {part.held}."
