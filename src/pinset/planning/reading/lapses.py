"""What is alive today and lapses by a plan: which, until when, why, and what would save it."""

from __future__ import annotations

from collections.abc import Iterable, Mapping, Sequence
from math import floor

from pinset.planning.model.columns import Model
from pinset.planning.model.reach import Span, is_in_time, reach_of
from pinset.planning.plan import Lapse
from pinset.planning.problem import Problem
from pinset.planning.reading.explain import day_in_words, noun_for, units_for
from pinset.planning.reading.pegging import Batch, Key
from pinset.planning.reading.room_climates import Moves, RoomClimates, Spell, climate_words
from pinset.planning.reading.short_reason import ShortReason
from pinset.planning.reading.shortfall import is_worth_saying
from pinset.planning.reading.spawn_lapses import spawn_lapses_of
from pinset.planning.reading.trace import Trace
from pinset.planning.recipes import Fruiting, Making, Recipe
from pinset.planning.resources import GrowRoom

NAMED_ROOMS = 2
ROUNDING = 1e-6


def lapses_of(model: Model, found: Trace, climates: RoomClimates) -> tuple[Lapse, ...]:
    """Return the blocks, then the spawn, that lapse within the whole-number days, soonest first.

    Parameters
    ----------
    model : Model
        The programme.
    found : Trace
        What the plan decides, with what every lot is used for.
    climates : RoomClimates
        Of the rooms, as the plan keeps them.
    """
    problem = model.problem
    lapses: list[Lapse] = list(spawn_lapses_of(model, found))
    for r, recipe in enumerate(problem.recipes):
        fruiting = recipe.fruiting
        if fruiting is None:
            continue
        for k, making in enumerate(recipe.makings):
            if making.step != fruiting.parent:
                continue
            judge = _Judge(model, r, fruiting, found, climates)
            left = [
                batch
                for batch in found.batches.get((r, k), ())
                if batch.lot and batch.keeps_day < problem.whole_days and _units(batch) > 0
            ]
            lapses += _told(problem, recipe, making, judge, left)
    return tuple(sorted(lapses, key=lambda each: (each.last_day, each.variety)))


def _units(batch: Batch) -> int:
    return floor(batch.left + ROUNDING)


def _told(
    problem: Problem, recipe: Recipe, making: Making, judge: _Judge, left: Iterable[Batch]
) -> Iterable[Lapse]:
    """Yield one lapse for the lots that lapse on one day by one cause."""
    together: dict[tuple[int, ShortReason], list[Batch]] = {}
    for batch in left:
        together.setdefault((batch.keeps_day, judge.cause(batch)), []).append(batch)
    for (last, cause), batches in together.items():
        units = sum(_units(each) for each in batches)
        lots = tuple(dict.fromkeys(each.lot for each in batches))
        what = f"{units_for(making, units)} of {recipe.name} ({', '.join(lots)})"
        until = day_in_words(problem.date_of(last))
        begins = f"{what} {'keeps' if units == 1 else 'keep'} until {until}"
        yield Lapse(
            variety=recipe.variety,
            step=making.step,
            lots=lots,
            units=float(units),
            last_day=problem.date_of(last),
            cause=cause,
            words=f"{begins} {judge.words(cause, batches, units, noun_for(making, units))}",
        )


class _Judge:
    """Why units of one variety lapse."""

    def __init__(
        self, model: Model, r: int, fruiting: Fruiting, found: Trace, climates: RoomClimates
    ) -> None:
        self.problem = model.problem
        self.recipe = self.problem.recipes[r]
        self.fruiting = fruiting
        self.climates = climates
        self.moves = found.moves
        self.days = sorted({t for (owner, _, t) in model.v if owner == r})
        self.rooms = [room for room in self.problem.resources.rooms if room.code in fruiting.rooms]
        self.needed = _needed(self.recipe, r, found.short)
        self.short = [
            key
            for key, amount in found.short.items()
            if key[:2] == (r, "picked") and is_worth_saying(key, amount)
        ]

    def cause(self, batch: Batch) -> ShortReason:
        """Return why a lot lapses: what stands in the way on every day it could be moved in."""
        first, last = max(0, batch.ready_day), batch.keeps_day
        if not self._is_needed(first, last):
            return ShortReason.NOT_NEEDED
        days = [t for t in self.days if first <= t <= last]
        if not days:
            return ShortReason.SET_DAYS
        if self._is_spoilt(days):
            return ShortReason.CLOSED
        open_to = [(room, t) for room in self.rooms for t in days if self._against(room, t) is None]
        if not open_to:
            return ShortReason.CLIMATE
        if all(self._free(room, t) < self.fruiting.places for room, t in open_to):
            return ShortReason.FULL
        return ShortReason.TOO_LITTLE

    def words(self, cause: ShortReason, batches: Sequence[Batch], units: int, noun: str) -> str:
        """Return the rest of the sentence, and what would help."""
        first = min(max(0, each.ready_day) for each in batches)
        last = max(each.keeps_day for each in batches)
        since = day_in_words(self.problem.date_of(first))
        they, them = ("it", "it") if units == 1 else ("they", "them")
        places = max(1, round(units * self.fruiting.places))
        if cause is ShortReason.CLIMATE:
            reasons = [
                self.climates.why(spell, self.recipe.variety) for spell in self._held(first, last)
            ]
            return (
                f"and cannot be moved in by then: {'; '.join(reasons)}. Another room of about "
                f"{places} places kept {climate_words(self.fruiting)} from {since}, or a buyer for "
                f"the {noun} as {'it is' if units == 1 else 'they are'}, would save {them}."
            )
        if cause is ShortReason.FULL:
            full = " and ".join(room.words for room in self.rooms[:NAMED_ROOMS])
            verb = "is" if len(self.rooms) == 1 else "are"
            return (
                f"and {'finds' if units == 1 else 'find'} no place by then: {full} {verb} full. "
                f"About {places} more places from {since} would save {them}."
            )
        if cause is ShortReason.SET_DAYS:
            return (
                f"and no day for moving {them} into a grow room falls before that. A move on "
                f"another day from {since} would save {them}."
            )
        if cause is ShortReason.CLOSED:
            return (
                f"and what {they} would bear in time ripens while nobody works, and is spoilt "
                "before somebody comes. Somebody who picks on the closed days, or a buyer for the "
                f"{noun}, would save {them}."
            )
        if cause is ShortReason.TOO_LITTLE:
            return (
                f"and the plan has no time, or no whole batch, to use {them} by then. Moving "
                f"{them} in by hand, or a buyer, would save {them}."
            )
        return (
            f"and nothing promised needs {them} by then. A buyer for the {noun} or for what "
            f"{'it bears' if units == 1 else 'they bear'} would save {them}."
        )

    def _held(self, first: int, last: int) -> list[Spell]:
        """Return what each room is kept for instead, each once."""
        days = [t for t in self.days if first <= t <= last]
        found: list[Spell] = []
        for room in self.rooms:
            spell = next((s for t in days if (s := self._against(room, t)) is not None), None)
            if spell is not None and len(found) < NAMED_ROOMS:
                found.append(spell)
        return found

    def _against(self, room: GrowRoom, day: int) -> Spell | None:
        until = day + self.fruiting.room_days_on(day)
        return self.climates.against(room.code, self.fruiting.climate, day, until)

    def _free(self, room: GrowRoom, day: int) -> float:
        """Return the places of a room that stay free for as long as units moved in on a day."""
        stay = range(day, min(day + self.fruiting.room_days_on(day), self.problem.days))
        return min((room.on(t) - self._taken(room, t) for t in stay), default=0.0)

    def _taken(self, room: GrowRoom, day: int) -> float:
        inside = sum(
            lot.places
            for lot in self.problem.in_rooms
            if lot.room == room.code and day < lot.leaves_day
        )
        return inside + _moved_in(self.problem, self.moves, room, day)

    def _is_spoilt(self, days: Iterable[int]) -> bool:
        """Say whether all that moves of these days bear in time for what is short is spoilt."""
        keeps, is_any = self.recipe.picked_keeps_days, False
        for t in days:
            for pick in self.fruiting.borne(t):
                ripe = t + pick.day
                if any(is_in_time((ripe, ripe + keeps), key) for key in self.short):
                    is_any = True
                    if self.problem.resources.picked_on(ripe) is not None:
                        return False
        return is_any

    def _is_needed(self, first: int, last: int) -> bool:
        return any(is_in_time((first + span[0], last + span[1]), key) for key, span in self.needed)


def _needed(recipe: Recipe, r: int, short: Mapping[Key, float]) -> list[tuple[Key, Span]]:
    """Return what is short that blocks serve, and after how many days they do."""
    found = []
    for key, amount in short.items():
        if key[0] != r or not is_worth_saying(key, amount) or recipe.fruiting is None:
            continue
        span = reach_of(recipe, key[1]).spans.get(recipe.fruiting.parent)
        if span is not None:
            found.append((key, span))
    return found


def _moved_in(problem: Problem, moves: Moves, room: GrowRoom, day: int) -> float:
    total = 0.0
    for (r, code, t), units in moves.items():
        fruiting = problem.recipes[r].fruiting
        if code != room.code or fruiting is None:
            continue
        if t <= day < t + fruiting.room_days_on(t):
            total += units * fruiting.places
    return total
