"""Whether an entry takes another one back, and what is said when it does not.

Only the exact reverse of an entry takes it back, only once, and a taking back is not itself taken
back. Whatever else is sent as a taking back is kept, but counts for nothing: an entry that truly
happened is never refused, nor is a sum ever changed, because of a slip in another one. Which of
them stands does not depend on the order in which they arrive.
"""

from __future__ import annotations

from collections.abc import Mapping

from pinset.errors import Finding, Severity
from pinset.farm.desk import PostingKey


def is_reverse(said: Mapping[PostingKey, int], reversal: Mapping[PostingKey, int]) -> bool:
    """Say whether one entry says the exact reverse of what another said.

    Examples
    --------
    >>> said = {("7K4MV", "lost", "", "unit"): 3, ("7K4MV", "alive", "inc-1", "unit"): -3}
    >>> is_reverse(said, {key: -quantity for key, quantity in said.items()})
    True
    >>> is_reverse(said, {("7K4MV", "lost", "", "unit"): -3})
    False
    """
    return reversal == {key: -quantity for key, quantity in said.items()}


def does_not_count(correction: int, target: int) -> Finding:
    """Return the finding for a taking back that does not fit its entry."""
    return Finding(
        "ledger.correction-void",
        Severity.WARNING,
        f"entry {correction}",
        f"Entry {correction} was meant to take back entry {target} but is not its exact reverse, "
        f"or entry {target} itself takes one back; it counts for nothing.",
        "Take the entry back as a whole and write down what is right as an entry of its own.",
    )


def is_taken_back_before(correction: int, target: int) -> Finding:
    """Return the finding for an entry taken back a second time."""
    return Finding(
        "ledger.correction-twice",
        Severity.NOTE,
        f"entry {correction}",
        f"Entry {target} was taken back before; entry {correction} changes nothing.",
        "Look at the lot's page for what stands now.",
    )
