"""A cook that is watched while it goes on: working papers, not part of the ledger."""

from __future__ import annotations

from django.db import models


class WatchedCook(models.Model):
    """A cook somebody began to watch, with what is cooked and what its core is to reach."""

    code = models.CharField(max_length=80, unique=True)
    client_id = models.CharField(max_length=32, unique=True)  # of the tap that began it
    steriliser = models.CharField(max_length=60)
    cook_kind = models.CharField(max_length=60)
    job = models.CharField(max_length=40, blank=True)
    cook = models.CharField(max_length=80, blank=True)  # code in the books, once it is known
    load = models.JSONField()  # chain.plain.to_plain of the load
    instruments = models.JSONField(default=dict)  # what is read: code of the instrument chosen
    rule = models.CharField(max_length=60)  # f0=15, hold=121/15
    began_at = models.DateTimeField()  # nothing read before counts
    heated_since = models.DateTimeField(null=True)  # where somebody said it
    begun_by = models.CharField(max_length=40, blank=True)
    ended_at = models.DateTimeField(null=True)
    ended_by = models.CharField(max_length=40, blank=True)

    class Meta:
        """Storage."""

        indexes = (
            models.Index(
                fields=("began_at",), condition=models.Q(ended_at=None), name="watched_cook_open"
            ),
        )

    def __str__(self) -> str:
        """Return its code."""
        return self.code


class WatchedReading(models.Model):
    """One value read at one moment."""

    watched = models.ForeignKey(WatchedCook, on_delete=models.CASCADE, db_index=False)
    client_id = models.CharField(max_length=32)  # of the tap, the row of a file, the post
    at = models.DateTimeField()
    what = models.CharField(max_length=12)  # chamber_c, gauge_bar, core_c
    value = models.FloatField()
    source = models.CharField(max_length=8)  # typed, file, sensor
    by = models.CharField(max_length=80, blank=True)  # a person's code, a file's name
    recorded_at = models.DateTimeField(db_index=True)
    is_removed = models.BooleanField(default=False)  # typed wrongly

    class Meta:
        """Storage."""

        constraints = (
            models.UniqueConstraint(
                fields=("watched", "client_id", "what"), name="watched_reading_once"
            ),
        )
        indexes = (models.Index(fields=("watched", "at"), name="watched_reading_time"),)

    def __str__(self) -> str:
        """Return what was read when."""
        return f"{self.at:%Y-%m-%d %H:%M} {self.what} {self.value:g}"


class SensorKey(models.Model):
    """The key by which a sensor may post readings; only its digest is kept."""

    digest = models.CharField(max_length=64, primary_key=True)  # SHA-256 of the key
    made_at = models.DateTimeField()
    made_by = models.CharField(max_length=40, blank=True)

    def __str__(self) -> str:
        """Return when it was made."""
        return f"key of {self.made_at:%Y-%m-%d %H:%M}"
