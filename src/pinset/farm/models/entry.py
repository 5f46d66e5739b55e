"""Entries, and the postings that belong to them."""

from __future__ import annotations

from django.conf import settings
from django.db import models

from pinset.farm.about import LONGEST
from pinset.farm.models.lot import Lot, Place


class Entry(models.Model):
    """Something that happened. Written once, by the door, and never edited or deleted.

    ``about`` repeats what the details name, for an index. Two marks are set later; they are derived
    and no part of the hash: ``corrects``, the entry this one takes back (empty while that one has
    not arrived, and for ever if this one does not fit it), and ``is_corrected``, which says that
    another one takes this one back.
    """

    id = models.BigIntegerField(primary_key=True)  # 1, 2, 3 ... in the order of recording
    client_id = models.CharField(max_length=32, unique=True)
    kind = models.CharField(max_length=12)
    person = models.ForeignKey(
        settings.AUTH_USER_MODEL, on_delete=models.PROTECT, null=True, db_index=False
    )
    happened_at = models.DateTimeField()
    recorded_at = models.DateTimeField()
    job = models.CharField(max_length=40, blank=True, db_index=True)
    details = models.JSONField(default=dict)
    about = models.CharField(  # noqa: DJ001 - an index of those that have one holds no NULL
        max_length=LONGEST, blank=True, null=True
    )
    note = models.CharField(max_length=64, blank=True)  # digest; the text is kept apart
    corrects = models.ForeignKey(
        "self", on_delete=models.PROTECT, null=True, db_index=False, related_name="corrections"
    )
    corrects_client = models.CharField(max_length=32, blank=True)
    is_corrected = models.BooleanField(default=False)
    previous_hash = models.CharField(max_length=64)
    hash = models.CharField(max_length=64)

    class Meta:
        """Storage."""

        indexes = (
            models.Index(fields=("kind", "happened_at"), name="entry_kind_when"),
            models.Index(fields=("person", "happened_at"), name="entry_person_when"),
            models.Index(
                fields=("corrects",),
                condition=models.Q(corrects__isnull=False),
                name="entry_corrects",
            ),
            models.Index(
                fields=("kind", "about", "happened_at"),
                condition=models.Q(about__isnull=False),
                name="entry_about",
            ),
        )

    def __str__(self) -> str:
        """Return number and kind."""
        return f"entry {self.pk} ({self.kind})"


class Posting(models.Model):
    """A quantity of one lot entering (positive) or leaving (negative) an account at a place."""

    entry = models.ForeignKey(Entry, on_delete=models.PROTECT, related_name="postings")
    lot = models.ForeignKey(Lot, on_delete=models.PROTECT, db_index=False)
    account = models.CharField(max_length=12)
    place = models.ForeignKey(Place, on_delete=models.PROTECT, db_index=False)
    measure = models.CharField(max_length=10)
    quantity = models.BigIntegerField()

    class Meta:
        """Storage."""

        indexes = (models.Index(fields=("lot", "account"), name="posting_lot_account"),)

    def __str__(self) -> str:
        """Return quantity, measure and account."""
        return f"{self.quantity:+d} {self.measure} {self.account}"
