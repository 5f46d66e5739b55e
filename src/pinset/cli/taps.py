"""The options by which any command says who did something, when, and why: one set for all."""

from __future__ import annotations

import secrets
from collections.abc import Callable
from dataclasses import dataclass
from datetime import datetime
from functools import wraps
from typing import TYPE_CHECKING, Any
from zoneinfo import ZoneInfo

import click

from pinset.errors import InputError

if TYPE_CHECKING:
    from pinset.services.answers.lot_actions import Saying

Command = Callable[..., None]
WHY = (
    "Why it is right, where something speaks against it: without one nothing is written down; with "
    "one it is, and each doubt is named. No --note stands for it."
)


@dataclass(frozen=True, slots=True)
class Said:
    """Who says something, by which tap; an id nobody gave is a fresh one."""

    person: str
    at: str
    reason: str
    note: str
    client_id: str

    @property
    def moment(self) -> datetime | None:
        """When it happened by the farm's clock; None for now. The farm must be open."""
        return moment_given(self.at)

    def about(self, lot: str, shelf: str = "") -> Saying:
        """Return what is said of a lot, by its code or its label's text, and of which shelf's."""
        from pinset.services.answers.lot_actions import Saying
        from pinset.services.answers.lots_named import named_lot

        return Saying(
            named_lot(lot),
            self.person,
            self.client_id,
            self.moment,
            self.note,
            self.reason,
            shelf.strip(),
        )


def moment_given(given: str, option: str = "--at") -> datetime | None:
    """Return a moment given by the farm's clock; None if none is."""
    if not given:
        return None
    from pinset.services.frame import frame

    try:
        moment = datetime.fromisoformat(given)
    except ValueError:
        raise InputError(option, given, "a date and time such as 2026-03-12T07:40") from None
    return moment if moment.tzinfo else moment.replace(tzinfo=ZoneInfo(frame().time_zone))


def said_options(
    who: str = "who did it", *, note: bool = True, at: bool = True, reason: str = WHY
) -> Callable[[Command], Command]:
    """Add ``--person``, ``--reason``, ``--note``, ``--at`` and ``--id``; they come as ``said``.

    Parameters
    ----------
    who : str
        Whom ``--person`` names.
    note, at : bool
        Whether the command takes a note, and a moment.
    reason : str
        What ``--reason`` is for.
    """
    options = [
        click.option("--note", default="", help="What should be remembered.") if note else None,
        click.option("--person", default="", metavar="CODE", help=f"Worker code of {who}."),
        click.option("--reason", default="", help=reason),
        click.option(
            "--at",
            default="",
            metavar="MOMENT",
            help="When, if not now, by the farm's clock: 2026-03-12T07:40.",
        )
        if at
        else None,
        click.option(
            "--id", "client_id", default="", help="Random id; a repeated one is written down once."
        ),
    ]

    def add(command: Command) -> Command:
        @wraps(command)
        def run(*args: Any, **given: Any) -> None:
            said = Said(
                person=given.pop("person"),
                at=given.pop("at", ""),
                reason=given.pop("reason"),
                note=given.pop("note", "") if note else "",
                client_id=given.pop("client_id") or secrets.token_hex(16),
            )
            command(*args, said=said, **given)

        for option in reversed([option for option in options if option is not None]):
            run = option(run)
        return run

    return add
