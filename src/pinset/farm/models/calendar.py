"""What a calendar program is given: who may fetch the jobs, and as what each job was given out."""

from __future__ import annotations

from django.conf import settings
from django.db import models


class CalendarLink(models.Model):
    """The address by which one person's calendar program fetches the jobs, as a digest.

    The address itself is worked out from ``nonce`` and the farm's secret key, which is no part of
    the database.
    """

    person = models.OneToOneField(settings.AUTH_USER_MODEL, on_delete=models.CASCADE)
    digest = models.CharField(max_length=64, unique=True)  # SHA-256 of the token in the address
    nonce = models.CharField(max_length=32)
    made_at = models.DateTimeField()
    read_at = models.DateTimeField(null=True)  # when it was fetched last
    window_at = models.DateTimeField(null=True)  # since when fetches are counted
    reads = models.IntegerField(default=0)  # since then

    def __str__(self) -> str:
        """Return when it was made."""
        return f"calendar link of {self.made_at:%Y-%m-%d %H:%M}"


class CalendarEvent(models.Model):
    """A job as calendars know it: its lasting identifier and how often it was revised."""

    job = models.CharField(max_length=40, unique=True)
    uid = models.CharField(max_length=36, unique=True)  # a UUID
    digest = models.CharField(max_length=64)  # SHA-256 of what was said of it last
    sequence = models.IntegerField(default=0)
    made_at = models.DateTimeField()
    changed_at = models.DateTimeField(db_index=True)

    def __str__(self) -> str:
        """Return the job's code."""
        return self.job
