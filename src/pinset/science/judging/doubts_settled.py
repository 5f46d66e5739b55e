"""Cores in doubt by their readings, and what somebody said that settles it: a word, or a reason."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import replace

import numpy as np

from pinset.errors import Finding
from pinset.science.judging.core_doubts import doubt_of_core
from pinset.science.judging.findings import NO_CHAMBER, said_doubt
from pinset.science.judging.records import Probe, Role, Values

ANY_REASON = "somebody knows why"


def in_doubt(seconds: Values, probe: Probe, probes: Sequence[Probe]) -> Probe:
    """Return a probe with what its readings say against its being a core."""
    shape = np.shape(seconds)
    if probe.role is not Role.CORE or probe.doubt or np.shape(probe.temperature_c) != shape:
        return probe
    chambers = [
        each
        for each in probes
        if each.role is Role.CHAMBER and np.shape(each.temperature_c) == shape
    ]
    error_k = probe.error_k + max((each.error_k for each in chambers), default=0.0)
    doubt = doubt_of_core(
        seconds,
        probe.temperature_c,
        [each.temperature_c for each in chambers],
        error_k,
        is_said=probe.is_role_said,
        is_fine=bool(probe.fine),
    )
    return replace(probe, doubt=doubt)


def findings_of_doubts(
    seconds: Values, probes: Sequence[Probe], doubted: Sequence[Probe]
) -> list[Finding]:
    """Return what is said of the cores that their own readings put in doubt.

    Parameters
    ----------
    seconds : ndarray, shape (n,)
        Rising times of the readings. [s]
    probes, doubted : sequence of Probe
        As they were given, and as :func:`in_doubt` returned them.
    """
    found = []
    for before, after in zip(probes, doubted, strict=True):
        if after.doubt != before.doubt:
            core = replace(before, is_role_said=True)
            fine = replace(core, fine=ANY_REASON)
            found.append(
                said_doubt(
                    after,
                    by_word=not in_doubt(seconds, core, probes).doubt,
                    by_reason=not in_doubt(seconds, fine, probes).doubt,
                )
            )
    return found


def what_it_hangs_on(seconds: Values, probes: Sequence[Probe]) -> str:
    """Return what a cook that passes hangs on beside its readings, as sentences to add."""
    said = []
    for probe in probes:
        if probe.role is Role.CORE and probe.hangs_on:
            unsaid = in_doubt(seconds, replace(probe, is_role_said=False), probes).doubt
            though = f", although {unsaid}" if unsaid else ""
            said.append(f" That {probe.name} stood in a unit is {probe.hangs_on}{though}.")
        if probe.role is Role.CORE and probe.fine:
            before = replace(probe, fine="", doubt=probe.although)
            if against := in_doubt(seconds, before, probes).doubt:
                said.append(
                    f" That {probe.name} was fine is what somebody said (“{probe.fine}”), "
                    f"although {against}."
                )
    if any(probe.role is Role.CORE and probe.is_filled_warm for probe in probes):
        said.append(" That the load was filled in warmer than the room is what somebody said.")
    if not any(probe.role is Role.CHAMBER for probe in probes):
        said.append(f" {NO_CHAMBER}")
    return "".join(said)
