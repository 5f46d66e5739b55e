"""What is said of a cook while it goes on: the sentence, and what somebody should look at."""

from __future__ import annotations

from dataclasses import replace

from pinset.errors import Finding, Severity
from pinset.science.judging.cook_rules import rule_in_words
from pinset.science.judging.records import Rule
from pinset.science.lethality.lethality import f_band
from pinset.science.watching.going_on import CoreNow
from pinset.science.watching.watching import Watching
from pinset.services.cooks.watch.doubts import of_doubts
from pinset.services.cooks.watch.heated import of_law, of_since, unsure_of
from pinset.services.cooks.watch.records import BOUNDS, Stage, Unsure, WatchErrors
from pinset.services.cooks.watch.speech import MINUTE, STALE, Speech, Times
from pinset.services.words import minutes_in_words


def sentence_of(
    stage: Stage,
    watched: Watching,
    times: Times,
    *,
    rule: Rule,
    wanted_c: float,
    is_over: bool,
    speech: Speech,
    danger: str = "",
) -> str:
    """Return how long still to hold, since when it is enough, or that it ended before.

    Where heat has to go off (``danger``) that is said, and no hold is offered.
    """
    if danger:
        enough = speech.clock(times.enough_since, times.now) if times.enough_since else ""
        return f"{danger} The core has enough since {enough}." if enough else danger
    if not watched.cores:
        return "Nothing can be reckoned yet: read the chamber, the gauge or a core."
    ruling = watched.cores[0]
    has = _has(ruling, rule, speech)
    if stage is Stage.ENOUGH:
        end = speech.clock(times.end_at, times.now) if times.end_at else ""
        by = "" if watched.is_measured else f" by reckoning, in the {ruling.name} case"
        if watched.reads_high:
            by = ", if its probe does not read too high"
        return f"Enough since {end}{by}: {has} in the core."
    if is_over:
        by = "" if watched.is_measured else f", by reckoning in the {ruling.name} case"
        asked = rule_in_words(rule)
        return f"Ended before it was enough{by}: {has} in the core; {asked} asked for."
    here = watched.chamber.now_c if watched.chamber else ruling.now_c
    said = _how_long(stage, times, has, speech.degrees(wanted_c), speech.degrees(here), speech)
    if stage is Stage.DOUBTED:
        said = (
            f"The core reads {speech.degrees(ruling.now_c)}, hotter than its chamber has been: "
            "that can't be, and counts for nothing. Look after both probes."
        )
    elif times.unsure is Unsure.CLOCK:
        said = f"No end is promised: the logger's clock is wrong. So far {has} in the core."
    if times.unsure in BOUNDS - {Unsure.LAW} and stage is not Stage.DOUBTED:
        said = f"{unsure_of(times.unsure, watched, speech)} {said}"
    return said


def _how_long(stage: Stage, times: Times, has: str, wanted: str, here: str, speech: Speech) -> str:
    """Return how long still to hold."""
    until = times.latest_at or times.end_at
    end = f"until {speech.clock(until, times.now)}" if until else ""
    left, again = _long(times.left_min), _long(times.again_min)
    if times.likely_at is not None:
        likely = speech.clock(times.likely_at, times.now)
        end = f"{end.replace('until', 'count on')} at the latest, enough at about {likely}"
    if times.unsure in BOUNDS:
        left, again = (f"{each} at the most" if each else "" for each in (left, again))
    said = f"Too cold: at {here} the rule is not reached in two days."
    if stage is Stage.UNREAD:
        last = speech.clock(times.last_at, times.now)
        said = (
            f"It should be enough by now if it stayed as it was at {last}, which nothing shows: "
            "read it once more."
        )
    elif stage is Stage.INTERRUPTED:
        said = f"Interrupted: the chamber fell to {here}. It keeps what it has: {has}."
        if again:
            said += f" Bring it back to {wanted} and hold {again} from then."
        if left:
            said += f" As it is now: another {left}."
    elif stage is Stage.COMING_UP and again:
        hot = speech.clock(times.hot_at, times.now)
        said = (
            f"Coming up, {here} now. Hold {again} from when it is at {wanted}: {end}, "
            f"if that is at {hot}."
        )
    elif stage is Stage.HOLDING and left:
        said = f"Hold another {left} at {here}: {end}."
    return said


def _long(minutes: float | None) -> str:
    return "" if minutes is None else minutes_in_words(max(1.0, minutes))


def _has(core: CoreNow, rule: Rule, speech: Speech) -> str:
    said = []
    if rule.f0 is not None:
        said.append(f"F0 {core.earned.f0_counted:.1f} min")
    if rule.hold_c is not None:
        said.append(f"{core.earned.held_min:.0f} min at {speech.degrees(rule.hold_c)} or hotter")
    return " and ".join(said)


def findings_of(
    watched: Watching,
    *,
    rule: Rule,
    errors: WatchErrors,
    atmosphere_kpa: float,
    times: Times,
    is_over: bool,
    speech: Speech,
) -> list[Finding]:
    """Return what somebody should look at beside the pressure."""
    is_cooling = times.enough_since is not None and _has_fallen(watched)
    found = [] if is_cooling else _of_steam(watched, speech)
    found += of_doubts(watched, times, atmosphere_kpa, speech)
    found += _of_readings(watched, times, speech, is_over=is_over)
    if not is_over and times.enough_since is None:
        found += [*of_since(watched, speech), *of_law(times)]
    found += _of_core(watched, rule, errors, speech)
    return found


def _has_fallen(watched: Watching) -> bool:
    return watched.chamber is not None and watched.chamber.fell_since_s is not None


def _of_steam(watched: Watching, speech: Speech) -> list[Finding]:
    chamber = watched.chamber
    if chamber is None:
        return []
    found = list(watched.steam.findings) if watched.steam is not None else []
    if chamber.is_rising:
        hint = "It still comes up: let it vent until both agree."
        found = [
            replace(each, severity=Severity.NOTE, hint=hint) if each.id == "cook.air" else each
            for each in found
        ]
    if chamber.is_by_gauge:
        found.append(
            Finding(
                "watch.gauge-only",
                Severity.NOTE,
                "chamber",
                f"{speech.degrees(chamber.now_c)} is taken from the gauge, as if there were steam "
                "only; air left in would make it colder.",
                "A probe in the chamber tells whether air was left in.",
            )
        )
    return found


def _of_readings(
    watched: Watching, times: Times, speech: Speech, *, is_over: bool
) -> list[Finding]:
    found = []
    age = times.now - times.last_at
    if age > STALE and not is_over:
        long = minutes_in_words(age.total_seconds() / MINUTE)
        sentence = (
            f"No reading for {long}: the last is of {speech.clock(times.last_at, times.now)}."
        )
        hint = "Type one in, or look after the logger; what no reading shows counts for nothing."
        found.append(_warn("watch.stopped", "readings", sentence, hint))
    if watched.sparse_s > 0.0:
        long = minutes_in_words(watched.sparse_s / MINUTE)
        sentence = (
            f"Readings are {long} apart. More than 10 min leaves too much to guess: so read, the "
            "core counts for nothing, here and when the cook is judged."
        )
        hint = "Read every minute, or every 5 min at most; a logger or a sensor does it for you."
        found.append(_warn("watch.sparse", "readings", sentence, hint))
    elif watched.gap_s > 0.0:
        long = minutes_in_words(watched.gap_s / MINUTE)
        sentence = (
            f"{long} without a reading while it was hot; what happened in between counts for "
            "nothing."
        )
        hint = "If somebody read the gauge or a probe meanwhile, type it in with its time."
        found.append(_warn("cook.gap", "readings", sentence, hint))
    chamber = watched.chamber
    if is_over or times.enough_since is not None:
        return found
    if chamber is not None and _has_fallen(watched):
        before, here = speech.degrees(chamber.hottest_c), speech.degrees(chamber.now_c)
        sentence = f"The chamber fell from {before} to {here}."
        hint = "Look after power, fuel, water and the gauge; only what was read counts."
        found.append(_warn("watch.fallen", "chamber", sentence, hint))
    return found


def _of_core(watched: Watching, rule: Rule, errors: WatchErrors, speech: Speech) -> list[Finding]:
    if watched.too_quick is not None or watched.stuck is not None or watched.slipped:
        return []
    if not watched.is_measured:
        sentence = (
            "No probe stands in a unit: the core is reckoned, and this log alone passes no cook."
        )
        hint = "Put a probe into the middle of the unit that heats slowest."
        return [Finding("watch.no-core", Severity.NOTE, "core", sentence, hint)]
    found = _of_old_core(watched, speech)
    if watched.reads_high:
        sentence = f"The verdict by this log will not pass it yet: {watched.reads_high}."
        hint = (
            "Hold on, or compare the probes. A load that was filled in warmer is said to be so "
            "when the log is judged."
        )
        found.append(_warn("watch.reads-high", "core", sentence, hint))
    has = watched.cores[0].earned
    if rule.hold_c is not None and has.reached_s is None:
        sentence = (
            f"Here only readings at {speech.degrees(rule.hold_c)} or above count for the hold. "
            "Judged by its log, a dip that scatter alone explains does not end it."
        )
        found.append(Finding("watch.bare-hold", Severity.NOTE, "core", sentence, ""))
    if rule.f0 is None or has.reached_s is None:
        return found
    low, _ = f_band(has.f0_counted, errors.core_k)
    if low >= rule.f0:
        return found
    sentence = (
        f"If the core's probe reads {errors.core_k:g} K too high, F0 is {low:.1f} min and not the "
        f"{rule.f0:g} asked for."
    )
    return [*found, _warn("cook.within-error", "core", sentence, "Hold a little longer.")]


def _of_old_core(watched: Watching, speech: Speech) -> list[Finding]:
    """Return that the core was not read any more while the chamber was."""
    core, chamber = watched.cores[0], watched.chamber
    age_s = 0.0 if chamber is None else chamber.last_s - float(core.core.seconds[-1])
    if age_s <= STALE.total_seconds() or core.earned.reached_s is not None:
        return []
    sentence = (
        f"The core was not read for {minutes_in_words(age_s / MINUTE)}; it was at "
        f"{speech.degrees(core.now_c)} then."
    )
    hint = "What it earns since then counts only by its probe: read it, or look after it."
    return [_warn("watch.core-stopped", "core", sentence, hint)]


def _warn(code: str, record: str, sentence: str, hint: str) -> Finding:
    return Finding(code, Severity.WARNING, record, sentence, hint)
