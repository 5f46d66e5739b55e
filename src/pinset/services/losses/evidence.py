"""What is known of a suspect beside the counts: cook, session, culture, and what was seen."""

from __future__ import annotations

from collections import Counter, defaultdict
from collections.abc import Callable
from dataclasses import dataclass

from pinset.chain.histories import Shared
from pinset.chain.register import FarmBook
from pinset.errors import PinsetError, RefusedError
from pinset.farm.queries.cooks import standing_verdicts
from pinset.learning.losses.records import SuspectLots
from pinset.services.bench.sessions import session
from pinset.services.books.lots import lot_view
from pinset.services.losses.reading import slowest_f0
from pinset.services.words import first_upper, joined, plural, short_day
from pinset.tables.signs import Said, reading_of, sign_places, signs


@dataclass(frozen=True, slots=True)
class Evidence:
    """One thing that is known of a suspect."""

    words: str
    flag: str = ""  # how it is known, where it is a fact of the trade
    page: str = ""  # name of a page that tells more
    about: str = ""  # what that page is about


def evidence_of(
    kind: Shared, level: str, lots: SuspectLots, book: FarmBook
) -> tuple[Evidence, ...]:
    """Return what is known of a suspect, physics first, then what was seen on its lots.

    Parameters
    ----------
    kind, level
        Of the suspect.
    lots : SuspectLots
        Its lots, with the signs that were seen.
    book : FarmBook
        The farm.
    """
    found = _PHYSICS.get(kind, _nothing)(level, book)
    return (*found, *_seen(lots))


def _nothing(_level: str, _book: FarmBook) -> tuple[Evidence, ...]:
    return ()


def _cook(level: str, _book: FarmBook) -> tuple[Evidence, ...]:
    judged = standing_verdicts([level]).get(level)
    if judged is None:
        said = "Nobody judged this cook, so nothing is known of what its cores reached."
        return (Evidence(said, page="heat-cook", about=level),)
    verdict = {"pass": "passed", "fail": "failed", "unjudged": "could not be judged"}
    words = f"The cook {verdict.get(judged.verdict, judged.verdict)}"
    f0 = slowest_f0(judged.details)
    if f0 is not None:
        words += f"; the slowest core reached F0 {f0:.1f} min"
    return (Evidence(f"{words}.", page="heat-cook", about=level),)


def _session(level: str, _book: FarmBook) -> tuple[Evidence, ...]:
    try:
        found = session(level)
    except RefusedError:
        return (Evidence("It was no bench session: open minutes and plates are not known."),)
    made = plural(len(found.transfers), "transfer")
    words = f"{made}, in which vessels stood open {found.minutes_open} min altogether."
    lines = [Evidence(words, page="session", about=level)]
    if found.plate_count is not None:
        lines.append(Evidence(found.plate_count.sentence))
    elif found.plates_out:
        lines.append(Evidence("Its settle plates were not counted.", page="session", about=level))
    else:
        lines.append(Evidence("No settle plates stood in it."))
    if found.not_cleaned:
        left = joined([each.lower() for each in found.not_cleaned])
        lines.append(Evidence(f"Not ticked at its end: {left}."))
    unticked = [each for one in found.people for each in one.unticked]
    if unticked:
        left = joined([each.lower() for each in dict.fromkeys(unticked)])
        lines.append(Evidence(f"Not ticked at its begin: {left}."))
    return tuple(lines)


def _line(level: str, book: FarmBook) -> tuple[Evidence, ...]:
    culture = next((each for each in book.cultures if each.code == level), None)
    if culture is None:
        return ()
    since = f", kept since {short_day(culture.mother_on)}" if culture.mother_on else ""
    cleared = "" if culture.cleared else " It is not cleared for use."
    words = f"{first_upper(culture.source) or 'Of unknown source'}{since}.{cleared}"
    return (Evidence(words, page="culture", about=level),)


def _parent(level: str, _book: FarmBook) -> tuple[Evidence, ...]:
    try:
        lot = lot_view(level)
    except PinsetError:  # who sold it, and no lot
        return ()
    parts = [f"grain generation {lot.generation}"] if lot.generation else []
    if lot.transfers:
        each = "transfer since the mother"
        parts.append(plural(lot.transfers, each, "transfers since the mother"))
    words = f"{lot.sentence} {first_upper(joined(parts))}{'.' if parts else ''}".strip()
    return (Evidence(words, page="lot", about=level),)


def _seen(lots: SuspectLots) -> tuple[Evidence, ...]:
    """Return each sign that was seen, where, how often, and what it usually means."""
    units: Counter[tuple[str, str]] = Counter()
    on: defaultdict[tuple[str, str], set[str]] = defaultdict(set)
    for lot in lots.lots:
        for each in lot.signs:
            units[each.sign, each.where] += each.units
            on[each.sign, each.where].add(lot.lot)
    lines = []
    for (sign, where), count in units.most_common():
        known, place = signs().get(sign), sign_places().get(where)
        name = known.name if known else sign
        at = f" {place.name}" if place else ""
        means: Said | None = reading_of(sign, where) if known else None
        usual = f" Usually: {means.means}" if means else ""
        seen = f"{plural(count, 'unit')} in {plural(len(on[sign, where]), 'lot')}"
        words = f"{first_upper(name)}{at}: {seen}.{usual}"
        lines.append(Evidence(words, flag=means.flag if means else ""))
    return tuple(lines)


_PHYSICS: dict[Shared, Callable[[str, FarmBook], tuple[Evidence, ...]]] = {
    Shared.COOK: _cook,
    Shared.SESSION: _session,
    Shared.LINE: _line,
    Shared.PARENT: _parent,
}
