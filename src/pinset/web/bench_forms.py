"""What the forms of a bench send: ticks, settle plates, and what was made of what."""

from __future__ import annotations

import re
from collections.abc import Sequence
from datetime import datetime

from django.http import HttpRequest
from django.utils.translation import gettext as _

from pinset.errors import InputError
from pinset.services.answers.lots_named import named_lot
from pinset.services.bench import lists
from pinset.services.bench.beginning import Said
from pinset.services.bench.page import NAMES_A_STEP
from pinset.services.bench.sessions import session_of_tap
from pinset.services.bench.transfers import MOST_OPEN_MIN, Given
from pinset.services.floor.in_hand import held_of
from pinset.services.floor.records import Held
from pinset.web import fields
from pinset.web.client_ids import read_client_id
from pinset.web.despite import despite_of
from pinset.web.who import who

LONGEST_CODES = 400
OF_TAP = "tap-"
"""Before the id of the tap by which a session is begun, where a page knows no more of it yet."""
MOST_TICKS = 40


def said_of_session(request: HttpRequest) -> Said:
    """Return what a form says of a session: ticks, plates, who, when."""
    return Said(
        person=who(request).code,
        client_id=read_client_id(request.POST.get("client_id", "")),
        at=fields.moment(request, "at"),
        reason=fields.text(request, "reason", longest=200),
        ticked=tuple(request.POST.getlist("tick")[:MOST_TICKS]),
        plates={
            line.key: fields.whole(request, f"plates-{line.key}") or 0
            for line in lists.lines(lists.PLATE)
        },
    )


def session_in_form(request: HttpRequest) -> str:
    """Return the session a form names: by its code, or by the tap that waited to begin it.

    Raises
    ------
    RefusedError
        If that tap began none.
    """
    given = fields.text(request, "session", longest=60)
    if not given.startswith(OF_TAP):
        return given
    return session_of_tap(read_client_id(given.removeprefix(OF_TAP)))


def read_given(request: HttpRequest, hand: Sequence[Held]) -> Given:
    """Return what a form says was made of what lies on the bench.

    Raises
    ------
    InputError
        If a number or what was made is missing, or cannot be.
    """
    vessels = tuple(dict.fromkeys(request.POST.getlist("vessels")[:MOST_TICKS]))
    parents = [each for each in hand if each.lot not in vessels]
    return Given(
        session=session_in_form(request),
        parents=tuple((each.lot, _units(request, each.lot)) for each in parents),
        makes=_makes(request),
        job=fields.text(request, "job", longest=40),
        step=fields.text(request, "step", longest=60),
        vessels=vessels,
        amounts=_amounts(request, parents),
        units={each.lot: each.units for each in hand if each.units},
        minutes_open=fields.whole(request, "minutes", most=MOST_OPEN_MIN),
        since=_since(request),
        reason=fields.text(request, "reason", longest=200),
        despite=despite_of(request),
    )


def read_by_hand(request: HttpRequest) -> Given:
    """Return what was typed without a label in hand: codes, each with its number after it.

    Raises
    ------
    InputError
        If a code has a slip, or a number or what was made is missing.
    """
    typed = fields.text(request, "from", longest=LONGEST_CODES)
    into = fields.text(request, "into", longest=80)
    is_step = into.startswith(NAMES_A_STEP)
    given_vessels = fields.text(request, "vessels", longest=LONGEST_CODES)
    return Given(
        session=session_in_form(request),
        parents=_with_numbers(typed),
        makes=_makes(request),
        job="" if is_step else into,
        step=into.removeprefix(NAMES_A_STEP) if is_step else "",
        vessels=tuple(_lot(each) for each in _words(given_vessels)),
        minutes_open=fields.whole(request, "minutes", most=MOST_OPEN_MIN),
        reason=fields.text(request, "reason", longest=200),
        despite=despite_of(request),
    )


def held_in_form(request: HttpRequest) -> tuple[Held, ...]:
    """Return the lots that a form says were in hand."""
    return tuple(held_of(each) for each in request.POST.getlist("held"))


def _makes(request: HttpRequest) -> int:
    count = fields.whole(request, "makes", least=1)
    if count is None:
        raise InputError("makes", "", _("how many were made"))
    return count


def _units(request: HttpRequest, lot: str) -> int:
    count = fields.whole(request, f"units-{lot}")
    if count is None:
        raise InputError("count", "", _("how many units of %(lot)s") % {"lot": lot})
    return count


def _amounts(request: HttpRequest, parents: Sequence[Held]) -> dict[str, int]:
    """Return how much was taken of each lot that stays alive; 0 where nobody said."""
    found = {}
    for each in parents:
        if request.POST.get(f"is-part-{each.lot}"):
            found[each.lot] = fields.whole(request, f"part-{each.lot}") or 0
    return found


def _since(request: HttpRequest) -> datetime | None:
    given = fields.text(request, "since", longest=40)
    if not given:
        return None
    try:
        moment = datetime.fromisoformat(given)
    except ValueError:
        raise InputError("since", given, _("a moment, as the page wrote it")) from None
    if moment.tzinfo is None:
        raise InputError("since", given, _("a moment, as the page wrote it"))
    return moment


def _words(text: str) -> list[str]:
    return [word for word in re.split(r"[\s,;]+", text) if word]


def _lot(word: str) -> str:
    return named_lot(word.partition("/")[0], str(_("the code")))


def _with_numbers(text: str) -> tuple[tuple[str, int], ...]:
    """Return lots with their numbers: ``7K4MV 3 4TQD5`` is 3 of the first and 1 of the other."""
    found: list[tuple[str, int]] = []
    is_open_to_number = False
    for word in _words(text):
        is_number = word.isascii() and word.isdigit() and len(word) < 4  # noqa: PLR2004  (codes have 5 signs)
        if is_number and is_open_to_number:
            found[-1] = (found[-1][0], int(word))
            is_open_to_number = False
        else:
            found.append((_lot(word), 1))
            is_open_to_number = True
    return tuple(found)
