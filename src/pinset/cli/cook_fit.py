"""`pinset cook fit`: what a log with a probe in a unit says of the load."""

from __future__ import annotations

import sys
from dataclasses import replace
from pathlib import Path

import click

from pinset.cli.cook_options import bytes_of, changes_of, unit_options
from pinset.cli.output import as_json_option, known_errors, print_json
from pinset.errors import Finding, Severity

SEA_LEVEL = "Taken: 0 m, since no altitude was said. At another, say --altitude."


@click.command()
@click.argument("file", type=click.Path(path_type=Path, dir_okay=False))
@unit_options
@click.option(
    "--read",
    "said",
    multiple=True,
    metavar="KEY=VALUE",
    help="How to read the file where the guess is wrong: column.2.role=core. May be repeated.",
)
@as_json_option
@known_errors
def fit(file: Path, said: tuple[str, ...], as_json: bool, **given: str) -> None:
    """Learn from FILE, with a probe in a unit and one in the chamber, how a load conducts.

    Say size, weight and moisture of the unit the probe stood in. The exit status is 1 if no core
    heated like a body of that size and weight.
    """
    from pinset.services import cautions
    from pinset.services.cooks.judge.judging import plain_findings
    from pinset.services.cooks.learn.fitting import fit_file
    from pinset.services.cooks.typed import load_of

    load = load_of({"heat": "open", **given})
    learnt = fit_file(bytes_of(file), file.name, load, changes=changes_of(said))
    if not given.get("altitude", "").strip():
        taken = Finding("cook.altitude-taken", Severity.NOTE, file.name, SEA_LEVEL)
        learnt = replace(learnt, findings=(*learnt.findings, *plain_findings([taken])))
    if as_json:
        print_json(learnt)
    else:
        for each in learnt.fits:
            click.echo(each.sentence)
            if each.follows:
                click.echo(
                    "    Plan by it: pinset cook plan "
                    f"--conductivity {each.learnt.conductivity:.3g} "
                    f"--surface {each.learnt.surface:.3g}"
                    + (f" --free-air {each.learnt.free_air:.3g}" if each.learnt.free_air else "")
                )
        for finding in learnt.findings:
            click.echo(f"{finding.severity}: {finding.record}: {finding.sentence}")
        click.echo(f"\nCaution: {cautions.sentences(('not-proof',))[0]}")
    if not learnt.slowest.follows:
        sys.exit(1)
