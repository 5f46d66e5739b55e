"""The option by which units of a lot that is held back are used all the same."""

from __future__ import annotations

from collections.abc import Callable, Iterator, Sequence
from contextlib import contextmanager
from typing import Any

import click

from pinset.errors import RefusedError

Command = Callable[..., Any]

OPTION = "--despite-held"


def held_option(command: Command) -> Command:
    """Add the option to a command."""
    return click.option(
        OPTION,
        "held",
        multiple=True,
        metavar="LOT",
        help="A lot that is held back and is used all the same, for the --reason given, which "
        "does not stand for it by itself. May be repeated.",
    )(command)


def held_given(given: Sequence[str]) -> tuple[str, ...]:
    """Return the codes of the lots that were named by the option."""
    from pinset.services.answers.lots_named import named_lot

    return tuple(named_lot(each, OPTION) for each in given)


@contextmanager
def held_asked_for() -> Iterator[None]:
    """Say by the options how units of a lot that is held back are used all the same.

    Raises
    ------
    RefusedError
        If such units would be used, and their lot is not named or no reason is given.
    """
    from pinset.services.building.suitable import HeldUsedError

    try:
        yield
    except HeldUsedError as problem:
        how = " ".join(f"{OPTION} {lot}" for lot in problem.lots)
        hint = f"{problem.hint} With: {how} --reason '...'"
        raise RefusedError(problem.sentence, hint) from problem
