"""What is worth saying of a cook's log beside its verdict: gaps, errors, cores that are missing."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np
from numpy import bool_
from numpy.typing import NDArray

from pinset.errors import Finding, Severity
from pinset.science.judging.records import Position, Probe, Role, Rule, Values
from pinset.science.lethality.lethality import f_along, f_of_log, lethal_rate

MINUTE, HOUR = 60.0, 3600.0  # s
MOST_GAPS = 20  # that are said
HAIR_S = 5.0  # that stamps are off, or rounded by: 0.0833 h for five minutes
SECONDS_BETWEEN = 300.0 + HAIR_S  # readings further apart than this leave too much to guess ...
USUALLY = 2.5  # ... unless the log's usual step is not much shorter ...
MOST_BETWEEN = 1800.0  # ... and not more than this at all
MOST_USUAL = 600.0 + HAIR_S  # readings usually further apart than this judge nothing
HOT_C = 90.0  # a load that never came there was not cooked
BEGUN_K = 3.0  # below its peak a core has begun to cool
FALLS_WITHIN, FALLS_K = 900.0, 1.0  # s, K: a core that falls so fast is cooling
HOLDS_K = 10.0  # below its hottest a hot chamber holds
WORTH_MIN = 1.0  # of F0 at the least, to be worth a word [min]
SAY_IT_IS_A_CORE = "If it stood in a unit all the time, say that its column is a core."
SAY_IT_WAS_FINE = "Look where this probe stood. If it was fine all the time, say why you know."
NO_CHAMBER = (
    "No probe was read in the chamber, so air left in it, a core's probe that slipped out or stood "
    "too shallow, and plugs that were changed could not be looked for."
)
LEAST_OFF = 0.04  # of F0: by so much the least place of a bag is below its middle (methods/heat)
MOSTLY = 0.5  # of F0 earned above 110 degC: less is doubtful


@dataclass(frozen=True, slots=True)
class Given:
    """A probe and the readings it gave, none missing."""

    probe: Probe
    seconds: Values
    temperature_c: Values
    above_k: float = 0.0  # by which it begins above every other probe at rest, if that is too much
    steam_k: float = 0.0  # by which the chamber stood above the steam of its gauge, likewise
    steam_words: str = ""

    @property
    def last_s(self) -> float:
        """Time of its last reading, in s."""
        return float(self.seconds[-1])

    def gaps(self) -> NDArray[bool_]:
        """Return which steps between readings are too wide while it was hot, shape (n - 1,)."""
        steps = np.diff(self.seconds)
        most = min(MOST_BETWEEN, max(SECONDS_BETWEEN, USUALLY * float(np.median(steps))))
        hot = np.maximum(self.temperature_c[:-1], self.temperature_c[1:]) >= HOT_C
        return np.asarray(hot & (steps > most))

    def is_cooling(self, at_s: float) -> bool:
        """Return whether it is below its peak at a time and still falls."""
        near = self.seconds >= at_s - FALLS_WITHIN
        if not np.any(near):
            return False
        last = float(self.temperature_c[-1])
        fallen = float(np.interp(at_s - FALLS_WITHIN, self.seconds, self.temperature_c)) - last
        return last < float(np.max(self.temperature_c)) - BEGUN_K and fallen >= FALLS_K

    def pieces(self) -> list[tuple[Values, Values]]:
        """Return its readings between the gaps: times and temperatures, two or more each."""
        cuts = np.flatnonzero(self.gaps()) + 1
        pairs = zip(np.split(self.seconds, cuts), np.split(self.temperature_c, cuts), strict=True)
        return [pair for pair in pairs if len(pair[0]) > 1]


def ends_in_hold(
    core: Given, chambers: Sequence[Given], rule: Rule, others: Sequence[Given] = ()
) -> bool:
    """Return whether a log ends while its chamber is hot and a core has not begun to cool.

    Without a probe in the chamber a hot core that has not begun to cool is enough, unless one of
    the ``others``, cores too, is cooling: then the steam is off, and this one only comes up still.
    What is hot goes by what is asked for.
    """
    hot_c = HOT_C if rule.f0 is not None or rule.hold_c is None else rule.hold_c - HOLDS_K
    last = float(core.temperature_c[-1])
    if last < float(np.max(core.temperature_c)) - BEGUN_K:
        return False
    if not chambers:
        return last >= hot_c and not any(each.is_cooling(core.last_s) for each in others)
    hottest = max(float(np.max(each.temperature_c)) for each in chambers)
    now = max(float(each.temperature_c[-1]) for each in chambers)
    return now >= hot_c and (now >= hottest - HOLDS_K or now >= last)


def seen_along(seconds: Values, temperature_c: Values) -> Values:
    """Return the F0 that readings without a gap show up to each of them, in min, shape (n,).

    Between two that are far apart only the lower one counts.
    """
    gains = np.diff(f_along(seconds, temperature_c))
    steps = np.diff(seconds)
    lower = lethal_rate(np.minimum(temperature_c[1:], temperature_c[:-1])) * steps / MINUTE
    counted = np.where(steps > SECONDS_BETWEEN, np.minimum(lower, gains), gains)
    return np.concatenate(([0.0], np.cumsum(counted)))


def seen_f0(seconds: Values, temperature_c: Values) -> float:
    """Return the F0 that readings without a gap show, in min."""
    return float(seen_along(seconds, temperature_c)[-1])


def findings_of_log(
    given: Sequence[Given], positions: Sequence[Position], rule: Rule | None
) -> list[Finding]:
    """Return what is worth saying of the probes and what each of them earned.

    Parameters
    ----------
    given : sequence of Given
        Probes with the readings they gave: rising times [s], temperatures. [degC]
    positions : sequence of Position
        What each of them says, in the same order.
    rule : Rule, optional
        What the farm asks.
    """
    cores_given = [each for each in given if each.probe.role is Role.CORE]
    found = _gaps(cores_given or given)
    cores = [each for each in positions if each.role is Role.CORE]
    if not cores:
        found.append(
            Finding(
                "cook.no-core",
                Severity.WARNING,
                "log",
                "No probe stood in the middle of a unit, and the core trails the chamber by hours.",
                "Put a probe into the middle of the unit that heats slowest.",
            )
        )
    elif not any(each.role is Role.CHAMBER for each in positions):
        found.append(
            Finding(
                "cook.no-chamber",
                Severity.WARNING,
                "log",
                NO_CHAMBER,
                "Put a probe into the chamber too; if one was, say which column it is.",
            )
        )
    found += [
        Finding(
            "cook.uncalibrated",
            Severity.NOTE,
            probe.name,
            f"The error of {probe.name} is not known; {probe.error_k - probe.step_k / 2:g} K "
            "either way is taken.",
            "Compare it with a reference thermometer and write that down.",
        )
        for probe in (each.probe for each in given)
        if not probe.is_error_known
    ]
    found += [*_steps(given), *_places(cores_given, positions, rule)]
    asks_f0 = rule is None or rule.f0 is not None
    for each in cores:
        if rule is not None and rule.f0 is not None and each.f0_low < rule.f0 <= each.f0_min:
            least, asked = in_figures(each.f0_low, rule.f0)
            found.append(
                Finding(
                    "cook.within-error",
                    Severity.WARNING,
                    each.name,
                    f"If this probe reads {each.error_k:g} K too high, F0 is {least} min "
                    f"{'in the middle of its unit ' if each.is_off else ''}and not the {asked} "
                    "asked for.",
                    "Hold a little longer, or have the probe calibrated.",
                )
            )
        if asks_f0 and each.f0_min >= WORTH_MIN and each.f0_above_110_min < MOSTLY * each.f0_min:
            found.append(
                Finding(
                    "cook.mostly-below-110",
                    Severity.WARNING,
                    each.name,
                    f"Only {each.f0_above_110_min:.1f} of F0 {each.f0_min:.1f} min were earned "
                    "above 110 °C; below, the usual z promises more than it keeps.",
                )
            )
    return found


def _steps(given: Sequence[Given]) -> list[Finding]:
    """Return what is said of probes that read by coarse steps."""
    return [
        Finding(
            "cook.coarse-steps",
            Severity.NOTE,
            each.probe.name,
            f"{each.probe.name} reads in steps of {each.probe.step_k:.2g} K; half of one, "
            f"{each.probe.step_k / 2:.2g} K, is added to its error.",
            "Have the logger write tenths of a degree.",
        )
        for each in given
        if each.probe.step_k
    ]


def _places(
    cores: Sequence[Given], positions: Sequence[Position], rule: Rule | None
) -> list[Finding]:
    """Return what is said of where in its unit a core's probe stood."""
    found = []
    unsaid = [each.probe.name for each in cores if each.probe.off is None]
    if unsaid:
        found.append(
            Finding(
                "cook.depth-not-said",
                Severity.NOTE,
                unsaid[0],
                f"Nobody said how far from the middle of its unit the probe of {', '.join(unsaid)} "
                "stood; the middle is taken. Off it a probe reads hotter while the load heats.",
                "Say by how many mm it stood off the middle, and how far it is from there to the "
                "nearest face: 0 in the middle, or 20/75.",
            )
        )
    f0_asked = rule.f0 if rule is not None else None
    for each in positions:
        if f0_asked is None or each.role is not Role.CORE:
            continue
        if each.f0_min * (1.0 - LEAST_OFF) < f0_asked <= each.f0_min:
            found.append(
                Finding(
                    "cook.least-off-middle",
                    Severity.WARNING,
                    each.name,
                    "While a load cools in its bag, the place that earns least lies a little off "
                    f"the middle, up to {LEAST_OFF:.0%} below it in three bags reckoned on the "
                    f"grid; {each.f0_min:.1f} min leaves no room for that.",
                    "Hold a little longer.",
                )
            )
    return found


def in_figures(less: float, asked: float) -> tuple[str, str]:
    """Return a figure that falls short and what is asked, with as many digits as it takes.

    Examples
    --------
    >>> in_figures(12.31, 15.0), in_figures(14.97, 15.0), in_figures(14.9996, 15.0)
    (('12.3', '15'), ('14.97', '15'), ('just under 15', '15'))
    """
    for digits in (1, 2):
        said = f"{less:.{digits}f}"
        if float(said) < asked:
            return said, f"{asked:g}"
    return f"just under {asked:g}", f"{asked:g}"


def said_doubt(probe: Probe, *, by_word: bool, by_reason: bool) -> Finding:
    """Return the finding for a core that is in doubt by its readings, and what settles it.

    That is the word that it is a core, that word and why it was fine, or nothing.
    """
    settled = SAY_IT_WAS_FINE if by_reason else "Look where this probe stood."
    return Finding(
        "cook.core-in-doubt",
        Severity.WRONG,
        probe.name,
        f"Is {probe.name} a core? {probe.doubt[0].upper()}{probe.doubt[1:]}. It passes nothing.",
        SAY_IT_IS_A_CORE if by_word else settled,
    )


def _gaps(given: Sequence[Given]) -> list[Finding]:
    """Return a finding for each stretch of time without a reading while it was hot."""
    found = []
    said: set[str] = set()
    for each in given:
        for at in np.flatnonzero(each.gaps()):
            begin, end = float(each.seconds[at]), float(each.seconds[at + 1])
            when = f"from {_clock(begin)} to {_clock(end)} h"
            if when in said:
                continue
            said.add(when)
            line = f_of_log(each.seconds[at : at + 2], each.temperature_c[at : at + 2])
            found.append(
                Finding(
                    "cook.gap",
                    Severity.WARNING,
                    each.probe.name,
                    f"{(end - begin) / MINUTE:.0f} min without a reading while it was hot, {when}. "
                    f"The straight line across would be F0 {line:.1f} min; what happened is not "
                    "known, passes nothing and is not counted.",
                    "Take readings closer together, or put in a second probe.",
                )
            )
    return found[:MOST_GAPS]


def _clock(seconds: float) -> str:
    """Return a time since the first reading as h:mm."""
    return f"{int(seconds // HOUR)}:{int(seconds % HOUR // MINUTE):02d}"
