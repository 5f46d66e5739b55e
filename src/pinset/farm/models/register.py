"""What the farm says of itself, in every version it ever said."""

from __future__ import annotations

from django.conf import settings
from django.db import models


class RegisterKind(models.TextChoices):
    """The kinds of records of :mod:`pinset.chain.register`."""

    FARM = "farm"
    ROOM = "room"
    STERILISER = "steriliser"
    BENCH = "bench"
    INSTRUMENT = "instrument"
    WORKER = "worker"
    VESSEL = "vessel"
    ROUTE = "route"
    VARIETY = "variety"
    CULTURE = "culture"
    BUYER = "buyer"
    PROMISE = "promise"
    OUTAGE = "outage"
    PIN = "pin"
    OUTLET = "outlet"
    LABEL = "label"
    CHORE = "chore"
    INSTRUCTION = "instruction"


class RegisterRow(models.Model):
    """One version of one record; never changed, only followed by the next."""

    kind = models.CharField(max_length=12, choices=RegisterKind)
    code = models.CharField(max_length=60)
    version = models.PositiveIntegerField()  # 1, 2, 3 ... within kind and code
    position = models.PositiveIntegerField(default=0)  # order within the kind, as first written
    valid_from = models.DateField()
    recorded_at = models.DateTimeField()
    recorded_by = models.ForeignKey(
        settings.AUTH_USER_MODEL, on_delete=models.PROTECT, null=True, db_index=False
    )
    body = models.JSONField()  # chain.plain.to_plain of the record
    is_retired = models.BooleanField(default=False)
    seal = models.CharField(max_length=64, blank=True, default="")  # see pinset.farm.seals

    class Meta:
        """Storage."""

        constraints = (
            models.UniqueConstraint(fields=("kind", "code", "version"), name="register_version"),
        )
        ordering = ("kind", "position", "code", "version")

    def __str__(self) -> str:
        """Return kind, code and version."""
        return f"{self.kind} {self.code} version {self.version}"
