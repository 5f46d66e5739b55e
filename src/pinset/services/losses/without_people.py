"""What is said of losses with nobody named: who does the work is a matter of whoever leads them."""

from __future__ import annotations

from dataclasses import replace

from pinset.chain.histories import Shared
from pinset.learning.losses.ranking import Ranked
from pinset.learning.losses.reckoned import Reckoned


def without_people(found: Reckoned) -> Reckoned:
    """Return a reckoning in which no person is a suspect, an alarm or a look-alike."""
    kept = tuple(_unnamed(each) for each in found.ranked if each.kind is not Shared.PERSON)
    return replace(
        found,
        ranked=kept,
        named=sum(each.kind is not Shared.PERSON for each in found.standing_out),
        costly=tuple(_unnamed(each) for each in found.costly if each.kind is not Shared.PERSON),
        alarms=tuple(each for each in found.alarms if each.factor != Shared.PERSON.value),
        helped=tuple(each for each in found.helped if each.mended.kind is not Shared.PERSON),
        of_suspects=tuple(each for each in found.of_suspects if each.kind is not Shared.PERSON),
    )


def _unnamed(suspect: Ranked) -> Ranked:
    alike = tuple(each for each in suspect.alike if each.kind is not Shared.PERSON)
    return replace(suspect, alike=alike)
