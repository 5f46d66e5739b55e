"""Which choice about a doubtful lot is proposed, and how it is said."""

from __future__ import annotations

from dataclasses import replace
from datetime import date

import pytest

from pinset.chain.stages import Stage
from pinset.planning.ask.lot_choices import Choice, LotOutcomes, Outcome
from pinset.services.asking.doubtful_words import Lot, proposed_of

SPAWN = Lot(
    code="AAAAA",
    variety="oyster",
    step="grain",
    stage=Stage.GRAIN,
    generation=2,
    standing=20,
    chance=0.2,
    shown=0.3,
    expected_lost=4.0,
    shown_on=date(2026, 3, 20),
    use_by=date(2026, 3, 14),
)
BLOCKS = replace(SPAWN, step="block", stage=Stage.BLOCK)


def outcomes(*, bad: int = 3, **kilograms: float) -> LotOutcomes:
    grams = {Choice(name): 1000.0 * kg for name, kg in kilograms.items()}
    return LotOutcomes(
        112, bad, 100_000.0, tuple(Outcome(c, grams.get(c, 0.0), 0.0, ()) for c in Choice)
    )


@pytest.mark.parametrize(
    ("lot", "found", "choice"),
    [
        # likelier bad than good
        (replace(SPAWN, chance=0.6), outcomes(cull=30), Choice.CULL),
        # no worse than any lot
        (SPAWN, outcomes(bad=0, cull=30), Choice.WATCH),
        # a mother: whatever waiting costs
        (replace(SPAWN, generation=1), outcomes(hold=40, cull=60), Choice.HOLD),
        (replace(SPAWN, stage=Stage.PLATE), outcomes(hold=40, cull=60), Choice.HOLD),
        # a mother on which something was found, however few of it are to be lost yet
        (replace(SPAWN, generation=1, found=1), outcomes(bad=0, cull=60), Choice.HOLD),
        (replace(SPAWN, stage=Stage.PLATE, found=2), outcomes(bad=0), Choice.HOLD),
        (replace(SPAWN, stage=Stage.PLATE), outcomes(bad=0), Choice.WATCH),
        (replace(SPAWN, found=1), outcomes(bad=0), Choice.WATCH),
        # spawn: 3 of 20 bad units take 4.5 kg of 30 along; waiting for 4 kg is worth it, for 9 not
        (SPAWN, outcomes(hold=4, cull=30), Choice.HOLD),
        (SPAWN, outcomes(hold=9, cull=30), Choice.WATCH),
        # blocks: used first unless that costs more than watching them
        (BLOCKS, outcomes(watch=2, cull=30), Choice.FIRST),
        (BLOCKS, outcomes(**{"watch": 2, "use first": 5, "cull": 30}), Choice.WATCH),
    ],
)
def test_what_is_proposed(lot: Lot, found: LotOutcomes, choice: Choice) -> None:
    proposed, why = proposed_of(lot, found)
    assert proposed is choice
    assert why.endswith(".")


def test_a_little_more_or_less_decides_nothing() -> None:
    assert proposed_of(BLOCKS, outcomes(**{"use first": 0.4}))[0] is Choice.FIRST
    assert proposed_of(BLOCKS, outcomes(**{"use first": 0.6}))[0] is Choice.WATCH
