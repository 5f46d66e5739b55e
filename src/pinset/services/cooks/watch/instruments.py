"""Which of the farm's instruments read a watched cook, what they err, and what is overdue."""

from __future__ import annotations

import re
from collections.abc import Collection, Mapping
from dataclasses import dataclass
from datetime import date

from pinset.chain.register import FarmBook, Instrument
from pinset.errors import Finding, InputError, Severity
from pinset.science.judging.records import UNKNOWN_ERROR_K
from pinset.services.cooks.setting import complaint
from pinset.services.cooks.watch.columns import KINDS, column_of, title_of
from pinset.services.cooks.watch.records import WatchErrors, What

PLACES = {
    What.CHAMBER: re.compile(r"\b(chamber|vessel|kettle|retort|autoclave)", re.IGNORECASE),
    What.CORE: re.compile(r"\b(core|centre|center|load|bag|jar)", re.IGNORECASE),
}
WORDS = {What.CHAMBER: "chamber", What.GAUGE: "gauge", What.CORE: "core"}


@dataclass(frozen=True, slots=True)
class Used:
    """The instrument that reads something of a cook."""

    what: What
    instrument: Instrument | None  # None: the farm has none, or it was not said which
    why: str = ""


def instruments_of(book: FarmBook, chosen: Mapping[str, str]) -> dict[What, Used]:
    """Return which instrument reads what.

    Parameters
    ----------
    book : FarmBook
        The farm with its instruments.
    chosen : mapping
        Codes of those somebody chose, by what they read. Without one it is the instrument whose
        column or name says so, or the farm's only one.
    """
    return {what: _used(what, book, chosen.get(what.value, "")) for what in What}


def _used(what: What, book: FarmBook, chosen: str) -> Used:
    fitting = fitting_of(what, book)
    for each in fitting:
        if each.code == chosen:
            return Used(what, each, "chosen when the watch began")
    exact = [each for each in fitting if column_of(each) == title_of(what)]
    if len(exact) == 1:
        return Used(what, exact[0], "by the name of its column")
    named = [each for each in fitting if _is_named(what, each)]
    if len(named) == 1:
        return Used(what, named[0], "by its name")
    if len(fitting) == 1 and not _is_elsewhere(what, fitting[0]):
        kind = KINDS[what].value
        return Used(what, fitting[0], f"the farm's only {kind}")
    return Used(what, None)


def fitting_of(what: What, book: FarmBook) -> tuple[Instrument, ...]:
    """Return the instruments that can read something."""
    return tuple(each for each in book.instruments if each.kind is KINDS[what])


def _is_named(what: What, instrument: Instrument) -> bool:
    if what not in PLACES:
        return False
    return _says(what, instrument) and not _is_elsewhere(what, instrument)


def _is_elsewhere(what: What, instrument: Instrument) -> bool:
    return what in PLACES and any(_says(other, instrument) for other in PLACES if other is not what)


def _says(what: What, instrument: Instrument) -> bool:
    return bool(PLACES[what].search(f"{instrument.reads} {instrument.name}"))


def to_choose(book: FarmBook) -> dict[What, tuple[Instrument, ...]]:
    """Return the instruments to choose from where it is not clear which one reads something."""
    return {
        what: fitting
        for what, used in instruments_of(book, {}).items()
        if used.instrument is None and (fitting := fitting_of(what, book))
    }


def checked_choice(book: FarmBook, chosen: Mapping[str, str]) -> dict[str, str]:
    """Return what was chosen, without what was left open.

    Raises
    ------
    InputError
        If it is no instrument of this farm that reads such a thing.
    """
    found = {}
    for what in What:
        code = chosen.get(what.value, "")
        if not code:
            continue
        codes = [each.code for each in fitting_of(what, book)]
        if code not in codes:
            raise InputError(f"{what.value}_by", code, ", ".join(codes) or "none: leave it open")
        found[what.value] = code
    return found


def errors_of(used: Mapping[What, Used]) -> WatchErrors:
    """Return the largest errors, those the judging afterwards takes."""

    def error(what: What, unknown: float) -> float:
        instrument = used[what].instrument
        known = instrument.error if instrument else None
        return unknown if known is None else known

    return WatchErrors(
        chamber_k=error(What.CHAMBER, UNKNOWN_ERROR_K),
        core_k=error(What.CORE, UNKNOWN_ERROR_K),
        gauge_kpa=error(What.GAUGE, 0.0),
    )


def findings_of(
    used: Mapping[What, Used], book: FarmBook, read: Collection[What], today: date
) -> list[Finding]:
    """Return which instrument reads what, and whose calibration is overdue."""
    found: dict[tuple[str, str], Finding] = {}
    for what in What:
        if read and what not in read:
            continue
        instrument, record = used[what].instrument, WORDS[what]
        if instrument is None:
            if what in read:
                found["open", record] = _open(what, book)
            continue
        said = _error(what, instrument)
        found["by", record] = Finding(
            "watch.instrument",
            Severity.NOTE,
            record,
            f"The {record} is read by {instrument.name} ({used[what].why}), {said}.",
            "",
        )
        if complained := complaint(instrument, today):
            found["overdue", instrument.code] = Finding(
                "cook.calibration-overdue",
                Severity.WARNING,
                record,
                complained,
                "Compare it with a reference and write that down.",
            )
    return list(found.values())


def _open(what: What, book: FarmBook) -> Finding:
    kind = KINDS[what].value
    unknown = "no error" if what is What.GAUGE else f"{UNKNOWN_ERROR_K:g} K either way"
    sentence = f"Which {kind} reads the {WORDS[what]} is not known; {unknown} is taken."
    hint = f"Describe the farm's {kind} on its page of instruments."
    if fitting_of(what, book):
        hint = f"Say which {kind} it is when a watch begins, or name its column."
    return Finding("watch.instrument-open", Severity.NOTE, WORDS[what], sentence, hint)


def _error(what: What, instrument: Instrument) -> str:
    if instrument.error is None:
        taken = "none" if what is What.GAUGE else f"{UNKNOWN_ERROR_K:g} K"
        return f"whose error nobody has written down; {taken} is taken"
    return f"right to {instrument.error:g} {'kPa' if what is What.GAUGE else 'K'} either way"
