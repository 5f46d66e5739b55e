"""What is said of a cook worked out beforehand: the advice, what it rests on, what can hurt."""

from __future__ import annotations

from pinset.science.heating.loads import Fill, packed
from pinset.science.heating.vapour import UNVALIDATED
from pinset.science.judging.cook_rules import rule_in_words
from pinset.science.judging.records import Rule
from pinset.science.steam.gauge import GaugeSetting, boiling_point
from pinset.services.cooks.loads import Heat, LoadPlan
from pinset.services.words import minutes_in_words
from pinset.tables.cook_practice import cook_practice
from pinset.tables.organisms import organism

BAR_KPA = 100.0
SLOW_END, LEARNT, QUICK_END = "learnt, slow end", "learnt", "learnt, quick end"
SAID_SLOW, SAID, SAID_QUICK = "as given, slow end", "as given", "as given, quick end"
NEWER_END = "newer log, slow end"
"""What the cases of a load are called that is planned by a log, or by a number that was given."""

_BY_LOG = {
    SLOW_END: "the slow end of what your log taught",
    SAID_SLOW: "the slow end of the conductivity that was given, which no log was shown for",
    NEWER_END: "the slow end of what the newer log shows",
}
LIGHT = 0.75  # of the lightest that is usual


def sentence_of(
    load: LoadPlan,
    rule: Rule,
    case: str,
    hold_min: float,
    setting: GaugeSetting | None,
    reached: float,
) -> str:
    """Return the advice in one sentence."""
    at = f"at {reached:.1f} °C"
    if setting is not None:
        at = f"at {setting.gauge_kpa / BAR_KPA:.2f} bar gauge ({reached:.1f} °C)"
    long = minutes_in_words(hold_min)
    taken = _BY_LOG.get(case, f"the {case} case")
    if load.is_doubted:
        taken += ", as a newer log disagrees with what was learnt"
    return (
        f"Hold {long} {at} from when the chamber is hot, for {rule_in_words(rule)} in the core of "
        f"the slowest unit: {taken}, at {load.altitude_m:.0f} m."
    )


def altitude_taken(heat: Heat) -> str:
    """Return what is said of a cook that was worked out without an altitude."""
    higher = f"at 1500 m water boils at {float(boiling_point(1500.0)):.1f} °C"
    if heat is Heat.PRESSURE_STEAM:
        higher = "at 1500 m steam at 1 bar on the gauge is 2.7 °C colder"
    return (
        f"No altitude was said, and 0 m is taken: {higher}, and the hold is longer. Say it: "
        "--altitude 1240m or --altitude 4900ft."
    )


def flags_of(load: LoadPlan) -> tuple[str, ...]:
    """Return what is said beside a plan of newer logs that disagree; nothing if none does."""
    if not load.unlike:
        return ()
    said = f"A newer log disagrees with what was learnt. {' '.join(load.unlike)}"
    if load.is_doubted:
        said += (
            " Until this load is learnt anew, or that log is set aside with a reason on the Heat "
            "page, the slower log counts, or the cautious case if that is slower."
        )
    else:
        said += " What was learnt counts on, as it is slower; learn the load anew if it stays so."
    return (said,)


def remarks_on(
    load: LoadPlan,
    rule: Rule,
    fill: Fill,
    setting: GaugeSetting | None,
    hold_min: float,
    *,
    has_chance: bool,
) -> tuple[str, ...]:
    """Return what the advice rests on and where it is weak, the gravest first."""
    said = []
    if setting is not None and setting.is_capped:
        said.append(
            f"{load.wanted_c:.1f} °C would ask for {setting.wanted_kpa / BAR_KPA:.2f} bar gauge "
            f"here. The plate allows {load.rating_bar:.2f}, and {setting.gauge_kpa / BAR_KPA:.2f} "
            "leaves the gauge room to swing: the plate comes first, and time grows "
            f"{setting.time_factor:.1f} times instead."
        )
    share = packed(load.filling, load.mass_kg, load.shape)
    if share is not None and share < LIGHT:
        said.append(
            f"{load.mass_kg:.3g} kg in that size is much lighter than such units are. Are weight "
            "and size of the filled part right? Too light a weight makes the hold too short."
        )
    if load.learnt is not None:
        said.append(
            f"How such a unit heats was learnt from {load.learnt_from or 'a log'}. The slow end is "
            "two standard errors longer, as far as that log tells; another unit, fuller, wetter or "
            "packed tighter, may be slower still."
        )
    elif load.conductivity is None and fill.has_vapour:
        said.append(
            "Nobody has published how fast such units heat. Common practice relies on quicker "
            f"heating than conduction alone. {UNVALIDATED}"
        )
    if load.learnt is None and load.conductivity is None:
        said.append(f"Conductivity: {fill.basis}.")
    if load.heat is Heat.HOT_WATER:
        said.append(
            "Water that moves through loose straw heats it faster than this, which is reckoned as "
            "if it stood still: a probe in the middle tells."
        )
    longest = cook_practice("pressure-steam", "most_minutes")
    if load.heat is Heat.PRESSURE_STEAM and hold_min > longest.value:
        said.append(
            f"Beyond {longest.value / 60:.0f} h at pressure sawdust darkens and colonises poorly "
            "(Stamets 1993, p. 169): smaller units, or a log that shows it heats faster."
        )
    if rule.f0 is None:
        said.append("Pasteurising is meant to leave a flora; no chance of sterility is reckoned.")
    elif not has_chance:
        said.append(f"No chance of sterility is reckoned for {organism(load.organism).name}.")
    said.append(
        "What the core earns after steam-off is not counted on. Cooling is for units standing free "
        "in still air; stacked ones, and a vessel kept closed, take longer. Heat through walls and "
        "vent comes on top of the energy given."
    )
    return tuple(said)


def cautions_of(load: LoadPlan) -> tuple[str, ...]:
    """Return the keys of the cautions that stand with a plan of such a cook."""
    if load.heat is Heat.PRESSURE_STEAM:
        return ("pressure-rules", "pressure", "relief-valve", "venting", "opening", "vacuum",
                "dry-firing", "steam", "carbon-monoxide", "not-proof")  # fmt: skip
    if load.heat is Heat.OPEN_STEAM:
        return ("sealed-vessel", "steam", "carbon-monoxide", "dry-firing", "condensate",
                "not-proof")  # fmt: skip
    return ("scald", "carbon-monoxide", "wet-floor", "not-proof")
