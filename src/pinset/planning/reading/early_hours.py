"""What the plan counts on for a delivery that leaves before its day's picking is packed."""

from __future__ import annotations

from pinset.planning.problem import Problem
from pinset.planning.reading.explain import day_in_words, weight_in_words
from pinset.planning.reading.pegging import Key

LEAST_GRAMS = 50.0  # less is not worth a word


def is_early(key: Key) -> bool:
    """Say whether what is promised is handed over after the day of the last picking in it."""
    return key[2] < key[3]


def counted_words(problem: Problem, key: Key) -> str:
    """Return what the plan counts on for an early delivery, as the beginning of a sentence."""
    due = day_in_words(problem.date_of(key[3]))
    there = "lies in the store"
    if key[2] >= 0:
        there = f"is picked by {day_in_words(problem.date_of(key[2]))}"
    return (
        f"For what is handed over before the picking of {due} the plan counts only on what {there}"
    )


def could_come_along(problem: Problem, key: Key) -> float:
    """Return the grams that stand in the rooms and are picked on the day of an early delivery.

    What is moved in by the plan is not among them. [g]
    """
    if not is_early(key):
        return 0.0
    variety = problem.recipes[key[0]].variety
    return sum(
        pick.grams
        for lot in problem.in_rooms
        if lot.variety == variety
        for day, pick in problem.gathered(lot.picks)
        if day == key[3]
    )


def along_words(problem: Problem, key: Key) -> str:
    """Return a sentence on what of its own day's picking could be in an early delivery, if any."""
    grams = could_come_along(problem, key)
    if grams < LEAST_GRAMS:
        return ""
    due = day_in_words(problem.date_of(key[3]))
    return (
        f"About {weight_in_words(grams, problem.units)} should be ripe on {due}: what is picked "
        "and packed before it leaves can still come along."
    )
