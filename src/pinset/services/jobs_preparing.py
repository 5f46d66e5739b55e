"""Work that must be done before vessels can be inoculated: soak, boil, mix, fill, pour."""

from __future__ import annotations

from collections.abc import Sequence
from datetime import date, datetime, time, timedelta

from pinset.chain.register import Preparation, StepKind
from pinset.chain.stages import noun_of, units_in_words
from pinset.planning.plan import Start
from pinset.services.book_reader import Reader
from pinset.services.job_records import JobKind, PlannedJob
from pinset.services.words import joined, near_day

INOCULATION_CLOCK = time(9, 0)


def clock_moment(text: str) -> datetime:
    """Return a clock time such as ``10:30`` on a day that stands for any day."""
    hours, minutes = (int(part) for part in text.split(":"))
    return datetime(2000, 1, 1, hours, minutes)  # noqa: DTZ001  (a clock time without a day)


def why_cook(fed: Sequence[Start], reader: Reader) -> str:
    """Return which starts wait for the vessels, in words."""
    if not fed:
        return "Sterile vessels for the coming days."
    said = [
        f"{units_in_words(start.stage, round(start.count))} of {reader.name(start.variety)} on "
        f"{near_day(start.day, reader.today)}"
        for start in fed
    ]
    return f"Vessels for {joined(said)}."


def preparation_jobs(
    fed: Sequence[Start], cook_day: date | None, load_at: str, reader: Reader
) -> tuple[PlannedJob, ...]:
    """Return what must be done before, so many hours ahead; the same work for several is one job.

    Hours are counted from the loading of the cook where there is one, otherwise from the
    inoculation.
    """
    gathered: dict[tuple[str, str, str, float, date], list[tuple[Start, Preparation]]] = {}
    for start in fed:
        step = reader.step(start.variety, start.step)
        cook_lead = max((p.lead_hours for p in step.preparations if p.task == "cook"), default=None)
        for preparation in step.preparations:
            if preparation.task in {"cook", "cool"}:
                continue
            if cook_day is not None and cook_lead is not None:
                reference = datetime.combine(cook_day, clock_moment(load_at).time())
                moment = reference - timedelta(hours=max(0.0, preparation.lead_hours - cook_lead))
            else:
                reference = datetime.combine(start.day, INOCULATION_CLOCK)
                moment = reference - timedelta(hours=preparation.lead_hours)
            day = reader.working_day_before(moment.date())
            gathered.setdefault(
                (preparation.task, step.mix, step.vessel, step.fill_moisture, day), []
            ).append((start, preparation))
    return tuple(
        _preparation(task, mix, day, items=items, cook_day=cook_day, load_at=load_at, reader=reader)
        for (task, mix, _vessel, _moisture, day), items in gathered.items()
    )


def _preparation(
    task: str,
    mix: str,
    day: date,
    *,
    items: Sequence[tuple[Start, Preparation]],
    cook_day: date | None,
    load_at: str,
    reader: Reader,
) -> PlannedJob:
    count = sum(round(start.count) for start, _ in items)
    first, preparation = items[0]
    step = reader.step(first.variety, first.step)
    for_day = cook_day or first.day
    minutes = preparation.minutes_fixed + sum(
        p.minutes_per_unit * round(start.count) for start, p in items
    )
    noun = noun_of(step.stage, count, is_bought=step.kind is StepKind.BUY)
    mass = step.fill_g * count
    weight = f", {reader.said(mass)} wet" if mass else ""
    shown = max(day, reader.today)
    water = f"{step.fill_moisture:.0%} water, " if step.fill_moisture else ""
    return PlannedJob(
        key=f"prepare:{task}:{mix}:{step.vessel}:{step.fill_moisture}:{for_day}:{step.stage.value}",
        kind=JobKind.PREPARE,
        task=task,
        day=shown,
        count=count,
        unit="units",
        what=f"{noun}: {task}{' ' + mix if mix else ''}{weight}",
        room_kind=preparation.room.value,
        detail=f"{water}for {near_day(for_day, reader.today)}",
        mix=f"{mix} {step.vessel}",
        moisture=step.fill_moisture,
        lead_hours=preparation.lead_hours,
        stage=step.stage.value,
        step=first.step,
        minutes=max(1, round(minutes)),
        due=f"before {load_at}" if load_at and cook_day == shown else "",
        why=why_cook([start for start, _ in items], reader),
        cautions=tuple(dict.fromkeys(p.caution for _, p in items if p.caution)),
        for_day=for_day,
    )
