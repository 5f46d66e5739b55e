"""Vessels of a cook that did not pass: used only for a reason of its own, said of that very cook.

A reason given for anything else is none for this: who uses such vessels has been told how their
cook stands, names it, and says why. If it stands worse by then, it is asked again.
"""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass
from typing import Any

from pinset.errors import InputError, RefusedError
from pinset.services.loads.vessels import Sound, Vessels
from pinset.services.texts import LONGEST_REASON, written
from pinset.services.words import plural

DESPITE = "despite"
"""Where an entry keeps the cooks that did not pass and why their vessels were used."""

STANDS = {Sound.WITH_AIR: "air", Sound.NOT_JUDGED: "not-judged", Sound.FAILED: "failed"}
"""How a cook that did not pass stands, as it is named with the reason."""


@dataclass(frozen=True, slots=True)
class Despite:
    """Why vessels of one cook are used although it did not pass."""

    cook: str
    stands: str  # one of STANDS, as it was told
    reason: str

    @property
    def key(self) -> str:
        """The cook and how it stood, as pages and options carry it."""
        return f"{self.cook}:{self.stands}"


class CookDoubtedError(RefusedError):
    """Vessels of cooks that did not pass would be used, and why is not said of them."""

    def __init__(self, sentence: str, hint: str, keys: Sequence[str]) -> None:
        self.keys = tuple(keys)  # kettle-20260312-1000:failed
        super().__init__(sentence, hint)


def read_despite(keys: Iterable[str], reason: str) -> tuple[Despite, ...]:
    """Return what somebody says of cooks by their keys, one reason for all of them.

    Raises
    ------
    InputError
        If a key is none, or cooks are named and no reason is given.

    Examples
    --------
    >>> read_despite(["kettle-1:failed"], "only to try")[0].stands
    'failed'
    """
    said = written("reason", reason, LONGEST_REASON)
    found = []
    for key in dict.fromkeys(keys):
        cook, _, stands = key.rpartition(":")
        if not cook or stands not in STANDS.values():
            accepted = f"COOK:{{{'|'.join(STANDS.values())}}}, as the refusal names it"
            raise InputError("despite-cook", key, accepted)
        if not said:
            raise InputError("despite-cook", key, "a cook and why its vessels are used")
        found.append(Despite(cook, stands, said))
    return tuple(found)


def settle_cooks(
    used: Sequence[tuple[Vessels, int]], despite: Sequence[Despite], hint: str
) -> list[dict[str, Any]]:
    """Return what an entry keeps of the cooks that did not pass and whose vessels are used.

    Parameters
    ----------
    used : sequence of (vessels, units)
        All vessels that are taken.
    despite : sequence of Despite
        What was said of their cooks.
    hint : str
        What can be done instead.

    Raises
    ------
    CookDoubtedError
        If one of them did not pass and nothing was said of it as it stands now.
    """
    said = {each.key: each for each in despite}
    doubted: dict[tuple[str, str], int] = defaultdict(int)  # units by key of a cook and its words
    for vessels, units in used:
        if vessels.sound is not Sound.PASSED:
            doubted[f"{vessels.lot.cook}:{STANDS[vessels.sound]}", vessels.words] += units
    kept: dict[str, dict[str, Any]] = {}
    open_ones: list[str] = []
    sentences: list[str] = []
    for (key, words), units in doubted.items():
        sentence = f"{plural(units, 'vessel')} would be taken from {words}."
        if key not in said:
            open_ones.append(key)
            sentences.append(sentence)
            continue
        cook, _, stands = key.rpartition(":")
        own = kept.setdefault(
            key,
            {
                "cook": cook,
                "stands": stands,
                "units": 0,
                "against": [],
                "reason": said[key].reason,
            },
        )
        own["units"] += units
        own["against"].append(sentence)
    if open_ones:
        raise CookDoubtedError(
            " ".join(sentences),
            f"{hint}A reason given for something else does not count for this. If they are to be "
            "used all the same, say why for this cook.",
            list(dict.fromkeys(open_ones)),
        )
    return list(kept.values())


def despite_in_words(details: Mapping[str, Any]) -> tuple[str, ...]:
    """Return why vessels of cooks that did not pass were used, a sentence for each cook."""
    return tuple(
        f"{' '.join(each['against'])} Used all the same: {each['reason']}."
        for each in details.get(DESPITE, ())
    )
