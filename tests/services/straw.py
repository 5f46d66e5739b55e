"""Straw that is chopped, soaked, filled into bags and steamed, and the jobs of one such cook."""

from __future__ import annotations

import secrets
from collections.abc import Callable
from dataclasses import fields, replace
from datetime import date

from farm.small_farm import TODAY, describe
from pinset.chain.register import FarmBook, Preparation, RoomKind, Step
from pinset.services.answers import putting_off, recording, taking_back
from pinset.services.jobs.records import JobKind, LotAmount, PlannedJob
from pinset.services.jobs.throwing_out import throwing_out_wet
from pinset.services.loads.standing_wet import wet_notes
from pinset.services.views import Done
from services.conftest import LayJob

LEADS = {"chop": 130.0, "soak": 120.0, "fill": 97.0}
COOK = Preparation("cook", 96.0, 0.0, 0.0, RoomKind.STERILISER)
ROOM = RoomKind.PREPARATION
Jobs = dict[str, str]
"""Codes of the jobs of a cook, by task."""


def with_straw(farm: FarmBook) -> FarmBook:
    """Describe and return the farm, its blocks of straw that is chopped, soaked and filled."""
    tasks = tuple(Preparation(task, lead, 0.5, 5.0, ROOM) for task, lead in LEADS.items())

    def cooked(step: Step) -> Step:
        if step.code != "block":
            return step
        return replace(
            step, cook="grain", mix="straw", fill_moisture=0.7, preparations=(*tasks, COOK)
        )

    route = farm.routes[0]
    changed = replace(farm, routes=(replace(route, steps=tuple(map(cooked, route.steps))),))
    describe(changed)
    return changed


def lay_task(book: FarmBook, lay: LayJob, task: str, count: int, for_day: date = TODAY) -> str:
    """Lay one task of preparation, to be done today, and return its code."""
    step = book.routes[0].step("block")
    return lay(
        JobKind.PREPARE, key=f"prepare:{task}:{count}:{for_day}", task=task, count=count,
        variety="", step="block", stage=step.stage.value, mix=f"straw {step.vessel}", moisture=0.7,
        lead_hours=LEADS[task], for_day=for_day, minutes=30, what=f"blocks: {task} straw",
    )  # fmt: skip


def lay_cook(book: FarmBook, lay: LayJob, count: int = 20, day: date = TODAY) -> Jobs:
    """Lay the jobs of a cook of so many bags, all of today's, and return their codes."""
    found = {task: lay_task(book, lay, task, count, day) for task in LEADS}
    about = {
        "steriliser": "kettle", "cook_kind": "grain", "variety": "", "count": count,
        "feeds": (LotAmount("", count, "block", book.routes[0].code),), "step": "block",
    }  # fmt: skip
    key = f"kettle:grain:{day}"
    found["load"] = lay(JobKind.COOK, key=f"cook:{key}", task="load", day=day, **about)
    return found


def do(job: str, how: Callable[..., Done] = recording.done, **more: object) -> Done:
    """Record a job, done unless said otherwise."""
    return how(job, person="ada", client_id=secrets.token_hex(16), **more)


def drop(jobs: Jobs) -> Done:
    """Drop the load."""
    return do(jobs["load"], putting_off.not_at_all, reason="the burner is broken")


def take_back(done: Done) -> Done:
    """Take back what was recorded."""
    tap = secrets.token_hex(16)
    return taking_back.undo(done.entry, person="ada", client_id=tap, reason="a slip")


def notes(book: FarmBook, day: date = TODAY) -> list[str]:
    """Return what Today says of what stands wet."""
    return list(wet_notes(book, day))


def thrown(book: FarmBook, lay: LayJob, *planned: PlannedJob, day: date = TODAY) -> list[str]:
    """Lay the jobs of throwing out beside what is planned; return their codes."""
    jobs = throwing_out_wet(planned, book, day)
    return [lay(**{f.name: getattr(job, f.name) for f in fields(job)}) for job in jobs]
