"""Which vessels really were in a load: said by mix, as they were filled, or as planned."""

from __future__ import annotations

from collections.abc import Sequence

from pinset.errors import InputError, RefusedError
from pinset.farm import job_store
from pinset.services.building.suitable import settle
from pinset.services.building.task import Task
from pinset.services.jobs.records import LotAmount
from pinset.services.loads.mixed_loads import MixInLoad, mixes_in
from pinset.services.words import joined


def feeds_loaded(task: Task, count: int) -> tuple[LotAmount, ...]:
    """Return what was in a load, by the step and route it is for.

    Of one mix it is all of the count. Of several it is what was said of each; where only a total
    was said, what was written down as filled of each if that adds up to it, else all that is to be
    loaded if that does.

    Raises
    ------
    InputError
        If a mix is named that the load does not hold.
    RefusedError
        If a total may be made of the mixes in several ways; if more of a mix is loaded than is
        prepared and no reason is given.
    """
    mixes = mixes_in(task.job, job_store.entries_of([task.tap.job]), task.reader.book)
    if not mixes:
        return (LotAmount("", count, task.job.step),)
    of_each = _said(task, mixes) if task.answer.mixes else _of_total(mixes, count)
    _ask_about_missing(task, mixes, of_each)
    return tuple(
        feed for mix, units in zip(mixes, of_each, strict=True) for feed in mix.sized(units)
    )


def _said(task: Task, mixes: Sequence[MixInLoad]) -> list[int]:
    of_each = [0] * len(mixes)
    for name, units in task.answer.mixes:
        found = [n for n, mix in enumerate(mixes) if mix.is_called(name)]
        if not found:
            names = " or ".join(mix.name for mix in mixes)
            raise InputError("mixes", name, f"{names}, which this load holds", _also(mixes))
        of_each[found[0]] += units
    return of_each


def _also(mixes: Sequence[MixInLoad]) -> str:
    """Return in a sentence by which other names the mixes go."""
    others = [(mix.name, [each for each in mix.names if each != mix.name]) for mix in mixes]
    said = [f"{name} also goes by {joined(names)}" for name, names in others if names]
    return f"{'; '.join(said)}." if said else ""


def _of_total(mixes: Sequence[MixInLoad], count: int) -> list[int]:
    if len(mixes) == 1:
        return [count]
    recorded = [mix.filled.recorded for mix in mixes]
    known = [units for units in recorded if units is not None]
    if len(known) == len(mixes) and sum(known) == count:
        return known
    planned = [mix.units for mix in mixes]
    if sum(planned) == count:
        return planned
    raise RefusedError(
        f"{count} of several mixes went in, and {_are(mixes)}: that may be any of them.",
        "Say how many of each: on the job's page, or with "
        f"{' '.join(f'--mix {_quoted(mix.name)}=N' for mix in mixes)}.",
    )


def _are(mixes: Sequence[MixInLoad]) -> str:
    """Return what there is of each mix: ``15 of rye and 18 of straw are filled``."""
    recorded = [(mix.filled.recorded, mix.name) for mix in mixes]
    if all(units is not None for units, _ in recorded):
        return f"{joined([f'{units} of {name}' for units, name in recorded])} are filled"
    return f"{joined([f'{mix.units} of {mix.name}' for mix in mixes])} are to be loaded"


def _quoted(name: str) -> str:
    return f'"{name}"' if " " in name else name


def _ask_about_missing(task: Task, mixes: Sequence[MixInLoad], of_each: Sequence[int]) -> None:
    """Ask for a reason where more is loaded than is prepared, or than is filled, of a mix."""
    against, hint = list[str](), "or give a reason."
    for mix, units in zip(mixes, of_each, strict=True):
        ready, filled = mix.filled.ready, mix.filled.recorded
        of = f" of {mix.name}" if len(mixes) > 1 else ""
        wanted = f"{units}{of} are to be loaded, and "
        if ready is not None and units > ready:
            against.append(f"{wanted}{ready or 'none'} are prepared for it.")
        elif filled and units > filled:
            against.append(f"{wanted}{filled} are written down as filled.")
        elif units and not filled and (tasks := mix.filled.still_open):
            verb = "is" if len(tasks) == 1 else "are"
            said = f"none are written down as filled: {joined(tasks)} {verb} still open."
            against.append(f"{wanted}{said}")
            hint = "or, if it was filled all the same, give a reason: that closes its preparation."
    several = " or say how many of each mix went in," if len(mixes) > 1 else ""
    settle(task, against, f"Write down what was filled first,{several} {hint}" if against else "")
