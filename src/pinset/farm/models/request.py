"""Long work that was asked for: planning again. Carried out by the worker, outside any page."""

from __future__ import annotations

from django.db import models


class PlanRequest(models.Model):
    """One wish to plan again, with how far it has come."""

    asked_at = models.DateTimeField()
    asked_by = models.CharField(max_length=40, blank=True)
    taken_at = models.DateTimeField(null=True)  # by a worker; again after the lease ran out
    ended_at = models.DateTimeField(null=True)
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
        """Return when it was asked for."""
        return f"plan asked for at {self.asked_at:%Y-%m-%d %H:%M}"
