"""Free text written with entries, kept apart so that it can be forgotten."""

from __future__ import annotations

from django.db import models


class Note(models.Model):
    """A note. The ledger's hash holds only the digest of salt and text."""

    digest = models.CharField(max_length=64, primary_key=True)
    salt = models.CharField(max_length=64, blank=True)
    text = models.TextField(blank=True)
    is_forgotten = models.BooleanField(default=False)

    def __str__(self) -> str:
        """Return the text."""
        return self.text
