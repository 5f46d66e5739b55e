"""The options that say a mix, and how they become what the pages of mixes take."""

from __future__ import annotations

from collections.abc import Callable, Iterator, Mapping, Sequence
from contextlib import contextmanager
from typing import ParamSpec, TypeVar

import click

from pinset.cli.farm_option import is_chosen, open_chosen
from pinset.errors import InputError

P = ParamSpec("P")
R = TypeVar("R")

OF_ROWS = {
    "today": ("moisture", "Today's moisture: wheat-bran=12%, or a sample wet and dry: =120/105."),
    "price": ("price", "Money for a kg (lb), or such as wheat-bran=8/25kg."),
    "nitrogen": ("nitrogen", "Own analysis, % of dry mass: wheat-bran=2.6, or =16%protein."),
    "carbon": ("carbon", "Own analysis, % of dry mass."),
    "ash": ("ash", "Own analysis, % of dry mass."),
}
OF_FILLING = {
    "units": "How many are filled.  [default: 40]",
    "vessel": "bags, jars, bottles, beds or plates.  [default: bags]",
    "fill": "What fills one weighs.  [default: 3 kg, or 6 lb]",
    "moisture": "Wanted, after the cook.  [default: 62 %]",
    "gain": "Points of moisture that the cook adds, such as 1-4.  [default: 0]",
    "step": "Smallest step of your scale.  [default: 50 g, or 0.1 lb]",
    "water-step": "Smallest step of water.  [default: 0.1 L, or 0.1 gal]",
}
OPTIONS = {
    "what": "--of",
    "share": "--of",
    "name": "--of",
    "moisture": "--today",
}


def row_options(more: Mapping[str, str]) -> Callable[[Callable[P, R]], Callable[P, R]]:
    """Add the options that are said of single ingredients: KEY=VALUE, each as often as wanted."""
    helps = {name: help_ for name, (_, help_) in OF_ROWS.items()} | dict(more)

    def add(command: Callable[P, R]) -> Callable[P, R]:
        for name, help_ in reversed(helps.items()):
            command = click.option(
                f"--{name}", name, multiple=True, metavar="KEY=VALUE", help=help_
            )(command)
        return command

    return add


def filling_options(command: Callable[P, R]) -> Callable[P, R]:
    """Add the options that say what is filled."""
    for name, help_ in reversed(OF_FILLING.items()):
        command = click.option(f"--{name}", default="", help=help_)(command)
    return command


def farm_units(context: click.Context) -> tuple[str, str]:
    """Return the units and the currency of the farm, if one was named; else metric and none."""
    if not is_chosen(context):
        return "metric", ""
    open_chosen(context)
    from pinset.services.frame import frame

    return frame().units, frame().currency


def typed_rows(
    of: Sequence[str], said: Mapping[str, Sequence[str]]
) -> tuple[dict[str, str], dict[int, str]]:
    """Return the fields of the rows, and which ingredient each row is.

    ``of`` are ``KEY=SHARE`` or ``KEY``; ``said`` the other options by name. A key that the table
    lacks is something else by that name, if an analysis of its nitrogen is given.

    Raises
    ------
    InputError
        If an option is no ``KEY=VALUE`` or names an ingredient that is not in the mix.
    """
    from pinset.services.mixing.rows import OTHER, choices

    known = {key for key, _ in choices()}
    analysed = {each.partition("=")[0].strip() for each in said.get("nitrogen", ())}
    typed: dict[str, str] = {}
    numbers: dict[str, int] = {}
    for number, text in enumerate(of, start=1):
        key, _, share = (part.strip() for part in text.partition("="))
        if key in numbers:
            raise InputError("--of", text, "each ingredient once")
        numbers[key] = number
        is_other = key not in known and key in analysed
        typed |= {f"what-{number}": OTHER if is_other else key, f"share-{number}": share}
        typed |= {f"name-{number}": key} if is_other else {}
    for name, texts in said.items():
        field = OF_ROWS[name][0] if name in OF_ROWS else name
        for text in texts:
            key, sign, value = (part.strip() for part in text.partition("="))
            if not (sign and value):
                raise InputError(f"--{name}", text, "KEY=VALUE, such as wheat-bran=12")
            if key not in numbers:
                raise InputError(f"--{name}", key, f"one of the mix: {', '.join(numbers)}")
            typed[f"{field}-{numbers[key]}"] = value
    return typed, {number: key for key, number in numbers.items()}


@contextmanager
def by_ingredient(names: Mapping[int, str]) -> Iterator[None]:
    """Say a refusal of a field of a row by its option and ingredient."""
    try:
        yield
    except InputError as problem:
        what, _, number = problem.field.rpartition("-")
        if number.isdigit():
            option = OPTIONS.get(what, f"--{what}")
            name = f"{option} {names.get(int(number), '')}".strip()
        elif problem.field == "shares":
            name = "--of"
        else:
            name = f"--{problem.field}"
        given = None if problem.given == "" else problem.given
        raise InputError(name, given, problem.accepted, problem.hint) from None
