"""Lots of like units, and the places where they stand."""

from __future__ import annotations

from django.db import models

from pinset.farm.models.register import RegisterRow


class Place(models.Model):
    """A shelf, rack, fridge box or bay. The place with the empty code is "no place"."""

    code = models.CharField(max_length=60, unique=True)
    room = models.CharField(max_length=60, blank=True, db_index=True)  # code; empty if unknown

    def __str__(self) -> str:
        """Return the code."""
        return self.code


class Lot(models.Model):
    """Like units made together on one day from the same parents. Its facts do not change.

    A lot may be named before the entry that makes it has arrived; it is then ``is_announced``
    and its facts are empty until that entry comes.
    """

    id = models.BigIntegerField(primary_key=True)  # 1, 2, 3 ... given by the door
    code = models.CharField(max_length=16, unique=True)
    is_announced = models.BooleanField(default=False)
    is_void = models.BooleanField(default=False)  # the entry that made it was taken back
    stage = models.CharField(max_length=10, blank=True)
    variety = models.CharField(max_length=60, blank=True)
    step = models.CharField(max_length=60, blank=True)
    route = models.ForeignKey(RegisterRow, on_delete=models.PROTECT, null=True, db_index=False)
    culture = models.CharField(max_length=60, blank=True)
    made_on = models.DateField(null=True)
    made_by = models.ForeignKey(
        "farm.Entry", on_delete=models.PROTECT, null=True, related_name="lots_made"
    )
    cook = models.CharField(max_length=40, blank=True)
    session = models.CharField(max_length=40, blank=True)
    generation = models.PositiveIntegerField(null=True)  # stated, for lots without known parents
    transfers = models.PositiveIntegerField(null=True)  # likewise
    bought_from = models.CharField(max_length=120, blank=True)
    made_in_demo = models.BooleanField(default=False)

    class Meta:
        """Storage."""

        indexes = (
            models.Index(fields=("made_on",), name="lot_made_on"),
            models.Index(fields=("variety", "step", "made_on"), name="lot_variety_step"),
            models.Index(fields=("cook",), name="lot_cook"),
            models.Index(
                fields=("id",), condition=models.Q(is_announced=True), name="lot_announced"
            ),
        )

    def __str__(self) -> str:
        """Return the printed code."""
        return self.code
