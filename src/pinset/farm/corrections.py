"""Taking an entry back, as a person asks for it: may it be done, and with which entry."""

from __future__ import annotations

from typing import Any

from django.db.models import Q

from pinset.errors import InputError, RefusedError
from pinset.farm.entries import Account, Kind, Measure, NewEntry, NewPosting
from pinset.farm.models import Entry, Link, Lot, Posting
from pinset.farm.standing import STANDING
from pinset.farm.trade import Tap, correct


def stored_entry(client_id: str) -> Entry:
    """Return a recorded entry.

    Raises
    ------
    InputError
        If there is none of that id.
    """
    found = Entry.objects.filter(client_id=client_id).first()
    if found is None:
        raise InputError("entry", client_id, "the id of a recorded entry")
    return found


def undo_of(entry: Entry | str, tap: Tap) -> NewEntry:
    """Return the entry that takes a recorded one back.

    Parameters
    ----------
    entry : Entry or str
        The recorded entry, or its client id.
    tap : Tap
        Who takes it back, and when.

    Raises
    ------
    InputError
        If there is no such entry.
    RefusedError
        If it was taken back before, is itself a taking back, made a lot that was used since, or
        is an order that arrived; the sentence names what stands on it.
    """
    stored = stored_entry(entry) if isinstance(entry, str) else entry
    if stored.is_corrected:
        raise RefusedError("That entry was taken back before.", "The lot's page shows what stands.")
    if stored.corrects_client:
        raise RefusedError(
            "That entry itself takes another one back.", "Write down anew what happened."
        )
    for lot in Lot.objects.filter(made_by=stored).order_by("code"):
        _refuse_if_used(lot, stored)
    _refuse_if_arrived(stored)
    return correct(tap, _as_said(stored))


def can_undo(entry: Entry, tap: Tap) -> bool:
    """Say whether :func:`undo_of` would be granted."""
    try:
        undo_of(entry, tap)
    except RefusedError:
        return False
    return True


def _as_said(stored: Entry) -> NewEntry:
    """Return a recorded entry as people said it: what is unexplained folded back."""
    postings = []
    for p in Posting.objects.filter(entry=stored).select_related("lot", "place").order_by("id"):
        account, measure = Account(p.account), Measure(p.measure)
        if account is Account.UNEXPLAINED:
            account = STANDING[measure]
        postings.append(NewPosting(p.lot.code, account, measure, p.quantity, p.place.code))
    return NewEntry(
        client_id=stored.client_id,
        kind=Kind(stored.kind),
        happened_at=stored.happened_at,
        postings=tuple(postings),
        job=stored.job,
    )


def _refuse_if_arrived(order: Entry) -> None:
    if order.kind != Kind.ORDER:
        return
    arrived = Entry.objects.filter(kind=Kind.RECEIVE, is_corrected=False, about=order.client_id)
    receipt = arrived.order_by("id").first()
    if receipt is not None:
        lots = ", ".join(
            Lot.objects.filter(made_by=receipt).order_by("code").values_list("code", flat=True)
        )
        raise RefusedError(
            f"This order cannot be taken back: it arrived on {receipt.happened_at:%Y-%m-%d} as "
            f"lot {lots}.",
            f"Take back that delivery first; it is number {receipt.pk}.",
        )


def _refuse_if_used(lot: Lot, made_by: Entry) -> None:
    stands = Q(entry__is_corrected=False, entry__corrects_client="") & ~Q(entry=made_by)
    child = Link.objects.filter(stands, parent=lot, is_cancelled=False).select_related("child")
    link = child.order_by("entry_id").first()
    if link is not None:
        raise RefusedError(
            f"Lot {lot.code} cannot be taken back: lot {link.child.code} was made from it.",
            f"Take back what made {link.child.code} first.",
        )
    posting: Any = (
        Posting.objects.filter(stands, lot=lot).select_related("entry").order_by("entry_id").first()
    )
    if posting is not None:
        used = posting.entry
        raise RefusedError(
            f"Lot {lot.code} cannot be taken back: it was used on "
            f"{used.happened_at:%Y-%m-%d} ({used.kind}).",
            f"Take back that entry first; it is number {used.pk}.",
        )
