"""Attempts to sign in, kept for a while so that guessing is slowed down."""

from __future__ import annotations

from django.db import models


class SignInAttempt(models.Model):
    """One refused attempt to sign in."""

    name = models.CharField(max_length=120)  # as typed, lower case
    address = models.CharField(max_length=45)
    at = models.DateTimeField(db_index=True)

    def __str__(self) -> str:
        """Return when and from where."""
        return f"{self.at:%Y-%m-%d %H:%M} {self.address}"
