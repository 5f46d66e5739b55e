"""Newer logs that disagree with what was learnt of a load, and what a plan makes of them.

A log that heated slower than what was learnt counts, or the cautious named case if that is slower
still, until the load is learnt anew or somebody says why that log does not count.
"""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from dataclasses import dataclass, replace
from functools import lru_cache
from typing import Any

from pinset.chain.plain import from_plain, to_plain
from pinset.errors import Finding, InputError, RefusedError, Severity
from pinset.farm import log_store
from pinset.farm.queries.cooks import Judged, counting_verdicts, verdicts_finding
from pinset.science.learning.learnt_heat import Learnt
from pinset.services.cooks.ahead.words import flags_of
from pinset.services.cooks.learn.fitting import fit_file
from pinset.services.cooks.learn.learnt import (
    SET_ASIDE,
    UNLIKE,
    LearntLoad,
    is_same_size,
    learnt_loads,
    learnt_of,
)
from pinset.services.cooks.learn.learnt_said import learnt_said
from pinset.services.cooks.loads import LoadPlan
from pinset.services.cooks.typed import load_of
from pinset.services.words import joined

DISAGREES = "cook.newer-log-disagrees"
"""Finding of a load that is planned by a log which a newer one disagrees with."""

SLOWER = " heated slower than "
FITS = "newer_fits"
"""Where a verdict keeps what its log says of the loads it disagrees with."""


@dataclass(frozen=True, slots=True)
class Unlike:
    """A newer log that disagrees with what was learnt of a load."""

    cook: str
    log: str  # SHA-256
    log_name: str
    sentence: str  # how it heated, against what
    is_slower: bool
    judged: Mapping[str, Any]  # what its verdict rests on


def unlike_since(known: LearntLoad) -> tuple[Unlike, ...]:
    """Return the logs that disagreed with what was learnt since then, newest first, each once.

    The finding names the cook it was held against, so a load learnt again starts anew. A log whose
    verdict does not count any more, or that was set aside, is left out.
    """
    found = [each for each in verdicts_finding(UNLIKE, known.at) if _sentences(each, known.source)]
    counted = {
        each.entry
        for said in counting_verdicts({each.cook for each in found}).values()
        for each in said
    }
    aside = {log for entry, log, _, _ in set_aside() if entry == known.entry}
    logs: dict[tuple[str, str], Unlike] = {}
    for each in found:
        log = str(each.details.get("log", ""))
        if each.entry in counted and log not in aside:
            logs.setdefault((each.cook, log), _unlike(each, known.source))
    return tuple(logs.values())


def _sentences(judged: Judged, source: str) -> list[str]:
    found = (judged.details.get("judged") or {}).get("findings", ())
    said = [str(each.get("sentence", "")) for each in found if each.get("id") == UNLIKE]
    return [sentence for sentence in said if source in sentence]


def _unlike(judged: Judged, source: str) -> Unlike:
    sentence = _sentences(judged, source)[0]
    return Unlike(
        cook=judged.cook,
        log=str(judged.details.get("log", "")),
        log_name=str(judged.details.get("log_name", "")),
        sentence=sentence,
        is_slower=SLOWER in sentence,
        judged=judged.details.get("judged") or {},
    )


def set_aside() -> tuple[tuple[str, str, str, str], ...]:
    """Return which logs do not count against what was learnt.

    Each is the entry that was learnt, the digest of the log, why, and the entry that says so.
    """
    return tuple(
        (
            str(entry.details[SET_ASIDE]),
            str(entry.details.get("log", "")),
            str(entry.details.get("reason", "")),
            entry.client_id,
        )
        for entry in learnt_said()
        if SET_ASIDE in entry.details
    )


def with_learnt(load: LoadPlan) -> LoadPlan:
    """Return a load with what was learnt of such units, if it was and nothing is said by hand.

    With it goes what newer logs say against it.
    """
    if load.learnt is not None or load.conductivity is not None:
        return load
    known = learnt_of(load)
    if known is None or not is_same_size(load.shape, known.load.shape):
        return load
    found = replace(load, learnt=known.fit.learnt, learnt_from=known.source)
    return _against(found, known)


def brought_up_to_date(load: LoadPlan) -> LoadPlan:
    """Return a load that is planned by a log with what newer logs say against it by now."""
    if load.learnt is None or not load.learnt_from:
        return load
    known = next((each for each in learnt_loads() if each.source == load.learnt_from), None)
    return load if known is None else _against(load, known)


def _against(load: LoadPlan, known: LearntLoad) -> LoadPlan:
    unlike = unlike_since(known)
    slower = [each for each in unlike if each.is_slower]
    fitted = [_kept_or_fitted(each, known) for each in slower]
    return replace(
        load,
        unlike=tuple(_in_words(each) for each in unlike),
        is_doubted=bool(slower),
        slower=tuple(each for each in fitted if each is not None),
    )


def _in_words(each: Unlike) -> str:
    return f"{each.log_name or 'A log'} of cook {each.cook}: {each.sentence}"


def fits_to_keep(judged: Mapping[str, Any], data: bytes, name: str) -> dict[str, Any]:
    """Return what a slower log says of each load it disagrees with, by the entry that was learnt.

    It takes seconds, so it is found once, when the verdict is written down, and kept with it.

    Parameters
    ----------
    judged : mapping
        What the verdict rests on, as plain values.
    data, name : bytes, str
        The logger's file.
    """
    said = [str(each["sentence"]) for each in judged["findings"] if each["id"] == UNLIKE]
    slower = [sentence for sentence in said if SLOWER in sentence]
    against = [each for each in learnt_loads() if any(each.source in words for words in slower)]
    found = {
        each.entry: _fit(data, name, _given(judged), tuple(each.typed.items()), _height(judged))
        for each in against
    }
    return {entry: None if fit is None else to_plain(fit) for entry, fit in found.items()}


def _kept_or_fitted(each: Unlike, known: LearntLoad) -> Learnt | None:
    """Return what was kept with a verdict; one of an earlier version is fitted now."""
    kept = each.judged.get(FITS, {})
    if known.entry not in kept:
        typed = tuple(known.typed.items())
        return _fitted(each.log, _given(each.judged), typed, _height(each.judged))
    fit = kept[known.entry]
    return None if fit is None else from_plain(Learnt, fit)


def _given(judged: Mapping[str, Any]) -> tuple[tuple[str, str], ...]:
    lines = judged.get("layout", ())
    return tuple((line["key"], line["value"]) for line in lines if line["sure"] == "given")


def _height(judged: Mapping[str, Any]) -> float:
    return float(judged.get("altitude_m", 0.0))


@lru_cache(maxsize=32)
def _fitted(
    digest: str,
    given: tuple[tuple[str, str], ...],
    typed: tuple[tuple[str, str], ...],
    altitude_m: float,
) -> Learnt | None:
    kept = log_store.stored(digest)
    return None if kept is None else _fit(kept[1], kept[0], given, typed, altitude_m)


def _fit(
    data: bytes,
    name: str,
    given: tuple[tuple[str, str], ...],
    typed: tuple[tuple[str, str], ...],
    altitude_m: float,
) -> Learnt | None:
    """Return what a log says of such a load, None if it cannot be followed well enough."""
    load = replace(load_of({**dict(typed), "heat": "open"}), altitude_m=altitude_m)
    try:
        fit = fit_file(data, name, load, changes=dict(given)).slowest
    except (InputError, RefusedError):
        return None  # then the cautious named case counts
    return fit.learnt if fit.follows else None


def findings_of_load(load: LoadPlan) -> list[Finding]:
    """Return the same as a finding, for a cook that goes on."""
    return [
        Finding(DISAGREES, Severity.WARNING, load.learnt_from, said, "") for said in flags_of(load)
    ]


def cooks_of(unlike: Iterable[Unlike]) -> dict[str, tuple[Unlike, ...]]:
    """Return logs by the cook they are of, in their order."""
    found: dict[str, list[Unlike]] = {}
    for each in unlike:
        found.setdefault(each.cook, []).append(each)
    return {cook: tuple(logs) for cook, logs in found.items()}


def known_by(entry: str, log: str) -> tuple[LearntLoad, Unlike]:
    """Return what was learnt by its entry, and the newer log that disagrees by its digest.

    Raises
    ------
    RefusedError
        If there is no such entry, or that log does not disagree with it.
    """
    known = next((each for each in learnt_loads() if each.entry == entry), None)
    unlike = unlike_since(known) if known else ()
    found = next((each for each in unlike if each.log == log), None)
    if known is None or found is None:
        logs = joined([each.log[:12] for each in unlike]) or "none"
        raise RefusedError(f"No log {log[:12]} disagrees with what was learnt: {logs} does.")
    return known, found
