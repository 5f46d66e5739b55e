"""`pinset demo`: an invented farm, built, planned and served."""

from __future__ import annotations

import os
import sys
from collections.abc import Callable
from datetime import date
from pathlib import Path

import click
from click.core import ParameterSource

from pinset.cli.kinds import Day, Whole
from pinset.cli.output import known_errors
from pinset.cli.serve import serve_farm
from pinset.cli.serve_https import MOST_PORT
from pinset.cli.today import print_day
from pinset.demo import MOST_SEED, TIME_ZONE, DemoResult, build
from pinset.services.clock import PRETENDED, wall_day
from pinset.services.farms import opening

FOLDER = click.Path(path_type=Path, file_okay=False)
BAR = 24


@click.command()
@click.argument("folder", type=FOLDER, required=False)
@click.option("--today", type=Day(), help="The farm's day; the present one if not given.")
@click.option(
    "--seed",
    type=Whole(0, MOST_SEED),
    default=1,
    show_default=True,
    help="Another number, another past.",
)
@click.option("--serve/--no-serve", default=True, help="Serve it when it is built.")
@click.option("--port", type=Whole(1, MOST_PORT), default=8000, show_default=True)
@known_errors
def demo(folder: Path | None, today: date | None, seed: int, serve: bool, port: int) -> None:
    """Build an invented farm in FOLDER (else --farm, else demo-farm), plan it and serve it."""
    folder = (folder or _named() or Path("demo-farm")).expanduser().resolve()
    day = today or wall_day(TIME_ZONE)
    result = build(folder, day, seed, progress_bar())
    pretend(folder, day)
    from pinset.services.day import today as service
    from pinset.services.plans import planning_day

    planned = planning_day.replan(
        planning_day.as_the_day_begins(),  # the whole day is shown, whatever the hour it is built
        progress=lambda text: click.echo(f"  {text} ...", err=True),
    )
    click.echo(f"planned in {planned.plan.seconds:.1f} s, gap {planned.plan.gap:.2%}\n", err=True)
    print_day(service.day_view())
    _say(result)
    if serve:
        serve_farm(folder, host="127.0.0.1", port=port)


def _named() -> Path | None:
    """Return the folder of --farm; PINSET_FARM names the grower's own farm and is not taken."""
    whole = click.get_current_context().find_root()
    if whole.get_parameter_source("farm") is not ParameterSource.COMMANDLINE:
        return None
    named: Path | None = whole.params["farm"]
    return named


def pretend(folder: Path, day: date) -> None:
    """Write down the day on which this demo farm stays, taken as it begins at whatever hour."""
    mark = folder / opening.DEMO_DAY
    mark.write_text(f"{day.isoformat()}\n", encoding="ascii")
    os.environ[PRETENDED] = day.isoformat()


def progress_bar() -> Callable[[float, str], None]:
    """Return something to call with a share and a text: a bar on a terminal, lines elsewhere."""
    return _bar if sys.stderr.isatty() else _Lines()


def _bar(share: float, text: str) -> None:
    filled = round(BAR * share)
    end = "\n" if share >= 1 else ""
    sys.stderr.write(f"\r[{'#' * filled}{'.' * (BAR - filled)}] {text:<40}{end}")
    sys.stderr.flush()


class _Lines:
    """A line for every tenth of the way."""

    def __init__(self) -> None:
        self.tenth = -1

    def __call__(self, share: float, text: str) -> None:
        """Say how far the work has come, if it is a tenth further."""
        if int(share * 10) > self.tenth:
            self.tenth = int(share * 10)
            sys.stderr.write(f"{share:4.0%} {text}\n")


def _say(result: DemoResult) -> None:
    click.echo(
        "\nEverything on this farm is invented. It is for looking around: do not plan with it."
    )
    click.echo("It stays on this day, taken as the day begins; build it anew for another one.")
    click.echo("Sign in with one of these (they work on this computer only):")
    for person in result.people:
        click.echo(f"  {person.code:<8} {person.password:<24} {person.name}, {person.role}")
