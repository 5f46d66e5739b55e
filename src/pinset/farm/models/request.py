"""Long work that was asked for: planning again, or whether something can be promised.

Carried out by the worker, outside any page.
"""

from __future__ import annotations

from django.db import models


class RequestKind(models.TextChoices):
    """What the worker is asked to do."""

    PLAN = "plan"
    ASK = "ask"  # whether something can be promised


class PlanRequest(models.Model):
    """One piece of long work that was asked for, with how far it has come."""

    asked_at = models.DateTimeField()
    asked_by = models.CharField(max_length=40, blank=True)
    kind = models.CharField(max_length=8, choices=RequestKind, default=RequestKind.PLAN)
    question = models.JSONField(null=True)  # of an ask: what would be promised
    answer = models.JSONField(null=True)  # of an ask that ended well
    taken_at = models.DateTimeField(null=True)  # by a worker; again after the lease ran out
    times_taken = models.PositiveSmallIntegerField(default=0)
    ended_at = models.DateTimeField(null=True)
    is_given_up = models.BooleanField(default=False)  # by a person; what comes of it is dropped
    progress = models.CharField(max_length=120, blank=True)
    problem = models.TextField(blank=True)

    class Meta:
        """Storage."""

        indexes = (
            models.Index(
                fields=("id",), condition=models.Q(ended_at=None), name="plan_request_open"
            ),
        )

    def __str__(self) -> str:
        """Return what was asked for and when."""
        return f"{self.kind} asked for at {self.asked_at:%Y-%m-%d %H:%M}"
