"""What no log of a cook that passes shows, said where it passes."""

from __future__ import annotations

from collections.abc import Sequence

from pinset.errors import Finding, Severity
from pinset.science.judging.records import Position, Role

READS_HIGH = 0.03  # of what it reads, as a probe may whose gain is off
AT_C, Z_K = 121.0, 10.0


def findings_of_the_unseen(positions: Sequence[Position]) -> list[Finding]:
    """Return what may be wrong with the cores of a cook that passes, and no reading tells."""
    core = next((each for each in positions if each.role is Role.CORE), None)
    if core is None:
        return []
    high_k = READS_HIGH * AT_C
    times = 10.0 ** (high_k / Z_K)
    return [
        Finding(
            "cook.not-shown",
            Severity.NOTE,
            core.name,
            "A probe off the middle of its unit reads hotter, and its log looks sound. That it "
            "moves there is noticed only where it does so far and quickly: not if it takes half an "
            "hour or longer (20 minutes in units under 14 cm across), moves by little, or moved "
            "before heat came to it. Nor is it noticed that a "
            f"core's probe reads {READS_HIGH:.0%} too high: at {AT_C:.0f} °C that is "
            f"{high_k:.1f} K, and {times:.1f} times the F0.",
            "Look where it stands when the unit is opened, and compare it with a reference.",
        )
    ]
