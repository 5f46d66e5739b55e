"""What is said of readings of a watched cook that can't be."""

from __future__ import annotations

from datetime import timedelta

from pinset.errors import Finding, Severity
from pinset.science.judging.core_pace import Lateness
from pinset.science.judging.hot_core import HotCore
from pinset.science.judging.stuck_core import Stuck
from pinset.science.steam.steam import saturation_pressure
from pinset.science.watching.doubts import Leap
from pinset.science.watching.watching import Watching
from pinset.services.cooks.watch.speech import BAR_KPA, MINUTE, Speech, Times
from pinset.services.words import minutes_in_words

LEAP = "watch.leap"
RECORDS = ("core", "chamber", "gauge")


def of_doubts(
    watched: Watching, times: Times, atmosphere_kpa: float, speech: Speech
) -> list[Finding]:
    """Return that readings leapt away, and that a core was hotter or quicker than can be."""
    found = []
    for record in RECORDS:
        leaps = [each for each in watched.leaps if each.record == record]
        if leaps:
            found.append(_of_leaps(leaps, times, atmosphere_kpa, speech))
    if watched.hot_core is not None:
        found.append(_of_hot_core(watched.hot_core))
    if watched.stuck is not None:
        found.append(_of_stuck_core(watched.stuck))
    if watched.slipped:
        found.append(_of_slipped_core(watched.slipped))
    if watched.too_quick is not None:
        found.append(_of_quick_core(watched.too_quick))
    return found


def is_gauge_leap(finding: Finding) -> bool:
    """Return whether a finding says that a gauge leapt: no word to say beside too much pressure."""
    return finding.id == LEAP and finding.record == "gauge"


def _of_leaps(leaps: list[Leap], times: Times, atmosphere_kpa: float, speech: Speech) -> Finding:
    last = leaps[-1]
    at = speech.clock(times.began + timedelta(seconds=last.seconds), times.now)
    said, counts = speech.degrees(last.celsius), "counts for nothing"
    if last.record == "gauge":
        counts = "is not taken for the chamber's steam; as pressure it counts"
        said = speech.bar((float(saturation_pressure(last.celsius)) - atmosphere_kpa) / BAR_KPA)
    sentence = f"One reading of the {last.record}, {said} at {at}, leaps away from the others"
    if len(leaps) > 1:
        last_said = f"the last, {said} at {at}"
        sentence = f"Each of {len(leaps)} readings of the {last.record} ({last_said}) leaps away"
    sentence = f"{sentence} and {counts}."
    hint = "Look after its plug and cable; was it typed, take it back."
    if last.is_last:
        hint = f"Read it again: it counts if it stays there. {hint}"
    return Finding(LEAP, Severity.WARNING, last.record, sentence, hint)


def _of_hot_core(hot: HotCore) -> Finding:
    sentence = (
        f"For {minutes_in_words(max(1.0, hot.seconds / MINUTE))} the core read up to "
        f"{hot.most_k:.1f} K more than its chamber ever did, which can't be; it counts for nothing."
    )
    hint = "Are the probes swapped, or is one of them wrong? Compare both in one pot of water."
    return Finding("watch.hot-core", Severity.WARNING, "core", sentence, hint)


def _of_stuck_core(stands: Stuck) -> Finding:
    sentence = f"The core {stands.words}. It counts for nothing, and the core is reckoned."
    hint = "Look after its plug and cable, and whether it still stands in a unit."
    return Finding("watch.stuck-core", Severity.WARNING, "core", sentence, hint)


def _of_slipped_core(said: str) -> Finding:
    sentence = (
        f"The core is perhaps out of its unit: {said}. It counts for nothing, and the core is "
        "reckoned."
    )
    hint = "Look where its probe stands once it is safe to open; its log passes no cook."
    return Finding("watch.slipped-core", Severity.WARNING, "core", sentence, hint)


def _of_quick_core(late: Lateness) -> Finding:
    sentence = (
        f"The core comes {late.was / MINUTE:.0f} min behind the chamber; a unit of this load comes "
        f"{late.least / MINUTE:.0f} min or more behind. It counts for nothing, and the core is "
        "reckoned."
    )
    hint = (
        "It may stand too shallow, or in a smaller unit: put it into the middle of the unit that "
        "heats slowest. If the load was typed wrong, begin the watch again with the right one."
    )
    return Finding("watch.quick-core", Severity.WARNING, "core", sentence, hint)
