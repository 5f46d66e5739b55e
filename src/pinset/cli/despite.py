"""The option by which vessels of a cook that did not pass are used all the same."""

from __future__ import annotations

from collections.abc import Callable, Iterator, Sequence
from contextlib import contextmanager
from typing import TYPE_CHECKING, Any

import click

from pinset.errors import InputError, RefusedError

if TYPE_CHECKING:
    from pinset.services.loads.despite import Despite

Command = Callable[..., Any]

OPTION = "--despite-cook"


def despite_option(command: Command) -> Command:
    """Add the option to a command."""
    return click.option(
        OPTION,
        "despite",
        multiple=True,
        metavar="COOK:HOW=REASON",
        help="Why vessels of a cook that did not pass are used, as the refusal names it: "
        "kettle-20260312-1000:failed='only to try'. No --reason stands for it. May be repeated.",
    )(command)


def despite_given(given: Sequence[str]) -> tuple[Despite, ...]:
    """Return what was said of cooks by the option.

    Raises
    ------
    InputError
        If one is not of its form.
    """
    from pinset.services.loads.despite import read_despite

    found: list[Despite] = []
    for each in given:
        key, equals, reason = each.partition("=")
        if not equals or not reason.strip():
            accepted = "COOK:HOW=REASON, such as kettle-20260312-1000:failed='only to try'"
            raise InputError(OPTION, each, accepted)
        found += read_despite([key.strip()], reason)
    return tuple(found)


@contextmanager
def cooks_asked_for() -> Iterator[None]:
    """Say by the option how vessels of a cook that did not pass are used all the same.

    Raises
    ------
    RefusedError
        If vessels of such a cook would be used and nothing is said of it.
    """
    from pinset.services.loads.despite import CookDoubtedError

    try:
        yield
    except CookDoubtedError as problem:
        how = " ".join(f"{OPTION} {key}='...'" for key in problem.keys)
        waits = [key.rpartition(":")[0] for key in problem.keys if key.endswith(":not-judged")]
        judge = "".join(f" Judge it with: pinset cook judge FILE --cook {cook}" for cook in waits)
        raise RefusedError(problem.sentence, f"{problem.hint} With: {how}{judge}") from problem
