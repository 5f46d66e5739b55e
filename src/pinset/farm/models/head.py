"""The ends of the chains of entries and of registers."""

from __future__ import annotations

from django.db import models


class ChainHead(models.Model):
    """One row: how many there are and the hash of the last; whoever writes holds it."""

    count = models.BigIntegerField(default=0)
    last_hash = models.CharField(max_length=64, blank=True)
    lots = models.BigIntegerField(default=0)  # the last lot's number
    codes = models.BigIntegerField(default=0)  # how many lot codes were issued
    waiting = models.BigIntegerField(default=0)  # corrections that arrived before their entry
    registers = models.BigIntegerField(default=0)  # versions written into the registers
    last_seal = models.CharField(max_length=64, blank=True, default="")  # of the last of them

    def __str__(self) -> str:
        """Return the count."""
        return f"{self.count} entries"
