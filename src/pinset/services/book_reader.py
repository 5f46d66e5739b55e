"""The farm's book with look-ups by code, as services need it."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass, field
from datetime import date, timedelta

from pinset.chain.register import FarmBook, Room, Route, Step, StepKind, Variety
from pinset.chain.who_is_here import is_somebody_here, is_working_day
from pinset.errors import RefusedError
from pinset.planning.model.staffed import LONGEST_PAUSE_DAYS
from pinset.planning.reading.explain import weight_in_words
from pinset.services.words import GRAMS, amount, promised_when
from pinset.units import show_grams


@dataclass(frozen=True, slots=True)
class Reader:
    """The farm's book with look-ups by code, for one day."""

    book: FarmBook
    today: date
    varieties: dict[str, Variety] = field(init=False)
    routes: dict[str, Route] = field(init=False)

    def __post_init__(self) -> None:
        object.__setattr__(self, "varieties", {v.code: v for v in self.book.varieties})
        object.__setattr__(self, "routes", {r.code: r for r in self.book.routes})

    def step(self, variety: str, code: str) -> Step:
        """Return a step of the variety's route.

        Raises
        ------
        RefusedError
            If the variety, its route or the step is no longer described.
        """
        try:
            return self.routes[self.varieties[variety].route].step(code)
        except KeyError:
            raise RefusedError(
                f"{variety} {code} is not described any more.",
                "Look at varieties and routes in Settings, then plan again.",
            ) from None

    def is_bought(self, variety: str, step: str) -> bool:
        """Say whether units of a step come from a supplier."""
        if variety not in self.varieties:
            return False
        steps = self.routes[self.varieties[variety].route].steps
        return any(each.code == step and each.kind is StepKind.BUY for each in steps)

    def name(self, variety: str) -> str:
        """Return the trade name of a variety."""
        return self.varieties[variety].name if variety in self.varieties else variety

    def said(self, quantity: float, measure: str = "gram") -> str:
        """Return an amount in words, in the farm's choice of units."""
        return amount(quantity, measure, system=self.book.farm.units)

    def mixed(self, grams: float) -> str:
        """Return a weight to be mixed: in grams below a kilogram, where a tenth of it matters."""
        if grams < GRAMS:
            return show_grams(round(grams), self.book.farm.units)
        return self.said(grams)

    def about(self, quantity: float, measure: str = "gram") -> str:
        """Return an amount that is only expected: of pounds no more decimals than it is worth."""
        if measure == "gram" and self.book.farm.units == "us":
            return weight_in_words(quantity, "us")
        return self.said(quantity, measure)

    def works_on(self, day: date) -> bool:
        """Say whether the farm works on that day, and somebody of those listed is there."""
        is_listed = bool(self.book.workers)
        return is_somebody_here(self.book, day) if is_listed else is_working_day(self.book, day)

    def promise_words(self, codes: Iterable[str]) -> tuple[str, ...]:
        """Return promises in words: ``35 kg grey oyster for the market``.

        Where there are several, each says when it is due: ``every Wednesday``.
        """
        buyers = {buyer.code: buyer.name for buyer in self.book.buyers}
        found = {promise.code: promise for promise in self.book.promises}
        given = dict.fromkeys(code.split("@")[0] for code in codes)
        wanted = [code for code in given if code in found]
        said: dict[str, None] = {}
        for code in wanted:
            promise = found[code]
            what = amount(promise.amount, promise.measure, system=self.book.farm.units)
            buyer = buyers.get(promise.buyer, promise.buyer)
            line = f"{what} {self.name(promise.variety)} for {buyer}"
            when = promised_when(promise)
            said[f"{line}, {when}" if when and len(wanted) > 1 else line] = None
        return tuple(said)

    def room_of(self, place: str) -> Room | None:
        """Return the room a shelf belongs to."""
        for room in self.book.rooms:
            if any(shelf.code == place for shelf in room.shelves):
                return room
        return None

    def room_name(self, code: str) -> str:
        """Return the name on the door of a room; empty if there is no such room."""
        return next((room.name for room in self.book.rooms if room.code == code), "")

    def working_day_before(self, day: date) -> date:
        """Return the day itself if the farm works on it, else the last working day before."""
        for back in range(LONGEST_PAUSE_DAYS + 1):
            earlier = day - timedelta(days=back)
            if self.works_on(earlier):
                return earlier
        return day
