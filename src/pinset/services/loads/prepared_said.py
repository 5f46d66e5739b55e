"""Preparation in words: which vessels, of how many each, and what they weigh."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import replace

from pinset.chain.register import FarmBook, Step
from pinset.chain.step_nouns import step_noun, step_units
from pinset.services.book_reader import Reader
from pinset.services.jobs.records import JobKind, PlannedJob
from pinset.services.loads.uncooked import mix_in
from pinset.services.loads.what_waits import mix_of
from pinset.services.words import joined

Part = tuple[Step, int]
"""A step, and the units that are prepared for it."""


def vessels_in_words(parts: Sequence[Part], count: int) -> str:
    """Return the noun beside a count: ``blocks``, ``units (18 blocks and 39 grain jars)``.

    Where the parts are not the whole count, nobody can tell how many are which: they are named
    without numbers.
    """
    sorts: dict[str, tuple[Step, int]] = {}
    for step, units in parts:
        noun = step_noun(step, 2)
        sorts[noun] = (step, sorts.get(noun, (step, 0))[1] + units)
    if len(sorts) == 1:
        return step_noun(parts[0][0], count)
    is_whole = sum(units for _, units in sorts.values()) == count
    named = [
        step_units(step, units) if is_whole else step_noun(step, 2)
        for step, units in sorts.values()
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
