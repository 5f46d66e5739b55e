"""What prepared vessels are told apart by: alike ones serve alike."""

from __future__ import annotations

from pinset.chain.register import Step

VesselKey = tuple[str, str, str, float]
"""Cook kind, vessel, mix and its moisture."""


def vessel_key(step: Step) -> VesselKey:
    """Return what the vessels of a step are, once they are prepared."""
    return (step.cook, step.vessel, step.mix, round(step.fill_moisture, 3))


def mix_words(step: Step) -> str:
    """Return the vessel, mix and moisture of a step as one text: the key beside its cook."""
    _, vessel, mix, moisture = vessel_key(step)
    return f"{mix} {moisture:g} in {vessel}"
