"""What is said of losses with nobody named: who does the work is a matter of whoever leads them."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import replace

from pinset.chain.histories import Shared
from pinset.learning.losses.ranking import Ranked
from pinset.learning.losses.records import Reckoned


def without_people(found: Reckoned) -> Reckoned:
    """Return a reckoning in which no person is a suspect, an alarm or a look-alike."""
    return replace(
        found,
        ranked=_named(found.ranked),
        standing_out=_named(found.standing_out),
        earlier=_named(found.earlier),
        costly=_named(found.costly),
        alarms=tuple(
            replace(each, alike=tuple(one for one in each.alike if one[0] != Shared.PERSON.value))
            for each in found.alarms
            if each.factor != Shared.PERSON.value
        ),
        helped=tuple(each for each in found.helped if each.mended.kind is not Shared.PERSON),
        of_suspects=tuple(each for each in found.of_suspects if each.kind is not Shared.PERSON),
    )


def _named(suspects: Iterable[Ranked]) -> tuple[Ranked, ...]:
    return tuple(_unnamed(each) for each in suspects if each.kind is not Shared.PERSON)


def _unnamed(suspect: Ranked) -> Ranked:
    alike = tuple(each for each in suspect.alike if each.kind is not Shared.PERSON)
    return replace(suspect, alike=alike)
