"""How many units of a lot were seen contaminated and stand there still.

One rule for everything that would use such units: pages, jobs and the plan. It counts what looks
said, and takes off what was taken out since.
"""

from __future__ import annotations

from collections.abc import Collection, Iterator, Mapping, Sequence
from dataclasses import dataclass, replace
from functools import cache

from pinset.chain.living import LivingLot
from pinset.tables.signs import Out, signs

HELD = "seen contaminated and not taken out"
"""Why such units are not offered."""


@cache
def contaminating() -> frozenset[str]:
    """Return the keys of the signs by which units count as contaminated."""
    return frozenset(key for key, sign in signs().items() if sign.out is Out.LOST)


@dataclass(slots=True)
class LeftStanding:
    """Units of one lot that were seen contaminated and not taken out, told in their order.

    Examples
    --------
    >>> left = LeftStanding()
    >>> left.look(of=8, seen=3, alive=8, signs=("green-dust",), place="inc-1")
    >>> left.go(1)
    >>> left.units
    2
    >>> left.look(of=7, seen=0, alive=7, signs=(), place="inc-1")
    >>> left.units
    0
    """

    units: int = 0
    signs: tuple[str, ...] = ()  # keys of the table of signs
    place: str = ""  # where they were seen

    def look(self, of: int, seen: int, alive: int, signs: Sequence[str], place: str) -> None:
        """Let so many of those alive be looked at, and some of them be seen contaminated.

        A look at all that stand counts by itself. One at some of them may have met those that were
        seen before, or not met them: the greater number counts.
        """
        before = self.units
        self.units = seen if of >= alive else max(before, seen)
        if seen:
            known = self.signs if before else ()
            self.signs = tuple(dict.fromkeys((*known, *signs)))
            self.place = place

    def go(self, units: int) -> None:
        """Let units be lost or thrown out: those seen contaminated are the first to go."""
        self.units = max(0, self.units - units)

    def at_places(self, standing: Mapping[str, int]) -> dict[str, LeftStanding]:
        """Return them place by place: where they were seen, as far as so many stand there."""
        left, found = self.units, {}
        for place in sorted(standing, key=lambda each: each != self.place):
            here = min(left, standing[place])
            left -= here
            if here:
                found[place] = LeftStanding(here, self.signs, place)
        return found

    def apart(self, lot: LivingLot) -> Iterator[LivingLot]:
        """Yield the units at a place that nobody saw contaminated, and those that were seen, apart.

        Those yielded are taken off.
        """
        bad = min(self.units, lot.alive)
        self.units -= bad
        if lot.alive > bad:
            yield replace(lot, alive=lot.alive - bad)
        if bad:
            names = words_of(self.signs)
            yield replace(lot, alive=bad, contaminated=names, held=lot.held or HELD)


def words_of(keys: Collection[str]) -> str:
    """Return signs by their names; what is no longer in the table is named by its key."""
    known = signs()
    return ", ".join(known[key].name if key in known else key for key in keys)


def said(units: int, alive: int, names: str) -> str:
    """Return in words how many units of a lot were seen contaminated.

    Examples
    --------
    >>> said(2, 8, "green dust")
    '2 of 8 were seen contaminated (green dust) and not taken out'
    """
    were = "was" if units == 1 else "were"
    return f"{units} of {alive} {were} seen contaminated ({names}) and not taken out"


def told(parts: Sequence[LivingLot]) -> str:
    """Return in a sentence how many units of one lot were seen contaminated; nothing if none.

    Parameters
    ----------
    parts : sequence of LivingLot
        All that stands of the lot.
    """
    bad = [part for part in parts if part.contaminated]
    if not bad:
        return ""
    names = ", ".join(dict.fromkeys(part.contaminated for part in bad))
    units = sum(part.alive for part in bad)
    return f"{said(units, sum(part.alive for part in parts), names)}: {what_to_do(units)}"


def what_to_do(units: int) -> str:
    """Return what is usually done with such units, in the end of a sentence."""
    return f"take {'it' if units == 1 else 'them'} out, or look again."


def sound_of(parts: Sequence[LivingLot]) -> list[LivingLot]:
    """Return the units that nobody saw contaminated."""
    return [part for part in parts if not part.contaminated]


def against(code: str, parts: Sequence[LivingLot], wanted: int) -> str:
    """Return what speaks against using so many units of a lot; nothing if enough are sound.

    Parameters
    ----------
    code : str
        The lot.
    parts : sequence of LivingLot
        All that stands of it.
    wanted : int
        Units; a part of one counts as one.
    """
    sound = sum(part.alive for part in sound_of(parts))
    words = told(parts) if sound < max(1, wanted) else ""
    return f"Lot {code}: {words}" if words else ""


def against_part(part: LivingLot) -> str:
    """Return what speaks against units that were seen contaminated; nothing if they were not."""
    if not part.contaminated:
        return ""
    were = "was" if part.alive == 1 else "were"
    return (
        f"{part.alive} of lot {part.code} {were} seen contaminated ({part.contaminated}) and not "
        "taken out"
    )
