"""`pinset done` and `pinset undo`: record what happened with a job."""

from __future__ import annotations

import secrets
from collections.abc import Iterator
from contextlib import contextmanager
from dataclasses import replace

import click

from pinset.cli.despite import cooks_asked_for, despite_given, despite_option
from pinset.cli.despite_held import held_asked_for, held_given, held_option
from pinset.cli.farm_option import open_chosen
from pinset.cli.kinds import Whole
from pinset.cli.output import as_json_option, known_errors, print_json
from pinset.cli.taps import WHY, Said, said_options
from pinset.errors import InputError, RefusedError
from pinset.services.bounds import MOST_FLUSHES, MOST_GRAMS, MOST_UNITS
from pinset.services.views import Done
from pinset.services.words import weighed_in
from pinset.units import grams


def _lots(given: tuple[str, ...], job: str) -> tuple[tuple[str, str, int], ...]:
    """Return lots with the shelf that was said and units; of what is weighed with their grams."""
    if not given:
        return ()
    from pinset.services.answers.lots_named import named_lot
    from pinset.services.answers.recording import is_weighed
    from pinset.services.frame import frame

    weighed, unit = is_weighed(job), weighed_in(frame().units)
    pairs = []
    for text in given:
        lot, sign, number = (part.strip() for part in text.partition("="))
        if weighed:
            if not sign or not number:
                raise InputError("--lot", text, f"LOT=WEIGHT, such as 7K4MV=3{unit}")
            pairs.append((named_lot(lot, "--lot"), "", grams(number, unit, "--lot")))
            continue
        if not sign or not number.isdecimal():
            raise InputError("--lot", text, "LOT=UNITS, such as 7K4MV=3")
        code, _at, shelf = (part.strip() for part in lot.partition("@"))
        pairs.append((named_lot(code, "--lot"), shelf, int(number)))
    return tuple(pairs)


def _mixes(given: tuple[str, ...]) -> tuple[tuple[str, int], ...]:
    pairs = []
    for text in given:
        name, sign, count = text.rpartition("=")
        if not sign or not name.strip() or not count.strip().isdecimal():
            raise InputError("--mix", text, "MIX=UNITS, such as rye=20")
        pairs.append((name.strip(), int(count)))
    return tuple(pairs)


def _weighed(weight: str, in_grams: int | None) -> int | None:
    """Return the weight given by either option, in grams."""
    from pinset.services.frame import frame

    if not weight:
        return in_grams
    if in_grams is not None:
        raise InputError("--weight", weight, "either --weight or --grams, not both")
    found = grams(weight, weighed_in(frame().units), "--weight")
    if not 0 < found <= MOST_GRAMS:
        raise InputError("--weight", weight, "a weight above 0, at most 10 t")
    return found


@contextmanager
def _missing_asked_for(job: str) -> Iterator[None]:
    """Ask by the names of the options for a weight, a number or a reason that was not given.

    Raises
    ------
    RefusedError
        If one is missing.
    """
    from pinset.services.answers.recording import is_weighed
    from pinset.services.frame import frame

    try:
        yield
    except InputError as problem:
        if problem.field == "reason" and not problem.given:
            hint = f"Give {problem.accepted}, with --reason; a --note does not stand for it."
            raise RefusedError(
                "The reason is missing.", f"{hint} {problem.hint}".strip()
            ) from problem
        if problem.field == "verdict":
            raise InputError(
                "--verdict", problem.given, problem.accepted, problem.hint
            ) from problem
        if problem.given is not None or problem.field not in {"count", "grams"}:
            raise
        if problem.field == "count" and not is_weighed(job):
            hint = "Say how many of it were done with --count, such as --count 3."
            raise RefusedError("The number is missing.", hint) from problem
        hint = "Read it from the scale and give it with --weight, such as --weight 3.2"
        unit = weighed_in(frame().units)
        raise RefusedError("The weight is missing.", f"{hint}{unit}.") from problem


@click.command()
@click.argument("job")
@click.option("--count", type=Whole(0, MOST_UNITS), help="Units, if not all.")
@click.option(
    "--weight",
    default="",
    help="Weight picked, packed or handed over, such as 6.6lb or '3 kg'; "
    "a bare number is in the farm's own unit.",
)
@click.option("--grams", type=Whole(1, MOST_GRAMS), help="The same weight in whole grams.")
@click.option(
    "--lot",
    "lots",
    multiple=True,
    metavar="LOT=UNITS",
    help="Lots used instead, each with its units: 7K4MV=3, or from one of its shelves: "
    "7K4MV@run-1=3. Of what is weighed, each with its weight: '7K4MV=5 lb'; a bare number is in "
    "the farm's own unit.",
)
@click.option(
    "--mix",
    "mixes",
    multiple=True,
    metavar="MIX=UNITS",
    help="What went into a steriliser of each mix, where its load holds several: rye=20.",
)
@click.option("--part", is_flag=True, help="Part done: the job stays open for the rest.")
@click.option("--not-today", metavar="REASON", help="Put off to another day.")
@click.option("--not-at-all", metavar="REASON", help="Drop the job.")
@click.option("--flush", type=Whole(1, MOST_FLUSHES), help="Flush picked, if not the next one.")
@click.option("--anyway", is_flag=True, help="Also if somebody else has taken the job on.")
@despite_option
@held_option
@click.option(
    "--verdict",
    default="",
    help="Of a cook judged by hand: pass or fail; of lots whose cook was too short: hold or keep.",
)
@said_options(reason=f"Why it was otherwise than planned. {WHY}")
@as_json_option
@click.pass_context
@known_errors
def done(
    context: click.Context,
    job: str,
    count: int | None,
    weight: str,
    grams: int | None,
    lots: tuple[str, ...],
    mixes: tuple[str, ...],
    part: bool,
    not_today: str | None,
    not_at_all: str | None,
    flush: int | None,
    anyway: bool,
    despite: tuple[str, ...],
    held: tuple[str, ...],
    verdict: str,
    said: Said,
    as_json: bool,
) -> None:
    """Record JOB as done, part done, not today or not at all."""
    open_chosen(context)
    from pinset.services.answers import claims, putting_off, recording
    from pinset.services.day import spores
    from pinset.services.loads import vessels_doubted as stops

    person, entry_id = said.person, said.client_id
    if not_today is not None:
        result = putting_off.not_today(job, person=person, client_id=entry_id, reason=not_today)
    elif not_at_all is not None:
        result = putting_off.not_at_all(job, person=person, client_id=entry_id, reason=not_at_all)
    else:
        holder = "" if anyway else claims.held_by_other(job, person, entry_id)
        if holder:
            raise RefusedError(f"{holder} has job {job}.", "--anyway records it all the same.")
        record = recording.part_done if part else recording.done
        stop = stops.of_job(job)
        taken = _lots(lots, job)
        with _missing_asked_for(job), cooks_asked_for(), held_asked_for():
            result = record(
                job,
                person=person,
                client_id=entry_id,
                count=count,
                grams=_weighed(weight, grams),
                lots=tuple((lot, units) for lot, _, units in taken),
                shelves=tuple(each for each in taken if each[1]),
                mixes=_mixes(mixes),
                flush=flush,
                at=said.moment,
                note=said.note,
                reason=said.reason,
                verdict=verdict,
                despite=despite_given(despite),
                held=held_given(held),
            )
        more = () if result.already else (stop, spores.warning_after(job, person))
        result = replace(result, findings=(*result.findings, *filter(None, more)))
    say_done(result, as_json=as_json)


@click.command()
@click.argument("entry")
@click.option("--reason", required=True, help="Why it is taken back.")
@click.option("--person", default="")
@as_json_option
@click.pass_context
@known_errors
def undo(context: click.Context, entry: str, reason: str, person: str, as_json: bool) -> None:
    """Take ENTRY back by a correcting entry."""
    open_chosen(context)
    from pinset.services.answers import taking_back

    result = taking_back.undo(entry, person=person, client_id=secrets.token_hex(16), reason=reason)
    say_done(result, as_json=as_json)


def say_done(result: Done, *, as_json: bool) -> None:
    """Print what recording something gave back."""
    if as_json:
        print_json(result)
        return
    click.echo(result.sentence)
    for lot in result.new_lots:
        click.echo(f"new lot {lot}")
    for finding in result.findings:
        click.echo(f"! {finding}")
    click.echo(f"entry {result.entry}")
