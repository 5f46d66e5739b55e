"""Jobs that survive re-planning, and the plans they came from."""

from __future__ import annotations

from django.conf import settings
from django.db import models


class StoredPlan(models.Model):
    """A plan as it was made, and the last entry it knew of."""

    made_at = models.DateTimeField()
    for_date = models.DateField()
    last_entry = models.BigIntegerField(default=0)
    body = models.JSONField()  # chain.plain.to_plain of a planning.plan.Plan
    gap = models.FloatField(null=True)
    seconds = models.FloatField(default=0.0)
    status = models.CharField(max_length=40)

    class Meta:
        """Storage."""

        indexes = (models.Index(fields=("for_date", "made_at"), name="plan_for_date"),)

    def __str__(self) -> str:
        """Return the date it is for."""
        return f"plan for {self.for_date}"


class Job(models.Model):
    """Something to do, with a code that lasts. What was done stands in the entries naming it."""

    code = models.CharField(max_length=40, unique=True)
    day = models.DateField()
    kind = models.CharField(max_length=12)
    body = models.JSONField(default=dict)
    variety = models.CharField(max_length=60, blank=True)
    step = models.CharField(max_length=60, blank=True)
    count = models.BigIntegerField(default=0)
    room_kind = models.CharField(max_length=12, blank=True)
    plan = models.ForeignKey(StoredPlan, on_delete=models.SET_NULL, null=True)
    claimed_by = models.ForeignKey(settings.AUTH_USER_MODEL, on_delete=models.SET_NULL, null=True)
    claimed_at = models.DateTimeField(null=True)
    withdrawn_at = models.DateTimeField(null=True)  # the plan no longer asks for it
    closed_at = models.DateTimeField(null=True)  # done, or dropped; nothing is left to do

    class Meta:
        """Storage."""

        indexes = (
            models.Index(fields=("day", "kind"), name="job_day_kind"),
            models.Index(
                fields=("day",),
                condition=models.Q(withdrawn_at__isnull=True, closed_at__isnull=True),
                name="job_open",
            ),
            models.Index(
                fields=("closed_at",),
                condition=models.Q(closed_at__isnull=False),
                name="job_closed",
            ),
        )

    def __str__(self) -> str:
        """Return the code."""
        return self.code
