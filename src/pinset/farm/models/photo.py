"""Photos taken at looks, kept beside the ledger so that they can be forgotten."""

from __future__ import annotations

from django.db import models


class Photo(models.Model):
    """A photo by its digest, which stands in the look's entry."""

    digest = models.CharField(max_length=64, primary_key=True)  # SHA-256 of the picture
    content = models.BinaryField(blank=True)  # JPEG; empty once it was forgotten
    is_forgotten = models.BooleanField(default=False)

    def __str__(self) -> str:
        """Return the beginning of its digest."""
        return self.digest[:12]
