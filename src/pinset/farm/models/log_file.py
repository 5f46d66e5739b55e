"""Loggers' files that cooks were judged by, kept beside the ledger."""

from __future__ import annotations

from django.db import models


class LogFile(models.Model):
    """A file as it was handed in, by its digest, which stands in the verdict's entry."""

    digest = models.CharField(max_length=64, primary_key=True)  # SHA-256 of the file itself
    name = models.CharField(max_length=120, blank=True)
    size = models.BigIntegerField()  # of the file itself [bytes]
    content = models.BinaryField()  # compressed (zlib)

    def __str__(self) -> str:
        """Return the file's name."""
        return self.name
