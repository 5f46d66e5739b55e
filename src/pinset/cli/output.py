"""How commands print: readable by default, JSON for programs, one line for an error."""

from __future__ import annotations

import json
import sys
from collections.abc import Callable, Iterable, Sequence
from functools import wraps
from typing import Any, ParamSpec, TypeVar

import click

from pinset.chain.plain import to_plain
from pinset.cli.kinds import by_option
from pinset.errors import Finding, InputError, PinsetError, Severity, worst

P = ParamSpec("P")
R = TypeVar("R")


def print_json(value: Any) -> None:
    """Print records as JSON with every field."""
    click.echo(json.dumps(to_plain(value, every_field=True), ensure_ascii=False, indent=2))


def as_json_option(command: Callable[P, R]) -> Callable[P, R]:
    """Add ``--json`` to a command."""
    return click.option("--json", "as_json", is_flag=True, help="Print JSON for programs.")(command)


def known_errors(command: Callable[P, R]) -> Callable[P, R]:
    """Turn errors pinset raises on purpose, and those of disk and database, into one line.

    The exit status is 1. Any other error is a fault of the program and shows where it is.
    """

    @wraps(command)
    def run(*args: P.args, **kwargs: P.kwargs) -> R:
        try:
            return command(*args, **kwargs)
        except InputError as problem:
            click.echo(f"pinset: {by_option(problem)}", err=True)
        except PinsetError as problem:
            click.echo(f"pinset: {problem}", err=True)
        except Exception as problem:
            from pinset.services.farms import trouble  # only now: it brings Django in

            said = trouble.plain(problem)
            if said is None:
                raise
            click.echo(f"pinset: {said}", err=True)
        sys.exit(1)

    return run


def print_table(rows: Iterable[Sequence[object]], heads: Sequence[str] = ()) -> None:
    """Print rows in columns; columns whose cells are all numbers stand right."""
    text = [[str(cell) for cell in row] for row in rows]
    if heads:
        text.insert(0, list(heads))
    if not text:
        return
    columns = list(zip(*text, strict=True))
    widths = [max(len(cell) for cell in column) for column in columns]
    body = columns if not heads else [column[1:] for column in columns]
    right = [all(_is_number(cell) for cell in column) for column in body]
    for row in text:
        cells = [
            cell.rjust(width) if is_right else cell.ljust(width)
            for cell, width, is_right in zip(row, widths, right, strict=True)
        ]
        click.echo("  ".join(cells).rstrip())


def _is_number(cell: str) -> bool:
    try:
        float(cell)
    except ValueError:
        return not cell
    return True


def print_findings(findings: Sequence[Finding]) -> None:
    """Print findings, gravest first, each on its own lines."""
    for severity in Severity:
        for finding in findings:
            if finding.severity is severity:
                click.echo(f"{severity.value}: {finding.record}: {finding.sentence}")
                if hint := with_keys(finding.hint, finding.say):
                    click.echo(f"    {hint}")


def with_keys(hint: str, say: Sequence[str]) -> str:
    """Return a hint, with the options by which it is said of a log at the terminal."""
    options = " ".join(f"--read {each}" for each in say)
    return f"{hint} At the terminal: {options}" if say else hint


def exit_for(findings: Sequence[Finding]) -> None:
    """Leave with status 1 if something is wrong."""
    if worst(findings) is Severity.WRONG:
        sys.exit(1)
