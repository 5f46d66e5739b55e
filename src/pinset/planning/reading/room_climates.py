"""On which days a grow room is kept in which climate, as a plan has it, and for whom."""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from dataclasses import dataclass

from pinset.planning.model.columns import Model
from pinset.planning.model.limits_rooms import climates_wanted
from pinset.planning.model.programme import INFINITY, Change
from pinset.planning.plan import KeptClimate
from pinset.planning.problem import Problem
from pinset.planning.reading.explain import day_in_words
from pinset.planning.recipes import Fruiting
from pinset.planning.resources import GrowRoom

FAR_LEAST = 0.002  # units; less in the provisional weeks is noise of fractions
Moves = Mapping[tuple[int, str, int], float]
"""Units moved by recipe, room and day."""


@dataclass(slots=True)
class Spell:
    """Days on which a room is kept in one climate, both ends among them."""

    room: GrowRoom
    climate: str
    since: int
    until: int
    varieties: list[str]
    is_set: bool


@dataclass(frozen=True, slots=True)
class _Stay:
    variety: str
    climate: str
    since: int
    until: int  # the last day
    is_there: bool


class RoomClimates:
    """The climates of all rooms that can be kept in one or another."""

    def __init__(self, problem: Problem, moves: Moves) -> None:
        self.problem = problem
        self.spells = [
            spell
            for room in problem.resources.rooms
            if len(climates_wanted(problem, room)) > 1
            for spell in _spells(room, _stays(problem, room, moves))
        ]

    def against(self, room: str, climate: str, first: int, until: int) -> Spell | None:
        """Return the first spell of another climate in a room within days, ``until`` left out."""
        return next(
            (
                each
                for each in self.spells
                if each.room.code == room
                and each.climate != climate
                and each.since < until
                and first <= each.until
            ),
            None,
        )

    def why(self, spell: Spell, variety: str) -> str:
        """Return for whom a room is kept and what another variety needs, in words."""
        problem = self.problem
        recipe = problem.recipe(variety)
        fruiting = recipe.fruiting if recipe is not None else None
        needs = climate_words(fruiting) if fruiting is not None else ""
        end = problem.days - 1
        until = day_in_words(problem.date_of(min(spell.until, end)))
        until = f"{until}, where this plan ends" if spell.until >= end else until
        name = recipe.name if recipe is not None else variety
        return (
            f"{spell.room.words} is kept {self.words_of(spell)} for "
            f"{' and '.join(names_of(problem, spell.varieties))} until {until}, and {name} needs "
            f"{needs}"
        )

    def words_of(self, spell: Spell) -> str:
        """Return the climate of a spell with its temperature, as the first variety has it."""
        recipes = (self.problem.recipe(variety) for variety in spell.varieties)
        steps = (recipe.fruiting for recipe in recipes if recipe is not None)
        said = (each for each in steps if each is not None and each.climate == spell.climate)
        return next((climate_words(each) for each in said), spell.climate)

    def holding(self, model: Model) -> Change:
        """Return the change in which rooms keep their climates and may take more of another.

        Rows of a climate that another one holds up are limits; on all other days the places of the
        room are the only limit.
        """
        free = {
            each.row: INFINITY
            for each in model.capacities
            if each.climate
            and self.against(each.room, each.climate, each.day, each.day + 1) is None
        }
        return Change(row_upper=free, upper=dict.fromkeys(model.climate.values(), 0.0))

    def kept(self) -> tuple[KeptClimate, ...]:
        """Return the spells as they are stored with the plan."""
        problem = self.problem
        return tuple(
            KeptClimate(
                room=spell.room.code,
                climate=spell.climate,
                since=problem.date_of(spell.since),
                until=problem.date_of(min(spell.until, problem.days - 1)),
                words=self.words_of(spell),
                varieties=names_of(problem, spell.varieties),
                is_set=spell.is_set,
                provisional=spell.since >= problem.whole_days,
            )
            for spell in self.spells
        )


def climate_words(fruiting: Fruiting) -> str:
    """Return what climate units need, with its temperature where that is known."""
    return fruiting.climate_words or fruiting.climate


def names_of(problem: Problem, varieties: Iterable[str]) -> tuple[str, ...]:
    """Return the names of varieties by their codes."""
    names = {recipe.variety: recipe.name for recipe in problem.recipes}
    return tuple(names.get(each, each) for each in varieties)


def _stays(problem: Problem, room: GrowRoom, moves: Moves) -> list[_Stay]:
    found = [
        _Stay(lot.variety, lot.climate, 0, lot.leaves_day - 1, is_there=True)
        for lot in problem.in_rooms
        if lot.room == room.code and lot.climate and room.can_give(lot.climate)
    ]
    for (r, code, day), units in moves.items():
        recipe = problem.recipes[r]
        fruiting = recipe.fruiting
        if code != room.code or fruiting is None or not fruiting.climate or units < FAR_LEAST:
            continue
        last = day + fruiting.room_days_on(day) - 1
        found.append(_Stay(recipe.variety, fruiting.climate, day, last, is_there=False))
    return sorted(found, key=lambda each: (each.since, not each.is_there, each.climate))


def _spells(room: GrowRoom, stays: Iterable[_Stay]) -> list[Spell]:
    found: list[Spell] = []
    for stay in stays:
        last = found[-1] if found else None
        if last is None or last.climate != stay.climate:
            found.append(
                Spell(
                    room,
                    stay.climate,
                    stay.since,
                    stay.until,
                    [stay.variety],
                    is_set=not stay.is_there,
                )
            )
            continue
        last.until = max(last.until, stay.until)
        if stay.variety not in last.varieties:
            last.varieties.append(stay.variety)
    return found
