"""A hold with its band: what the probe's error and the scatter of its readings make of it."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

from pinset.errors import Finding, Severity
from pinset.science.judging.findings import Given, in_figures
from pinset.science.judging.hold_runs import Held, held_in
from pinset.science.judging.records import Position, Role, Rule

SAID_MIN = 1.0  # by which scatter shortens a hold, to be worth a word


@dataclass(frozen=True, slots=True)
class Hold:
    """How long a core held what is asked for, and at least and at most, in min."""

    held: Held
    low: float  # if the probe reads too high by its error
    high: float  # if it reads too low by as much

    def in_words(self, rule: Rule) -> str:
        """Return why it can't be told whether it held long enough, as part of a sentence."""
        return (
            f"its readings scatter by {self.held.noise_k:.1g} K from one to the next, and a dip "
            f"could hide in that: between {self.held.sure:.0f} and {self.held.most:.0f} min at "
            f"{rule.hold_in_words}"
        )


def hold_of(given: Given, rule: Rule | None) -> Hold | None:
    """Return how long a probe held what is asked for between its gaps; None: no hold is."""
    if rule is None or rule.hold_c is None:
        return None
    at_c = rule.hold_c
    pieces, error_k = given.pieces(), given.probe.error_k
    held = held_in(pieces, at_c)
    if not error_k or given.probe.role is not Role.CORE:
        return Hold(held, held.sure, held.most)
    low, high = held_in(pieces, at_c + error_k).sure, held_in(pieces, at_c - error_k).most
    return Hold(held, min(held.sure, low), max(held.most, high))


def said_band(position: Position) -> str:
    """Return the band of a hold as the end of a clause; empty: there is none."""
    if position.hold_low is None or position.hold_high is None:
        return ""
    low, high = f"{position.hold_low:.0f}", f"{position.hold_high:.0f}"
    return "" if low == high else f", between {low} and {high} by the probe's error and noise"


def findings_of_hold(
    holds: Sequence[Hold | None], positions: Sequence[Position], rule: Rule | None
) -> list[Finding]:
    """Return what is worth saying of the holds of cores.

    Parameters
    ----------
    holds : sequence of Hold or None
        Of each probe.
    positions : sequence of Position
        What each of them says, in the same order.
    rule : Rule or None
        What the farm asks.
    """
    if rule is None or rule.hold_c is None or rule.hold_minutes is None:
        return []
    found = []
    for each, position in zip(holds, positions, strict=True):
        if position.role is not Role.CORE or each is None:
            continue
        held = each.held
        if held.likely - held.bare > SAID_MIN:
            found.append(
                Finding(
                    "cook.noisy",
                    Severity.WARNING,
                    position.name,
                    f"Readings of {position.name} scatter by {held.noise_k:.1g} K from one to the "
                    f"next. A hold is not parted by what that explains; by the single readings "
                    f"the longest would be {held.bare:.0f} min and not {held.likely:.0f}.",
                    "Look at plugs and cables, or ask for a hold at half a degree less.",
                )
            )
        if position.falls_short is False and each.low < rule.hold_minutes:
            least, asked = in_figures(each.low, rule.hold_minutes)
            found.append(
                Finding(
                    "cook.hold-within-error",
                    Severity.WARNING,
                    position.name,
                    f"If this probe reads {position.error_k:g} K too high, it was at "
                    f"{rule.hold_in_words} or hotter for {least} min and not the {asked} asked "
                    "for.",
                    "Hold half a degree hotter, or have the probe calibrated.",
                )
            )
    return found
