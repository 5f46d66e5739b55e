"""A whole simulated history, made once for the tests that look at it."""

from __future__ import annotations

from collections import Counter, defaultdict
from dataclasses import dataclass, field
from datetime import date
from functools import cache
from itertools import count

from pinset.chain.lotcode import encode
from pinset.demo.shed import opening_book
from pinset.demo.simulate import Simulation
from pinset.demo.truth import HiddenTruth, planned_truth
from pinset.demo.world import World
from pinset.farm.entries import Account, NewEntry, NewLot
from pinset.services.answers.history import Sheet

EARLY_DAYS = 24
TODAY = date(2026, 3, 12)
SEED = 1


@dataclass
class Told:
    """What was written, and the books a reader of it would keep."""

    world: World
    truth: HiddenTruth
    sheets: list[Sheet]
    entries: list[NewEntry] = field(default_factory=list)
    lots: dict[str, NewLot] = field(default_factory=dict)
    accounts: dict[str, Counter[str]] = field(default_factory=lambda: defaultdict(Counter))
    early_losses: Counter[str] = field(default_factory=Counter)

    def loss_share(self, codes: set[str]) -> float:
        """Return the share of units lost to contamination in a lot's first ``EARLY_DAYS``."""
        made = sum(-self.accounts[code]["made"] for code in codes)
        return sum(self.early_losses[code] for code in codes) / made

    def alike(self, codes: set[str], **facts: str) -> set[str]:
        """Return other lots of the same steps and varieties, made in the ledger's own time."""
        kinds = {(self.lots[code].variety, self.lots[code].step) for code in codes}
        return {
            code
            for code, lot in self.lots.items()
            if (lot.variety, lot.step) in kinds
            and code not in codes
            and lot.made_on >= self.truth.start
            and all(getattr(lot, name) == value for name, value in facts.items())
        }


def simulation(seed: int) -> Simulation:
    """Return a history about to begin."""
    planned = planned_truth(seed, TODAY)
    return Simulation(opening_book(planned.start), planned, (encode(n) for n in count()))


@cache
def told(seed: int = SEED) -> Told:
    """Return the history of the demo farm up to ``TODAY``."""
    running = simulation(seed)
    sheets = [sheet for week in running.weeks() for sheet in week]
    found = Told(running.world, running.truth_told(), sheets)
    for sheet in sheets:
        for entry in sheet.entries:
            found.entries.append(entry)
            found.lots |= {lot.code: lot for lot in entry.lots}
            for p in entry.postings:
                found.accounts[p.lot][p.account.value] += p.quantity
                age = (entry.happened_at.date() - found.lots[p.lot].made_on).days
                if p.account is Account.LOST and age <= EARLY_DAYS:
                    found.early_losses[p.lot] += p.quantity
    return found
