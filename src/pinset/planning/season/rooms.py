"""Places in the grow rooms, in many seasons at once. Rooms that a variety may use are one."""

from __future__ import annotations

from collections.abc import Iterable

import numpy as np

from pinset.planning.problem import Problem
from pinset.planning.season.draws import Row
from pinset.planning.season.plan import Kept


class GrowRooms:
    """How full the grow rooms are."""

    def __init__(
        self, problem: Problem, seasons: int, days: int, kept: Iterable[Kept] = ()
    ) -> None:
        """Put rooms together that any variety may use in common.

        ``kept`` are the climates in which the plan keeps rooms that can give several.
        """
        group = {room.code: room.code for room in problem.resources.rooms}
        for recipe in problem.recipes:
            codes = recipe.fruiting.rooms if recipe.fruiting is not None else ()
            known = [code for code in codes if code in group]
            for code in known[1:]:
                old, new = group[code], group[known[0]]
                group = {each: new if name == old else name for each, name in group.items()}
        self._group = group
        self._of_recipe = [
            next((group[c] for c in recipe.fruiting.rooms if c in group), "")
            if recipe.fruiting is not None
            else ""
            for recipe in problem.recipes
        ]
        names = sorted(set(group.values()))
        places = dict.fromkeys(names, 0.0)
        for room in problem.resources.rooms:
            places[group[room.code]] += room.places
        self._free = {name: np.full(seasons, places[name], np.float32) for name in names}
        self._leaving = {name: np.zeros((days, seasons), np.float32) for name in names}
        self._everyone = np.arange(seasons)
        self._rooms = problem.resources.rooms
        self._recipes = problem.recipes
        self._kept = tuple(kept)

    def is_open(self, r: int, day: int) -> bool:
        """Say whether units of a recipe can be moved into a room on a day: not all are out of use.

        A recipe without a room of its own is not limited. A room that is kept in another climate
        before the first pick is no room for it.
        """
        fruiting = self._recipes[r].fruiting
        codes = fruiting.rooms if fruiting is not None else ()
        own = [room for room in self._rooms if room.code in codes]
        return not own or any(
            (room.on(day) > 0 or not room.by_day) and not self._is_held(r, room.code, day)
            for room in own
        )

    def _is_held(self, r: int, room: str, day: int) -> bool:
        """Say whether a room is kept in another climate on a day, or before what enters bears."""
        fruiting = self._recipes[r].fruiting
        if fruiting is None or not fruiting.climate or not self._kept:
            return False
        bears = day + min((pick.day for pick in fruiting.borne(day)), default=0)
        return any(
            code == room and climate != fruiting.climate and since <= bears and day <= until
            for code, climate, since, until in self._kept
        )

    def clear(self, day: int) -> None:
        """Let go of what is over by a day."""
        for name, free in self._free.items():
            np.add(free, self._leaving[name][day], out=free)

    def room_for(self, r: int, places: float) -> Row:
        """Return how many units of a recipe still find a place; as many as one likes elsewhere."""
        free = self._free.get(self._of_recipe[r])
        if free is None or places <= 0.0:
            return np.full(self._everyone.shape, np.inf, np.float32)
        return np.floor(np.maximum(free, np.float32(0.0)) / np.float32(places))

    def enter(self, r: int, places: Row, until: Row) -> None:
        """Take places from today until a day of each season."""
        self._take(self._of_recipe[r], places, until)

    def occupy(self, room: str, places: float, until: Row) -> None:
        """Take the places of a lot that stands there already."""
        self._take(self._group.get(room, ""), np.full(until.shape, places, np.float32), until)

    def _take(self, name: str, places: Row, until: Row) -> None:
        if name not in self._free:
            return
        leaving = self._leaving[name]
        self._free[name] -= places
        day = np.clip(until, 0, len(leaving) - 1).astype(np.intp)
        leaving[day, self._everyone] += places
