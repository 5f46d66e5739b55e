"""What was reckoned of losses: derived from the ledger, kept so that pages need not wait for it."""

from __future__ import annotations

from django.db import models


class LossReckoning(models.Model):
    """One reckoning, with the state of the books it has read. It may be thrown away at any time."""

    reckoned_at = models.DateTimeField()
    entries = models.BigIntegerField()  # entries of the ledger then
    register = models.BigIntegerField()  # number of the last row of the registers then
    method = models.PositiveIntegerField()
    seconds = models.FloatField()
    body = models.JSONField(default=dict)

    def __str__(self) -> str:
        """Return when it was reckoned."""
        return f"losses reckoned at {self.reckoned_at:%Y-%m-%d %H:%M}"
