"""Written instructions for kinds of job: the farm's own text, each change a new version.

Everybody says once of each version that it was read and understood. Whoever has not is told; no
work is held back by it.
"""

from __future__ import annotations

from collections.abc import Iterable
from datetime import date, datetime

from django.db import transaction

from pinset.chain.register import FarmBook
from pinset.chain.upkeep import INSTRUCTED, ChoreKind, Instruction
from pinset.errors import InputError, RefusedError
from pinset.farm import door, register_store, trade, whereabouts
from pinset.farm.models.register import RegisterKind
from pinset.farm.queries import story
from pinset.farm.queries.upkeep import InstructionRead, instructions_read
from pinset.farm.register_store import Version
from pinset.farm.trade import Tap
from pinset.services import cautions
from pinset.services.books.register_change import retire, write_record
from pinset.services.clock import farm_day, now_utc
from pinset.services.jobs.records import JobKind, PlannedJob
from pinset.services.plans import planning_day
from pinset.services.upkeep.records import InstructionView
from pinset.services.upkeep.words import KINDS
from pinset.services.views import Done
from pinset.services.words import first_upper, joined
from pinset.tables.chores import proposed_chores

JOBS = {
    "transfer": "transfers at the bench",
    "prepare": "preparing: soak, boil, mix, fill",
    "cook": "loading a cook",
    "open": "opening and unloading",
    "judge": "judging a cook",
    "decide": "deciding on lots of a short cook",
    "order": "ordering",
    "receive": "taking in what was ordered",
    "move": "moving units",
    "shake": "shaking",
    "look": "looking lots over",
    "round": "the morning round",
    "pick": "picking",
    "pack": "packing",
    "deliver": "handing over",
    "give": "giving to an outlet",
    "dry": "drying",
    "waste": "throwing picked mushrooms out",
    "clear": "clearing spent units",
    "discard": "throwing units out",
    "culture": "waking and renewing tubes",
}
CAUTIONS = {
    "transfer": ("alcohol-flame", "uv-c", "disinfectants"),
    "prepare": ("lifting", "dust", "scald", "lime"),
    "cook": ("pressure", "relief-valve", "dry-firing", "venting", "steam"),
    "open": ("opening", "hot-agar", "hot-glass", "vacuum", "condensate"),
    "judge": ("not-proof",),
    "decide": ("mouldy-units",),
    "receive": ("lifting",),
    "move": ("lifting",),
    "look": ("mouldy-units", "orange-mould"),
    "round": ("co2", "spores", "mist-water"),
    "pick": ("spores", "wrong-species"),
    "pack": ("food", "wrong-species"),
    "deliver": ("food", "lifting"),
    "give": ("food",),
    "dry": ("food",),
    "clear": ("spores", "lifting"),
    "discard": ("mouldy-units",),
    "culture": ("alcohol-flame",),
}
"""Cautions of kinds of job, by their keys; those of upkeep stand with the proposed chores."""


def title_of_kind(code: str) -> str:
    """Return a kind of job in words: ``Loading a cook``, ``Door seal``."""
    return first_upper(JOBS[code] if code in JOBS else KINDS[ChoreKind(code)])


def cautions_of(code: str) -> tuple[str, ...]:
    """Return the cautions of a kind of job, in sentences."""
    keys = list(CAUTIONS.get(code, ()))
    keys += [key for row in proposed_chores() if row.kind == code for key in row.cautions]
    return cautions.sentences(keys)


def template_of(code: str) -> str:
    """Return an empty template with the cautions: what is to be done, the farm writes itself."""
    said = "".join(f"- {sentence}\n" for sentence in cautions_of(code))
    head = f"Cautions\n{said}\n" if said else ""
    return f"{head}What is needed\n\nHow it is done\n\nAfterwards\n"


def kind_of_job(job: PlannedJob) -> str:
    """Return the kind under which a job's instruction stands."""
    return job.task if job.kind is JobKind.CHORE else job.kind.value


def checked_kind(code: str) -> str:
    """Return a kind of job that can have an instruction.

    Raises
    ------
    RefusedError
        If there is no such kind.
    """
    if code not in INSTRUCTED:
        raise RefusedError(f"There is no kind of job {code}.", f"There are {joined(INSTRUCTED)}.")
    return code


def instruction_view(code: str, person: str = "", now: datetime | None = None) -> InstructionView:
    """Return the present version of an instruction, and who has understood it.

    Raises
    ------
    RefusedError
        If there is no such kind of job.
    """
    book, today = planning_day.farm_book(now)
    return _view(checked_kind(code), person, book, today, instructions_read(code))


def instructions_view(person: str = "", now: datetime | None = None) -> tuple[InstructionView, ...]:
    """Return every kind of job with its instruction, written ones first."""
    book, today = planning_day.farm_book(now)
    read = instructions_read()
    found = [_view(code, person, book, today, read) for code in INSTRUCTED]
    return tuple(sorted(found, key=lambda each: not each.version))


def _view(
    code: str, person: str, book: FarmBook, today: date, read: Iterable[InstructionRead]
) -> InstructionView:
    version = _present(code, book, today)
    if version is None:
        return InstructionView(code, title_of_kind(code), "", 0, None, None, (), ())
    zone = book.farm.time_zone
    ticks = {
        each.person: farm_day(each.at, zone)
        for each in read
        if (each.instruction, each.version) == (code, version.version)
    }
    names = {worker.code: worker.name for worker in book.workers}
    record = version.record
    return InstructionView(
        code=code,
        title=title_of_kind(code),
        text=record.text if isinstance(record, Instruction) else "",
        version=version.version,
        since=version.valid_from,
        read_on=ticks.get(person),
        read_by=tuple((names.get(who, who), on) for who, on in ticks.items()),
        not_read_by=tuple(name for who, name in names.items() if who not in ticks),
        earlier=tuple(
            (each.version, each.valid_from, each.recorded_by)
            for each in register_store.versions(RegisterKind.INSTRUCTION, code)
            if each.version < version.version
        ),
    )


def _present(code: str, book: FarmBook, today: date) -> Version | None:
    """Return the version in force; None if nothing is written."""
    if not any(each.code == code for each in book.instructions):
        return None
    known = register_store.versions(RegisterKind.INSTRUCTION, code)
    held = [each for each in known if each.valid_from <= today]
    return max(held, key=lambda each: (each.valid_from, each.version), default=None)


def unread_notes(person: str, kinds: Iterable[str], book: FarmBook, today: date) -> tuple[str, ...]:
    """Return which instructions for today's jobs a person has not understood yet, in one sentence.

    Nothing for somebody who does not work here.
    """
    wanted = set(kinds)
    written = [each.code for each in book.instructions if each.code in wanted]
    if not written or person not in {worker.code for worker in book.workers}:
        return ()
    read = instructions_read()
    views = [_view(code, person, book, today, read) for code in written]
    unread = [each.title for each in views if each.version and each.read_on is None]
    if not unread:
        return ()
    said = joined([f"{title[:1].lower()}{title[1:]}" for title in unread])
    return (f"Instructions you have not ticked as read: {said}. Books, Upkeep shows them.",)


def write_instruction(code: str, text: str, person: str, now: datetime | None = None) -> None:
    """Write the next version of an instruction, from today on.

    Raises
    ------
    InputError
        If it says nothing.
    RefusedError
        If there is no such kind of job, or it is too long.
    """
    lines = [line.rstrip() for line in text.replace("\r\n", "\n").split("\n")]
    said = "\n".join(lines).strip()
    if not said:
        raise InputError("text", "", "what is to be done, in the farm's own words")
    write_record(Instruction(checked_kind(code), said), person, now or now_utc())


def end_instruction(code: str, person: str, now: datetime | None = None) -> None:
    """End an instruction from today on; who had read it stays in the books.

    Raises
    ------
    RefusedError
        If none is written.
    """
    retire(RegisterKind.INSTRUCTION, checked_kind(code), person, now or now_utc())


def understood(code: str, version: int, person: str, client_id: str) -> Done:
    """Write down that a person read a version of an instruction and understood it.

    Raises
    ------
    InputError
        If the id belongs to another entry.
    RefusedError
        If it is not the present version, or nobody is signed in who works here.
    """
    now = now_utc()
    book, today = planning_day.farm_book(now)
    if person not in {worker.code for worker in book.workers}:
        raise RefusedError("Only people of the farm tick instructions.", "Sign in as one of them.")
    present = _present(checked_kind(code), book, today)
    if present is None or present.version != version:
        raise RefusedError(
            "This is not the present version: it was changed meanwhile.", "Read it once more."
        )
    with transaction.atomic():
        whereabouts.wait_for_the_pen()
        known = story.entry(client_id)
        if known is not None and known.details.get("instruction") != code:
            raise InputError("client id", client_id, "a fresh random id for every tap")
        ticks = instructions_read(code)
        if any((each.person, each.version) == (person, version) for each in ticks):
            return Done(client_id, already=True, sentence="Ticked already.", findings=())
        tap = Tap(client_id, now, person)
        [recorded] = door.record([trade.instruction_read(tap, code, version)], now=now)
    sentence = f"{title_of_kind(code)}: version {version} read and understood."
    return Done(client_id, recorded.already, sentence, ())
