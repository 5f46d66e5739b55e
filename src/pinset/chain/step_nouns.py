"""What a grower calls the units of a step, where the stage alone would call them wrongly."""

from __future__ import annotations

from pinset.chain.register import Step, StepKind
from pinset.chain.stages import Stage, noun_of

PLUGS = ("plug", "dowel")
"""In the code or the mix of a step: wooden plugs, a stage of spawn like sawdust."""


def step_noun(step: Step, count: int) -> str:
    """Return the noun for that many units of a step: ``blocks``, ``plug spawn bags``."""
    said = f"{step.code} {step.mix}".lower()
    if step.stage is Stage.SAWDUST and any(word in said for word in PLUGS):
        return "plug spawn bag" if count == 1 else "plug spawn bags"
    return noun_of(step.stage, count, is_bought=step.kind is StepKind.BUY)


def step_units(step: Step, count: int) -> str:
    """Return the count with its noun: ``5 plug spawn bags``."""
    return f"{count} {step_noun(step, count)}"
