"""What the mentions of one lot come to, told in the order in which it happened."""

from __future__ import annotations

from collections import Counter
from dataclasses import dataclass, field
from datetime import date

_ALL = 10**9
"""More units than any place holds."""


@dataclass(slots=True)
class Story:
    """Steps, judgements and flushes of a lot; one day and step for each place."""

    step: str
    since: date
    by_place: dict[str, tuple[str, date]] = field(default_factory=dict)
    held: str = ""
    is_cleared: bool = False
    ready: tuple[date, date] | None = None  # judged on, expected on
    use_by: date | None = None
    look_on: date | None = None
    flush: int = 0
    flush_g: int = 0
    flush_before: int = 0  # picked before the lot was written down
    here_g: int = 0  # of all picks that were written down
    last_picked_on: date | None = None
    came: Counter[str] = field(default_factory=Counter)  # units that the day of a place counts for
    stood: dict[str, tuple[tuple[str, date], ...]] = field(default_factory=dict)
    """Of the units at a place: where they stood before in their step, and until when."""
    keeps: dict[str, date] = field(default_factory=dict)
    """Of the units at a place: until when they would have kept where they stood first."""
    is_mixed: bool = False  # parts of it came to one place on different days

    def at(self, place: str) -> tuple[str, date]:
        """Return the step of the units at a place, and since when."""
        return self.by_place.get(place, (self.step, self.since))

    def is_apart(self, place: str, standing: int) -> bool:
        """Say whether one day and step cannot tell of all the units that stand at a place."""
        return self.is_mixed or (place in self.by_place and standing > self.came[place])

    def tell(self, role: str, place: str, count: int, value: str, day: date) -> None:
        """Take one mention in."""
        match role:
            case "step":
                self._step(place, value, day, count)
            case "moved":
                self._moved(value, place, count, day)
            case "since":
                self._step(place, self.at(place)[0], date.fromisoformat(value), _ALL)
            case "keeps":
                self.keeps[place] = date.fromisoformat(value)
            case "part":
                self.is_mixed = True
            case "held" | "released" | "cleared":
                self.held = (value or "held back") if role == "held" else ""
                self.is_cleared = role == "cleared" or (self.is_cleared and role != "held")
            case "ready" | "use by" | "watched":
                self._expected(role, date.fromisoformat(value), day)
            case "flush":
                self._picked(count, value, day)

    def _expected(self, role: str, when: date, day: date) -> None:
        if role == "ready":
            self.ready = (day, when)
            self.keeps = {}
        elif role == "use by":
            self.use_by = when
        else:
            self.look_on = when

    def _picked(self, flush: int, value: str, day: date) -> None:
        if flush > self.flush:
            self.flush, self.flush_g = flush, 0
        if value == "before":
            self.flush_before = max(self.flush_before, flush)
            return
        self.last_picked_on = day
        self.here_g += int(value or 0)
        if flush == self.flush:
            self.flush_g += int(value or 0)

    def of_flush_g(self, picked_g: int, earlier_g: float) -> float:
        """Return the grams of the last flush, with what it gave before the lot was written down.

        Parameters
        ----------
        picked_g : int
            All that was picked of the lot. [g]
        earlier_g : float
            What its route expects of the flushes before. [g]
        """
        if self.flush != self.flush_before or not self.here_g:
            return self.flush_g
        return self.flush_g + max(0.0, picked_g - self.here_g - earlier_g)

    def _step(self, place: str, step: str, day: date, count: int) -> None:
        if not place:
            self.step, self.since, self.by_place = step, day, {}
            self.stood, self.keeps = {}, {}
            return
        if count != _ALL and any(a == step and b != day for a, b in self.by_place.values()):
            self.is_mixed = True
        self.by_place[place] = (step, day)
        self.stood.pop(place, None)
        self.keeps.pop(place, None)
        self.came[place] += count

    def _moved(self, source: str, place: str, count: int, day: date) -> None:
        """Carry units on in their step; those that came another way are parts beside them."""
        brought = self.at(source)
        if self.by_place.get(place, brought) != brought:
            self.is_mixed = True
        way = (*self.stood.get(source, ()), (source, day))
        if place in self.by_place and way != self.stood.get(place):
            self.is_mixed = True
        if source in self.by_place and count > self.came[source]:
            self.is_mixed = True
        self.by_place[place] = brought
        self.stood[place] = way
        if source in self.keeps:
            self.keeps[place] = self.keeps[source]
        self.came[place] += count
