"""What came from what, and which lots an entry speaks of."""

from __future__ import annotations

from django.db import models

from pinset.farm.models.entry import Entry
from pinset.farm.models.lot import Lot, Place

_STANDS = models.Q(is_cancelled=False)


class Link(models.Model):
    """A parent lot of a lot, with how much of it went in.

    The two indexes hold both columns, so a walk up or down the lineage never touches the table.
    ``is_cancelled`` is derived: the entry was corrected.
    """

    entry = models.ForeignKey(Entry, on_delete=models.PROTECT, related_name="links")
    parent = models.ForeignKey(
        Lot, on_delete=models.PROTECT, db_index=False, related_name="links_down"
    )
    child = models.ForeignKey(
        Lot, on_delete=models.PROTECT, db_index=False, related_name="links_up"
    )
    units = models.BigIntegerField()
    amount = models.BigIntegerField(default=0)
    measure = models.CharField(max_length=10)
    is_cancelled = models.BooleanField(default=False)

    class Meta:
        """Storage."""

        indexes = (
            models.Index(fields=("parent", "child"), condition=_STANDS, name="link_parent_child"),
            models.Index(fields=("child", "parent"), condition=_STANDS, name="link_child_parent"),
        )

    def __str__(self) -> str:
        """Return the two lots by their numbers."""
        return f"{self.parent_id} -> {self.child_id}"


class Mention(models.Model):
    """A lot an entry speaks of without moving anything of it."""

    entry = models.ForeignKey(Entry, on_delete=models.PROTECT, related_name="mentions")
    lot = models.ForeignKey(Lot, on_delete=models.PROTECT, db_index=False)
    role = models.CharField(max_length=20)
    place = models.ForeignKey(Place, on_delete=models.PROTECT, db_index=False)
    count = models.BigIntegerField(default=0)
    value = models.CharField(max_length=120, blank=True)
    is_cancelled = models.BooleanField(default=False)

    class Meta:
        """Storage."""

        indexes = (models.Index(fields=("lot", "role"), name="mention_lot_role"),)

    def __str__(self) -> str:
        """Return role and value."""
        return f"{self.role} {self.value}".strip()
