"""How often the units of a lot were looked at, what was found, and what the lot shares with others.

What statistics of losses are made of. A history begins when a lot is made, or when it came to be
known, and ends when its units are used, sold, or go on to ripen or fruit: what shows then came in
then. A look that finds nothing at an age says something only as far as it would have shown.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, field
from datetime import datetime, timedelta
from enum import StrEnum

from pinset.chain.stages import Stage


class Shared(StrEnum):
    """What lots can share, and losses can come from."""

    COOK = "cook"
    PARENT = "parent"  # lot that was transferred from, or who sold it
    LINE = "line"  # culture it descends from
    MIX = "mix"  # batch of substrate
    SESSION = "session"  # at a bench
    PERSON = "person"  # who made the transfers
    PLACE = "place"  # shelf or room in which it stood most of the time


GOES_ON = (Shared.LINE, Shared.PERSON, Shared.PLACE)
"""What lots share over months; the other kinds are once and never come again."""


@dataclass(frozen=True, slots=True)
class Seen:
    """One look at some units of a lot."""

    after_days: float  # age at which these units were last known to be clean
    until_days: float  # age at this look
    units: int  # known to be clean until then, and looked at now
    found: int  # of them, now seen contaminated
    signs: tuple[str, ...] = ()  # keys of the table of signs
    where: str = ""  # key of a place in the vessel


@dataclass(frozen=True, slots=True)
class LotHistory:
    """One lot while it grows."""

    lot: str
    variety: str
    step: str
    stage: Stage
    made_at: datetime
    units: int  # that were made or came
    standing: int  # of them, still growing and not seen contaminated
    seen: tuple[Seen, ...]
    shared: Mapping[Shared, str] = field(default_factory=dict)  # what it has none of is left out
    open_min: float | None = None  # of one vessel or plate at the bench, where it is known [min]

    @property
    def found(self) -> int:
        """How many units were seen contaminated."""
        return sum(each.found for each in self.seen)

    @property
    def last_seen_days(self) -> float:
        """At which age it was last looked at; 0: never."""
        return max((each.until_days for each in self.seen), default=0.0)

    @property
    def last_seen_at(self) -> datetime:
        """When it was last looked at; when it was made if never."""
        return self.made_at + timedelta(days=self.last_seen_days)


@dataclass(slots=True)
class _Group:
    """Units that were last known to be clean at one age."""

    age: float
    units: int


class HistoryTeller:
    """Takes in what happened to one lot, in its order, and keeps who was last seen when.

    Units are alike, so nobody knows which of them a look missed: it is taken to go to those that
    were not looked at for longest. Units that go on (used, sold, moved into the next step) were in
    somebody's hands and clean, and are taken to be those that were looked at last: of the two, what
    says less is assumed.
    """

    def __init__(self) -> None:
        self._groups: list[_Group] = []  # the longest unseen first
        self._seen: list[Seen] = []
        self._left_standing = 0  # seen contaminated, not taken out yet
        self.units = 0

    @property
    def standing(self) -> int:
        """How many units still grow that nobody saw contaminated."""
        return sum(group.units for group in self._groups)

    @property
    def seen(self) -> tuple[Seen, ...]:
        """What was seen so far."""
        return tuple(self._seen)

    def come(self, units: int, age: float) -> None:
        """Let units come in that are clean as far as anybody knows."""
        self.units += units
        self._add(age, units)

    def recount(self, difference: int) -> None:
        """Let units have been more or fewer all the time: counted again."""
        self.units += difference
        if difference > 0:
            self._add(self._groups[0].age if self._groups else 0.0, difference)
        else:
            self._take(-difference, newest=False)

    def look(
        self,
        age: float,
        of: int,
        seen: int,
        out: int = 0,
        *,
        signs: tuple[str, ...] = (),
        where: str = "",
    ) -> None:
        """Let units be looked at, some be seen contaminated, and some of those be taken out.

        What was seen before and still stands is not found a second time.
        """
        found = min(max(seen - self._left_standing, out - self._left_standing, 0), self.standing)
        self._left_standing = max(0, self._left_standing + found - out)
        looked = self._take(max(min(of, self.standing), found), newest=False)
        left = found
        for group in looked:
            here = min(left, group.units)
            left -= here
            if age > group.age or here:
                told = (signs, where) if here else ((), "")
                self._seen.append(Seen(group.age, max(age, group.age), group.units, here, *told))
            self._add(max(age, group.age), group.units - here)

    def leave(self, age: float, units: int, *, is_seen: bool) -> None:
        """Let units go; seen clean where somebody had them in hand for what comes next."""
        for group in self._take(min(units, self.standing), newest=True):
            if is_seen and age > group.age:
                self._seen.append(Seen(group.age, age, group.units, 0))

    def _add(self, age: float, units: int) -> None:
        if units <= 0:
            return
        same = next((group for group in self._groups if group.age == age), None)
        if same is not None:
            same.units += units
            return
        self._groups.append(_Group(age, units))
        self._groups.sort(key=lambda group: group.age)

    def _take(self, units: int, *, newest: bool) -> list[_Group]:
        taken: list[_Group] = []
        while units > 0 and self._groups:
            group = self._groups[-1 if newest else 0]
            part = min(units, group.units)
            taken.append(_Group(group.age, part))
            group.units -= part
            units -= part
            if not group.units:
                self._groups.remove(group)
        return taken
