"""What was made of cooks that were found too short: which lots, and what was decided on them.

A verdict may come after the vessels were inoculated: a log that was read late, or vessels nobody
had judged, used with a reason. What was made in them then carries that mark, and so does what was
made from it, until somebody holds it back or says why it is kept.
"""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Collection, Iterable, Sequence
from dataclasses import dataclass
from datetime import datetime

from pinset.chain.stages import Stage
from pinset.chain.verdicts_together import FAIL
from pinset.farm.queries import story
from pinset.farm.queries.cooks import (
    Judged,
    cooks_of_lots,
    cooks_of_what_is_left,
    cooks_with_a_fail,
    counting_verdicts,
    lots_of_cooks,
    verdicts_then,
)
from pinset.farm.queries.decisions import Decision, decisions
from pinset.farm.queries.lineage import ancestors, children, descendants
from pinset.services.cooks.judge.worse_logs import worse_since
from pinset.services.cooks.words import cook_in_words
from pinset.services.words import joined, plural

HELD, KEPT, USED = "held", "kept", "used"
LOOK = (
    "What lived through a short cook grows beside the spawn. Look them over, then hold them back "
    "or keep them, on the page of the cook."
)
NOTHING_LEFT = "Nothing of it is left to decide on."


@dataclass(frozen=True, slots=True)
class OfShortCook:
    """A lot made in vessels of a cook that was too short, or made from such a lot."""

    cook: str
    lot: str
    words: str  # cook kettle-20260312-1000: too short
    units: int  # of it in those vessels; 0: it was made from such lots
    through: tuple[str, ...]  # those lots; empty: it stands in those vessels itself
    decided: str  # held, kept, used (made with a reason while it stood so); empty: nobody decided
    reason: str  # why, as it was written down
    reopened: str = ""  # why it is asked about once more: a later log says far less

    @property
    def sentence(self) -> str:
        """What speaks against it, and what was decided."""
        return self.told(is_left=True)

    def told(self, *, is_left: bool) -> str:
        """Return that of a lot of which something is left to decide on, or nothing."""
        if self.through:
            said = f"Made from {joined(list(self.through))}, in vessels of {self.words}."
        else:
            said = f"{plural(self.units, 'unit')} in vessels of {self.words}."
        if not self.decided:
            again = f" {self.reopened}" if self.reopened else ""
            return f"{said}{again} {LOOK if is_left else NOTHING_LEFT}"
        word = {HELD: "Held back for it", KEPT: "Kept all the same"}.get(
            self.decided, "Used all the same"
        )
        return f"{said} {word}{': ' + self.reason if self.reason else ''}."


def short_cooks(among: Collection[str] | None = None) -> tuple[OfShortCook, ...]:
    """Return all that was made of cooks that stand as too short, by cook; ``among`` only of those.

    Those in their vessels come first, then what was made from them.
    """
    return _found(among, undecided_only=False)


def undecided(among: Collection[str] | None = None) -> tuple[OfShortCook, ...]:
    """Return those of them nobody has decided on.

    Without ``among`` those of cooks that something alive or in the store still hangs on; of others
    nothing is left to decide on, and a long past costs nothing.
    """
    asked = cooks_of_what_is_left() if among is None else among
    return tuple(each for each in _found(asked, undecided_only=True) if not each.decided)


def _found(among: Collection[str] | None, *, undecided_only: bool) -> tuple[OfShortCook, ...]:
    cooks = cooks_with_a_fail(among)
    counted = counting_verdicts(cooks)
    prepared = lots_of_cooks(cooks)
    found: list[OfShortCook] = []
    for cook in sorted(cooks):
        short = [each for each in counted.get(cook, ()) if each.verdict == FAIL]
        if short:
            found += _of_cook(cook, short, prepared.get(cook, ()), undecided_only=undecided_only)
    return tuple(found)


def of_lot(code: str) -> tuple[OfShortCook, ...]:
    """Return how a lot hangs on cooks that were too short; nothing if it does on none."""
    return tuple(each for each in short_cooks(_cooks_above(code)) if each.lot == code)


def cooks_short_of(code: str) -> tuple[str, ...]:
    """Return the cooks that were too short and that a lot hangs on."""
    return tuple(dict.fromkeys(each.cook for each in of_lot(code)))


def _cooks_above(code: str) -> frozenset[str]:
    return cooks_of_lots(ancestors([code]))


def _of_cook(
    cook: str, short: list[Judged], prepared: Iterable[str], *, undecided_only: bool
) -> list[OfShortCook]:
    units: dict[str, int] = defaultdict(int)
    entries: dict[str, str] = {}
    for vessels in prepared:
        for child in children(vessels):
            if child.stage != Stage.PREPARED.value:
                units[child.lot] += child.units
                entries[child.lot] = child.entry
    words = cook_in_words(cook, short[-1])
    used = _used(cook, entries)
    said = decisions(units)
    direct = [
        OfShortCook(cook, lot, words, count, (), *_decided(lot, short, said, used.get(lot)))
        for lot, count in units.items()
    ]
    is_open = {each.lot for each in direct if each.decided not in {KEPT, USED}}
    if undecided_only and not is_open:
        return []
    through: dict[str, list[str]] = defaultdict(list)
    for lot in units:
        for below in descendants([lot]):
            if below not in units:
                through[below].append(lot)
    said |= decisions(through)
    return direct + [
        OfShortCook(
            cook, lot, words, 0, tuple(via), *_decided_below(lot, via, short, said, is_open)
        )
        for lot, via in through.items()
    ]


def _used(cook: str, entries: dict[str, str]) -> dict[str, tuple[datetime, str]]:
    """Return the lots that were made while the cook stood as too short: when, and the reason.

    One made while a verdict let its vessels be used is none of them, whatever became of that.
    """
    made = story.moments_of(entries.values(), cook)
    stood = verdicts_then(cook, (at for at, _ in made.values()))
    return {
        lot: made[entry]
        for lot, entry in entries.items()
        if made[entry][1] and stood[made[entry][0]] == FAIL
    }


def _decided(
    lot: str,
    short: Sequence[Judged],
    said: dict[str, Decision],
    used: tuple[datetime, str] | None = None,
) -> tuple[str, str, str]:
    """Return what was decided on a lot after the verdict, why, and why it is asked once more.

    ``used`` is when and why it was made.
    """
    own = said.get(lot)
    if own is not None and own.at >= min(each.at for each in short) and own.role in {HELD, KEPT}:
        decided, at, reason = own.role, own.at, own.reason
    elif used:
        decided, at, reason = USED, *used
    else:
        return "", "", ""
    again = "" if decided == HELD else worse_since(short, at)
    return ("", "", again) if again else (decided, reason, "")


def _decided_below(
    lot: str, via: list[str], short: Sequence[Judged], said: dict[str, Decision], is_open: set[str]
) -> tuple[str, str, str]:
    """Return what was decided on a lot that was made from such lots."""
    own = _decided(lot, short, said)
    if own[0] or is_open.intersection(via):
        return own
    return KEPT, f"as {joined(via)}", ""


def remarks() -> tuple[str, ...]:
    """Return what is said beside a plan of lots nobody has decided on, one sentence a cook."""
    by_cook: dict[str, list[OfShortCook]] = defaultdict(list)
    for each in undecided():
        by_cook[each.words].append(each)
    return tuple(
        f"{words[:1].upper()}{words[1:]}, after {joined(_codes(lots, made=False))} "
        f"{'was' if len(_codes(lots, made=False)) == 1 else 'were'} made in its vessels"
        f"{_made_from(lots)}. Nobody has decided on them: the plan counts on what is alive."
        for words, lots in by_cook.items()
    )


def _codes(lots: Iterable[OfShortCook], *, made: bool) -> list[str]:
    return [each.lot for each in lots if bool(each.through) is made]


def _made_from(lots: Iterable[OfShortCook]) -> str:
    codes = _codes(lots, made=True)
    return f" and {joined(codes)} from them" if codes else ""
