"""Which labels were printed: a working paper, so that the next free place is known."""

from __future__ import annotations

from django.db import models


class LabelPrint(models.Model):
    """Labels of one lot that were laid out at once; no entry, for printing changes nothing.

    ``first`` is the number of the first unit, 0 if the labels carry no numbers.
    """

    tap = models.CharField(max_length=32)  # what was laid out together; a second tap is the same
    lot = models.CharField(max_length=16, db_index=True)  # code
    first = models.PositiveIntegerField()
    count = models.PositiveIntegerField()
    layout = models.CharField(max_length=60)
    next_place = models.PositiveIntegerField()  # of the last sheet, after everything of this tap
    person = models.CharField(max_length=40, blank=True)  # code; empty for the terminal
    at = models.DateTimeField()

    class Meta:
        """Storage."""

        constraints = (
            models.UniqueConstraint(fields=("tap", "lot", "first"), name="label_print_once"),
        )
        indexes = (models.Index(fields=("person", "id"), name="label_print_person"),)

    def __str__(self) -> str:
        """Return what was printed."""
        return f"{self.count} labels of {self.lot}"
