"""Who may ask for a new plan: an owner, and whoever is there on a day on which none is."""

from __future__ import annotations

from pinset.chain.who_is_here import hours_on
from pinset.services.plans import planning_day


def may_plan(person: str, *, is_owner: bool) -> bool:
    """Say whether somebody who is signed in may ask for a plan today.

    Parameters
    ----------
    person : str
        Worker code; empty for a stranger, who never may.
    is_owner : bool
        Whether they sign in as an owner.
    """
    if is_owner or not person:
        return is_owner
    book, today = planning_day.farm_book()
    owners = [worker for worker in book.workers if worker.role == "owner"]
    return not any(hours_on(book, worker, today) > 0 for worker in owners)
