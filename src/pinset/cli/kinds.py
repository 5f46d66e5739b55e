"""What numbers and days an option takes; what is refused is said in our own words."""

from __future__ import annotations

import math
from datetime import date
from typing import Any

import click

from pinset.errors import InputError


class Whole(click.ParamType[int]):
    """A whole number, within bounds where there are any."""

    name = "number"

    def __init__(self, least: int = 0, most: int = 1_000_000) -> None:
        self.least, self.most = least, most

    def convert(self, value: Any, param: click.Parameter | None, _ctx: click.Context | None) -> int:
        """Return the number."""
        try:
            number = int(value)
        except ValueError:
            number = self.least - 1
        if not self.least <= number <= self.most:
            accepted = f"a whole number from {self.least} to {self.most}"
            raise _refused(value, accepted, param)
        return number


class Decimal(click.ParamType[float]):
    """A number above a bound, up to another one, of some unit."""

    name = "number"

    def __init__(self, above: float, most: float, unit: str) -> None:
        self.above, self.most, self.unit = above, most, unit

    def convert(
        self, value: Any, param: click.Parameter | None, _ctx: click.Context | None
    ) -> float:
        """Return the number."""
        try:
            number = float(value)
        except ValueError:
            number = math.nan
        if not self.above < number <= self.most:
            accepted = f"a number above {self.above:g}, at most {self.most:g} {self.unit}"
            raise _refused(value, accepted, param)
        return number


class Day(click.ParamType[date]):
    """A day of the calendar."""

    name = "day"

    def convert(
        self, value: Any, param: click.Parameter | None, _ctx: click.Context | None
    ) -> date:
        """Return the day."""
        if isinstance(value, date):
            return value
        try:
            return date.fromisoformat(value)
        except ValueError:
            raise _refused(value, "a day such as 2026-03-12", param) from None


def _refused(given: object, accepted: str, param: click.Parameter | None) -> click.ClickException:
    """Return the refusal of a value under the name it came by; the exit status is 1."""
    name = "" if param is None else _shown(param)
    return click.ClickException(str(InputError(name, given, accepted)))


def _shown(param: click.Parameter) -> str:
    """Return an option with its dashes, or the name of an argument."""
    is_option = isinstance(param, click.Option)
    return max(param.opts, key=len) if is_option else param.human_readable_name


_ALSO = {"client id": "client_id", "trap_days": "days", "sign": "signs", "lot code": "lot"}
"""Fields that services name otherwise than the option or argument they came by."""


def by_option(problem: InputError) -> InputError:
    """Return a refusal under the name of the option or argument the value came by."""
    context = click.get_current_context(silent=True)
    name = _ALSO.get(problem.field, problem.field)
    for parameter in context.command.params if context is not None else ():
        if parameter.name == name:
            return InputError(_shown(parameter), problem.given, problem.accepted, problem.hint)
    return problem
