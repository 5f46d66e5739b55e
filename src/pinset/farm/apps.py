"""Names the ledger to Django."""

from __future__ import annotations

from django.apps import AppConfig


class FarmConfig(AppConfig):
    """The ledger and the registers of one farm."""

    name = "pinset.farm"
    label = "farm"
    verbose_name = "Farm"
    default_auto_field = "django.db.models.BigAutoField"
