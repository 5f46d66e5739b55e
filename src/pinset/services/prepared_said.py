"""Preparation in words: which vessels, of how many each, and what they weigh."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import replace

from pinset.chain.register import FarmBook, Step, StepKind
from pinset.chain.stages import Stage, noun_of, units_in_words
from pinset.services.book_reader import Reader
from pinset.services.job_records import JobKind, PlannedJob
from pinset.services.uncooked import mix_in, mix_of
from pinset.services.words import joined

Part = tuple[Step, int]
"""A step, and the units that are prepared for it."""


def vessels_in_words(parts: Sequence[Part], count: int) -> str:
    """Return the noun beside a count: ``blocks``, ``units (18 blocks and 39 grain jars)``.

    Where the parts are not the whole count, nobody can tell how many are which: they are named
    without numbers.
    """
    stages: dict[tuple[Stage, bool], int] = {}
    for step, units in parts:
        key = (step.stage, step.kind is StepKind.BUY)
        stages[key] = stages.get(key, 0) + units
    if len(stages) == 1:
        [(stage, is_bought)] = stages
        return noun_of(stage, count, is_bought=is_bought)
    is_whole = sum(stages.values()) == count
    named = [
        units_in_words(stage, units, is_bought=is_bought)
        if is_whole
        else noun_of(stage, 2, is_bought=is_bought)
        for (stage, is_bought), units in stages.items()
    ]
    return f"{'unit' if count == 1 else 'units'} ({joined(named)})"


def preparation_in_words(
    task: str, parts: Sequence[Part], count: int, reader: Reader, done: int = 0
) -> str:
    """Return the words beside the count of a preparation: ``blocks: fill straw, 35 kg wet``.

    Parameters
    ----------
    task : str
        What is done with them.
    parts : sequence of Part
        What they are for; at least one, all of one mix.
    count : int
        Units of the whole job. [unit]
    reader : Reader
        The farm's book.
    done : int
        Units that are done: then the weight of what is left is said, too. [unit]
    """
    mix = parts[0][0].mix
    whole = sum(units for _, units in parts)
    each_g = sum(step.fill_g * units for step, units in parts) / whole if whole else 0.0
    weight = ""
    if each_g:
        weight = f", {reader.mixed(each_g * count)} wet"
        if 0 < done < count:
            weight += f" in all, {reader.mixed(each_g * (count - done))} of it left"
    return f"{vessels_in_words(parts, count)}: {task}{' ' + mix if mix else ''}{weight}"


def as_prepared(job: PlannedJob, units: int, book: FarmBook) -> PlannedJob:
    """Return a job with the words for so many units done; any but preparation as it is."""
    is_meant = job.kind is JobKind.PREPARE and job.feeds and not job.follows_a_cook and units
    parts = parts_of(job, book) if is_meant else ()
    if not parts:
        return job
    what = preparation_in_words(job.task, parts, units, Reader(book, job.day))
    return replace(job, what=what)


def parts_of(job: PlannedJob, book: FarmBook) -> tuple[Part, ...]:
    """Return what a stored preparation is for; empty if the farm no longer has such a step."""
    steps = {
        (route.code, step.code): step
        for route in book.routes
        for step in route.steps
        if mix_of(step) == mix_in(job)
    }
    if job.feeds:
        found = [(steps.get((feed.route, feed.step)), feed.units) for feed in job.feeds]
        known = tuple((step, units) for step, units in found if step is not None)
        return known if len(known) == len(found) else ()
    step = next((each for (_, code), each in steps.items() if code == job.step), None)
    return ((step, job.count),) if step is not None else ()
