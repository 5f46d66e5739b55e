"""What stands where: the sums of the postings, kept up to date by the door."""

from __future__ import annotations

from django.db import models

from pinset.farm.models.lot import Lot, Place


class Balance(models.Model):
    """One sum. `pinset check` rebuilds all of them and compares."""

    lot = models.ForeignKey(Lot, on_delete=models.PROTECT, db_index=False)
    account = models.CharField(max_length=12)
    place = models.ForeignKey(Place, on_delete=models.PROTECT, db_index=False)
    measure = models.CharField(max_length=10)
    quantity = models.BigIntegerField()

    class Meta:
        """Storage. The partial indexes keep the living few apart from the many that were."""

        constraints = (
            models.UniqueConstraint(
                fields=("lot", "account", "place", "measure"), name="balance_key"
            ),
        )
        indexes = (
            models.Index(
                fields=("lot",),
                condition=models.Q(account="alive", quantity__gt=0),
                name="balance_alive",
            ),
            models.Index(
                fields=("lot",),
                condition=models.Q(account="store", quantity__gt=0),
                name="balance_store",
            ),
            models.Index(
                fields=("lot",),
                condition=models.Q(account="unexplained", quantity__lt=0),
                name="balance_unexplained",
            ),
        )

    def __str__(self) -> str:
        """Return quantity, measure and account."""
        return f"{self.quantity} {self.measure} {self.account}"
